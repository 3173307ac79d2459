"""The sheet of choosing a format: bits of the mantissa, bits of the exponent, and the format they make."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

from chalkpoint.marking.reading import Reading
from chalkpoint.marking.sheets import ANSWER, Written
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.formats import parse_format
from chalkpoint.working.choosing import (
    MOST_EXPONENT_BITS,
    MOST_MANTISSA_BITS,
    Need,
    Serving,
    serving,
    smallest_format,
)
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.question import Question

__all__ = ["CHOOSING", "ChoiceSheet"]

LEAST_BITS = 2
BITS = re.compile(r"(\d{1,4})(?:\s*bits?)?")


class ChoicePage(NamedTuple):
    """How many bits each field has: none as long as it is not chosen."""

    mantissa: int = 0
    exponent: int = 0


def _least(bits: range, serves: Callable[[int], bool], otherwise: int) -> int:
    return next((count for count in bits if serves(count)), otherwise)


def choose_mantissa(page: ChoicePage, chosen: Serving) -> ChoicePage:
    """Take the bits that the smallest format has: its neighbours at the far end are near enough."""
    return page._replace(mantissa=chosen.format.mantissa_bits)


def choose_exponent(page: ChoicePage, chosen: Serving) -> ChoicePage:
    """Take the fewest bits with which such a mantissa reaches both ends, and near enough to zero."""
    if not LEAST_BITS <= page.mantissa <= MOST_MANTISSA_BITS:
        return page._replace(exponent=chosen.format.exponent_bits)

    def serves(bits: int) -> bool:
        one = serving(parse_format(f"{page.mantissa}+{bits}"), chosen.need)
        return one.reaches and one.near_zero

    bits = range(LEAST_BITS, MOST_EXPONENT_BITS + 1)
    return page._replace(exponent=_least(bits, serves, chosen.format.exponent_bits))


CHOOSING = Method(
    "",
    "choose-format",
    (Line("mantissa", ("mantissa",)), Line("exponent", ("exponent",))),
    {"mantissa": choose_mantissa, "exponent": choose_exponent},
)


class ChoiceSheet:
    """What choosing a format writes."""

    def __init__(self, question: Question) -> None:
        self.question = question
        chosen = smallest_format(Need(*question.amounts))
        if chosen is None:
            raise EntryError("no format taken here serves; give a narrower range or a larger step")
        self.context = chosen
        self.start = ChoicePage()

    def lines(self, base: Method, written: Written | None = None) -> tuple[Line, ...]:
        """Return both fields, and the format."""
        return (*base.lines, ANSWER)

    def goes_on(self, page: ChoicePage) -> bool:
        """Tell whether right rules can go on: they always can."""
        return True

    def shows(self, line: str, before: ChoicePage, after: ChoicePage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether *entries* are what *line* writes: of formats of as few bits any that serves is right."""
        entry = entries[0]
        if line == ANSWER.name:
            return self._is_format(entry, after)
        return _count(entry) == {"mantissa": after.mantissa, "exponent": after.exponent}[line]

    def _is_format(self, entry: Reading, page: ChoicePage) -> bool:
        spelling = _spelling(entry)
        if spelling == self.says(ANSWER.name, page, page):
            return True
        right = (self.context.format.mantissa_bits, self.context.format.exponent_bits)
        if (page.mantissa, page.exponent) != right:
            return False
        try:
            other = parse_format(spelling)
        except EntryError:
            return False
        return other.bits == self.context.format.bits and serving(other, self.context.need).enough

    def adopt(
        self, line: str, before: ChoicePage, after: ChoicePage, entries: tuple[Reading, ...]
    ) -> ChoicePage:
        """Return *after* with what is written in the place of what should have been."""
        count = _count(entries[0])
        return after if line == ANSWER.name or count is None else after._replace(**{line: count})

    def says(self, line: str, before: ChoicePage, after: ChoicePage) -> str:
        """Return what *line* writes in going from *before* to *after*."""
        if line == ANSWER.name:
            return f"{after.mantissa}+{after.exponent}"
        return str(getattr(after, line))

    def had(self, line: str, before: ChoicePage) -> str:
        """Return what stood there before *line*: the question itself."""
        return ", ".join(self.question.shown)

    def inputs(self, before: ChoicePage) -> list[str]:
        """Return the rows a pupil might copy instead of working on them."""
        return []

    def altered(self) -> list[tuple[str, ChoicePage]]:
        """Return (what was miscopied, the page it leads to): nothing is looked for here."""
        return []


def _count(entry: Reading) -> int | None:
    """Return how many bits are written, such as "9" or "9 bits"."""
    found = BITS.fullmatch(entry.text.strip())
    return int(found[1]) if found else None


def _spelling(entry: Reading) -> str:
    return "".join(entry.text.lower().split())
