"""The account: a teacher's open sessions, each with its end; a new password; what the security log says."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.records import passwords, security, sessions, teachers, tries
from chalkpoint.records.kept import NotKept
from chalkpoint.web.live.hub import SESSION
from chalkpoint.web.pagerequest import Endpoint, Handler, LaneName, PageRequest, see, teacher_page
from chalkpoint.web.showing import show
from chalkpoint.web.signing import new_session

__all__ = ["ROUTES"]


def own_account(handler: Handler, lane: LaneName = "teachers") -> Endpoint:
    """Return the endpoint of a page about signing in, which a browser's tab has not."""

    def page(request: PageRequest) -> Response:
        if request.app.settings.in_a_tab:
            raise NotKept("nobody signs in to a page in their own browser")
        return handler(request)

    return teacher_page(page, lane)


def account_page(request: PageRequest, refused: str = "") -> Response:
    """Show the account."""
    assert request.who is not None  # noqa: S101 - `teacher_page` lets nobody else in
    with request.app.store.read() as db:
        shown = sessions.sessions_of(db, request.who, request.session)
        logged = security.latest(db, request.teacher)
    return show(
        request,
        "account.html.jinja",
        status=422 if refused else 200,
        sessions=shown,
        logged=logged,
        refused=refused,
    )


def end_session(request: PageRequest) -> Response:
    """End one session, or every other one."""
    assert request.who is not None  # noqa: S101 - `teacher_page` lets nobody else in
    with request.app.store.write() as db:
        if request.form.text("session"):
            sessions.close_one(db, request.who, request.form.text("session"))
        else:
            sessions.close_all(db, request.who, but=request.session)
        security.note(db, "session ended", teacher=request.teacher, browser=request.browser)
    request.app.hub.tell(request.teacher, SESSION)
    return see("/account")


def change_password(request: PageRequest) -> Response:
    """Keep a new password in place of the old one, and end every other session."""
    form, who = request.form, request.who
    assert who is not None  # noqa: S101 - `teacher_page` lets nobody else in
    what = f"password {request.app.key.digest('change', who.id)}"
    with request.app.store.write() as db:
        known, digest = teachers.digest_for(db, who.name)
        wait = tries.wait_for(db, what) if known else 0
        if known and not wait:
            tries.note(db, what)
    try:
        if wait:
            raise EntryError(f"too many wrong passwords were given; wait {wait} s")
        if known and not passwords.fits(digest, form.text("old")):
            raise EntryError("the password until now is another one; type it again")
        if form.text("new") != form.text("again"):
            raise EntryError("the two new passwords differ; type them again")
        fresh = passwords.digest_of(form.text("new"))
    except ChalkpointError as reason:
        return account_page(request, str(reason))
    with request.app.store.write() as db:
        tries.forget(db, what)
        teachers.keep_digest(db, who, fresh)
        sessions.close_all(db, who)
        security.note(db, "password changed", teacher=who.id, browser=request.browser)
        new_session(request, db, who, fresh)
    request.app.sign_in_needed = True
    request.app.hub.tell(request.teacher, SESSION)
    return see("/account")


ROUTES = [
    Route("/account", own_account(account_page)),
    Route("/account/end", own_account(end_session), methods=["POST"]),
    Route("/account/password", own_account(change_password, "signing"), methods=["POST"]),
]
