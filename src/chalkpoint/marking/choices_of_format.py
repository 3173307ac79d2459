"""The sheet of choosing a format: bits of the mantissa, bits of the exponent, and the format they make."""

from __future__ import annotations

import re

from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.sheets import ANSWER, Written
from chalkpoint.working.choosing import ChoicePage, Serving, chosen_for, serves_as_well
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.question import Question

__all__ = ["ChoiceSheet"]

BITS = re.compile(r"(\d{1,4})(?:\s*bits?)?")


class ChoiceSheet:
    """What choosing a format writes."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.context: Serving = chosen_for(question)
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
        return (page.mantissa, page.exponent) == right and serves_as_well(spelling, self.context)

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
        """Return what the page had before *line*: the question itself."""
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
