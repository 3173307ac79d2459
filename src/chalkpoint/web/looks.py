"""Light room or dark room, as the teacher says; else as the browser does."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.web.asking import Asking, local_path, see, teacher_page

__all__ = ["ROUTES"]

LOOKS = ("slate", "light")


def choose_look(asking: Asking) -> Response:
    """Remember the look and go back to the page."""
    asking.remember("look", asking.form.one_of("look", LOOKS))
    return see(local_path(asking.form.text("to")))


ROUTES = [Route("/look", teacher_page(choose_look), methods=["POST"])]
