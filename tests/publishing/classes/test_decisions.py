"""One file of decisions: written with what waits, filled in by the teacher, read back, and written again."""

import csv
from pathlib import Path
from typing import Any

from chalkpoint.marking.answers import scripts
from chalkpoint.marking.classes import mark_scripts
from chalkpoint.marking.overrides import Decision, Decisions, Ruling, Rulings, read_decisions
from chalkpoint.publishing.classes.folder import write_class
from heron import papers_of

PAPERS = papers_of(("subtract", "6.5", "1.25"))
#: Ten who write the exponent as a number, two who leave zeros off, one that nobody can read, two answers in one cell.
ROWS = [
    ["student", "1"],
    *([f"H{at:02}", "0.1010100 3"] for at in range(1, 11)),
    ["H11", "0.10101 0011"],
    ["H12", "0.10101 0011"],
    ["H13", "=?#x"],
    ["H14", "0.1010100 0011 or 0.1010100 0010"],
]
FILLED_IN = {"exponent in decimal": "Accept", "trailing zeros left off": "let it stand"}


def marked(decisions: Decisions, rulings: Rulings) -> list[dict[str, Any]]:
    """Return the class marked."""
    return list(mark_scripts(PAPERS, scripts(ROWS, PAPERS), decisions=decisions, rulings=rulings))


def rows_of(path: Path) -> list[dict[str, str]]:
    """Return the rows of a file of decisions."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def fill(path: Path, rows: list[dict[str, str]]) -> None:
    """Write a file of decisions as a teacher's sheet program does."""
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


def test_what_waits_is_a_row_for_each_decision(tmp_path: Path) -> None:
    """Groups with what most of them wrote and the marks at stake; what has to be read, a row a line."""
    summary = write_class(PAPERS, marked({}, {}), tmp_path / "marks")
    rows = rows_of(tmp_path / "marks" / "decisions.csv")
    groups = [(row["group"], row["written"], row["answers"], row["could"]) for row in rows if row["group"]]
    assert groups == [
        ("exponent in decimal", "0.1010100 3", "10", "10"),
        ("trailing zeros left off", "0.10101 0011", "2", "2"),
    ]
    singly = {row["student"] for row in rows if row["student"]}
    assert singly == {"H13", "H14"}
    assert next(row["written"] for row in rows if row["student"] == "H13") == "'=?#x"
    assert (summary.waiting_count, summary.waiting_answers) == (4, 14)


def test_a_file_filled_in_decides_and_is_kept(tmp_path: Path) -> None:
    """Two rulings and one decision: nothing of theirs waits, every total is right, and the file still holds them."""
    write_class(PAPERS, marked({}, {}), tmp_path / "marks")
    path = tmp_path / "decisions.csv"
    rows = rows_of(tmp_path / "marks" / "decisions.csv")
    for row in rows:
        row |= {
            "ruling": {"exponent in decimal": "Accept", "trailing zeros left off": "let it stand"}.get(
                row["group"], ""
            )
        }
        if (row["student"], row["line"]) == ("H13", "answer mantissa"):
            row |= {"marks": "1", "reason": "seen on paper"}
    fill(path, rows)
    decisions, rulings = read_decisions(path)
    assert rulings == {
        "exponent in decimal": Ruling(accepted=True),
        "trailing zeros left off": Ruling(accepted=False),
    }
    assert decisions == {("H13", 1, "answer mantissa"): Decision(1, "seen on paper")}
    entries = marked(decisions, rulings)
    totals = {entry["student"]: (entry["marks"], entry["could"]) for entry in entries}
    assert totals["H01"] == totals["H10"] == (6, 6)
    assert totals["H11"] == (5, 5)
    assert totals["H13"][0] == 1
    again = write_class(PAPERS, entries, tmp_path / "again", decisions=decisions, rulings=rulings)
    assert read_decisions(tmp_path / "again" / "decisions.csv") == (decisions, rulings)
    assert {group.name for group in again.groups} == {"cannot be read", "several answers"}
    assert again.ruled >= {"exponent in decimal", "trailing zeros left off"}


def test_a_decision_on_one_answer_goes_before_the_ruling() -> None:
    """Whoever was decided by hand keeps that."""
    entries = marked(
        {("H02", 1, "answer exponent"): Decision(0, "copied")},
        {"exponent in decimal": Ruling(accepted=True)},
    )
    assert [entry["marks"] for entry in entries[:3]] == [6, 5, 6]
