"""The cache: whole or not there, made again when broken, safe for two processes."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from asking import term
from chalkpoint.finding import cache
from chalkpoint.finding.atlas import Atlas
from chalkpoint.finding.request import Term
from chalkpoint.finding.selection import Selection
from chalkpoint.working.course import Course

COURSE = Course(format="5+3")
ASKED: list[Term] = [term("carry-dropped", "subtract"), term("lost-ones >= 1", "subtract")]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give the cache a folder of its own."""
    monkeypatch.setenv("CHALKPOINT_CACHE", str(tmp_path))
    return tmp_path


def count() -> int:
    """Count with an atlas that knows nothing but what is on disk."""
    return Selection(Atlas("subtract", COURSE), ASKED).count


def test_what_is_kept_is_read_back(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A second atlas makes nothing: it reads."""
    first = count()
    monkeypatch.setattr(Atlas, "_make", None)
    assert count() == first


@pytest.mark.parametrize("damage", ["cut short", "one bit turned", "emptied", "not a cache at all"])
def test_a_broken_file_is_made_again_and_never_trusted(folder: Path, damage: str) -> None:
    """Whatever happened to the files, the count is the same and the files are whole again."""
    first = count()
    whole = {path.name: path.read_bytes() for path in folder.iterdir()}
    for path in folder.iterdir():
        data = bytearray(path.read_bytes())
        if damage == "cut short":
            data = data[: len(data) // 2]
        elif damage == "one bit turned":
            data[len(data) // 2 + 20] ^= 4
        else:
            data = bytearray() if damage == "emptied" else bytearray(b"something else")
        path.write_bytes(data)
    assert count() == first
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == whole


def test_a_changed_rule_never_meets_an_old_diagram(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With another digest of the rules the same request is kept under other names."""
    count()
    before = {path.name for path in folder.iterdir()}
    monkeypatch.setattr(cache, "rules_digest", lambda: "other rules")
    count()
    assert len({path.name for path in folder.iterdir()} - before) == len(before)


def test_a_folder_that_cannot_be_written_is_no_obstacle(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nothing can be kept, the answer comes all the same."""
    in_the_way = tmp_path / "file"
    in_the_way.write_text("a file where the folder should be", encoding="utf-8")
    monkeypatch.setenv("CHALKPOINT_CACHE", str(in_the_way))
    assert count() > 0


def test_two_processes_at_once_leave_whole_files(folder: Path) -> None:
    """Two processes that make the same atlas at once agree, and leave no half-written file behind."""
    code = (
        "import chalkpoint as cp; "
        "print(cp.find('subtract', format='5+3', where=['carry-dropped', 'lost-ones >= 1']).count)"
    )
    running = [
        subprocess.Popen(
            [sys.executable, "-c", code], stdout=subprocess.PIPE, env=os.environ | {"PYTHONPATH": "src"}
        )
        for _ in range(2)
    ]
    answers = [process.communicate()[0] for process in running]
    assert answers[0] == answers[1]
    assert int(answers[0]) == count()
    assert all(path.suffix == ".atlas" for path in folder.iterdir())
