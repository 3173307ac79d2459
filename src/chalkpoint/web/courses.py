"""Which course a page works under: the one in its address, else the one chosen last, else the usual one."""

from __future__ import annotations

import json
import tomllib

from chalkpoint.numbers.datafiles import JsonMapping, JsonObject, load_json, load_toml
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.records import kept
from chalkpoint.setting.alike import course_table
from chalkpoint.web.pagerequest import PageRequest
from chalkpoint.working.course import Course, course_from

__all__ = ["course_asked", "course_in", "courses_of", "own_course", "own_or_asked"]

COURSE = "course"  # the name of the form's entry, and of what the browser keeps
USUAL = "usual"  # the course of one who has none


def course_asked(request: PageRequest, *, quietly: bool = False) -> Course:
    """Return the course of the page.

    quietly  take the usual one where the one asked for is not kept, as the head of a page does
    """
    chosen = request.form.text(COURSE) or request.cookie(COURSE) or USUAL
    if chosen == USUAL or request.who is None:
        return Course()
    try:
        with request.app.store.read() as db:
            return course_in(kept.one(db, request.teacher, "course", chosen).body)
    except ChalkpointError:
        if quietly or not request.form.text(COURSE):  # a course that was deleted is chosen no longer
            return Course()
        raise


def course_in(text: str) -> Course:
    """Return the course that *text*, in TOML, describes.

    >>> course_in('format = "6+4"').format
    '6+4'
    """
    try:
        return course_from(load_toml(text))
    except tomllib.TOMLDecodeError as reason:
        raise EntryError(
            f'the course is not TOML ({reason}); it has lines such as format = "8+4"'
        ) from reason


def courses_of(request: PageRequest) -> list[tuple[str, str]]:
    """Return (id, title) of each course of the teacher, the usual one first."""
    usual = Course()
    if request.who is None:
        return [(USUAL, usual.format)]
    with request.app.store.read() as db:
        mine = kept.all_of(db, request.teacher, "course")
        return [(USUAL, f"usual, {usual.format}"), *((one.id, one.title) for one in mine)]


#: A blueprint or a lesson has conventions of its own until another course is chosen for it.
OWN = "own"


def own_or_asked(request: PageRequest) -> JsonObject:
    """Return the conventions that a form chose: the thing's own, which the form carries, or a course's."""
    if request.form.text(COURSE) != OWN:
        return course_table(course_asked(request))
    try:
        own = load_json(request.form.text("own-course", "{}"))
    except json.JSONDecodeError:
        own = None
    return own if isinstance(own, dict) else {}


def own_course(request: PageRequest, table: JsonMapping) -> tuple[str, list[tuple[str, str]]]:
    """Return what a form carries of the conventions in *table*, and the courses to choose from, the own first."""
    own, courses = table.get("course"), courses_of(request)
    if not isinstance(own, dict):
        return "", courses
    shown = ", ".join(str(own[key]) for key in ("name", "format") if key in own) or "its own"
    return json.dumps(own, ensure_ascii=False), [(OWN, shown), *courses]
