"""The sheet of whole numbers, fixed point, and formats of a sign, an exponent and a size.

Their operations are declared line by line (`working.operations`). A line that is judged is of one of a few kinds
(`family_lines`, `family_sizes`); a line of no kind is worked with the next one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from chalkpoint.marking.encoding import values_miscopied
from chalkpoint.marking.family_lines import COSTS, Answers, Inverted, LineKind, Past, Remainder, Rows
from chalkpoint.marking.family_sizes import Numbers, Operands
from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.sheets import ANSWER, Written
from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.families import WHOLE
from chalkpoint.numbers.named import AnyFormat, AnyPattern
from chalkpoint.working.methods import READ, Line, Method
from chalkpoint.working.operands import in_its_own_format
from chalkpoint.working.page import OVERFLOW, AnyPage, Page
from chalkpoint.working.procedures import begin, context_of
from chalkpoint.working.question import Question

__all__ = ["ROWS", "FamilySheet"]

#: Lines that write a row of bits, and the number of the page that it is.
ROWS = {"negate": "second", "add": "total", "around": "total", "take_away": "total", "excess": "total"}
#: Lines that write a number, by family: whole numbers and fixed point, then sizes.
WHOLE_NUMBERS = {
    "weigh": "number",
    "scale": "value",
    "size": "value",
    "product": "total",
    "quotient": "total",
}
SIZE_NUMBERS = {
    "sign": "sign",
    "digits": "number",
    "combine": "total",
    "product": "total",
    "quotient": "total",
    "renormalise": "total",
    "exponent": "exponent",
    "exponents": "exponent",
    "point": "exponent",
    "size": "size",
    "round": "total",  # "size" where a value is stored
    "scale": "value",
}
OPERANDS = ("unpack", "align")  # lines that write a size for each operand
#: Lines that no rule writes by itself: the row inverted on the way to its opposite, and what a division leaves.
INVERT, REMAINDER = Line("invert", ()), Line("remainder", ())


class FamilySheet:
    """What an operation writes in a family whose operations are declared."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.format: AnyFormat = question.format
        self.context = context_of(question)
        self.start = begin(question)
        self.whole = self.format.family == WHOLE
        self.kinds: dict[str, LineKind] = self._kinds()
        self.past = Past()

    def _kinds(self) -> dict[str, LineKind]:
        """Return what kind each line is that may be judged here."""
        names = WHOLE_NUMBERS if self.whole else SIZE_NUMBERS
        if hasattr(self.start, "size"):
            names = names | {"round": "size"}
        answers, numbers = Answers(self.question), Numbers(self.format, names, self.question.course.point)
        found: dict[str, LineKind] = dict.fromkeys(names, numbers)
        if self.whole:
            found |= dict.fromkeys(ROWS, Rows(self.format, ROWS))
            found |= {INVERT.name: Inverted(self.format), REMAINDER.name: Remainder(answers)}
        else:
            found |= dict.fromkeys(OPERANDS, Operands(numbers))
        return found | dict.fromkeys((ANSWER.name, *COSTS), answers)

    def lines(self, base: Method, written: Written | None = None) -> tuple[Line, ...]:
        """Return the lines of *base* that are judged, and the answer; a line that is not goes with the next."""
        name = self.question.operation.name
        lines: list[Line] = [INVERT] if name == "negate" and self._adds_one() else []
        slots: tuple[str, ...] = ()
        for line in base.lines:
            slots += line.slots
            # What is past the range shows where the question is read.
            if line.name in self.kinds or (line.name == READ.name and self.question.past_range):
                lines.append(line._replace(slots=slots))
                slots = ()
        behind = [Line(cost, ()) for cost in COSTS] if name == "error" else []
        if self.whole and name == "divide" and not self.format.places:
            behind = [REMAINDER]
        return (*lines, ANSWER._replace(slots=slots), *behind)

    def _adds_one(self) -> bool:
        """Tell whether a row is negated by inverting it and adding one."""
        return self.format.family == WHOLE and self.format.field.kind == "two's complement"

    def goes_on(self, page: AnyPage) -> bool:
        """Tell whether right rules can go on: a word is the answer only."""
        return True

    def _kind(self, line: str, before: AnyPage) -> LineKind:
        """Return what *line* is: past the range nothing but the word, up to the answer."""
        if line != ANSWER.name and self.question.past_range and before.outcome == OVERFLOW:
            return self.past
        return self.kinds[line]

    def shows(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether *entries* are what *line* writes in going from *before* to *after*."""
        return self._kind(line, before).shows(line, before, after, self._counts(line, entries))

    def adopt(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> AnyPage:
        """Return *after* with what is written in the place of what should have been."""
        return self.kinds[line].adopt(line, before, after, self._counts(line, entries))

    def _counts(self, line: str, entries: tuple[Reading, ...]) -> tuple[Reading, ...]:
        """Return what counts of a line: the last of several equations, or the sizes of both operands."""
        return entries if line in OPERANDS else entries[-1:]

    def says(self, line: str, before: AnyPage, after: AnyPage) -> str:
        """Return what *line* writes in going from *before* to *after*."""
        return self._kind(line, before).says(line, before, after)

    def had(self, line: str, before: AnyPage) -> str:
        """Return what the page had before *line*: the question itself."""
        return ", ".join(self.question.operands)

    def inputs(self, before: AnyPage) -> list[str]:
        """Return the rows a pupil might copy instead of working on them."""
        return [
            to_bits(getattr(before, name), self.format.bits) for name in ("second",) if hasattr(before, name)
        ]

    # === Slips in copying ===

    def altered(self) -> list[tuple[str, AnyPage]]:
        """Return (what was miscopied, the page it leads to) for each small slip in copying the question."""
        question = self.question
        if not question.patterns:
            return [
                (words, replace_value(self.start, value)) for words, value in values_miscopied(question.value)
            ]
        found = [*self._rows_as_they_stand()]
        for number, pattern in enumerate(question.patterns):
            for words, other in self._miscopied(pattern):
                if question.operation.name == "divide" and number and not self._divides(other):
                    continue
                patterns = (*question.patterns[:number], other, *question.patterns[number + 1 :])
                found.append((f"a pattern copied with {words}", begin(replace(question, patterns=patterns))))
        return found

    def _rows_as_they_stand(self) -> Iterator[tuple[str, AnyPage]]:
        """Yield the page with the rows of operands in formats of their own, their points not in one column."""
        own = [in_its_own_format(spelled) for spelled in self.question.spelled]
        if any(own) and isinstance(self.start, Page):
            rows = dict(zip(("first", "second"), own, strict=False))
            shifted = {name: int(one[0] * 2 ** one[1]) for name, one in rows.items() if one}
            yield "the points of the rows not in one column", self.start._replace(**shifted)

    def _divides(self, pattern: AnyPattern) -> bool:
        """Tell whether something can be divided by *pattern*: in whole numbers zero has no quotient."""
        return self.format.family != WHOLE or bool(self.format.value(pattern))

    def _miscopied(self, pattern: AnyPattern) -> Iterator[tuple[str, AnyPattern]]:
        bits = self.format.write(pattern).replace(" ", "")
        for at, bit in enumerate(bits):
            yield "one bit changed", self.format.read(f"{bits[:at]}{'10'[int(bit)]}{bits[at + 1 :]}")
        for at, pair in enumerate(map("".join, pairwise(bits))):
            if pair in {"01", "10"}:
                yield "two bits exchanged", self.format.read(bits[:at] + pair[::-1] + bits[at + 2 :])


def replace_value(page: AnyPage, value: Fraction) -> AnyPage:
    """Return the first *page* of storing with another value."""
    return page._replace(value=value)
