"""A class's term on one page: what was taught, set and marked, what it shows, and a next lesson to decide on."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.reteaching import Reteaching, reteach_anywhere
from chalkpoint.marking.term import Event, Marked, Need, Term, term_of
from chalkpoint.publishing.classes.plots import square
from chalkpoint.publishing.classes.rails import rail_pair
from chalkpoint.records import kept, marks, pupils, taught
from chalkpoint.records.kept import Kept
from chalkpoint.web.changed import line_of
from chalkpoint.web.pagerequest import PageRequest, teacher_page
from chalkpoint.web.places.marking.papers import summed_up
from chalkpoint.web.showing import show
from chalkpoint.working.beliefs.belief import Belief
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import course_from
from chalkpoint.working.wording.heading import heading

__all__ = ["ROUTES", "term_kept"]


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A next lesson: the need, the belief behind it, its questions, and when it was last taught."""

    need: Need
    belief: Belief | None
    again: Reteaching | None
    last_taught: str
    papers: Kept


def term_page(request: PageRequest) -> Response:
    """Show a class's term."""
    with request.app.store.read() as db:
        one = kept.one(db, request.teacher, "class", request.path["id"])
    term, papers = term_kept(request, one)
    return show(
        request,
        "term.html.jinja",
        one=one,
        term=term,
        suggestions=list(_suggestions(term, papers)),
        sentence=heading,
        line=line_of,
        rails=rail_pair,
        square=square,
        beliefs=_beliefs(term),
        today=_today(),
    )


def term_kept(request: PageRequest, one: Kept) -> tuple[Term, list[Kept]]:
    """Return the term of a class from what is kept, and the papers it was set, oldest first."""
    with request.app.store.read() as db:
        lessons = [Event(on, lesson.title) for on, lesson in taught.taught_to(db, request.teacher, one.id)]
        papers = pupils.papers_of(db, request.teacher, one.id)
        runs = [(each, marks.latest(db, request.teacher, each.id)) for each in papers]
    marked = [
        Marked(_day(run.created), each.title, summed_up(request, each, run).all) for each, run in runs if run
    ]
    return term_of(
        lessons, [Event(_day(each.created), each.title) for each in papers], marked, today=_today()
    ), papers


def _day(moment: str) -> date:
    return date.fromisoformat(moment[:10])


def _today() -> date:
    return datetime.now(UTC).date()


def _beliefs(term: Term) -> list[tuple[Belief, list[int]]]:
    """Return every belief that was named, those of most pupils first, and how many held it in each week."""
    held = {name for week in term.weeks for name in week.beliefs}
    rows = [(BELIEFS[name], [week.beliefs[name] for week in term.weeks]) for name in held]
    return sorted(rows, key=lambda row: (-max(row[1]), row[0].id))


def _suggestions(term: Term, papers: list[Kept]) -> Iterator[Suggestion]:
    for need in term.needs:
        sat = next(each for each in reversed(papers) if each.title == need.paper)
        belief = BELIEFS.get(need.belief)
        course = course_from(json.loads(sat.body).get("course", {}))
        again = reteach_anywhere(belief.id, course) if belief else None
        yield Suggestion(need, belief, again, _last_taught(term, need.skill), sat)


def _last_taught(term: Term, skill: str) -> str:
    """Return the title and week of the last lesson whose title speaks of the skill; "" where none does."""
    for week in reversed(term.weeks):
        for title in week.taught:
            if skill in title.lower():
                return f"{title}, week of {week.monday.isoformat()}"
    return ""


ROUTES = [Route("/mark/classes/{id}/term", teacher_page(term_page))]
