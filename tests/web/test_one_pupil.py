"""A pupil's rights by the browser: all of one carried away, or erased; codes that look like names are questioned."""

from __future__ import annotations

import json

from conftest_web import Client

BLUEPRINT = """\
title = "Gauge readings"

[course]
format = "6+4"

[[question]]
operation = "subtract"
operands = ["6.5", "1.25"]
"""


def class_and_papers(client: Client) -> tuple[str, str]:
    """Return the addresses of a class of two, and of the papers it sat, which are marked."""
    blueprint = client.submit("/set/new", blueprint=BLUEPRINT).url.path
    papers = client.done(client.submit(f"{blueprint}/set", variants="1")).url.path.replace("/set/", "/mark/")
    group = client.submit("/mark/classes/new", title="12 Heron", codes="HQ7, HQ8").url.path
    client.submit(f"{papers}/class", **{"class": group.rsplit("/", 1)[1]})
    client.submit(f"{papers}/answers", pasted="student,1\nHQ7,010100 0011\nHQ8,010101 0011")
    return group, papers


def test_a_pupil_is_carried_away_and_erased_by_the_browser(client: Client) -> None:
    """The file holds the line written; erased only once it is said to be meant, with what backups hold."""
    group, papers = class_and_papers(client)
    assert "HQ7" in client.done(client.get(f"{papers}/report/class.html")).text
    sent = client.get(f"{group}/all-of/HQ7")
    assert sent.headers["content-disposition"] == 'attachment; filename="HQ7.json"'
    assert json.loads(sent.text)["papers"][0]["script"]["lines"][0]["written"] == "010100 0011"
    asked = client.submit(f"{group}/erase/HQ7")
    assert "Nothing was erased yet" in asked.text
    assert "Backups made before today" in asked.text
    assert "HQ7" in client.said(papers)
    client.submit(f"{group}/erase/HQ7", sure="yes")
    for page in (papers, group, f"{papers}/report/class.html"):
        shown = client.done(client.get(page)).text
        assert "HQ7" not in shown, page
        assert "HQ8" in shown, page


def test_codes_that_look_like_names_are_questioned(client: Client) -> None:
    """They are taken once it is said that they are none; codes with digits are not asked about."""
    asked = client.submit("/mark/classes/new", title="12 Heron", codes="Marlow, j.briggs, H03")
    assert asked.status_code == 422
    assert "Marlow, j.briggs may be a name" in asked.text
    assert 'name="no-names"' in asked.text
    taken = client.submit(
        "/mark/classes/new", title="12 Heron", codes="Marlow, j.briggs, H03", **{"no-names": "yes"}
    )
    assert taken.url.path.startswith("/mark/classes/")
    assert client.submit("/mark/classes/new", title="12 Dune", codes="D01 D02 ABC").status_code == 200


def test_how_long_pupils_answers_are_kept_is_said_and_changed(client: Client) -> None:
    """Two years by default; a number that is none of days is refused in a sentence."""
    assert "is kept for 760 days" in client.said("/kept")
    client.submit("/kept/days", days="400")
    assert "is kept for 400 days" in client.said("/kept")
    refused = client.submit("/kept/days", days="5")
    assert (refused.status_code, "give from 90" in refused.text) == (422, True)
    client.submit("/kept/days", days="0")
    assert "is kept until you delete it" in client.said("/kept")
