"""Marks beside the pupil's own ink: a page for the teacher, made when all is marked. No reading comes from here."""

from __future__ import annotations

from collections.abc import Iterable
from importlib.resources import files

from markupsafe import Markup

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.scanning.answers import line_places
from chalkpoint.scanning.audit import audit_of
from chalkpoint.scanning.showing import Address, crop_svg
from chalkpoint.scanning.stack import Stack

__all__ = ["ink_page", "inked"]

SCALE = 2.4  # px a mm


def ink_of_line(stack: Stack, address: Address) -> dict[tuple[str, int, str], Markup]:
    """Return the picture of each line that was written, by pupil, question and line."""
    return {
        key: Markup(  # noqa: S704 - numbers, and an address of our own
            crop_svg(" ".join(f"{one:.1f}" for one in place), address(number), stack.page(number), SCALE)
        )
        for key, (number, place) in line_places(stack).items()
    }


def inked(stack: Stack, entries: Iterable[JsonObject], address: Address) -> list[JsonObject]:
    """Return *entries*, as `marks.json` has them, each point with the picture of the line it is for as "ink"."""
    ink = ink_of_line(stack, address)

    def point(student: str, question: int, one: JsonObject) -> JsonObject:
        return one | {"ink": ink.get((student, question, one["rule"]), ""), "written": one.get("written", "")}

    return [
        entry
        | {
            "questions": [
                asked
                | {"points": [point(entry["student"], asked["question"], one) for one in asked["points"]]}
                for asked in entry["questions"]
            ]
        }
        for entry in entries
    ]


def ink_page(stack: Stack, entries: Iterable[JsonObject], address: Address) -> str:
    """Return a page of its own with every mark beside the line it is for."""
    from jinja2 import Environment

    template = (files("chalkpoint.scanning") / "page" / "ink.html.jinja").read_text(encoding="utf-8")
    return (
        Environment(autoescape=True)
        .from_string(template)
        .render(title=stack.title, audit=audit_of(stack).sentence, pupils=inked(stack, entries, address))
    )
