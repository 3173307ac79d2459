"""A term, expected by hand: what was lost in which week, what is to be taught again, and when nothing is said."""

from __future__ import annotations

from datetime import date

from chalkpoint.marking.students import Entry
from chalkpoint.marking.summary import Summary
from chalkpoint.marking.term import Event, Marked, term_of
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.setter import set_papers

PLAN = parse_blueprint(
    'title = "Levels"\n[course]\nformat = "8+4"\n[[question]]\noperation = "subtract"\nwhere = ["align-shift = 2"]\n'
)
PAPERS = papers_from(set_papers(PLAN, variants=1, seed=1).to_dict())
TODAY = date(2026, 11, 12)  # a Thursday


def entry(student: str, *, negated: bool, belief: str = "", written: bool = True) -> Entry:
    """Return a pupil's marks of one question of two points: negate, worth 1, and the answer, worth 3."""
    named = {
        "misconception": belief,
        "among": [belief],
        "named": True,
        "shown_on": [1],
        "could_show_on": [1],
    }
    status = ("right" if negated else "off") if written else "absent"
    points: list[dict[str, object]] = [
        {"skill": "negate", "status": status, "marks": int(negated), "of": 1},
        {"skill": "normalise", "status": "right" if negated else "off", "marks": 3 * negated, "of": 3},
    ]
    common: dict[str, object] = {
        "rule": "answer",
        "name": "answer",
        "for_teacher": False,
        "written": "0",
        "expects": "1",
    }
    return {
        "student": student,
        "variant": 1,
        "absent": False,
        "marks": 4 * negated,
        "of": 4,
        "methods": {},
        "beliefs": [named] if belief else [],
        "troubles": [],
        "next_questions": [],
        "questions": [
            {
                "question": 1,
                "operation": "subtract",
                "marks": 4 * negated,
                "of": 4,
                "answer": "0.1000000 0001",
                "points": [{**common, **point} for point in points],
            }
        ],
    }


def marked(on: date, title: str, entries: list[Entry]) -> Marked:
    """Return a paper marked, its class summed up."""
    summary = Summary(PAPERS)
    for one in entries:
        summary.add(one)
    return Marked(on, title, summary)


def test_a_skill_is_followed_from_week_to_week_and_taught_again_where_a_quarter_is_lost() -> None:
    """Six pupils: three of six lose negate's mark on 3 November, two on 10 November, and share a belief."""
    first = [entry(f"H{n}", negated=n > 3) for n in range(1, 7)]
    second = [entry(f"H{n}", negated=n > 2, belief="invert-only" if n < 3 else "") for n in range(1, 7)]

    term = term_of(
        [Event(date(2026, 11, 2), "Negate")],
        [Event(date(2026, 11, 3), "One"), Event(date(2026, 11, 9), "Two")],
        [marked(date(2026, 11, 3), "One", first), marked(date(2026, 11, 10), "Two", second)],
        today=TODAY,
    )

    assert [str(week.monday) for week in term.weeks] == ["2026-11-02", "2026-11-09"]
    assert [(week.taught, week.set, week.pupils) for week in term.weeks] == [
        (["Negate"], ["One"], 6),
        ([], ["Two"], 6),
    ]
    assert [week.skills["negate"].percent for week in term.weeks] == [50, 33]
    assert term.weeks[1].beliefs == {"invert-only": 2}
    assert term.state("negate") == "teach again"
    negate = next(need for need in term.needs if need.skill == "negate")
    assert (negate.before, negate.belief, negate.holders, negate.paper) == (50, "invert-only", 2, "Two")


def test_a_line_that_was_not_written_is_no_evidence() -> None:
    """Wrong answers alone say nothing of negating."""
    term = term_of(
        [],
        [],
        [marked(TODAY, "One", [entry(f"H{n}", negated=False, written=False) for n in range(6)])],
        today=TODAY,
    )
    assert term.skills == ("normalise",)


def test_few_pupils_are_shown_and_make_no_suggestion() -> None:
    """Four pupils who lose everything."""
    term = term_of(
        [], [], [marked(TODAY, "One", [entry(f"H{n}", negated=False) for n in range(4)])], today=TODAY
    )
    assert term.weeks[0].skills["negate"].percent == 100
    assert term.state("negate") == "too few to say"
    assert term.needs == ()


def test_a_belief_that_could_have_shown_itself_and_did_not_is_gone() -> None:
    """Six hold it in one week and nobody in the next."""
    held = [entry(f"H{n}", negated=False, belief="invert-only") for n in range(6)]
    better = [entry(f"H{n}", negated=True) for n in range(6)]
    term = term_of(
        [],
        [],
        [marked(date(2026, 11, 3), "One", held), marked(date(2026, 11, 10), "Two", better)],
        today=TODAY,
    )
    assert term.needs == ()
    assert term.state("negate") == "steady"


def test_a_long_term_is_cut_to_its_last_twelve_weeks() -> None:
    """An event of twenty weeks ago is not in the table."""
    term = term_of([Event(date(2026, 6, 25), "Long ago")], [], [], today=TODAY)
    assert len(term.weeks) == 12
    assert all(week.taught == [] for week in term.weeks)
