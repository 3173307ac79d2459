"""Work: a question in, every step and every lost bit on the page."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.publishing import html
from chalkpoint.publishing.scene import scene
from chalkpoint.web.asking import Asking, teacher_page
from chalkpoint.web.courses import course_asked, courses_of
from chalkpoint.web.forms import Form
from chalkpoint.web.showing import show
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import OPERATIONS
from chalkpoint.working.work import work
from chalkpoint.working.working import Working

__all__ = ["ROUTES", "working_asked"]

KEYS = ("operation", "operands", "format", "method", "course", "names")


def work_page(asking: Asking) -> Response:
    """Show the form, and under its question's address the working."""
    form, refused, drawn = asking.form, "", None
    if form.has("operation"):
        try:
            drawn = scene(working_asked(asking))
        except ChalkpointError as reason:
            refused = str(reason)
    return show(
        asking,
        "work.html.jinja",
        status=422 if refused else 200,
        query=query_of(form),
        scene=drawn,
        drawing=html.drawing(drawn) if drawn else None,
        refused=refused,
        operations=list(OPERATIONS),
        methods=[("", "the course's"), *METHODS],
        courses=courses_of(asking),
    )


def query_of(form: Form) -> dict[str, str]:
    """Return what was asked, as its address says it."""
    return {key: form.text(key) for key in KEYS}


def working_asked(asking: Asking) -> Working:
    """Return the question of an address, worked.

    Raises EntryError for one that cannot be.
    """
    form = asking.form
    return work(
        form.text("operation"),
        *split(form.text("operands")),
        format=form.text("format") or None,
        method=form.text("method") or None,
        course=course_asked(asking),
        names=tuple(split(form.text("names"))),
    )


def split(text: str) -> list[str]:
    """Return the entries of a line, parted by commas; a comma between digits may be a decimal one.

    >>> split("01000111 0100, 3.6875"), split("8,875; 3,6875"), split("")
    (['01000111 0100', '3.6875'], ['8,875', '3,6875'], [])
    """
    parts = text.split(";") if ";" in text else text.split(",")
    return [part.strip() for part in parts if part.strip()]


ROUTES = [Route("/work", teacher_page(work_page))]
