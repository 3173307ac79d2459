"""Pages from templates: what every page is given, and the parts that all share."""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.responses import HTMLResponse

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing import html
from chalkpoint.web.courses import course_asked
from chalkpoint.web.pagerequest import PageRequest

if TYPE_CHECKING:
    from jinja2 import Environment

__all__ = ["PLACES", "address", "render", "show"]

#: The five places, in the order of a teacher's week.
PLACES = ("work", "find", "set", "mark", "teach")


def show(request: PageRequest, template: str, *, status: int = 200, **shown: Any) -> HTMLResponse:
    """Return the page that *template* makes of what is *shown*.

    Every template is given: `request`, `places`, `place` (the first part of the address), `nonce` (for a style of
    the page's own), `course` (the conventions asked under), `token` (a form's), `static` and `address`.
    """
    page = _templates().get_template(template)
    path = request.http.url.path
    return HTMLResponse(
        page.render(
            {
                "request": request,
                "places": PLACES,
                "place": path.split("/")[1],
                "nonce": request.http.state.nonce,
                "course": course_asked(request, quietly=True),
                "token": request.token if request.session else "",
                "look": request.cookie("look"),
            }
            | shown
        ),
        status_code=status,
    )


def render(template: str, shown: JsonObject) -> str:
    """Return a part of a page, for a page that is open already."""
    return _templates().get_template(template).render(shown)


def address(path: str, **query: Any) -> str:
    """Return an address of ours; entries that are None or empty are left out, lists are repeated.

    >>> address("/work", operation="add", operand=["1.5", "2.5"], course="")
    '/work?operation=add&operand=1.5&operand=2.5'
    """
    kept = {name: value for name, value in query.items() if value not in (None, "", [], ())}
    return f"{path}?{urlencode(kept, doseq=True)}" if kept else path


def static(name: str) -> str:
    """Return the address of a file in `static/`, which changes when the file does.

    >>> static("web.css").startswith("/static/web.css?v=")
    True
    """
    return f"/static/{name}?v={_digest(name)}"


@cache
def _digest(name: str) -> str:
    own = files("chalkpoint.web") / "static" / name
    data = html.rails_sheet().encode() if name == "rails.css" else own.read_bytes()
    return sha256(data).hexdigest()[:10]


@cache
def _templates() -> Environment:
    """Return the templates of web, which may use those of a working's drawing too."""
    from jinja2 import ChoiceLoader, PackageLoader

    drawing = html.templates()
    environment = drawing.overlay(
        loader=ChoiceLoader([PackageLoader("chalkpoint.web"), PackageLoader("chalkpoint.publishing")])
    )
    environment.globals |= {"static": static, "address": address}
    return environment
