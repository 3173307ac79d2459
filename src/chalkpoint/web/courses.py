"""Which course a page works under: the one in its address, else the one chosen last, else the usual one."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING

from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.records import kept
from chalkpoint.working.course import Course, course_from

if TYPE_CHECKING:
    from chalkpoint.web.asking import Asking

__all__ = ["course_asked", "course_in", "courses_of"]

COURSE = "course"  # the name of the form's entry, and of what the browser keeps
USUAL = "usual"  # the course of one who has none


def course_asked(asking: Asking, *, quietly: bool = False) -> Course:
    """Return the course of the page.

    quietly  take the usual one where the one asked for is not kept, as the head of a page does
    """
    chosen = asking.form.text(COURSE) or asking.request.cookies.get(COURSE, USUAL)
    if chosen == USUAL or asking.who is None:
        return Course()
    try:
        with asking.house.store.read() as db:
            return course_in(kept.one(db, asking.teacher, "course", chosen).body)
    except ChalkpointError:
        if quietly or not asking.form.text(COURSE):  # a course that was deleted is chosen no longer
            return Course()
        raise


def course_in(text: str) -> Course:
    """Return the course that *text*, in TOML, describes.

    >>> course_in('format = "6+4"').format
    '6+4'
    """
    try:
        return course_from(tomllib.loads(text))
    except tomllib.TOMLDecodeError as reason:
        raise EntryError(
            f'the course is not TOML ({reason}); it has lines such as format = "8+4"'
        ) from reason


def courses_of(asking: Asking) -> list[tuple[str, str]]:
    """Return (id, title) of each course of the teacher, the usual one first."""
    usual = Course()
    if asking.who is None:
        return [(USUAL, usual.format)]
    with asking.house.store.read() as db:
        mine = kept.all_of(db, asking.teacher, "course")
        return [(USUAL, f"usual, {usual.format}"), *((one.id, one.title) for one in mine)]
