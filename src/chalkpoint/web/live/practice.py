"""Practice: a question a line at a time, each answered. The page's address holds everything that was done.

A session is its beginning and what the pupil did since, so nothing of it is kept here, it needs no account, and
it can be bookmarked and gone on with another day.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from functools import lru_cache

from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.teaching.practising import (
    PRACTISED,
    Practice,
    begin,
    fill_in,
    hint,
    keep,
    next_one,
    question_in,
    summary,
    to_write_next,
    write,
)
from chalkpoint.web.forms import Form
from chalkpoint.web.lanes import Budget, BusyError
from chalkpoint.web.live.operands import operands_of
from chalkpoint.web.pagerequest import PageRequest, open_page, see
from chalkpoint.web.rendering import address
from chalkpoint.web.showing import show
from chalkpoint.working.course import Course
from chalkpoint.working.wording.heading import heading

__all__ = ["ROUTES"]

MOST_SEED = 10**6
MOST_ACTS = 300
LONGEST_ACT = 200  # characters
FORMATS = ("5+3", "6+4", "8+4", "10+6", "12+4")

#: What a pupil does, by its letter in the address; after "w" comes what is written.
ACTS: dict[str, Callable[[Practice, str], Practice]] = {
    "w": write,
    "h": lambda session, _: hint(session),
    "k": lambda session, _: keep(session),
    "f": lambda session, _: fill_in(session),
    "n": lambda session, _: next_one(session),
}


@lru_cache(4096)
def _after(operation: str, format: str, seed: int, level: int, acts: tuple[str, ...]) -> Practice:
    """Return the session after some acts; one more act than before costs one act."""
    if not acts:
        return begin(operation, course=Course(format=format), seed=seed, level=level)
    session = _after(operation, format, seed, level, acts[:-1])
    return ACTS[acts[-1][:1]](session, acts[-1][1:])


def practice_page(request: PageRequest) -> Response:
    """Show the session that the address tells, and the line at hand."""
    form, refused = request.form, ""
    if not form.has("operation"):
        return show(request, "practise.html.jinja", operations=PRACTISED, formats=FORMATS, refused="")
    if not form.has("seed"):
        query = {key: form.text(key) for key in ("operation", "format", "level")}
        return see(address("/practice", **query, seed=secrets.randbelow(MOST_SEED)))
    acts = _acts(form)
    try:
        session = _session(form, acts, request.budget)
    except BusyError:
        raise
    except ChalkpointError as reason:
        refused, acts = str(reason), acts[:-1]
        try:
            session = _session(form, acts, request.budget)
        except ChalkpointError:
            shown = {"operations": PRACTISED, "formats": FORMATS, "refused": refused}
            return show(request, "practise.html.jinja", status=422, **shown)
    line = to_write_next(session)
    return show(
        request,
        "practice.html.jinja",
        status=422 if refused else 200,
        session=session,
        line=line,
        title=heading(question_in(session)),
        operands=operands_of(question_in(session)),
        query={key: form.text(key) for key in ("operation", "format", "seed", "level")},
        acts=acts,
        written=form.text("line") if refused else "",
        refused=refused,
        address=address,
    )


def _session(form: Form, acts: tuple[str, ...], budget: Budget) -> Practice:
    operation = form.one_of("operation", PRACTISED)
    seed = form.number("seed", 0, least=0, most=MOST_SEED)
    level = form.number("level", 0, least=0, most=9)
    if len(acts) > MOST_ACTS:
        raise EntryError(
            f"this session is {len(acts)} steps long; keep its summary and begin another after {MOST_ACTS}"
        )
    spelling = form.one_of("format", FORMATS, FORMATS[2])
    for size in range(len(acts)):  # what is done stays done, so a session that is given up goes on from there
        budget.check()
        _after(operation, spelling, seed, level, acts[:size])
    return _after(operation, spelling, seed, level, acts)


def _acts(form: Form) -> tuple[str, ...]:
    """Return what was done before, and what is done now."""
    acts = [text for text in form.texts("act") if text]
    if form.text("now") == "w":
        acts.append(f"w{form.text('line')}")
    elif form.text("now"):
        acts.append(form.text("now"))
    for text in acts:
        if len(text) > LONGEST_ACT:
            raise EntryError(f"a line of {len(text)} characters is too long; write up to {LONGEST_ACT}")
        if text[:1] not in ACTS:
            raise EntryError(f"{text[:1]!r} is nothing that is done in practice; begin again")
    return tuple(acts)


def summary_page(request: PageRequest) -> Response:
    """Send the plain summary, for the pupil to keep."""
    text = summary(_session(request.form, _acts(request.form), request.budget))
    headers = {"Content-Disposition": 'attachment; filename="practice.txt"'}
    return PlainTextResponse(text, headers=headers)


ROUTES = [
    Route("/practice", open_page(practice_page)),
    Route("/practice/summary.txt", open_page(summary_page)),
]
