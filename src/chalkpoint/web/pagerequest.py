"""A request as a page sees it: who asks, what was entered, and what the running app shares."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import Any, TypeAlias
from urllib.parse import quote, urlencode

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.records import sessions, teachers
from chalkpoint.records.teachers import Teacher
from chalkpoint.web.appstate import AppState
from chalkpoint.web.forms import Form, read_form

__all__ = ["COOKIE", "Handler", "PageRequest", "StaleError", "local_path", "open_page", "see", "teacher_page"]

COOKIE = "chalkpoint"
TOKEN = "token"  # noqa: S105 - the name of a form's field


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
    """

    http: Request
    app: AppState
    form: Form
    who: Teacher | None = None
    session: str = ""
    cookies: dict[str, str] = field(default_factory=dict)

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
    def path(self) -> dict[str, Any]:
        """The parts of the address that are names, such as an id."""
        return self.http.path_params

    @property
    def address(self) -> str:
        """The address asked for, without the machine's name."""
        url, path = self.http.url, quote(self.http.scope["path"])  # the library leaves % as it is
        return f"{path}?{url.query}" if url.query else path

    def check_token(self) -> None:
        """Raise StaleError unless the form carries the session's token."""
        if not self.session or not hmac.compare_digest(self.form.text(TOKEN).encode(), self.token.encode()):
            raise StaleError(
                "this page is older than your session, so nothing was done; open it again and send it again"
            )

    def remember(self, name: str, value: str) -> None:
        """Let the browser keep *value*, which is no secret, under *name*."""
        self.cookies[name] = value


Handler: TypeAlias = Callable[[PageRequest], Response]
Endpoint: TypeAlias = Callable[[Request], Awaitable[Response]]


def teacher_page(handler: Handler) -> Endpoint:
    """Return the endpoint of a page for teachers: others are sent to sign in, and forms must carry the token."""

    def answer(request: PageRequest) -> Response:
        _know_teacher(request)
        if request.who is None:
            return see("/sign-in", to=request.address) if request.http.method == "GET" else see("/sign-in")
        if request.http.method == "POST":
            request.check_token()
        return handler(request)

    return _endpoint(answer)


def open_page(handler: Handler) -> Endpoint:
    """Return the endpoint of a page that anybody may ask for."""
    return _endpoint(handler)


def _endpoint(handler: Handler) -> Endpoint:
    async def endpoint(http: Request) -> Response:
        form, refused = Form(), None
        try:
            form = await read_form(http)
        except EntryError as reason:
            refused = reason

        def answer() -> Response:
            request = PageRequest(http, http.app.state.shared, form)
            http.state.page_request = request
            if refused:
                raise refused
            response = handler(request)
            _set_cookies(request, response)
            return response

        return await run_in_threadpool(answer)

    return endpoint


def _know_teacher(request: PageRequest) -> None:
    """Find the teacher whose session it is; on the teacher's own machine a session opens by itself.

    Only pages for teachers do so: pupils' pages neither see a teacher's cookie nor give one.
    """
    app = request.app
    request.session = request.http.cookies.get(COOKIE, "")
    if request.session:
        with app.store.read() as db:
            request.who = sessions.who(db, request.session)
    if request.who is None and not app.sign_in_needed:
        with app.store.write() as db:
            if teachers.any_password(db):  # set while this process was serving
                app.sign_in_needed = True
                return
            request.who = teachers.local_teacher(db)
            request.session = sessions.open_session(db, request.who)
        request.remember(COOKIE, request.session)


def _set_cookies(request: PageRequest, response: Response) -> None:
    for name, value in request.cookies.items():
        if value:
            response.set_cookie(name, value, max_age=90 * 86_400, httponly=True, samesite="lax")
        else:
            response.delete_cookie(name, httponly=True, samesite="lax")


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
