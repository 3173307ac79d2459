"""The teacher's side of a live class: a line put to the class, its tally, and what comes next."""

from __future__ import annotations

import secrets
from asyncio import wrap_future
from collections.abc import AsyncIterator, Callable
from dataclasses import replace

from anyio import to_thread
from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.records import rooms, sessions
from chalkpoint.records.kept import NotKept
from chalkpoint.records.rooms import KeptRoom
from chalkpoint.teaching.live.letters import parse_letters
from chalkpoint.teaching.live.room import (
    Room,
    ask_hinge,
    close_round,
    follow,
    go_back,
    go_on,
    next_question,
    open_room,
    open_round,
    question_of,
    reopen_round,
    reveal,
    to_write,
)
from chalkpoint.teaching.live.slips import new_slips
from chalkpoint.teaching.live.tally import tally_of
from chalkpoint.teaching.live.words import new_word
from chalkpoint.web.courses import course_asked, courses_of
from chalkpoint.web.events import QUIET, event, event_stream
from chalkpoint.web.live.hub import LINES, ROOM, SESSION
from chalkpoint.web.live.opened import body_of, room_in
from chalkpoint.web.live.operands import operands_of
from chalkpoint.web.live.tallies import Seen, difference, seen_of
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.showing import show
from chalkpoint.working.wording.heading import heading

__all__ = ["ROUTES"]

USUAL_SEATS = 30
PER_ADDRESS = 5  # seats that may be taken from one address by the word
BREATH = 15.0  # seconds after which an idle page is told that all is well

#: What the teacher does, by the name of the button.
ACTS: dict[str, Callable[[Room, str], Room]] = {
    "open": open_round,
    "close": lambda room, _: close_round(room),
    "reopen": lambda room, _: reopen_round(room),
    "reveal": lambda room, _: reveal(room),
    "go-on": lambda room, _: go_on(room),
    "follow": follow,
    "back": lambda room, _: go_back(room),
    "next": lambda room, _: next_question(room),
    "hinge": lambda room, _: ask_hinge(room),
}


def rooms_page(request: PageRequest, refused: str = "") -> Response:
    """Show the open rooms, and the form for another."""
    with request.app.store.read() as db:
        listed = [(one, room_in(one)) for one in rooms.rooms_of(db, request.teacher)]
    form = request.form
    questions = form.text("questions") or "\n".join(form.texts("question")) or "subtract 8.875, 3.6875"
    return show(
        request,
        "rooms.html.jinja",
        status=422 if refused else 200,
        listed=listed,
        questions=questions,
        seats=form.text("seats", str(USUAL_SEATS)),
        courses=courses_of(request),
        refused=refused,
    )


def new_room(request: PageRequest) -> Response:
    """Open a room for a class."""
    form = request.form
    try:
        lines = [line for line in form.text("questions").splitlines() if line.strip()]
        seats = form.number("seats", USUAL_SEATS, least=1, most=999)
        course = course_asked(request)
        with request.app.store.write() as db:
            word = new_word(secrets.choice, taken=rooms.words_taken(db))
            room = open_room(lines, course=course, word=word, seats=seats)
            made = rooms.keep_room(db, request.teacher, word, body_of(room))
    except ChalkpointError as reason:
        return rooms_page(request, str(reason))
    return see(f"/teach/rooms/{made}")


def _kept_room(request: PageRequest) -> KeptRoom:
    with request.app.store.read() as db:
        return rooms.one_room(db, request.teacher, request.path["id"])


def room_page(request: PageRequest, refused: str = "") -> Response:
    """Show a room as the teacher sees it."""
    with request.app.store.read() as db:
        one = rooms.one_room(db, request.teacher, request.path["id"])
        seen = seen_of(db, [one])[one.id]
    room, letters = seen.room, request.form.text("letters")
    try:
        if letters:
            seen = replace(seen, tally=tally_of(room, parse_letters(room, letters)))
    except ChalkpointError as reason:
        refused = refused or str(reason)
    return show(
        request,
        "room.html.jinja",
        status=422 if refused else 200,
        one=one,
        room=room,
        state=seen.state,
        tally=seen.whole,
        title=heading(question_of(room)),
        operands=operands_of(question_of(room)),
        left=to_write(room),
        letters=letters,
        join=_join(request),
        refused=refused,
    )


def _join(request: PageRequest) -> str:
    """Return where pupils go, as it is written on the board."""
    settings = request.app.settings
    if settings.public:
        return settings.public[0]
    return settings.join_address if settings.lan else request.http.url.netloc


def act(request: PageRequest) -> Response:
    """Do what the teacher's button says; a refusal is shown on the room's page."""
    form, one = request.form, _kept_room(request)
    name = form.one_of("act", ACTS)
    try:
        room = ACTS[name](room_in(one), form.text("line"))
        with request.app.store.write() as db:
            rooms.change_room(db, request.teacher, one.id, body_of(room))
    except NotKept:
        raise
    except ChalkpointError as reason:
        return room_page(request, str(reason))
    request.app.hub.tell(one.id, ROOM)
    return see(f"/teach/rooms/{one.id}")


def close(request: PageRequest) -> Response:
    """Close a room: everything about it is forgotten."""
    with request.app.store.write() as db:
        rooms.close_room(db, request.teacher, request.path["id"])
    request.app.hub.tell(request.path["id"], ROOM)
    return see("/teach/rooms")


def free(request: PageRequest) -> Response:
    """Free a seat for another browser, or every seat."""
    room = request.path["id"]
    with request.app.store.write() as db:
        if request.form.has("all"):
            rooms.free_all(db, request.teacher, room)
        else:
            seat = request.form.number("seat", 0, least=1, most=999)
            rooms.free_seat(db, request.teacher, room, seat)
    for kind in (LINES, ROOM):  # whoever sat there has an open page too
        request.app.hub.tell(room, kind)
    return see(f"/teach/rooms/{room}")


def let_in(request: PageRequest) -> Response:
    """Close the room to newcomers or open it, and say whether many may come from one address."""
    room = request.path["id"]
    closed = request.form.text("newcomers") == "closed"
    per_address = 0 if request.form.text("addresses") == "any" else PER_ADDRESS
    with request.app.store.write() as db:
        rooms.let_in(db, request.teacher, room, closed=closed, per_address=per_address)
    return see(f"/teach/rooms/{room}")


def slips(request: PageRequest) -> Response:
    """Show a slip for each seat, to print and cut; each time with fresh codes."""
    one = _kept_room(request)
    room = room_in(one)
    made = new_slips(room, range(1, room.seats + 1), secrets.choice)
    with request.app.store.write() as db:
        rooms.put_codes(db, request.teacher, one.id, [(slip.seat, slip.code) for slip in made])
    return show(request, "slips.html.jinja", slips=made, one=one, join=_join(request))


# === What an open page is told ===


def room_events(request: PageRequest) -> Response:
    """Tell the teacher's open page whenever a pupil wrote or the board changed."""
    return event_stream(_told(request, _kept_room(request).id))


async def _told(request: PageRequest, room: str) -> AsyncIterator[bytes]:
    shown: Seen | None = None
    async with request.app.hub.listening((room, LINES), (room, ROOM), (request.teacher, SESSION)) as news:
        happened, came = {SESSION}, True
        while True:
            # where nothing happened it is looked at too: the page may have lost the right to be told
            if SESSION in happened or not came:
                still = await to_thread.run_sync(
                    _is_signed_in, request, limiter=request.app.lanes.looks.limiter
                )
                if not still:
                    break
            seen = await wrap_future(request.app.tallies.looks.ask(room))
            if seen is None:
                break
            told = difference(shown, seen)
            yield event(*told) if told else QUIET
            shown = seen
            came = await news.wait(BREATH)
            happened = news.look()
        yield event("closed", {})


def _is_signed_in(request: PageRequest) -> bool:
    with request.app.store.read() as db:
        return sessions.who(db, request.session) is not None


ROUTES = [
    Route("/teach/rooms", teacher_page(rooms_page)),
    Route("/teach/rooms", teacher_page(new_room), methods=["POST"]),
    Route("/teach/rooms/{id}", teacher_page(room_page)),
    Route("/teach/rooms/{id}/act", teacher_page(act), methods=["POST"]),
    Route("/teach/rooms/{id}/close", teacher_page(close), methods=["POST"]),
    Route("/teach/rooms/{id}/free", teacher_page(free), methods=["POST"]),
    Route("/teach/rooms/{id}/let-in", teacher_page(let_in), methods=["POST"]),
    Route("/teach/rooms/{id}/slips", teacher_page(slips), methods=["POST"]),
    Route("/teach/rooms/{id}/events", teacher_page(room_events)),
]
