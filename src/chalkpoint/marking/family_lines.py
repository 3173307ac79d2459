"""Lines that write a row of bits, and the answers, in families whose operations are declared."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any, Protocol

from chalkpoint.marking.answer import read_answer
from chalkpoint.marking.family_numbers import is_value
from chalkpoint.marking.manners import OWN_VALUE, ZEROS_ADDED
from chalkpoint.marking.patterns import Reading
from chalkpoint.numbers.bits import signed, to_bits, with_point
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.families import WHOLE
from chalkpoint.numbers.named import AnyFormat, AnyPattern
from chalkpoint.working.codes import CodePage
from chalkpoint.working.page import IN_RANGE, OUTCOMES, OVERFLOW, TOO_LONG, AnyPage, remainder
from chalkpoint.working.procedures import BETWEEN, write_answer
from chalkpoint.working.question import Question

__all__ = ["COSTS", "Answers", "Inverted", "LineKind", "Past", "Remainder", "Rows"]

COSTS = ("absolute", "relative")
STORING = ("encode", "error")


class LineKind(Protocol):
    """What a kind of line shows, takes over and says, in going from the page *before* it to the page *after* it."""

    def shows(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether *entries* are what *line* writes."""

    def adopt(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> AnyPage:
        """Return *after* with what is written in the place of what should have been."""

    def says(self, line: str, before: AnyPage, after: AnyPage) -> str:
        """Return what *line* writes."""


class Rows:
    """Lines that write a row of bits: by line, the number of the page that it is."""

    def __init__(self, fmt: AnyFormat, numbers: dict[str, str]) -> None:
        self.format = fmt
        self.numbers = numbers

    def shows(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether the row is written, or the word."""
        entry = entries[0]
        if entry.word:
            return bool(OUTCOMES[after.outcome] == entry.word)
        return entry.bare in self._written(line, after)

    def _written(self, line: str, page: AnyPage) -> tuple[str, ...]:
        """Return the row that *line* writes, and that row with the carry in front where one leaves it."""
        bits, number = self.format.bits, getattr(page, self.numbers[line])
        if page.outcome == TOO_LONG:
            return (to_bits(number, bits + 1),)
        row, columns = to_bits(number, bits), (1 << bits) - 1
        if line != "add":
            return (row,)
        total = number if isinstance(page, CodePage) else (page.first & columns) + (page.second & columns)
        return row, f"{total >> bits & 1}{row}"

    def adopt(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> AnyPage:
        """Return *after* with the row that is written; a carry that is not written in front is the right one."""
        if not entries[0].bare:
            return after
        width = self.format.bits
        bits = entries[0].bare[-width:]
        if not isinstance(after, CodePage):
            number = signed(bits.rjust(width, bits[0]))
        elif line == "add" and len(entries[0].bare) <= width:
            number = after.total >> width << width | int(bits, 2)
        else:
            number = int(entries[0].bare if line == "add" else bits, 2)
        return after._replace(**{self.numbers[line]: number, "outcome": IN_RANGE})

    def says(self, line: str, before: AnyPage, after: AnyPage) -> str:
        """Return the row, its point shown; in front of it, in brackets, the carry that the next line brings round."""
        row, *carried = self._written(line, after)
        shown = with_point(row, getattr(self.format, "places", 0))
        field = getattr(self.format, "field", None)
        goes_round = carried and carried[0][0] == "1" and field and field.kind == "ones' complement"
        return f"(1){shown}" if goes_round else shown


class Inverted:
    """The row with every bit inverted, on the way to its opposite: no rule writes it by itself."""

    def __init__(self, fmt: AnyFormat) -> None:
        self.format = fmt

    def _row(self, page: AnyPage) -> str:
        return to_bits(~page.second, self.format.bits)

    def shows(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether that row is written, with the one that is added or without."""
        sides = re.split(r"=|\+|->|\u2192", entries[0].text)
        return self._row(before) in {entries[0].bare, *(re.sub("[^01]", "", side) for side in sides)}

    def adopt(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> AnyPage:
        """Return *after* with the row that would be what is written once it is inverted."""
        row = entries[0].bare
        return after._replace(second=~signed(row)) if len(row) == self.format.bits else after

    def says(self, line: str, before: AnyPage, after: AnyPage) -> str:
        """Return that row, its point shown."""
        return with_point(self._row(before), self.format.places)


class Remainder:
    """What a division leaves of whole numbers."""

    def __init__(self, answers: Answers) -> None:
        self.answers = answers

    def shows(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether it is written."""
        return self.answers.is_pattern(entries[0], self.says(line, before, after))

    def adopt(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> AnyPage:
        """Return *after*: nothing follows from a remainder."""
        return after

    def says(self, line: str, before: AnyPage, after: AnyPage) -> str:
        """Return its row."""
        return to_bits(remainder(after, 0), self.answers.format.bits)


class Past:
    """Every line behind an operand past the range: nothing but the word can be written."""

    word = OUTCOMES[OVERFLOW]

    def shows(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether the word is written."""
        return entries[0].word == self.word

    def adopt(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> AnyPage:
        """Return *after*."""
        return after

    def says(self, line: str, before: AnyPage, after: AnyPage) -> str:
        """Return the word."""
        return self.word


class Answers:
    """The answer, and the costs of storing behind it."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.format: AnyFormat = question.format

    def shows(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether it is the pattern, the value or the word on the page; of a cost, its value."""
        expected = self.says(line, before, after)
        if line in COSTS:
            return bool(expected) and entries[0].value == Fraction(expected)
        return self._answers(after, entries[0], expected)

    def _answers(self, page: AnyPage, entry: Reading, expected: str) -> bool:
        if self.question.operation.name == "decode":
            return self._is_read(page, entry, expected)
        more = len(entry.bare) - self.format.bits if entry.digits else -1
        if more >= 0 and self.is_pattern(entry, expected):
            return True
        if more == 0:
            return False
        answer = read_answer(self.question, entry.text)
        if more > 0 and not ZEROS_ADDED & {*answer.manners}:
            return False
        own = self.question.operation.name in OWN_VALUE and "value without its pattern" in answer.manners
        return answer.readable and not own and not answer.several and answer.spelling == expected

    def _is_read(self, page: Any, entry: Reading, expected: str) -> bool:
        value = getattr(page, "value", None) if not getattr(page, "special", False) else None
        if entry.value is not None or value is not None:
            return value is not None and is_value(entry, value, exact=self.format.family == WHOLE)
        return read_answer(self.question, entry.text).spelling == expected

    def is_pattern(self, entry: Reading, expected: str) -> bool:
        """Tell whether *entry* is the pattern *expected*, its point, if it is written, where the format has it."""
        _, point, fraction = entry.digits.partition(".")
        if self.format.family == WHOLE and point and len(fraction) != self.format.places:
            return False
        if (
            self.format.family == WHOLE
            and self.question.operation.name in STORING
            and expected == self.format.zero
        ):
            # Of two zeros either will do: a size that was cut to nothing may have kept its minus.
            return len(entry.bare) == self.format.bits and self.format.value(entry.bare) == 0
        return entry.bare == expected.replace(" ", "")

    def adopt(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> AnyPage:
        """Return *after*, with the pattern that is written as what is stored where its errors follow from that."""
        if self.question.operation.name != "error" or line in COSTS:
            return after
        try:
            pattern: AnyPattern = self.format.read(read_answer(self.question, entries[0].text).spelling)
        except EntryError:
            return after
        return after._replace(pattern=pattern)

    def says(self, line: str, before: AnyPage, after: AnyPage) -> str:
        """Return one of the answers on the page: the costs of storing follow the pattern."""
        written = write_answer(after, self.question).split(BETWEEN)
        return dict(zip(("answer", *COSTS), written, strict=False)).get(line, "")
