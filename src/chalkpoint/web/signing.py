"""Signing in and out: only where other machines are let in, or a password was set."""

from __future__ import annotations

import hmac
import secrets

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.records import passwords, security, sessions, teachers, tries
from chalkpoint.records.store import Store, Transaction
from chalkpoint.records.teachers import Teacher
from chalkpoint.web.live.hub import SESSION
from chalkpoint.web.pagerequest import (
    COOKIE,
    NotStartedError,
    PageRequest,
    StaleError,
    local_path,
    open_page,
    see,
    start_session,
    teacher_page,
)
from chalkpoint.web.showing import show

__all__ = ["ROUTES", "has_password", "new_session"]

DOOR = "door"  # a secret shared by the page of the sign-in form and its browser, before there is a session
KNOWN = "known"  # kept by a browser that its teacher signed in with before


def has_password(store: Store) -> bool:
    """Tell whether any teacher has a password, so that nobody is let in without."""
    with store.read() as db:
        return teachers.any_password(db)


def start(request: PageRequest) -> Response:
    """Open a session for the machine's own teacher, who came by the address that was printed."""
    token = request.app.settings.start_token
    if not token:
        return see(local_path(request.form.text("to")))
    if request.app.sign_in_needed or not _alike(request.form.text("token"), token):
        raise NotStartedError("open the address that chalkpoint serve printed when it was started")
    start_session(request)
    return see(local_path(request.form.text("to")))


def sign_in_page(request: PageRequest, refused: str = "") -> Response:
    """Ask for name and password."""
    door = request.cookie(DOOR) or secrets.token_urlsafe(16)
    request.remember(DOOR, door)
    shown = {
        "to": request.form.text("to"),
        "door": door,
        "refused": refused,
        "name": request.form.text("name"),
    }
    return show(request, "sign-in.html.jinja", status=403 if refused else 200, **shown)


def sign_in(request: PageRequest) -> Response:
    """Open a session for the teacher whose password it is.

    The try is counted before the password is looked at, so that many at once are no more than many in a row; and it
    is looked at between two transactions, so that nobody who writes waits for it.
    """
    form, door = request.form, request.cookie(DOOR)
    if not door or not _alike(form.text(DOOR), door):
        raise StaleError("this page is too old to sign in from; open it again")
    name = form.text("name")
    with request.app.store.write() as db:
        teacher, digest = teachers.digest_for(db, name)
        what = _what(request, name, teacher, digest)
        wait = tries.wait_for(db, what)
        if not wait:
            tries.note(db, what)
    if wait:
        return sign_in_page(request, f"Too many wrong passwords came from here; wait {wait} s and try again.")
    right = passwords.fits(digest, form.text("password")) and teacher is not None
    if teacher is None or not right:
        with request.app.store.write() as db:
            security.note(
                db, "sign-in refused", teacher=teacher.id if teacher else None, browser=request.browser
            )
        return sign_in_page(request, "That name and password do not go together; type them again.")
    fresh = passwords.digest_of(form.text("password")) if passwords.is_outdated(digest) else digest
    with request.app.store.write() as db:
        tries.forget(db, what)
        if fresh != digest:
            teachers.keep_digest(db, teacher, fresh)
        sessions.forget_old(db)
        security.note(db, "signed in", teacher=teacher.id, browser=request.browser)
        new_session(request, db, teacher, fresh)
    return see(local_path(form.text("to")))


def new_session(request: PageRequest, db: Transaction, teacher: Teacher, digest: str) -> None:
    """Open a session in place of the one this browser had, and let the browser be known from now on."""
    if request.cookie(COOKIE):
        sessions.close_session(db, request.cookie(COOKIE))
    request.session = sessions.open_session(db, teacher, browser=request.browser, by_password=True)
    request.remember(COOKIE, request.session)
    own = secrets.token_urlsafe(16)
    request.remember(KNOWN, f"{own}.{request.app.key.digest(KNOWN, own, teacher.id, digest)}")


def _what(request: PageRequest, name: str, teacher: Teacher | None, digest: str) -> str:
    """Return what the tries of this browser at this name are counted under.

    A browser that the teacher signed in with before has a count of its own, so wrong tries of others never keep
    its teacher out.
    """
    key = request.app.key
    own, _, signed = request.cookie(KNOWN).partition(".")
    if teacher and signed and _alike(signed, key.digest(KNOWN, own, teacher.id, digest)):
        return f"password {key.digest('browser', own, name)}"
    return f"password {key.digest('source', key.source(request.client), name)}"


def sign_out(request: PageRequest) -> Response:
    """Close the session, and whatever it has open."""
    with request.app.store.write() as db:
        sessions.close_session(db, request.session)
        security.note(db, "signed out", teacher=request.teacher, browser=request.browser)
    request.app.hub.tell(request.teacher, SESSION)
    request.remember(COOKIE, "")
    return see("/sign-in" if request.app.sign_in_needed else "/work")


def _alike(given: str, wanted: str) -> bool:
    return hmac.compare_digest(given.encode(), wanted.encode())


ROUTES = [
    Route("/start", open_page(start, "signing")),
    Route("/sign-in", open_page(sign_in_page, "signing")),
    Route("/sign-in", open_page(sign_in, "signing"), methods=["POST"]),
    Route("/sign-out", teacher_page(sign_out), methods=["POST"]),
]
