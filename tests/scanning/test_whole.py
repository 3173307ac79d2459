"""The whole way: printed, filled in, taken, read, looked through by a teacher, marked; the marks are the truth's."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import chalkpoint
from chalkpoint.cli import main
from chalkpoint.scanning.folder import Folder
from chalkpoint.scanning.stack import Stack
from stacks import LOST, TRUTH, Class


def typed(heron: Class) -> list[list[str]]:
    """Return what a teacher would type from the papers: a row a line, of everything that was written."""
    rows = [["student", "variant", "question", "line", "written"]]
    for paper in heron.papers:
        for (question, line), fields in heron.wrote[paper.code].items():
            lost = f"|{fields[LOST]}" if fields.get(LOST) else ""
            text = f"{fields['mantissa']}{lost} {fields['exponent']}".strip()
            rows.append([f"{paper.variant:02}", str(paper.variant), str(question), line, text])
    return rows


def look_through(folder: Folder, stack: Stack, heron: Class) -> int:
    """Fill in review.csv as a teacher who sees every box as it was meant; return how many were looked at."""
    with (folder.path / "review.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        place = stack.places.get(row["name"])
        if place is None:  # a line: none of this class is crossed out as a whole, and no spare line is used
            row["yours"] = "box by box" if "box by box" in row["choose"] else "not used"
        elif place.kind == "free":
            row["yours"] = "-"
        elif place.kind == "tick":
            row["yours"] = "blank"
        else:
            row["yours"] = TRUTH[heron.truth[stack.page(place.page).code].truth[place.box]]
    with (folder.path / "review.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return len(rows)


def told(capsys: pytest.CaptureFixture[str], *words: str | Path) -> str:
    """Return what a command prints."""
    with pytest.raises(SystemExit) as left:
        main([str(word) for word in words])
    said = capsys.readouterr()
    assert left.value.code == 0, said.err
    return said.out


def test_the_marks_are_those_of_what_was_written(
    heron: Class, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No mark is made before the teacher has looked; then every pupil has the marks of the truth."""
    papers, out = heron.folder / "set" / "papers.json", tmp_path / "marks"
    command: list[str | Path] = ["mark", "--scan", *heron.stack, papers, "--out", out]
    first = told(capsys, *command)
    assert "6 of 6 pages read" in first
    assert "wait for you" in first
    assert not out.exists()

    folder = Folder(tmp_path / "marks-read")
    looked = 0
    for _ in range(6):  # doubts, then lines, then those drawn by lot
        looked += look_through(folder, folder.load(), heron)
        said = told(capsys, *command)
        if out.exists():
            break
    assert "of 300 drawn by lot" in said or "every box was looked at" in said
    assert looked > 100

    wanted = chalkpoint.mark(papers, typed(heron))
    marks = {one["student"]: one for one in chalkpoint.mark(papers, folder.path / "answers.csv")["students"]}
    assert {one["student"] for one in wanted["students"]} == set(marks)
    for pupil in wanted["students"]:
        read = marks[pupil["student"]]
        assert read["marks"] == pupil["marks"]
        for one, other in zip(read["questions"], pupil["questions"], strict=True):
            assert [(point["rule"], point["marks"], point["why"]) for point in one["points"]] == [
                (point["rule"], point["marks"], point["why"]) for point in other["points"]
            ]
    assert (folder.path / "ink.html").read_text(encoding="utf-8").count("<svg") > 20
