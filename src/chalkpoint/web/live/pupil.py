"""The pupils' side of a live class: in by the room's word and a seat, or by a slip; then a line at a time.

A pupil is a seat: no account, no name, no address. The browser keeps a secret of its own, under a cookie that
the teacher's pages never see.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from asyncio import wrap_future
from collections.abc import AsyncIterator, Awaitable, Callable
from dataclasses import dataclass
from typing import TypeVar

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from chalkpoint.marking.saying import first_hint
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.records import rooms, tries
from chalkpoint.records.roomlines import line_of
from chalkpoint.records.rooms import Seat
from chalkpoint.records.store import Transaction
from chalkpoint.teaching.live.room import Room, question_of, read_seat
from chalkpoint.teaching.live.words import read_word
from chalkpoint.web.cookies import delete_cookie, read_cookie, set_cookie
from chalkpoint.web.events import QUIET, event, event_stream
from chalkpoint.web.forms import read_form
from chalkpoint.web.live.hub import LINES, ROOM
from chalkpoint.web.live.opened import room_in
from chalkpoint.web.live.operands import operands_of
from chalkpoint.web.live.seats import Sent, state_of
from chalkpoint.web.pagerequest import PageRequest, StaleError, open_page, see
from chalkpoint.web.showing import show
from chalkpoint.working.wording.heading import heading

__all__ = ["ROUTES"]

COOKIE, DOOR = "seat", "room-door"
PATH = "/room"
DAY = 86_400
MOST_OF_BROWSER, MOST_OF_ADDRESS = 20, 200  # wrong words and codes in a quarter of an hour
BREATH = 15.0
WORD, SLIP = "word", "slip"
Found = TypeVar("Found")


@dataclass(frozen=True, slots=True)
class Sitting:
    """A pupil's request: the seat, its room, and the browser's secret."""

    request: PageRequest
    seat: Seat
    room: Room
    secret: str

    @property
    def token(self) -> str:
        """What a form of this seat must carry."""
        return _token(self.secret)


def _token(secret: str) -> str:
    return hmac.new(secret.encode(), b"line", hashlib.sha256).hexdigest()


def _has_token(request: PageRequest, secret: str) -> bool:
    return hmac.compare_digest(request.form.text("token").encode(), _token(secret).encode())


def pupil_page(handler: Callable[[Sitting], Response]) -> Callable[[Request], Awaitable[Response]]:
    """Return the endpoint of a page for those who sit in a room; others are led to its door."""

    def answer(request: PageRequest) -> Response:
        secret = read_cookie(request.http, COOKIE, path=PATH)
        seat = _seat(request, secret) if secret else None
        if seat is None:
            return see(PATH)
        sitting = Sitting(request, seat, room_in(seat.room), secret)
        if request.http.method == "POST" and not _has_token(request, secret):
            raise StaleError("this page is older than your seat, so nothing was sent; open it again")
        return handler(sitting)

    return open_page(answer, "pupils")


def _seat(request: PageRequest, secret: str) -> Seat | None:
    with request.app.store.read() as db:
        return rooms.seat_of(db, secret)


# === Coming in ===


def door(request: PageRequest) -> Response:
    """Ask for the room's word and a seat, or a slip's code."""
    secret = read_cookie(request.http, COOKIE, path=PATH)
    if secret and _seat(request, secret):
        return see(f"{PATH}/seat")
    return _door(request)


def _door(request: PageRequest, refused: str = "") -> Response:
    known = read_cookie(request.http, DOOR, path=PATH) or secrets.token_urlsafe(16)
    form = request.form
    shown = {name: form.text(name) for name in ("word", "seat", "code")}
    page = show(
        request, "door.html.jinja", status=422 if refused else 200, door=known, entered=shown, refused=refused
    )
    set_cookie(request.http, page, DOOR, known, path=PATH, lasts=DAY)
    return page


def come_in(request: PageRequest) -> Response:
    """Let a pupil in, by the word and a seat or by a slip."""
    form, known = request.form, read_cookie(request.http, DOOR, path=PATH)
    if not known or not hmac.compare_digest(form.text(DOOR).encode(), known.encode()):
        raise StaleError("this page is too old to come in by; open it again")
    try:
        secret, room = _take_seat(request)
    except ChalkpointError as reason:
        return _door(request, str(reason))
    request.app.hub.tell(room, LINES)
    answer = see(f"{PATH}/seat")
    set_cookie(request.http, answer, COOKIE, secret, path=PATH, lasts=DAY)
    return answer


def _take_seat(request: PageRequest) -> tuple[str, str]:
    """Return the secret of a seat just taken, and its room.

    A failed try is written down before it is refused, so that words cannot be guessed one after the other. A
    browser has one seat: it gives up the one it had.
    """
    form = request.form
    found, by_slip = _by_slip(request) if form.text("code") else _by_word(request)
    before = read_cookie(request.http, COOKIE, path=PATH)
    source = request.app.key.source(request.client)
    with request.app.store.write() as db:
        secret = rooms.sit(db, found.room.id, found.number, by_slip=by_slip, source=source, before=before)
    return secret, found.room.id


def _by_slip(request: PageRequest) -> tuple[Seat, bool]:
    code = "".join(request.form.text("code").upper().replace("-", " ").split())
    seat = _tried(request, SLIP, lambda db: rooms.code_room(db, code))
    if seat is None:
        raise EntryError(
            f"{request.form.text('code')!r} is not the code of a slip; copy the signs from yours"
        )
    return seat, True


def _by_word(request: PageRequest) -> tuple[Seat, bool]:
    word = read_word(request.form.text("word"))
    room = _tried(request, WORD, lambda db: rooms.room_called(db, word))
    if room is None:
        raise EntryError(f"no room has the word {word!r} now; look at the board")
    return Seat(room, read_seat(room_in(room), request.form.text("seat"))), False


def _tried(request: PageRequest, what: str, look: Callable[[Transaction], Found | None]) -> Found | None:
    """Return what a word or a code leads to; one that leads nowhere is noted.

    Nothing is looked up for a browser, or an address, that led nowhere too often of late. This machine's own
    address, a proxy's too, is not counted.
    """
    key = request.app.key
    browser = f"{what} {key.digest('browser', read_cookie(request.http, DOOR, path=PATH))}"
    source = key.source(request.client)
    counted = {browser: MOST_OF_BROWSER} | ({f"{what} {source}": MOST_OF_ADDRESS} if source else {})
    with request.app.store.read() as db:
        if any(tries.too_many(db, one, most=most) for one, most in counted.items()):
            raise EntryError(
                "too many wrong words were tried from here; wait a few minutes, or come in by a slip"
            )
        found = look(db)
    if found is None:
        with request.app.store.write() as db:
            for one in counted:
                tries.note(db, one)
    return found


# === Writing ===


def seat_page(sitting: Sitting, refused: str = "", written: str = "") -> Response:
    """Show the board as a pupil sees it, and the line being written."""
    request, room = sitting.request, sitting.room
    with request.app.store.read() as db:
        number = room.round.number if room.round else 0
        sent = line_of(db, sitting.seat, number)
    return show(
        request,
        "seat.html.jinja",
        status=422 if refused else 200,
        room=room,
        seat=sitting.seat.number,
        title=heading(question_of(room)),
        operands=operands_of(question_of(room)),
        prompt=first_hint(room.round.rule) if room.round else "",
        sent=sent,
        written=written,
        refused=refused,
        seat_token=sitting.token,
        state=state_of(room),
    )


async def write(http: Request) -> Response:
    """Keep the line a pupil wrote; sent again, it takes the place of the one before.

    The page's own script is told what was kept; without it, the form leads to the page that says so.
    """
    request = PageRequest(http, http.app.state.shared)
    http.state.page_request = request
    request.form = form = await read_form(http)
    secret, text = read_cookie(http, COOKIE, path=PATH), form.text("line") or form.text("letter")
    if not _has_token(request, secret):
        return await pupil_page(seat_page)(http)  # leads to the door, or says that the page is stale
    try:
        number = form.number("round", 0, least=0, most=10**6)
        taken = await wrap_future(request.app.seats.lines.ask(Sent(secret, number, text)))
    except EntryError as reason:
        said = str(reason)
        return await pupil_page(lambda sitting: seat_page(sitting, said, form.text("line")))(http)
    if taken is None:
        return see(PATH)
    if "application/json" in http.headers.get("accept", ""):
        return JSONResponse({"sent": taken.line, "state": taken.state})
    return see(f"{PATH}/seat")


def leave(sitting: Sitting) -> Response:
    """Leave the seat: it is free, and this browser forgets it."""
    with sitting.request.app.store.write() as db:
        rooms.leave_seat(db, sitting.secret)
    for kind in (LINES, ROOM):
        sitting.request.app.hub.tell(sitting.seat.room.id, kind)
    answer = see(PATH)
    delete_cookie(sitting.request.http, answer, COOKIE, path=PATH)
    return answer


def seat_events(sitting: Sitting) -> Response:
    """Tell a pupil's open page when the board changes."""
    return event_stream(_told(sitting))


async def _told(sitting: Sitting) -> AsyncIterator[bytes]:
    app, shown = sitting.request.app, ""
    async with app.hub.listening((sitting.seat.room.id, ROOM)) as news:
        while True:
            news.look()
            state = await wrap_future(app.seats.boards.ask(sitting.secret))
            if state is None:
                break
            yield event("board", {"state": state}) if state != shown else QUIET
            shown = state
            await news.wait(
                BREATH
            )  # a page looks again even where nothing happened: it may have lost its seat
    yield event("closed", {})


ROUTES = [
    Route(PATH, open_page(door, "pupils")),
    Route(PATH, open_page(come_in, "pupils"), methods=["POST"]),
    Route(f"{PATH}/seat", pupil_page(seat_page)),
    Route(f"{PATH}/seat/line", write, methods=["POST"]),
    Route(f"{PATH}/seat/leave", pupil_page(leave), methods=["POST"]),
    Route(f"{PATH}/seat/events", pupil_page(seat_events)),
]
