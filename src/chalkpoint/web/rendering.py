"""Templates: parts of pages, and what every template may call."""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing import html

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

__all__ = ["address", "environment", "montage_script", "render", "static"]


def render(template: str, shown: JsonObject) -> Markup:
    """Return a part of a page, for a page that is open already or as a part of another."""
    from markupsafe import Markup

    return Markup(environment().get_template(template).render(shown).strip())  # noqa: S704 - a template's own


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


def montage_script() -> bytes:
    """Return the script of a montage of boxes."""
    return (files("chalkpoint.scanning") / "page" / "montage.js").read_bytes()


@cache
def _digest(name: str) -> str:
    own = files("chalkpoint.web") / "static" / name
    if name == "montage.js":
        return sha256(montage_script()).hexdigest()[:10]
    data = html.rails_sheet().encode() if name == "rails.css" else own.read_bytes()
    return sha256(data).hexdigest()[:10]


@cache
def environment() -> Environment:
    """Return the templates of web, which may use those of a working's drawing too."""
    from jinja2 import ChoiceLoader, PackageLoader

    drawing = html.templates()
    made = drawing.overlay(
        loader=ChoiceLoader([PackageLoader("chalkpoint.web"), PackageLoader("chalkpoint.publishing")])
    )
    made.globals |= {"static": static, "address": address}
    return made
