"""The teacher played on class 12 Heron, 28 pupils and ten questions, messy: how many keys, and how many decisions."""

import tomllib
from pathlib import Path

import pytest

from chalkpoint.marking.answers import Script
from chalkpoint.marking.entering import places_of
from chalkpoint.marking.overrides import Decision
from chalkpoint.marking.students import Entry, Marker
from chalkpoint.marking.table import AnswerRow, Tables, rulings_on
from chalkpoint.setting.papers import Papers
from heron import papers_of
from pressed_keys import keys_pressed

TABLE = tomllib.loads((Path(__file__).parent / "heron" / "class.toml").read_text(encoding="utf-8"))[
    "question"
]
PUPILS = [f"H{number:02}" for number in range(1, 29)]
NOT_WRITTEN = {"marks", "lenient", "messy", "why"}
MOST_KEYS, MOST_DECISIONS = 1900, 15


@pytest.fixture(scope="module")
def papers() -> Papers:
    """The ten questions."""
    return papers_of(*(tuple(entry["ask"]) for entry in TABLE))


def scripts() -> list[Script]:
    """Return what each pupil wrote; who is not listed under a question wrote what its key says."""
    found = [Script(pupil, 1) for pupil in PUPILS]
    for number, entry in enumerate(TABLE, start=1):
        for script in found:
            lines = entry.get(script.student, entry["key"])
            written = {line: text for line, text in lines.items() if line not in NOT_WRITTEN}
            if written:
                script.written[number] = written
    return found


def test_final_answers_take_few_keys(papers: Papers) -> None:
    """Codes come from the class list: a key to begin a script and a key to leave it; each answer as it is written."""
    keys = 2 * len(PUPILS)
    for asked in papers.first.questions:
        places = places_of(asked)
        for at, place in enumerate(places):
            earlier: list[str] = []
            for script in scripts():
                lines = script.written.get(asked.number, {})
                whole = lines.get("answer", "").split(";")
                in_answer = whole[at].strip() if len(places) > 1 and len(whole) == len(places) else ""
                written = lines.get(place.line, in_answer)
                pressed = keys_pressed(place, written, earlier)
                keys += pressed
                if pressed > 1:
                    earlier = [written, *(other for other in earlier if other != written)]
    assert keys <= MOST_KEYS, keys


def test_few_decisions_finish_the_marks(papers: Papers) -> None:
    """One ruling on a row takes all that waits for the same reason in the paper; at the end nothing waits."""
    marker, decisions = Marker(papers), 0
    strict = {entry["student"]: entry["marks"] for entry in map(marker.entry, scripts())}
    while tables := _waiting(papers, marker):
        row = tables[0]
        alike = [other for other in tables if other[1].group == row[1].group]
        for number, other in alike:
            ruling = rulings_on(other)[0]
            for pupil in other.pupils:
                for point, marks in ruling.marks.items():
                    marker.decisions = {**marker.decisions, (pupil, number, point): _decision(marks)}
        decisions += 1
        assert decisions <= MOST_DECISIONS
    lenient = {entry["student"]: entry["marks"] for entry in map(marker.entry, scripts())}
    assert all(lenient[pupil] >= strict[pupil] for pupil in PUPILS)
    assert sum(lenient.values()) > sum(strict.values())


def _waiting(papers: Papers, marker: Marker) -> list[tuple[int, AnswerRow]]:
    entries: list[Entry] = [marker.entry(script) for script in scripts()]
    tables = Tables.of(papers, entries)
    return [(number, row) for number, table in tables.questions.items() for row in table.waiting]


def _decision(marks: int) -> Decision:
    return Decision(marks, "accepted")
