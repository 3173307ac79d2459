"""Judgements and keys as text, JSON and pages."""

import json

import pytest

from chalkpoint.marking.judging import judge
from chalkpoint.marking.key import Item, read_key
from chalkpoint.marking.saying import STROKES
from chalkpoint.publishing.judged import judgement_json, judgement_page, judgement_text
from chalkpoint.publishing.keyed import key_json, key_page, key_text

WRONG = judge("subtract 6.5, 1.25", {"align": "0.0010100", "negate": "1.1101011"}, "0.1010011 0011")
ELSEWHERE = judge("decode 0.1100000 0011", {}, "12")
KEY = read_key([Item("subtract 01101000 0011, 01011011 0000", "01011100 0011"), Item("encode 4.6", "0 0 0")])


def test_a_line_has_a_stroke_and_a_word() -> None:
    """Never a stroke alone."""
    text = judgement_text(WRONG)
    assert "\u2442   another rule" in text
    assert "\u2713   right" in text


def test_the_text_says_where_and_what_to_ask() -> None:
    """The first wrong line, its value before and after, the rule found and the first hint."""
    text = judgement_text(WRONG)
    assert "the line to look at is \u201cnegate\u201d" in text
    assert "From 0.0010100 × 2^3 the rule gives 1.1101100 × 2^3; written is 1.1101011." in text
    assert "One answer is not enough to be sure of it" in text
    assert "Ask next: Add your answer to the original: is it zero?" in text


def test_plain_text_is_ascii() -> None:
    """For terminals without the letters."""
    assert judgement_text(WRONG, plain=True).isascii()


@pytest.mark.parametrize("judgement", [WRONG, ELSEWHERE])
def test_no_word_of_blame(judgement: object) -> None:
    """Nothing is called a mistake, a fault or wrong."""
    text = judgement_text(judgement).lower()  # type: ignore[arg-type]
    assert not any(word in text for word in ("mistake", "fault", "wrong", "error", "fail", "careless"))


def test_what_is_right_elsewhere_says_where() -> None:
    """And what the course has."""
    text = judgement_text(ELSEWHERE)
    assert "This is right where the point stands after the second bit." in text
    assert "Your course does it another way: 6." in text


def test_json_keeps_its_keys() -> None:
    """The keys of the schema, and values that survive the trip."""
    form = judgement_json(WRONG)
    assert json.loads(json.dumps(form)) == form
    assert form["schema"] == "chalkpoint.judgement/1"
    assert (form["right"], form["verdict"], form["first_wrong"]) == (False, "follow-through", "negate")
    assert [point["status"] for point in form["points"]] == [
        "right",
        "misconception",
        "implied",
        "follow-through",
    ]
    assert form["points"][1]["before"] == "0.0010100 × 2^3"
    assert form["points"][1]["follows"] == "1.1101100 × 2^3"
    assert [(belief["misconception"], belief["named"]) for belief in form["beliefs"]] == [
        ("invert-only", False)
    ]
    assert form["hint"] == "Add your answer to the original: is it zero?"


def test_the_page_is_complete_and_says_all_the_text_says() -> None:
    """A heading, a table with headers, no script, no other file."""
    page = judgement_page(WRONG)
    assert page.startswith("<!doctype html>")
    assert '<html lang="en">' in page
    assert page.count("<h1>") == 1
    assert '<th scope="col">Mark</th>' in page
    assert "<script" not in page
    assert "http" not in page
    assert "To change the sign I invert every bit." in page


def test_what_is_written_is_text_on_the_page() -> None:
    """Nothing a pupil writes becomes markup."""
    assert "<b>" not in judgement_page(judge("subtract 6.5, 1.25", {}, "<b>5</b>"))


def test_every_status_has_a_stroke_in_ascii_too() -> None:
    """For plain terminals."""
    assert all(plain.isascii() and word for _, plain, word in STROKES.values())


def test_a_key_says_how_many_courses_are_left_and_what_decides() -> None:
    """In words, and names the item nothing explains."""
    text = key_text(KEY)
    assert "courses reproduce the rest of the key" in text
    assert "To decide, ask: " in text
    assert "worth working again" in text
    assert "encode 4.6" in text


def test_a_key_in_json() -> None:
    """The count is a string, as all counts are."""
    form = key_json(KEY)
    assert json.loads(json.dumps(form)) == form
    assert form["schema"] == "chalkpoint.key/1"
    assert form["count"] == str(len(form["courses"]))
    assert form["unexplained"] == [{"question": "encode 4.6", "answer": "0 0 0"}]


def test_a_key_on_a_page() -> None:
    """The courses left stand in a table with headers."""
    page = key_page(KEY)
    assert '<th scope="col">Course</th>' in page
    assert "The question that decides" in page
