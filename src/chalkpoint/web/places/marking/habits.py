"""What is ruled on a manner of writing, remembered with the teacher's course that the papers were set by."""

from __future__ import annotations

from chalkpoint.marking.groups import forgotten, is_manner, remembered
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.numbers.writingtoml import write_toml
from chalkpoint.records import kept, overrides
from chalkpoint.records.kept import Kept
from chalkpoint.records.store import Transaction
from chalkpoint.setting.alike import course_table
from chalkpoint.web.courses import course_in
from chalkpoint.web.pagerequest import PageRequest
from chalkpoint.working.course import Course

__all__ = ["remember", "undo_all"]


def remember(
    request: PageRequest, db: Transaction, one: Kept, group: str, *, taken: bool | None
) -> list[str]:
    """Keep with the course that a manner is *taken*, or refused, from now on; None forgets it.

    Returns the titles of the teacher's courses that are the papers' own, but for such habits.
    """
    if not is_manner(group):
        return []
    own, titles = _without_habits(request.app.markers.papers(one.body).course), []
    for each in kept.all_of(db, request.teacher, "course"):
        try:
            course = course_in(each.body)
        except ChalkpointError:
            continue
        if _without_habits(course) == own:
            changed = forgotten(course, group) if taken is None else remembered(course, group, taken=taken)
            kept.change(db, request.teacher, "course", each.id, body=write_toml(course_table(changed)))
            titles.append(each.title)
    return titles


def _without_habits(course: Course) -> Course:
    return course.with_(takes=(), refuses=(), name="")


def undo_all(request: PageRequest, one: Kept) -> None:
    """Take back what was decided at the moment that the form names; of a ruling the course forgets it too."""
    with request.app.store.write() as db:
        for gone in overrides.undo(db, request.teacher, one.id, request.form.text("at")):
            if gone.is_ruling:
                remember(request, db, one, gone.group, taken=None)
