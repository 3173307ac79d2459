"""`chalkpoint mark PAPERS ANSWERS`, as a shell calls it."""

import csv
import json
import subprocess
import sys
from pathlib import Path

import pytest

from heron import papers_of, table_by

QUESTIONS = [("subtract", ["6.5", "1.25"]), ("subtract", ["5.5", "-2.25"]), ("subtract", ["3.5", "1.25"])]
PAPERS = papers_of(*((name, *operands) for name, operands in QUESTIONS))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with papers.json and answers.csv."""
    papers = {
        "schema": "chalkpoint.papers/1",
        "title": "Gauge readings",
        "papers": [
            {"variant": 1, "questions": [{"operation": name, "operands": ops} for name, ops in QUESTIONS]}
        ],
    }
    (tmp_path / "papers.json").write_text(json.dumps(papers), encoding="utf-8")
    with (tmp_path / "answers.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(table_by(PAPERS, {"Fenn": (), "Odo": ("invert-only",)}))
    return tmp_path


def run(folder: Path, *words: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    """Run the command on files in *folder*."""
    files = [
        str(folder / word) if word.endswith((".json", ".csv")) or word == "marks" else word for word in words
    ]
    command = [sys.executable, "-m", "chalkpoint", "mark", *files]
    return subprocess.run(command, capture_output=True, text=True, check=False, input=typed, encoding="utf-8")


def test_a_class_is_marked(folder: Path) -> None:
    """Marks and reports are written, and the belief is said."""
    done = run(folder, "papers.json", "answers.csv", "--out", "marks")
    assert (done.returncode, done.stderr) == (0, "")
    assert "invert-only: 1 pupil, shown on 3 of 3 answers." in done.stdout
    assert (folder / "marks" / "class.html").exists()


def test_json_is_one_object(folder: Path) -> None:
    """--json prints the marks and nothing else."""
    marked = json.loads(run(folder, "papers.json", "answers.csv", "--json").stdout)
    assert next(student["marks"] for student in marked["students"]) == PAPERS.first.marks


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["papers.json"], "mark needs the answers too"),
        (["papers.json", "answers.csv"], "give --out FOLDER, or --json"),
        (["none.json", "answers.csv", "--json"], "none.json' cannot be read"),
        (["papers.json", "none.csv", "--json"], "none.csv' cannot be read"),
        (["papers.json", "answers.csv", "--json", "--workers", "0"], "0 workers cannot mark"),
    ],
)
def test_refusals(folder: Path, words: list[str], said: str) -> None:
    """Bad input leaves with 2 and one sentence."""
    done = run(folder, *words)
    assert done.returncode == 2
    assert said in done.stderr
    assert done.stderr.count("\n") == 1


def test_entry_by_exception(folder: Path) -> None:
    """Answers typed in are saved and can be marked."""
    done = run(folder, "papers.json", "typed.csv", "--enter", typed="Odo\n\n\n\n\n")
    assert "1 script, " in done.stdout
    assert run(folder, "papers.json", "typed.csv", "--out", "marks").returncode == 0


def test_papers_join_into_a_history(folder: Path) -> None:
    """Marked twice, a pupil has two sittings and a belief that stands."""
    run(folder, "papers.json", "answers.csv", "--out", "marks")
    first = str(folder / "marks" / "marks.json")
    run(folder, "papers.json", "answers.csv", "--out", str(folder / "again"), "--earlier", first)
    _, odo = json.loads((folder / "again" / "history.json").read_text(encoding="utf-8"))
    assert len(odo["sittings"]) == 2
    assert odo["beliefs"] == {"invert-only": "standing"}


def test_heads_that_cannot_be_used_print_nothing(folder: Path) -> None:
    """A table without heads is refused before any of the object is printed."""
    (folder / "answers.csv").write_text("Odo,0.1\n", encoding="utf-8")
    done = run(folder, "papers.json", "answers.csv", "--json")
    assert (done.returncode, done.stdout) == (2, "")


def test_a_ruling_is_made_once(folder: Path) -> None:
    """In the file of decisions; its line for the course is printed, and a ruling that rules on nothing is named."""
    (folder / "answers.csv").write_text("student,1\nFenn,0.1010100 3\nOdo,0.1010100 3\n", encoding="utf-8")
    waits = run(folder, "papers.json", "answers.csv", "--out", "marks")
    assert "1 decision for you, on 2 answers" in waits.stdout
    (folder / "rulings.csv").write_text(
        "group,ruling\nexponent in decimal,accept\nexponent in decimel,accept\n", encoding="utf-8"
    )
    ruled = run(
        folder, "papers.json", "answers.csv", "--out", "marks", "--replace", "--overrides", "rulings.csv"
    )
    assert 'takes = ["exponent in decimal"]' in ruled.stdout
    assert "decision for you" not in ruled.stdout
    assert "'exponent in decimel' found no answer that waits for it" in ruled.stderr


def test_a_course_rules_on_papers_that_were_set_before(folder: Path) -> None:
    """--course gives the manners it takes to papers whose own course has none."""
    (folder / "answers.csv").write_text("student,1\nFenn,0.1010100 3\n", encoding="utf-8")
    (folder / "course.toml").write_text('takes = ["exponent in decimal"]', encoding="utf-8")
    words = ["papers.json", "answers.csv", "--json", "--course", str(folder / "course.toml")]
    (pupil,) = json.loads(run(folder, *words).stdout)["students"]
    assert pupil["questions"][0]["marks"] == 6
