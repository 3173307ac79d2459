"""What was written beside what was expected, digit by digit, as narrow rails with what differs marked."""

from __future__ import annotations

from html import escape
from itertools import zip_longest

from markupsafe import Markup  # jinja2 brings it

__all__ = ["rail_pair"]

LONG = 12  # digits; more are drawn narrower where a page has no room


def rail_pair(written: str, expected: str) -> Markup:
    """Return two narrow rails with the digits that differ bold on a bar, and the words for the ear.

    Anything that is no row of bits is shown as it was written.
    """
    if not _is_bits(written) or not _is_bits(expected):
        return Markup(  # noqa: S704 - both texts are escaped
            f'<span class="row"><span class="lab">written</span> <span class="bits">{escape(written)}</span></span> '
            f'<span class="row"><span class="lab">expected</span> <span class="bits">{escape(expected)}</span></span>'
        )
    left, right = ([field.replace(".", "") for field in text.split()] for text in (written, expected))
    fields = list(zip_longest(left, right, fillvalue=""))
    first = "".join(_rail(one, other) for one, other in fields)
    second = "".join(_rail(other, "") for _, other in fields if other)
    spoken = f"written {' '.join(left)}, expected {' '.join(right)}"
    return Markup(  # noqa: S704 - only digits, spaces and words of ours
        f'<span aria-hidden="true"><span class="row"><span class="lab">written</span> {first}</span> '
        f'<span class="row"><span class="lab">expected</span> {second}</span></span><span class="words">{spoken}</span>'
    )


def _is_bits(text: str) -> bool:
    return bool(text.strip()) and set(text) <= set("01. ")


def _rail(digits: str, other: str) -> str:
    cells = "".join(
        f'<b class="ch">{digit}</b>' if other and digit != against else f"<b>{digit}</b>"
        for digit, against in zip_longest(digits, other[: len(digits)], fillvalue="")
    )
    long = f' style="--n:{len(digits)}"' if len(digits) > LONG else ""
    return f'<span class="f"{long}>{cells}</span>'
