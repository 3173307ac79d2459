"""Find: what was entered is never lost, and every way of asking the command has stands on the page."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from threading import Event
from typing import Any

import pytest

import chalkpoint as cp
from chalkpoint.web.jobs import Watch
from chalkpoint.web.places import find as place
from chalkpoint.web.searches import Search, Searches
from conftest_web import Client

REQUEST = "/find?operation=subtract&format=6%2B4&where=align-shift+%3D+2&where=lost-ones+%3D+1"


def carried(page: str) -> set[str]:
    """Return the names of the traits, and the raw lines, that the form would send again."""
    found = re.findall(r'name="(?:trait|where)" value="([^"]+)"', page)
    return {unescape(text) for text in found}


def test_the_counts_are_the_finders_own(client: Client) -> None:
    """Line by line and together; the questions are those that the same seed draws."""
    page = client.get(f"{REQUEST}&seed=7&draw=3").text
    first = cp.find("subtract", format="6+4", where=["align-shift = 2"])
    found = cp.find("subtract", format="6+4", where=["align-shift = 2", "lost-ones = 1"])
    assert f"{first.count:,}" in page
    assert f"{found.count:,}" in page
    for question in found.draw(3, 7):
        assert f'value="subtract {", ".join(question.operands)}"' in page


def test_a_line_that_cannot_be_asked_stands_and_the_others_stay(client: Client) -> None:
    """The sentence says why, every line is carried on, and one can be taken off."""
    answer = client.get("/find?operation=subtract&where=banana&where=carry-dropped")
    assert answer.status_code == 422
    assert "not a trait" in answer.text
    assert {"banana", "carry-dropped"} <= carried(answer.text)
    assert 'href="/find?operation=subtract&amp;where=carry-dropped"' in answer.text


def test_a_line_of_another_operation_is_said_to_be_that_on_the_page(client: Client) -> None:
    """Changing the operation under a line loses nothing and leads to no bare refusal."""
    form = {
        "operation": "encode",
        "trait": ["", "carry-dropped", ""],
        "is": ["", "not", ""],
        "value": ["", "", ""],
    }
    answer = client.get("/find", params=form)
    assert answer.status_code == 422
    assert "not carry-dropped" in carried(answer.text)
    assert "Add a line" in answer.text


def test_a_question_is_found_by_its_number_and_counted_by_traits(client: Client) -> None:
    """As the command's --number and --table do."""
    found = cp.find("subtract", format="6+4", where=["align-shift = 2", "lost-ones = 1"])
    assert ", ".join(found[5].operands) in client.get(f"{REQUEST}&number=5").text
    assert client.get(f"{REQUEST}&number=99999999").status_code == 422
    page = client.get(f"{REQUEST}&table=carry-dropped&table=norm-shift").text
    for values, count in found.table("carry-dropped", "norm-shift").counts.items():
        cells = "".join(f"<td>{value}</td>" for value in values)
        assert f'<tr>{cells}<td class="num">{count:,}</td></tr>' in page


def test_lines_that_exclude_each_other_are_named_and_can_be_taken_off(client: Client) -> None:
    """Each with its sentence, its count alone, and the way without it; no bar is drawn for nothing."""
    page = client.get("/find?operation=subtract&where=equal-exponents&where=lost-ones+%3E%3D+1").text
    section = page[page.index('id="answer"') :]
    assert "the exponents are equal" in section
    assert section.count("Take off") == 2
    assert "width:0" not in page


def test_what_takes_long_is_counted_on_a_page_of_its_own(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It leads back to the request, which then has its answer."""
    go, begin = Event(), Searches.begin

    def later(self: Searches, asked: str, look: Callable[[Watch], Any]) -> Search:
        return begin(self, asked, lambda watch: look(watch) if go.wait(60) else None)

    monkeypatch.setattr(place, "PATIENCE", 0.0)
    monkeypatch.setattr(Searches, "begin", later)
    answer = client.get(
        "/find?operation=add&format=10%2B6&where=carry-dropped&where=lost-ones+%3D+1", follow_redirects=False
    )
    assert answer.headers["location"].startswith("/jobs/")
    go.set()
    monkeypatch.undo()
    done = client.done(client.get(answer.headers["location"]))
    assert "counted exactly" in done.text


def test_the_work_and_the_paper_keep_the_course(client: Client) -> None:
    """A course chosen in the address goes on with the questions."""
    client.submit("/courses/new", name="12 Heron", format="6+4")
    (course,) = set(re.findall(r'href="/courses/([\w-]{12})"', client.get("/courses").text))
    page = client.get(f"/find?operation=add&course={course}&where=carry-dropped&draw=1").text
    assert re.search(rf"/work\?operation=add&amp;operands=[^\"]*course={course}", page)
    assert f'name="course" value="{course}"' in page


def test_refused_variants_are_shown_again_where_they_were_entered(client: Client) -> None:
    """The sentence stands on the blueprint's page, with what was entered."""
    where = client.submit(
        "/set/new", blueprint='title = "Gauges"\n[[question]]\noperation = "decode"'
    ).url.path
    page = client.submit(f"{where}/set", variants="-1", seed="7")
    assert page.status_code == 422
    assert 'value="-1"' in page.text
    assert "What it asks" in page.text


def test_a_sentence_fills_the_lines_and_stays_as_typed(client: Client) -> None:
    """The conditions are the lines of the form; what else it could mean is a link; words not used are named."""
    page = client.get(
        "/find", params={"say": "A tidy 6+4 subtraction that loses a 1"}, follow_redirects=True
    ).text
    found = cp.find("subtract", format="6+4", where=["lost-ones >= 1"])
    assert "A tidy 6+4 subtraction that loses a 1</textarea>" in page
    assert carried(page) >= {"lost-ones"}
    assert f"{found.count:,}" in page
    assert "<b>Not used:</b> “tidy”" in page
    assert "where=lost-ones+%3D+1" in page


def test_other_families_are_asked_with_their_own_traits(client: Client) -> None:
    """Two rows of three bits: 28 of 64 pairs carry out of the first place; patterns whole, each field of them."""
    page = client.get("/find?operation=add&format=3&where=carry-out").text
    assert 'class="count">28</b>' in page
    assert 'value="carry-chain"' in page
    assert 'value="exposes:carry-kept"' in page
    assert 'value="lost-ones"' not in page
    page = client.get("/find?operation=decode&format=1%2B2%2B1&draw=16").text
    assert '<code class="pattern">1 11 1</code>' in page
    assert "not a number" in page
    page = client.get("/find?operation=add&format=1%2B2%2B1&where=absorbed").text
    assert "has no value" not in page
    page = client.get("/find?operation=add&format=Q2.1&where=carry-out&draw=1").text
    assert re.search(r'<code class="pattern">[01]{2}\.[01]</code>', page)
