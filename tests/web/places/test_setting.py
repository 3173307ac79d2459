"""Setting in the browser: thirty like one found, conditions picked by their counts, a preview to click on."""

import re
import shutil
from pathlib import Path
from time import monotonic, sleep

import html5lib

from chalkpoint.finding.find import find
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.setter import set_papers
from conftest_web import Client, words

TWO = """title = "Levels"

[course]
format = "8+4"

[[question]]
operation = "decode"

[[question]]
operation = "subtract"
where = ["align-shift = 2", "exact-result"]
count = 2
"""
PATIENCE = 30  # seconds


def settled(client: Client, path: str) -> str:
    """Return a page once nothing on it is waited for."""
    until = monotonic() + PATIENCE
    while "data-waiting" in (page := client.get(path).text) and monotonic() < until:
        sleep(0.1)
    return page


def kept_text(client: Client, path: str) -> str:
    """Return the blueprint that is kept, as its page shows it as text."""
    page = client.get(f"{path}?as=text").text
    found = re.search(r"<textarea[^>]*>(.*?)</textarea>", page, re.DOTALL)
    assert found
    return found[1].replace("&#34;", '"').replace("&gt;", ">").replace("&lt;", "<")


def form_of(page: str) -> dict[str, list[str]]:
    """Return what a blueprint's form would send as it stands: its entries, without any button's."""
    form = html5lib.parse(page, namespaceHTMLElements=False).find(".//form[@id='blueprint-form']")
    entries: dict[str, list[str]] = {}
    for one in form.iter():
        kind, name = one.get("type", ""), one.get("name", "")
        if one.tag not in {"input", "select"} or name in {"", "token"}:
            continue
        if kind == "checkbox" and "checked" not in one.attrib:
            continue
        value = one.get("value", "")
        if one.tag == "select":
            options = list(one.iter("option"))
            chosen = next((option for option in options if "selected" in option.attrib), options[0])
            value = chosen.get("value", chosen.text or "")
        entries.setdefault(name, []).append(value)
    return entries


def test_thirty_like_one_that_was_found_keep_its_conditions(client: Client) -> None:
    """The request's own conditions stand first, and there are thirty questions that meet every line."""
    where = ["lost-ones = 1", "sign-pattern = ++"]
    page = client.get("/find", params={"operation": "subtract", "where": where, "format": "8+4"}).text
    line = re.search(r'name="question" value="(subtract [^"]+)">30 like this', page)
    assert line
    made = client.submit("/set/like", question=line[1], where=where, format="8+4").url.path
    plan = parse_blueprint(kept_text(client, made))
    (asked,) = plan.questions

    assert asked.where[:2] == tuple(where)
    assert find("subtract", format="8+4", where=asked.where).count >= 30
    assert 'name="variants" type="text" value="30"' in client.get(made).text
    assert set_papers(plan, variants=2, seed=1).papers[0].questions[0].question.operation.name == "subtract"


def test_lines_have_counts_and_the_picker_says_what_each_would_leave(client: Client) -> None:
    """The counts are the finder's, with the lines above; a line is added and taken off by a button alone."""
    path = client.submit("/set/new", blueprint=TWO).url.path
    above = find("subtract", format="8+4", where=["align-shift = 2"]).count
    both = find("subtract", format="8+4", where=["align-shift = 2", "exact-result"]).count
    third = find("subtract", format="8+4", where=["align-shift = 2", "exact-result", "carry-dropped"]).count
    said = words(settled(client, path))
    assert f"{above:,}" in said
    assert f"{both:,}" in said

    shown = client.submit(path, **form_of(client.get(path).text) | {"say-1": "carry leaves", "do": "show:1"})
    options = settled(client, f"{path}?ask=1&say=carry+leaves")
    assert shown.status_code == 200
    assert 'value="add:1:carry-dropped"' in options
    assert f"{third:,}" in words(options)

    client.submit(path, **form_of(client.get(path).text), do="add:1:carry-dropped")
    assert parse_blueprint(kept_text(client, path)).questions[1].where[-1] == "carry-dropped"
    client.submit(path, **form_of(client.get(path).text), do="off:1:0")
    assert parse_blueprint(kept_text(client, path)).questions[1].where == ("exact-result", "carry-dropped")


def test_lines_of_another_format_are_known_and_counted_there(client: Client) -> None:
    """Sums of two numbers below 16 that reach 16 carry around: by hand 15 + 14 + ... + 1, which is 120."""
    text = 'title = "G"\n[course]\nformat = "4 ones-complement"\n[[question]]\noperation = "add"\n'
    path = client.submit(
        "/set/new", blueprint=text + 'where = ["end-around-carry", "not overflow"]\n'
    ).url.path
    page = settled(client, path)
    assert "not asked" not in words(page)
    assert " 120 " in words(page)
    assert '<option value="end-around-carry">' in page


def test_a_question_is_swapped_and_the_others_stay(client: Client, tmp_path: Path) -> None:
    """One of two of a kind gets other numbers, more room and more to do; the last click is put back."""
    path = client.submit("/set/new", blueprint=TWO, variants="2").url.path
    page = settled(client, f"{path}?question=3")
    assert "<b>1 side</b>" in page or "<b>2 sides</b>" in page
    before = set_papers(parse_blueprint(TWO), variants=2, seed=1)
    picture = re.search(r'<img src="([^"]+)"', page)[1].replace("&amp;", "&")  # type: ignore[index]
    assert client.get(picture).content.startswith(b"\x89PNG")
    shutil.rmtree(tmp_path / "made" / ".previews")  # pushed out by others; the page is still open
    assert client.get(picture).content.startswith(b"\x89PNG")

    for do in ("swap:3", "harder:3", "more room:3", "easier:2"):
        client.submit(path, **form_of(client.get(path).text), do=do)
    assert parse_blueprint(kept_text(client, path)).questions[1].demand == "easier"
    client.submit(path, **form_of(client.get(path).text), do="put back")
    plan = parse_blueprint(kept_text(client, path))
    assert [(one.count, one.draw, one.demand, one.room) for one in plan.questions] == [
        (1, 1, "usual", 0),
        (1, 1, "usual", 0),
        (1, 2, "harder", 1),
    ]
    after = set_papers(plan, variants=2, seed=1)
    for old, new in zip(before, after, strict=True):
        operands = [[item.question.operands for item in paper.questions] for paper in (old, new)]
        assert operands[0][:2] == operands[1][:2]
        assert operands[0][2] != operands[1][2]


def test_a_form_shows_only_what_its_operations_need(client: Client) -> None:
    """No field of a conversion, an explanation or a sum where there is none."""
    page = client.get(client.submit("/set/new", blueprint=TWO).url.path).text
    for key in ("to", "about", "terms"):
        assert f'id="q0-{key}"' not in page
    other = client.submit(
        "/set/new", blueprint='title = "C"\n[[question]]\noperation = "convert"\nto = "binary16"'
    ).url.path
    assert 'id="q0-to"' in client.get(other).text
