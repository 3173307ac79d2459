"""A class's term at a glance, with the example term: the weeks, what is to be taught next and why; and by hand."""

from __future__ import annotations

import re

import pytest

from chalkpoint.records.store import Store
from chalkpoint.web.exampleterm import fill
from conftest_web import Client, words


@pytest.mark.parametrize("make_store", ["sqlite"], indirect=True)  # the example fills a file of its own
def test_the_example_term_shows_what_the_class_needs_and_why(client: Client, store: Store) -> None:
    """Four pupils of twelve only invert in the last paper: that is the first thing to teach, with its reasons."""
    said: list[str] = []
    fill(store, said.append)
    assert len(said) == 4  # a line for each paper, since it takes some seconds
    listed = client.get("/mark")
    assert listed.status_code == 200, listed.text
    (own,) = set(re.findall(r"/mark/classes/([\w-]+)", listed.text)) - {"new"}

    page = client.get(f"/mark/classes/{own}/term")

    for lesson in ("To read a pattern", "To align and add", "To negate, so as to subtract"):
        assert lesson in page.text
    first = words(page.text).split("Teach next")[1]
    assert first.lstrip().startswith(
        "Negate: invert every bit, then add one in the last place By Gauge readings"
    )
    assert "For 4 a belief is named: “To change the sign I invert every bit.”" in first
    assert "Last taught: To negate, so as to subtract" in first
    lesson = client.submit(
        "/teach/counter",
        belief="invert-only",
        papers=re.findall(r"/mark/papers/([\w-]+)/report", page.text)[0],
    )
    assert lesson.url.path.startswith("/teach/lessons/")

    client.submit("/examples/remove")
    assert "12 Heron" not in client.get("/mark").text


def test_a_lesson_is_said_to_be_taught_and_taken_back(client: Client) -> None:
    """The day is the teacher's; a word that is no day is refused in one sentence."""
    own = client.submit("/mark/classes/new", title="12 Heron", codes="3").url.path.rsplit("/", 1)[1]
    lesson = client.submit("/work/questions", operation="subtract", operands="8.875,3.6875", format="8+4")
    made = client.submit("/teach/counter", belief="invert-only")
    assert lesson.status_code == made.status_code == 200

    client.submit(f"{made.url.path}/taught", **{"class": own, "on": "2026-11-24"})
    assert "A second look" in client.said(f"/mark/classes/{own}/term")
    refused = client.submit(f"{made.url.path}/taught", **{"class": own, "on": "Tuesday"})
    assert refused.status_code == 422
    assert "'Tuesday' is not a day" in words(refused.text).replace("’", "'")
    client.submit(f"{made.url.path}/taught", **{"class": own})
    assert "A second look" not in client.said(f"/mark/classes/{own}/term")


def test_an_empty_term_says_what_to_do(client: Client) -> None:
    """A class of which nothing is marked."""
    own = client.submit("/mark/classes/new", title="12 Heron", codes="3").url.path
    assert "Nothing of this class is marked yet. Set a paper" in client.said(f"{own}/term")


def test_what_was_taught_goes_on_to_homework(client: Client) -> None:
    """A lesson's page sets a paper of fresh questions like its own; one that works nothing says what it needs."""
    made = client.submit("/teach/counter", belief="invert-only")
    assert "Set homework on it" in made.text
    papers = client.done(client.submit(f"{made.url.path}/homework"))
    assert papers.url.path.startswith("/set/papers/")
    assert "Homework: " in papers.text
    said = 'title = "Only words"\n[[part]]\nkind = "explain"\nsays = ["A gauge stands on the bed."]\n'
    bare = client.submit("/teach/new", lesson=said)
    assert client.submit(f"{bare.url.path}/homework").status_code == 422
