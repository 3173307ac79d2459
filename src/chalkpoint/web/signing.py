"""Signing in and out: only where other machines are let in, or a password was set."""

from __future__ import annotations

import hmac
import secrets

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.records import sessions, teachers
from chalkpoint.records.store import Store
from chalkpoint.web.pagerequest import (
    COOKIE,
    PageRequest,
    StaleError,
    local_path,
    open_page,
    see,
    teacher_page,
)
from chalkpoint.web.showing import show

__all__ = ["ROUTES", "has_password"]

DOOR = "door"  # a secret shared by the page of the sign-in form and its browser, before there is a session


def has_password(store: Store) -> bool:
    """Tell whether any teacher has a password, so that nobody is let in without."""
    with store.read() as db:
        return teachers.any_password(db)


def sign_in_page(request: PageRequest) -> Response:
    """Ask for name and password."""
    door = request.http.cookies.get(DOOR) or secrets.token_urlsafe(16)
    request.remember(DOOR, door)
    return show(request, "sign-in.html.jinja", to=request.form.text("to"), door=door, refused="", name="")


def sign_in(request: PageRequest) -> Response:
    """Open a session for the teacher whose password it is."""
    form, door = request.form, request.http.cookies.get(DOOR, "")
    if not door or not hmac.compare_digest(form.text(DOOR).encode(), door.encode()):
        raise StaleError("this page is too old to sign in from; open it again")
    with request.app.store.write() as db:
        teacher = teachers.check_password(db, form.text("name"), form.text("password"))
        if teacher:
            request.remember(COOKIE, sessions.open_session(db, teacher))
    if teacher is None:
        said = "That name and password do not go together; type them again. After several tries wait five minutes."
        shown = {"to": form.text("to"), "door": door, "refused": said, "name": form.text("name")}
        return show(request, "sign-in.html.jinja", status=403, **shown)
    return see(local_path(form.text("to")))


def sign_out(request: PageRequest) -> Response:
    """Close the session."""
    with request.app.store.write() as db:
        sessions.close_session(db, request.session)
    request.remember(COOKIE, "")
    return see("/sign-in" if request.app.sign_in_needed else "/work")


ROUTES = [
    Route("/sign-in", open_page(sign_in_page)),
    Route("/sign-in", open_page(sign_in), methods=["POST"]),
    Route("/sign-out", teacher_page(sign_out), methods=["POST"]),
]
