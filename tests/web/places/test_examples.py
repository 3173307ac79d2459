"""Ready examples: what a newcomer sees in each place, made on demand, marked as examples, taken away in one step."""

from __future__ import annotations

import pytest

from chalkpoint.finding.find import find
from chalkpoint.marking.exampleclass import CLASS
from chalkpoint.web.examples import EXAMPLE_FORMAT, PAPERS, REQUESTS, Request
from conftest_web import Client

SAID = "An example: made up, and no pupil is in it"


@pytest.mark.parametrize("place", ["find", "set", "mark", "teach"])
def test_no_place_is_empty(client: Client, place: str) -> None:
    """Each place shows an example while nothing is kept there."""
    assert SAID in client.get(f"/{place}").text


@pytest.mark.parametrize("one", REQUESTS, ids=lambda one: one.says)
def test_every_request_is_met_by_some_questions(one: Request) -> None:
    """A ready request finds questions, and rules some out."""
    found = find(one.operation, format=EXAMPLE_FORMAT, where=one.where)
    assert 0 < (found.count or 0) < found.of


@pytest.mark.parametrize("name", PAPERS)
def test_an_example_paper_is_made_marked_and_taken_away(client: Client, name: str) -> None:
    """A click sets it and makes its files; its title bears the word; another click removes it."""
    made = client.done(client.submit(f"/examples/papers/{name}"))
    assert "papers.pdf" in made.text
    assert "<b>example</b>" in client.get("/set").text
    assert SAID not in client.get("/set").text
    client.submit("/examples/remove")
    assert SAID in client.get("/set").text


@pytest.mark.parametrize(
    "make_store", ["sqlite"], indirect=True
)  # the marks do not depend on where they are kept
def test_the_example_class_is_marked_with_reasons(client: Client) -> None:
    """Its pupils' beliefs are named, somebody waits for the teacher, and nobody right is accused."""
    report = client.done(client.submit("/examples/class"))
    assert all(code in report.text for code in CLASS)
    assert "invert" in report.text
    assert "12 Heron" in client.get("/mark").text
    client.submit("/examples/remove")
    assert "12 Heron" not in client.get("/mark").text


def test_examples_never_take_the_teachers_own_away(client: Client) -> None:
    """What was made by hand stays when the examples go."""
    client.submit("/mark/classes/new", title="11 Plover", codes="3")
    client.done(client.submit("/examples/class"))
    client.submit("/examples/remove")
    assert "11 Plover" in client.get("/mark").text


@pytest.mark.parametrize("make_store", ["sqlite"], indirect=True)  # it keeps nothing
def test_the_example_lesson_opens_on_the_board(client: Client) -> None:
    """One click, and nothing is kept for it."""
    assert "Taking one reading from another" in client.get("/teach/example").text
    assert SAID in client.get("/teach").text
