"""A PostgreSQL of the tests' own, on a free port of this machine, gone when they are."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

__all__ = ["server", "tool"]

USER = "postgres"


def tool(name: str) -> str:
    """Return the path of one of PostgreSQL's own programs."""
    found = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}")) if os.name == "posix" else []
    path = str(found[-1]) if found else shutil.which(name)
    if path is None:
        raise RuntimeError(
            f"{name} is not found; install PostgreSQL (Debian: sudo apt-get install postgresql)"
        )
    return path


@contextmanager
def server() -> Iterator[str]:
    """Start a server and give the URL of a database of its own, which more can be made beside."""
    with tempfile.TemporaryDirectory(prefix="pg-") as folder:
        data = Path(folder) / "data"
        as_user = {"user": USER} if os.name == "posix" and os.geteuid() == 0 else {}
        if as_user:  # it refuses to run as root
            shutil.chown(folder, USER)
        _run(
            [tool("initdb"), "-D", str(data), "-U", USER, "-A", "trust", "-E", "UTF8", "--no-sync"],
            folder,
            as_user,
        )
        port = _start(data, folder, as_user)
        try:
            yield f"postgresql://{USER}@127.0.0.1:{port}/postgres"
        finally:
            _run([tool("pg_ctl"), "-D", str(data), "-m", "immediate", "stop"], folder, as_user)


def _start(data: Path, folder: str, as_user: dict[str, str]) -> int:
    """Start the server on a free port and return it; another may take that port first, so it is tried again."""
    for last in (False, False, True):
        port = _free_port()
        options = f"-p {port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={folder} -c fsync=off"
        try:
            _run(
                [tool("pg_ctl"), "-D", str(data), "-w", "-l", f"{folder}/log", "-o", options, "start"],
                folder,
                as_user,
            )
        except RuntimeError:
            if last:
                raise
        else:
            return port
    raise AssertionError("unreachable")


def _run(words: list[str], folder: str, as_user: dict[str, str]) -> None:
    done = subprocess.run(
        words,
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
        **as_user,  # type: ignore[call-overload]
    )
    if done.returncode and "start" in words:
        raise RuntimeError(done.stdout.decode() + (Path(folder) / "log").read_text())
    if done.returncode:
        raise RuntimeError(done.stdout.decode())


def _free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as found:
        port: int = found.getsockname()[1]
        return port
