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
from chalkpoint.teaching.practising.levels import PRACTISED
from chalkpoint.teaching.practising.session import (
    Practice,
    begin,
    fill_in,
    hint,
    keep,
    next_one,
    question_in,
    to_write_next,
    write,
)
from chalkpoint.teaching.practising.summary import summary
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
USUAL = "8+4"
#: The formats offered, a kind a group, each with its words. Others are refused: some keep a page busy for minutes.
FORMATS = {
    "Mantissa and exponent": {
        "5+3": "5+3",
        "6+4": "6+4",
        "8+4": "8+4",
        "10+6": "10+6",
        "12+4": "12+4",
        "8+4 excess-8": "8+4, exponent in excess 8",
        "8+4 sign-and-magnitude": "8+4, mantissa as sign and size",
    },
    "As in IEEE 754": {
        "1+4+3": "1+4+3: sign, exponent, fraction",
        "1+3+4": "1+3+4: sign, exponent, fraction",
        "binary16": "binary16",
        "binary32": "binary32",
        "bfloat16": "bfloat16",
        "e4m3": "E4M3",
    },
    "Whole numbers": {
        "8": "8 bits, two\u2019s complement",
        "8 unsigned": "8 bits, unsigned",
        "8 ones-complement": "8 bits, ones\u2019 complement",
        "8 sign-and-magnitude": "8 bits, sign and magnitude",
        "8 excess-127": "8 bits, excess 127",
    },
    "Fixed point": {"Q5.3": "Q5.3", "Q4.4": "Q4.4", "Q1.7": "Q1.7"},
    "Processors": {"1750a-32": "1750A, 32 bits", "c3x-16": "C3x, 16 bits", "c3x-32": "C3x, 32 bits"},
}
SPELLINGS = tuple(spelling for group in FORMATS.values() for spelling in group)
#: What the address holds beside what the pupil did, with what is chosen at first.
QUERY = {"operation": "subtract", "format": USUAL, "to": "", "level": "0"}

#: What a pupil does, by its letter in the address; after "w" comes what is written.
ACTS: dict[str, Callable[[Practice, str], Practice]] = {
    "w": write,
    "h": lambda session, _: hint(session),
    "k": lambda session, _: keep(session),
    "f": lambda session, _: fill_in(session),
    "n": lambda session, _: next_one(session),
}


@lru_cache(4096)
def _after(operation: str, format: str, to: str, seed: int, level: int, acts: tuple[str, ...]) -> Practice:
    """Return the session after some acts; one more act than before costs one act."""
    if not acts:
        return begin(operation, course=Course(format=format), seed=seed, level=level, to=to)
    session = _after(operation, format, to, seed, level, acts[:-1])
    return ACTS[acts[-1][:1]](session, acts[-1][1:])


def practice_page(request: PageRequest) -> Response:
    """Show the session that the address tells, and the line at hand."""
    form, refused = request.form, ""
    if not form.has("operation"):
        return _beginning(request)
    if not form.has("seed"):
        query = {key: form.text(key) for key in QUERY}
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
            return _beginning(request, refused)
    line = to_write_next(session)
    return show(
        request,
        "practice.html.jinja",
        status=422 if refused else 200,
        session=session,
        line=line,
        title=heading(question_in(session)),
        operands=operands_of(question_in(session)),
        query={key: form.text(key) for key in (*QUERY, "seed")},
        acts=acts,
        written=form.text("line") if refused else "",
        refused=refused,
        address=address,
    )


def _beginning(request: PageRequest, refused: str = "") -> Response:
    """Ask what is to be practised; what was chosen and refused stays chosen."""
    form = request.form
    return show(
        request,
        "practise.html.jinja",
        status=422 if refused else 200,
        operations=PRACTISED,
        formats=FORMATS,
        chosen={key: form.text(key, default) for key, default in QUERY.items()},
        refused=refused,
    )


def _session(form: Form, acts: tuple[str, ...], budget: Budget) -> Practice:
    operation = form.one_of("operation", PRACTISED)
    seed = form.number("seed", 0, least=0, most=MOST_SEED)
    level = form.number("level", 0, least=0, most=9)
    if len(acts) > MOST_ACTS:
        raise EntryError(
            f"this session is {len(acts)} steps long; keep its summary and begin another after {MOST_ACTS}"
        )
    spelling = form.one_of("format", SPELLINGS, USUAL)
    to = form.one_of("to", SPELLINGS) if operation == "convert" and form.text("to") else ""
    for size in range(len(acts)):  # what is done stays done, so a session that is given up goes on from there
        budget.check()
        _after(operation, spelling, to, seed, level, acts[:size])
    return _after(operation, spelling, to, seed, level, acts)


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
