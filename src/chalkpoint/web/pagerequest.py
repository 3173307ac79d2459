"""A request as a page sees it: who asks, what was entered, and what the running app shares."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import Literal, TypeAlias
from urllib.parse import quote, urlencode

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.records import sessions, teachers
from chalkpoint.records.teachers import Teacher
from chalkpoint.web.appstate import AppState
from chalkpoint.web.cookies import delete_cookie, read_cookie, set_cookie
from chalkpoint.web.forms import Form, read_form
from chalkpoint.web.lanes import Budget, Lane

__all__ = [
    "COOKIE",
    "Endpoint",
    "Handler",
    "LaneName",
    "PageRequest",
    "StaleError",
    "browser_words",
    "local_path",
    "open_page",
    "see",
    "teacher_page",
]

COOKIE = "chalkpoint"
TOKEN = "token"  # noqa: S105 - the name of a form's field


LaneName: TypeAlias = Literal["strangers", "signing", "pupils", "teachers"]


class NotStartedError(ChalkpointError):
    """A browser that did not come by the address that was printed."""


class FromElsewhereError(ChalkpointError):
    """A teacher's page that a page of another site led to."""


class StaleError(ChalkpointError):
    """A form without the token of its session: an old page, or not one of ours."""


@dataclass(slots=True)
class PageRequest:
    """One request.

    http     the request as it arrived
    app      the store, the settings, long work
    form     what was entered, in the address or in a form
    who      the teacher who asks; None where nobody is signed in
    session  the secret in the browser's cookie, "" where there is none
    budget   the time that the answer may take
    """

    http: Request
    app: AppState
    form: Form = field(default_factory=Form)
    who: Teacher | None = None
    session: str = ""
    cookies: dict[str, str] = field(default_factory=dict)
    budget: Budget = field(default_factory=lambda: Budget(60))

    @property
    def teacher(self) -> str:
        """The id of the teacher who asks."""
        assert self.who is not None  # noqa: S101 - `teacher_page` lets nobody else in
        return self.who.id

    @property
    def token(self) -> str:
        """What a form of this session must carry: known to none but the pages of that browser."""
        return hmac.new(self.session.encode(), b"form", hashlib.sha256).hexdigest()

    @property
    def path(self) -> JsonObject:
        """The parts of the address that are names, such as an id."""
        return self.http.path_params

    @property
    def address(self) -> str:
        """The address asked for, without the machine's name."""
        url, path = self.http.url, quote(self.http.scope["path"])  # the library leaves % as it is
        return f"{path}?{url.query}" if url.query else path

    @property
    def from_elsewhere(self) -> bool:
        """Whether a page of another site sent the browser here, as far as the browser says so."""
        return self.http.headers.get("sec-fetch-site", "none") not in {"same-origin", "none"}

    def check_token(self) -> None:
        """Raise StaleError unless the form carries the session's token."""
        if not self.session or not hmac.compare_digest(self.form.text(TOKEN).encode(), self.token.encode()):
            raise StaleError(
                "this page is older than your session, so nothing was done; open it again and send it again"
            )

    def cookie(self, name: str) -> str:
        """Return what the browser kept under *name*, "" where it kept nothing."""
        return self.cookies.get(name) or read_cookie(self.http, name)

    @property
    def browser(self) -> str:
        """The browser in a few words, as it says of itself."""
        return browser_words(self.http.headers.get("user-agent", ""))

    @property
    def client(self) -> str:
        """The address that the request came from."""
        return self.http.client.host if self.http.client else ""

    def remember(self, name: str, value: str) -> None:
        """Let the browser keep *value*, which is no secret, under *name*."""
        self.cookies[name] = value


Handler: TypeAlias = Callable[[PageRequest], Response]
Endpoint: TypeAlias = Callable[[Request], Awaitable[Response]]


def teacher_page(handler: Handler, lane: LaneName = "teachers") -> Endpoint:
    """Return the endpoint of a page for teachers: others are sent to sign in, and forms must carry the token.

    Who asks is known before anything that was sent is read.
    """

    def known(request: PageRequest) -> Response | None:
        if request.from_elsewhere:
            raise FromElsewhereError(
                "a page of another site led here, and nothing was done; go on if you meant to"
            )
        _know_teacher(request)
        if request.who is not None:
            return None
        if not request.app.sign_in_needed:
            raise NotStartedError("open the address that chalkpoint serve printed when it was started")
        return see("/sign-in", to=request.address) if request.http.method == "GET" else see("/sign-in")

    def answer(request: PageRequest) -> Response:
        if request.http.method == "POST":
            request.check_token()
        return handler(request)

    return _endpoint(answer, lane, known)


def open_page(handler: Handler, lane: LaneName = "strangers") -> Endpoint:
    """Return the endpoint of a page that anybody may ask for, made in the threads of *lane*."""
    return _endpoint(handler, lane)


def _endpoint(
    handler: Handler, lane: LaneName, known: Callable[[PageRequest], Response | None] | None = None
) -> Endpoint:
    async def endpoint(http: Request) -> Response:
        app: AppState = http.app.state.shared
        threads: Lane = getattr(app.lanes, lane)
        request = PageRequest(http, app)
        http.state.page_request = request

        def answer(budget: Budget) -> Response:
            budget.check()  # it may have waited long
            request.budget = budget
            response = (known(request) if known and request.who is None else None) or handler(request)
            _set_cookies(request, response)
            return response

        if known and http.method == "POST":
            turned_away = await threads.run(lambda _: known(request), _still_there)
            if turned_away is not None:
                return turned_away
        request.form = await read_form(http)
        return await threads.run(answer, http.is_disconnected)

    return endpoint


async def _still_there() -> bool:
    """Tell that the client has not hung up: to ask would take away a part of the body that is not read yet."""
    return False


def _know_teacher(request: PageRequest) -> None:
    """Find the teacher whose session it is.

    Only pages for teachers do so: pupils' pages neither see a teacher's cookie nor give one.
    """
    app = request.app
    request.session = request.cookie(COOKIE)
    if request.session:
        with app.store.read() as db:
            request.who = sessions.who(db, request.session)
            stale = request.who is not None and sessions.needs_touch(db, request.session)
        if stale:
            with app.store.write() as db:
                sessions.touch(db, request.session)
    if request.who is None and not app.sign_in_needed:
        with app.store.read() as db:
            app.sign_in_needed = teachers.any_password(db)  # set while this process was serving
        if not app.sign_in_needed and not app.settings.start_token:
            _share_session(request)


def _share_session(request: PageRequest) -> None:
    """Let a browser into the session of a machine where nobody is asked who he is: one, however many ask."""
    request.session = request.app.key.digest("shared session")
    with request.app.store.read() as db:
        request.who = sessions.who(db, request.session)
    if request.who is None:
        with request.app.store.write() as db:
            request.who = teachers.local_teacher(db)
            sessions.share_session(db, request.who, request.session)
    request.remember(COOKIE, request.session)


def start_session(request: PageRequest) -> None:
    """Open a session for the machine's own teacher."""
    with request.app.store.write() as db:
        request.who = teachers.local_teacher(db)
        request.session = sessions.open_session(db, request.who, browser=request.browser)
    request.remember(COOKIE, request.session)


def _set_cookies(request: PageRequest, response: Response) -> None:
    for name, value in request.cookies.items():
        if value:
            set_cookie(request.http, response, name, value)
        else:
            delete_cookie(request.http, response, name)


def see(path: str, **query: str) -> RedirectResponse:
    """Return an answer that leads to another page of ours.

    >>> see("/work", operation="add").headers["location"]
    '/work?operation=add'
    """
    return RedirectResponse(f"{path}?{urlencode(query)}" if query else path, status_code=303)


def local_path(path: str) -> str:
    """Return *path* where it is one of ours, else the first place: nobody is led elsewhere by a form.

    >>> local_path("/find?operation=add"), local_path("//elsewhere.example"), local_path("")
    ('/find?operation=add', '/work', '/work')
    """
    return path if path.startswith("/") and not path.startswith(("//", "/\\")) else "/work"


BROWSERS = {"Edg/": "Edge", "Firefox/": "Firefox", "Chrome/": "Chrome", "Safari/": "Safari"}
SYSTEMS = {
    "Android": "Android",
    "iPhone": "iPhone",
    "iPad": "iPad",
    "Windows": "Windows",
    "Mac OS": "Mac",
    "Linux": "Linux",
}


def browser_words(agent: str) -> str:
    """Return what a browser says of itself, in words of ours.

    >>> browser_words("Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0")
    'Firefox on Linux'
    >>> browser_words("heron")
    'a browser'
    """
    name = next((words for sign, words in BROWSERS.items() if sign in agent), "a browser")
    system = next((words for sign, words in SYSTEMS.items() if sign in agent), "")
    return f"{name} on {system}" if system else name
