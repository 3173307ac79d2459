"""Light room or dark room, as the teacher says; else as the browser does."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.web.pagerequest import PageRequest, local_path, see, teacher_page

__all__ = ["ROUTES"]

LOOKS = ("slate", "light")


def choose_look(request: PageRequest) -> Response:
    """Remember the look and go back to the page."""
    request.remember("look", request.form.one_of("look", LOOKS))
    return see(local_path(request.form.text("to")))


ROUTES = [Route("/look", teacher_page(choose_look), methods=["POST"])]
