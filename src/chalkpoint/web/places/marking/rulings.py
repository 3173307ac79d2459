"""One ruling for a class on answers alike in what is doubtful: it holds for late scripts too, and can be undone."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.groups import Group
from chalkpoint.marking.overrides import Ruling
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.records import marks, overrides
from chalkpoint.records.ids import now
from chalkpoint.records.kept import Kept, NotKept
from chalkpoint.web.pagerequest import PageRequest, teacher_page
from chalkpoint.web.places.marking.answers import mark_again
from chalkpoint.web.places.marking.habits import remember, undo_all
from chalkpoint.web.places.marking.papers import home, is_current, papers_asked, shown_again, summed_up

__all__ = ["ROUTES"]

DECISIONS = "#decisions"  # where the page of the papers lists them


def rule(request: PageRequest) -> Response:
    """Write down a ruling on the group, and mark again; what is ruled on a manner is remembered with the course."""
    one, at = papers_asked(request), now()
    try:
        taken = request.form.one_of("ruling", ("accept", "stand")) == "accept"
        group = _group_shown(request, one)
        before = f"{group.name}, of {', '.join(group.pupils)}"
        with request.app.store.write() as db:
            overrides.rule(db, request.teacher, one.id, group.name, Ruling(taken), before=before, at=at)
            remember(request, db, one, group.name, taken=taken)
    except NotKept:
        raise
    except ChalkpointError as reason:
        return shown_again(request, one, unruled=str(reason))
    return mark_again(request, one, to=home(one, ruled=at) + DECISIONS)


def _group_shown(request: PageRequest, one: Kept) -> Group:
    """Return the group that the teacher saw.

    Raises EntryError where it may be another by now.
    """
    name = request.form.text("group")
    with request.app.store.read() as db:
        run = marks.latest(db, request.teacher, one.id)
        seen = run and run.id == request.form.text("run") and is_current(db, request.teacher, one.id, run)
    found = (
        [group for group in summed_up(request, one, run).groups if group.name == name] if run and seen else []
    )
    if not found:
        raise EntryError(
            f"nothing was decided on \u201c{name}\u201d, since answers or marks have changed meanwhile. "
            "Look at the group again"
        )
    return found[0]


def undo(request: PageRequest) -> Response:
    """Take back what was decided at one moment, and mark again."""
    one = papers_asked(request)
    undo_all(request, one)
    return mark_again(request, one, to=home(one) + DECISIONS)


ROUTES = [
    Route("/mark/papers/{id}/rulings", teacher_page(rule), methods=["POST"]),
    Route("/mark/papers/{id}/rulings/undo", teacher_page(undo), methods=["POST"]),
]
