"""From folder to browser and back: papers of the command line taken in, and decisions one file both ways.

6.5 - 1.25 in 6+4 for 6 marks; an exponent in decimal has 5 and waits for one more.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from chalkpoint.cli import main
from conftest_web import PAPERS, Client

SHEET = "student,1\nH01,010101 3\nH02,010101 0011"
DECISION = "student,question,line,marks,reason\r\nH01,1,answer exponent,1,seen\r\n"


@pytest.fixture
def papers(client: Client) -> str:
    """The address of papers taken in from a file, with what was handed in."""
    client.get("/work")
    made = client.submit("/mark/take-in", files={"file": ("papers.json", json.dumps(PAPERS).encode())})
    assert made.url.path.startswith("/mark/papers/")
    client.submit(f"{made.url.path}/answers", pasted=SHEET)
    return str(made.url.path)


def test_a_file_of_decisions_goes_both_ways(client: Client, papers: str) -> None:
    """Taken in, it gives the mark; sent out, it is the same file; taken in twice it changes nothing; it is undone."""
    assert client.get(f"{papers}/decisions.csv").text == "student,question,line,marks,reason\r\n"
    file = {"file": ("decisions.csv", DECISION.encode())}
    page = client.submit(f"{papers}/decisions", files=file)
    assert "Waiting for your decision: 0" in page.text
    assert client.get(f"{papers}/decisions.csv").text == DECISION
    client.submit(f"{papers}/decisions", files=file)
    assert client.get(f"{papers}/decisions.csv").text == DECISION


def test_a_ruling_goes_both_ways(client: Client, papers: str) -> None:
    """What is ruled for the class is a row of the file: taken in, H01 has 6 too; sent out, it is the same file.

    The reason stands with the decision, in the list and on the pupil's script, until Undo takes both.
    """
    file = "student,question,line,marks,reason,group,ruling\r\n,,,,%s,exponent in decimal,accept\r\n"
    for reason in (
        "",
        "taught so, in week 2",
    ):  # the same ruling again, now with a reason: it is another decision
        text = file % (reason and f'"{reason}"')
        page = client.submit(f"{papers}/decisions", files={"file": ("decisions.csv", text.encode())})
        assert "Waiting for your decision: 0" in page.text
        assert client.get(f"{papers}/decisions.csv").text == text
    said = "xponent in decimal: accepted (taught so, in week 2)"
    assert f"E{said}, for the whole class." in page.text
    assert f"e{said}" in client.said(f"{papers}/scripts/H01")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("student,question,line,marks,reason\nH01,9,answer,1,x", "there is no such question"),
        ("student,question,line,marks,reason\nH01,1,answer exponent,7,x", "7 marks; it has 1"),
        ("pupil;mark\nH01;1", "there is no column"),
    ],
)
def test_a_file_that_cannot_be_taken_says_why(client: Client, papers: str, text: str, why: str) -> None:
    """One sentence, and nothing is decided."""
    refused = client.submit(f"{papers}/decisions", files={"file": ("decisions.csv", text.encode())})
    assert refused.status_code == 422
    assert why in refused.text
    assert client.get(f"{papers}/decisions.csv").text == "student,question,line,marks,reason\r\n"


def test_the_command_line_gives_the_same_marks(client: Client, papers: str, tmp_path: Path) -> None:
    """What the browser sends out is what `--overrides` reads: both end at the same marks."""
    client.submit(f"{papers}/decisions", files={"file": ("decisions.csv", DECISION.encode())})
    (tmp_path / "papers.json").write_text(json.dumps(PAPERS), encoding="utf-8")
    (tmp_path / "answers.csv").write_text(SHEET, encoding="utf-8")
    (tmp_path / "d.csv").write_bytes(client.get(f"{papers}/decisions.csv").content)
    files = [str(tmp_path / name) for name in ("papers.json", "answers.csv")]
    with pytest.raises(SystemExit) as ended:
        main(["mark", *files, "--out", str(tmp_path / "marks"), "--overrides", str(tmp_path / "d.csv")])
    assert not ended.value.code
    marks = json.loads((tmp_path / "marks" / "marks.json").read_text(encoding="utf-8"))
    assert [pupil["marks"] for pupil in marks["students"]] == [6, 6]


@pytest.mark.parametrize("content", [b"no json", b'{"schema": "other"}', b"\xff\xfe\x00"])
def test_what_are_no_papers_is_refused(client: Client, content: bytes) -> None:
    """A sentence, and nothing is kept."""
    client.get("/work")
    refused = client.submit("/mark/take-in", files={"file": ("papers.json", content)})
    assert refused.status_code == 422
    assert "papers" in refused.text
