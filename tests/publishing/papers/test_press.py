"""The press: the same files whether pressed here or by processes of their own."""

from pathlib import Path

import pytest

from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.publishing.papers import press as presses
from chalkpoint.publishing.papers.press import Job, loads, press
from chalkpoint.publishing.typst.compiling import compile_pdf

SOURCE = '#set document(title: "Levels")\n#std.title()\n'


def test_processes_make_the_same_bytes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Many sources or few: what is printed is the same."""
    monkeypatch.setattr(presses, "FEW", 0)
    heard: list[int] = []
    press([Job(tmp_path / name, SOURCE) for name in ("a.pdf", "b.pdf")], heard.append)

    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes() == compile_pdf(SOURCE)
    assert sum(heard) == 2


def test_a_source_that_cannot_be_set_is_an_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A process that fails is not passed over."""
    monkeypatch.setattr(presses, "FEW", 0)

    with pytest.raises(ChalkpointError, match="could not be printed"):
        press([Job(tmp_path / "a.pdf", "#nothing-of-the-kind()")])


def test_every_job_is_in_one_load() -> None:
    """Long sources alone, short ones together, none lost."""
    jobs = [Job(Path(str(size)), "x" * size) for size in (10, 2_000_000, 20, 1_400_000, 900_000)]
    parted = list(loads(jobs))

    assert sorted(job.path for load in parted for job in load) == sorted(job.path for job in jobs)
    assert [len(load) for load in parted] == [1, 1, 3]
