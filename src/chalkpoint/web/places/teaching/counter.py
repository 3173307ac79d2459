"""A belief's counter-example: what it writes beside what is right, and a question to ask the whole class."""

from __future__ import annotations

import json

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.reteaching import reteach_anywhere
from chalkpoint.marking.saying import EVIDENCE
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.families import FLOATING
from chalkpoint.publishing.classes.rails import rail_pair
from chalkpoint.records import kept
from chalkpoint.web.changed import line_of
from chalkpoint.web.courses import course_asked
from chalkpoint.web.lessons import lesson_of_questions
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.showing import show
from chalkpoint.working.beliefs.belief import ADDING, Belief
from chalkpoint.working.beliefs.catalogue import BELIEFS, GROUPS
from chalkpoint.working.course import Course, course_from
from chalkpoint.working.question import Question
from chalkpoint.working.wording.heading import heading

__all__ = ["ROUTES"]


def counter_page(request: PageRequest) -> Response:
    """Show a belief's counter-example and a hinge question; and every belief, where none is asked for."""
    if not request.form.text("belief"):
        return show(request, "beliefs.html.jinja", groups=GROUPS)
    belief, course = _belief(request), _course(request)
    again = reteach_anywhere(belief.id, course)
    return show(
        request,
        "counter.html.jinja",
        belief=belief,
        evidence=EVIDENCE[belief.evidence],
        again=again,
        example=_words(again.example, again.part) if again else "",
        hinge=_words(again.hinge, again.part) if again else "",
        line=line_of(again.example) if again else "",
        rails=rail_pair,
        query={"belief": belief.id, "format": course.format, "papers": request.form.text("papers")},
    )


def _words(question: Question, part: str) -> str:
    return f"{heading(question)}, {part}" if part else heading(question)


def _belief(request: PageRequest) -> Belief:
    name = request.form.text("belief")
    if name not in BELIEFS:
        raise EntryError(f"{name!r} is not a belief of the catalogue; {near_misses(name, BELIEFS)}")
    return BELIEFS[name]


def _course(request: PageRequest) -> Course:
    """Return the course of the papers the belief was seen on, or the page's."""
    if request.form.text("papers"):
        with request.app.store.read() as db:
            papers = kept.one(db, request.teacher, "papers", request.form.text("papers"))
        return course_from(json.loads(papers.body).get("course", {}))
    return course_asked(request).with_(format=request.form.text("format") or None)


def keep_lesson(request: PageRequest) -> Response:
    """Keep a lesson about a belief: its counter-example worked, then both workings until they part, then a hinge."""
    belief, course = _belief(request), _course(request)
    again = reteach_anywhere(belief.id, course)
    if again is None:
        raise EntryError(f"no question of {course.format} shows {belief.id!r}; choose another format")
    parts = [{"kind": "worked", "question": line_of(again.example)}]
    floating = course.number_format.family == FLOATING
    if floating and again.example.operation.name in ADDING:
        parts.append({"kind": "split", "question": line_of(again.example), "belief": belief.id})
    if floating and again.hinge.operation.name in ADDING:
        parts.append({"kind": "hinge", "question": line_of(again.hinge)})
    text = lesson_of_questions(
        f"A second look: {heading(again.example)}"[: kept.LONGEST_TITLE], course, parts
    )
    with request.app.store.write() as db:
        made = kept.keep(db, request.teacher, "lesson", "A second look", text)
    return see(f"/teach/lessons/{made.id}")


ROUTES = [
    Route("/teach/counter", teacher_page(counter_page)),
    Route("/teach/counter", teacher_page(keep_lesson), methods=["POST"]),
]
