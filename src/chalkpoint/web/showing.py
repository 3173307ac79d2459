"""Pages from templates: what every page is given, and the parts that all share."""

from __future__ import annotations

from typing import Any

from starlette.responses import HTMLResponse

from chalkpoint.web.courses import course_asked
from chalkpoint.web.pagerequest import PageRequest
from chalkpoint.web.rendering import environment

__all__ = ["PLACES", "show"]

#: The five places, in the order of a teacher's week.
PLACES = ("work", "find", "set", "mark", "teach")


def show(request: PageRequest, template: str, *, status: int = 200, **shown: Any) -> HTMLResponse:
    """Return the page that *template* makes of what is *shown*.

    Every template is given: `request`, `places`, `place` (the first part of the address), `nonce` (for a style of
    the page's own), `course` (the conventions asked under), `token` (a form's), `static` and `address`.
    """
    page = environment().get_template(template)
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
