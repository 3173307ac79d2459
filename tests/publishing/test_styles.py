"""The colours of the look: contrast worked out from the style sheets themselves."""

import re
from importlib.resources import files

import pytest

from chalkpoint.publishing.svgpen import LIGHT

RAILS = (files("chalkpoint.publishing") / "templates" / "rails.css").read_text(encoding="utf-8")
PAGE = (files("chalkpoint.publishing") / "templates" / "page.css").read_text(encoding="utf-8")
LOOKS = [
    dict(re.findall(r"--(\w+): (#[0-9a-f]+);", block))
    for block in re.findall(r"\.chalkpoint \{\s*(--paper[^}]*)\}", RAILS)
]


def luminance(colour: str) -> float:
    """Return the relative luminance of #rgb or #rrggbb (WCAG 2.2)."""
    digits = colour.lstrip("#")
    digits = "".join(digit * 2 for digit in digits) if len(digits) == 3 else digits
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours (WCAG 2.2)."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_there_are_three_looks() -> None:
    """Light, a dark room, and print."""
    assert [look["paper"] for look in LOOKS] == ["#fbf9f4", "#1c2223", "#fff"]
    assert {frozenset(look) for look in LOOKS} == {frozenset(LIGHT)}


@pytest.mark.parametrize("look", LOOKS, ids=["light", "dark", "print"])
@pytest.mark.parametrize("name", ["ink", "soft", "change"])
def test_text_can_be_read(look: dict[str, str], name: str) -> None:
    """At least 4.5 to 1 on paper, in every look."""
    assert contrast(look[name], look["paper"]) >= 4.5


@pytest.mark.parametrize("look", LOOKS, ids=["light", "dark", "print"])
def test_lines_with_meaning_can_be_seen(look: dict[str, str]) -> None:
    """At least 3 to 1 on paper."""
    assert contrast(look["rail"], look["paper"]) >= 3


def test_drawings_have_the_colours_of_the_light_look() -> None:
    """The pen for SVG and the style sheet agree."""
    assert LOOKS[0] == LIGHT


def test_the_page_behind_has_the_colour_of_paper() -> None:
    """Beyond the body's edge too, in every look."""
    assert re.findall(r"html \{ background: (#\w+);", PAGE) == [look["paper"] for look in LOOKS]
