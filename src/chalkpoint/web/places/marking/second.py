"""A second marker: a fair sample of scripts marked again without the marks in sight, then both compared.

What is entered is kept in the address and nowhere else: a second opinion changes no mark.
"""

from __future__ import annotations

from functools import partial

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.agreement import Agreement, agreement
from chalkpoint.marking.students import Entry
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.records import scripts
from chalkpoint.records.kept import Kept
from chalkpoint.web.forms import Form
from chalkpoint.web.pagerequest import PageRequest, teacher_page
from chalkpoint.web.places.marking.papers import papers_asked, summed_up
from chalkpoint.web.places.marking.reports import latest_run
from chalkpoint.web.showing import show

__all__ = ["ROUTES"]


def second_page(request: PageRequest) -> Response:
    """Show the sample to be marked again, and once it is marked how far the two agree."""
    one, form, refused = papers_asked(request), request.form, ""
    sample, written = _sample(request, one)
    compared: Agreement | None = None
    try:
        second = _second(form, sample)
        compared = agreement(sample, second) if second else None
    except ChalkpointError as reason:
        refused = str(reason)
    return show(
        request,
        "second.html.jinja",
        status=422 if refused else 200,
        one=one,
        sample=sample,
        written=written,
        asks=partial(request.app.markers.asks, one.body),
        compared=compared,
        entered=form,
        refused=refused,
    )


def _sample(request: PageRequest, one: Kept) -> tuple[list[Entry], dict[str, dict[int, dict[str, str]]]]:
    """Return the sample that the class's report draws, and what its pupils wrote."""
    summed = summed_up(request, one, latest_run(request, one))
    with request.app.store.read() as db:
        deleted = set(scripts.deleted_of(db, request.teacher, one.id))
        sample = [entry for entry in summed.all.sample if entry["student"] not in deleted]
        written = {
            entry["student"]: scripts.script_of(db, request.teacher, one.id, entry["student"]).written
            for entry in sample
        }
    return sample, written


def _second(form: Form, sample: list[Entry]) -> dict[tuple[str, int], int]:
    """Return the marks entered, by pupil and question; an entry left empty is none."""
    second = {}
    for place, entry in enumerate(sample):
        for question in entry["questions"]:
            name = f"{place}-{question['question']}"
            if form.text(name):
                student, number = entry["student"], question["question"]
                what = f"{student}, question {number}:"
                second[student, number] = form.number(name, 0, least=0, most=question["of"], what=what)
    return second


ROUTES = [Route("/mark/papers/{id}/second", teacher_page(second_page))]
