"""The map of skills is of what was shown: other marks, given or not, change nothing that is said of a skill."""

import re
import tomllib
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from chalkpoint.marking.answers import Script
from chalkpoint.marking.classes import mark_scripts
from chalkpoint.marking.feedback import _skills
from chalkpoint.marking.students import shows_skill
from chalkpoint.marking.summary import Summary
from chalkpoint.marking.term import _shares
from chalkpoint.publishing.classes.pages import class_page, monday
from heron import papers_of

TABLE = tomllib.loads((Path(__file__).parent / "heron" / "class.toml").read_text(encoding="utf-8"))[
    "question"
]
PAPERS = papers_of(*[tuple(entry["ask"]) for entry in TABLE])
LINES = {"marks", "lenient", "messy", "why"}


def written(pupil: str) -> dict[int, dict[str, str]]:
    """Return what a pupil of class 12 Heron wrote, by question; who is not listed wrote what the key says."""
    return {
        number: {line: text for line, text in entry.get(pupil, entry["key"]).items() if line not in LINES}
        for number, entry in enumerate(TABLE, start=1)
    }


@pytest.fixture(scope="module")
def entries() -> list[dict[str, Any]]:
    """The class marked, half of its beliefs left out so that Monday's list is of skills too."""
    pupils = [Script(f"H{at:02}", 1, written(f"H{at:02}")) for at in range(1, 29)]
    return [{**entry, "beliefs": []} for entry in mark_scripts(PAPERS, pupils)]


def summed(entries: list[dict[str, Any]]) -> Summary:
    """Return the class summed up."""
    summary = Summary(PAPERS)
    for entry in entries:
        summary.add(entry)
    return summary


def altered(entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return *entries*, every mark that is implied, waits or follows through given where it was not, and taken."""
    found = deepcopy(entries)
    for entry in found:
        for question in entry["questions"]:
            for point in question["points"]:
                if point["status"] in {"implied", "follow-through", "absent"} or point["for_teacher"]:
                    point["marks"] = 0 if point["marks"] else point["of"]
    return found


def said_of_skills(summary: Summary) -> list[object]:
    """Return what is said of skills to the teacher: the map, its shares, Monday's list, the term, and the page."""
    page = class_page(summary)
    (section,) = re.findall(r'<section aria-labelledby="skills">.*?<tr class="all">', page, re.DOTALL)
    return [
        [
            (name, {skill: lost for skill, lost in wrong.items() if lost})
            for name, _, wrong, _ in summary.rows
        ],
        summary.unseen,
        summary.shown,
        +summary.shown_lost,
        monday(summary),
        _shares(summary),
        section,
    ]


def test_only_what_was_shown_says_anything_of_a_skill(entries: list[dict[str, Any]]) -> None:
    """An implied mark, one that waits and one that follows through count neither for a skill nor against it."""
    others = altered(entries)
    changed = sum(one != other for one, other in zip(entries, others, strict=True))

    assert changed > 20
    for one, other in zip(said_of_skills(summed(entries)), said_of_skills(summed(others)), strict=True):
        assert one == other


def test_nor_to_the_pupil(entries: list[dict[str, Any]]) -> None:
    """The words on what was good name the same skills."""
    asked = PAPERS.first.questions
    for one, other in zip(entries, altered(entries), strict=True):
        said = [list(_skills(list(zip(asked, entry["questions"], strict=True)))) for entry in (one, other)]
        assert said[0] == said[1]


def test_each_kind_is_among_them(entries: list[dict[str, Any]]) -> None:
    """The class has marks of each kind, shown ones too, so that the test above can fail."""
    points = [point for entry in entries for question in entry["questions"] for point in question["points"]]
    kinds = {point["status"] for point in points if not point["for_teacher"]}

    assert {"right", "off", "implied", "follow-through", "absent", "recovered", "misconception"} <= kinds
    assert any(point["for_teacher"] for point in points)
    assert any(map(shows_skill, points))
