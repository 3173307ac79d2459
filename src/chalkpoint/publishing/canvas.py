"""Lines of text under construction: characters put at positions, each with a style; colour and ASCII."""

from __future__ import annotations

import unicodedata
from itertools import groupby

__all__ = ["TextLine", "in_ascii"]

#: ANSI codes. Colour only repeats what a mark already says.
STYLES = {"bold": "1", "soft": "2", "changed": "1;38;5;166"}

ASCII = str.maketrans(
    {
        "\u25b4": ".",  # the point
        "\u2503": "|",  # a wall of the tray
        "\u2591": "#",  # the hatch
        "\u2594": "^",  # under a changed bit
        "\u2577": "'",  # over a copy of the sign
        "\u2212": "-",
        "\u2013": "-",
        "\u00d7": "*",
        "\u00f7": "/",
        "\u2018": "'",
        "\u2019": "'",
        "\u201c": '"',
        "\u201d": '"',
        "\u2026": "~",  # a row with its middle left out
        "\u2192": ">",
        "\u2264": "<=",
        "\u2265": ">=",
    }
)


class TextLine:
    """A line on which text is put at positions, in any order; the last put wins.

    closes  whether it is open enough to stand between two steps without a blank line

    >>> line = TextLine()
    >>> line.put(4, "sum"); line.put(9, "01"); line.render()
    '    sum  01'
    """

    def __init__(self, *, closes: bool = False) -> None:
        self.closes = closes
        self._characters: dict[int, tuple[str, str]] = {}

    @property
    def length(self) -> int:
        """Characters up to the last one put."""
        return max(self._characters, default=-1) + 1

    def put(self, at: int, text: str, style: str = "") -> None:
        """Put *text* at position *at*."""
        for position, character in enumerate(text, start=at):
            self._characters[position] = (character, style)

    def render(self, *, colour: bool = False) -> str:
        """Return the line, without trailing blanks; *colour* adds the styles."""
        filled = [self._characters.get(position, (" ", "")) for position in range(self.length)]
        if not colour:
            return "".join(character for character, _ in filled).rstrip()
        runs = [(style, "".join(put[0] for put in run)) for style, run in groupby(filled, lambda put: put[1])]
        return "".join(_styled(text, style) for style, text in runs).rstrip()


def _styled(text: str, style: str) -> str:
    return f"\x1b[{STYLES[style]}m{text}\x1b[0m" if style else text


def in_ascii(text: str) -> str:
    """Return *text* in ASCII: our own marks by their stand-ins, letters without their accents.

    >>> in_ascii("\u22125.25 \u00d7 2^3, caf\u00e9")
    '-5.25 * 2^3, cafe'
    """
    plain = unicodedata.normalize("NFKD", text.translate(ASCII))
    letters = "".join(character for character in plain if not unicodedata.combining(character))
    return letters.encode("ascii", "replace").decode("ascii")
