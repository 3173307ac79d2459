"""The folder of papers: whole or not at all, and nothing lost."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from brackwater import PRACTICE, WHOLE, papers
from chalkpoint.numbers.errors import FileError
from chalkpoint.publishing.papers import folder as folders
from chalkpoint.publishing.papers.folder import sources, write_folder
from chalkpoint.publishing.papers.press import Job

PAPERS = papers(WHOLE, 2)
USUAL = {
    "papers.json",
    "report.txt",
    "key.csv",
    "key.xlsx",
    "answers.xlsx",
    "key.pdf",
    "mark-schemes.pdf",
    "papers.pdf",
    "paper-1.pdf",
    "paper-2.pdf",
}


def names_in(folder: Path) -> set[str]:
    """Return the names of the files in *folder*."""
    return {path.name for path in folder.iterdir()}


def test_everything_a_teacher_needs_is_there(tmp_path: Path) -> None:
    """Papers, schemes, key, template and report; nothing beside the folder is left."""
    heard: list[int] = []
    written = write_folder(PAPERS, tmp_path / "out", watch=lambda done, of: heard.append(of - done))

    assert names_in(tmp_path / "out") == set(written) == USUAL
    assert names_in(tmp_path) == {"out"}
    assert heard == [*range(len(USUAL))][::-1]
    kept = json.loads((tmp_path / "out" / "papers.json").read_text(encoding="utf-8"))
    boxes = [entry.pop("boxes") for entry in kept["papers"]]
    assert all(boxes)
    assert kept.pop("boxes")["columns"][-5:] == ["x", "y", "width", "height", "kind"]
    assert kept.pop("sheet")["codes"][0] == {"x": 172.0, "y": 12.0, "size": 18.0}
    assert kept == PAPERS.to_dict()


def test_practice_comes_with_its_solutions() -> None:
    """Self-marking needs the whole route; a paper has it when it is asked for."""
    assert "solutions.pdf" in sources(papers(PRACTICE, 1))
    assert "solutions.pdf" not in sources(PAPERS)
    assert "solutions.pdf" in sources(PAPERS, solutions=True)


def test_a_folder_with_something_in_it_is_not_written_over(tmp_path: Path) -> None:
    """The sentence offers --replace."""
    (tmp_path / "note.txt").write_text("mine", encoding="utf-8")

    with pytest.raises(FileError, match=r"is not empty.*--replace"):
        write_folder(PAPERS, tmp_path)
    with pytest.raises(FileError, match="holds no papers"):
        write_folder(PAPERS, tmp_path, replace=True)
    assert names_in(tmp_path) == {"note.txt"}


def test_papers_are_replaced_when_that_is_said(tmp_path: Path) -> None:
    """The old folder goes as a whole."""
    out = tmp_path / "out"
    out.mkdir()
    (out / "papers.json").write_text("{}", encoding="utf-8")
    (out / "paper-9.pdf").write_text("old", encoding="utf-8")
    write_folder(PAPERS, out, replace=True)

    assert names_in(out) == USUAL
    assert names_in(tmp_path) == {"out"}


@pytest.mark.parametrize("there", [False, True])
def test_nothing_is_half_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, there: bool) -> None:
    """Where a file cannot be made, no folder appears, and one that was there stays as it was."""
    out = tmp_path / "out"
    if there:
        out.mkdir()
        (out / "papers.json").write_text("{}", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(folders, "press", full)
    with pytest.raises(FileError, match="No space left on device"):
        write_folder(PAPERS, out, replace=True)

    assert names_in(tmp_path) == ({"out"} if there else set())
    assert not there or names_in(out) == {"papers.json"}


def test_places_that_cannot_take_a_folder(tmp_path: Path) -> None:
    """A file's name, or a folder in no folder, is refused in a sentence."""
    (tmp_path / "file").write_text("", encoding="utf-8")

    with pytest.raises(FileError, match="is a file"):
        write_folder(PAPERS, tmp_path / "file")
    with pytest.raises(FileError, match="does not exist"):
        write_folder(PAPERS, tmp_path / "none" / "out")


@pytest.mark.parametrize(
    ("only", "printed"), [("scheme", {"mark-schemes.pdf"}), ("solutions", {"solutions.pdf"})]
)
def test_only_what_is_asked_for_is_printed(
    only: str, printed: set[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The scheme alone, or the solutions alone, beside the sheets; every variant is in it."""
    pressed: list[Job] = []

    def press(jobs: list[Job], done: object, meanwhile: Callable[[], None]) -> None:
        meanwhile()
        pressed.extend(jobs)
        for job in jobs:
            job.path.write_bytes(b"")

    monkeypatch.setattr(folders, "press", press)
    names = write_folder(PAPERS, tmp_path / "out", only=only)

    assert names_in(tmp_path / "out") == set(names)
    assert {name for name in names if name.endswith(".pdf")} == printed
    assert all(f"ariant {paper.variant}" in pressed[0].source for paper in PAPERS)
