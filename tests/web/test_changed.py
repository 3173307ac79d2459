"""A line changed on the page of a working: where it leads, what is said of it, and how it is taken back."""

from __future__ import annotations

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.web.changed import change_lines, line_of
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask
from conftest_web import Client

WORKED = "/work?operation=subtract&operands=8.875,3.6875"


def test_the_working_is_written_on_from_the_changed_line() -> None:
    """What was right before it stays, and every line after it follows by the same rules."""
    question = ask("subtract", "8.875", "3.6875", course=Course())
    changed = change_lines(question, ["negate:11100010"])
    assert [(row.rule, row.judged is not None) for row in changed.rows] == [
        ("align", False),
        ("negate", True),
        ("add", False),
        ("normalise", False),
        ("answer", False),
    ]
    assert changed.rows[-1].written == "0.1010010 0011"
    judged = changed.rows[1].judged
    assert judged is not None
    assert [thought.name for thought in judged.thoughts if thought.kind == "belief"] == ["invert-only"]


def test_nothing_is_changed_where_nothing_is_written() -> None:
    """The lines that can be changed are named, and no row is written."""
    changed = change_lines(ask("add", "1.5", "2.5", course=Course()), [])
    assert [rule for rule, _ in changed.rules][-1] == "answer"
    assert changed.rows == ()


def test_a_line_written_rightly_changes_nothing() -> None:
    """It is said to be right, and leads to the right answer."""
    question = ask("subtract", "8.875", "3.6875", course=Course())
    changed = change_lines(question, ["align:00011101"])
    assert changed.rows[0].judged is not None
    assert changed.rows[0].judged.kind == "right"
    assert changed.rows[-1].written == "0.1010100 0011"


@pytest.mark.parametrize(
    ("changes", "said"),
    [(["sideways:1"], "is not a line"), (["align:banana"], "banana"), (["align:1"] * 13, "at once")],
)
def test_what_is_no_line_is_refused(changes: list[str], said: str) -> None:
    """One sentence says what would do."""
    with pytest.raises(EntryError, match=said):
        change_lines(ask("subtract", "8.875", "3.6875", course=Course()), changes)


def test_where_lines_are_not_judged_the_page_offers_none(client: Client) -> None:
    """The working stands without the form, and without a fault."""
    answer = client.get("/work", params={"operation": "explain", "operands": "add, 5.25, 1.5"})
    assert answer.status_code == 200
    assert "Change a line" not in answer.text


def test_a_line_of_a_range_may_be_changed_too(client: Client) -> None:
    """Each extreme is a line of its own."""
    asked = {"operation": "range", "operands": "", "line": "largest positive:0.1111110 0111"}
    answer = client.get("/work", params=asked)
    assert answer.status_code == 200
    assert "Change a line" in answer.text


def test_the_page_says_what_a_line_may_be_and_takes_it_back(client: Client) -> None:
    """Several explanations are counted, none is made the headline; undo leads to the other changes."""
    page = client.get(f"{WORKED}&line=align:00011100&line=negate:11100010").text
    assert "explanations" in page
    assert "line=negate%3A11100010" in page
    assert client.get(f"{WORKED}&rule=align&written=banana").status_code == 422


def test_a_question_leads_to_its_like_to_a_paper_and_to_a_lesson(client: Client) -> None:
    """Each way on carries the question, or what it does."""
    page = client.get(WORKED).text
    assert "where=align-shift+%3D+2" in page
    line = line_of(ask("subtract", "8.875", "3.6875", course=Course())).replace(" ", "+").replace(",", "%2C")
    assert f"/set/new?question={line}" in page
    assert "/teach/new?question=subtract+8.875%2C3.6875" in page
    assert (
        client.get("/work", params={"operation": "explain", "operands": "subtract 8.875, 3.6875"}).status_code
        == 200
    )


def test_a_served_board_has_a_way_back(client: Client) -> None:
    """It leads to the page it was opened from; its script is allowed by digest alone."""
    answer = client.get("/work/board?operation=add&operands=1.5,2.5")
    assert 'href="/work?operation=add&amp;operands=1.5%2C2.5"' in answer.text
    assert "sha256-" in answer.headers["content-security-policy"]
