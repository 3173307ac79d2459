"""Starting to serve: what is refused before anything listens."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from chalkpoint.records import passwords, teachers
from chalkpoint.records.store import open_store


def serve(folder: Path, *words: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    """Run the command to its end."""
    url = f"sqlite:///{(folder / 'store.db').as_posix()}"
    command = [sys.executable, "-m", "chalkpoint", "serve", "--database", url, *words]
    surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    return subprocess.run(
        command, input=typed, capture_output=True, text=True, env=surroundings, check=False, timeout=60
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--port", "0"), "give a number from 1 to 65535"),
        (("--processes", "65"), "give a number from 1 to 64"),
        (("--processes", "2", "--port", "8765"), "needs a PostgreSQL"),
        (("--lan", "--port", "8766"), "need a password"),
    ],
)
def test_what_cannot_be_served_is_refused_in_one_sentence(
    tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    """It leaves with 2, and nothing was begun."""
    done = serve(tmp_path, *words)
    assert done.returncode == 2
    assert said in done.stderr
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr


def test_a_port_that_is_taken_is_said_at_once(tmp_path: Path) -> None:
    """The sentence names the port, and no database is made."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        done = serve(tmp_path, "--port", str(taken.getsockname()[1]))
    assert done.returncode == 2
    assert "cannot be listened on" in done.stderr
    assert not (tmp_path / "store.db").exists()


def test_a_teacher_is_given_a_password_by_a_command(tmp_path: Path) -> None:
    """The password is read from standard input where nobody types; a short one is refused and nobody is added."""
    url = f"sqlite:///{(tmp_path / 'store.db').as_posix()}"
    command = [sys.executable, "-m", "chalkpoint", "records", "teacher", "ada", "--database", url]
    surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    for typed, code in (("short\n", 2), ("tide gauge at dawn\n", 0)):
        done = subprocess.run(
            command, input=typed, capture_output=True, text=True, env=surroundings, check=False
        )
        assert done.returncode == code
    store = open_store(url)
    with store.write() as db:
        assert passwords.fits(teachers.digest_for(db, "ada")[1], "tide gauge at dawn")
    store.close()
