"""The sheet of whole numbers, fixed point, and formats of a sign, an exponent and a size.

Their operations are declared line by line (`working.operations`). A line that is judged writes one number of its page;
a line whose number is not named here is worked with the next one.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from chalkpoint.marking.answer import OWN_VALUE, read_answer
from chalkpoint.marking.encoding import values_miscopied
from chalkpoint.marking.reading import Reading
from chalkpoint.marking.sheets import ANSWER, Written
from chalkpoint.numbers.bits import signed, to_bits, with_point
from chalkpoint.numbers.exact import is_dyadic, write_value
from chalkpoint.numbers.families import WHOLE
from chalkpoint.numbers.named import AnyFormat, AnyPattern
from chalkpoint.working.codes import CodePage
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.page import IN_RANGE, OUTCOMES, TOO_LONG, AnyPage
from chalkpoint.working.procedures import BETWEEN, begin, context_of, write_answer
from chalkpoint.working.question import Question
from chalkpoint.working.size_values import SizeStorePage

__all__ = ["FamilySheet"]

COSTS = ("absolute", "relative")
SIZES = ("size", "round")  # lines that write a size, in binary as a rule
FURTHEST = 1 << 15  # of an exponent: sizes are shifted by as much
#: Lines that write a row of bits, and the number of the page that it is.
ROWS = {"negate": "second", "add": "total", "around": "total", "take_away": "total", "excess": "total"}
#: Lines that write a number, by family: whole numbers and fixed point, then sizes.
WHOLE_NUMBERS = {"weigh": "number", "scale": "value", "size": "value"}
SIZE_NUMBERS = {
    "exponent": "exponent",
    "exponents": "exponent",
    "point": "exponent",
    "size": "size",
    "round": "total",  # "size" where a value is stored
    "scale": "value",
}


class FamilySheet:
    """What an operation writes in a family whose operations are declared."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.format: AnyFormat = question.format
        self.context = context_of(question)
        self.start = begin(question)
        whole = self.format.family == WHOLE
        self.rows = ROWS if whole else {}
        self.numbers = WHOLE_NUMBERS if whole else SIZE_NUMBERS
        if hasattr(self.start, "size"):
            self.numbers = self.numbers | {"round": "size"}

    def lines(self, base: Method, written: Written | None = None) -> tuple[Line, ...]:
        """Return the lines of *base* that are judged, and the answer; a line that is not goes with the next."""
        lines: list[Line] = []
        slots: tuple[str, ...] = ()
        for line in base.lines:
            slots += line.slots
            if line.name in self.rows or line.name in self.numbers:
                lines.append(line._replace(slots=slots))
                slots = ()
        costs = COSTS if self.question.operation.name == "error" else ()
        return (*lines, ANSWER._replace(slots=slots), *(Line(name, ()) for name in costs))

    def goes_on(self, page: AnyPage) -> bool:
        """Tell whether right rules can go on: a word stands in the answer's place only."""
        return True

    # === What is written against what should be ===

    def shows(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether *entries* are what *line* writes in going from *before* to *after*."""
        entry = entries[0]
        if line == ANSWER.name:
            return self._answers(after, entry)
        if line in COSTS:
            expected = self._part(after, line)
            return bool(expected) and entry.value == Fraction(expected)
        if line in self.rows:
            return self._shows_row(line, after, entry)
        if line == "round" and entry.exponent:
            return self._number(line, after) * power(after.exponent) in {
                size * power(int(entry.exponent)) for size in self._numbers(line, entry)
            }
        return self._number(line, after) in self._numbers(line, entry)

    def _answers(self, page: AnyPage, entry: Reading) -> bool:
        expected = self._part(page, ANSWER.name)
        if self.question.operation.name == "decode":
            value = getattr(page, "value", None) if not getattr(page, "special", False) else None
            if entry.value is not None or value is not None:
                return entry.value == value
            return read_answer(self.question, entry.text).spelling == expected
        if entry.digits:
            return self._is_pattern(entry, expected)
        answer = read_answer(self.question, entry.text)
        own = self.question.operation.name in OWN_VALUE and "value without its pattern" in answer.manners
        return answer.readable and not own and not answer.several and answer.spelling == expected

    def _is_pattern(self, entry: Reading, expected: str) -> bool:
        """Tell whether *entry* is the pattern *expected*, its point, if it is written, where the format has it."""
        _, point, fraction = entry.digits.partition(".")
        if self.format.family == WHOLE and point and len(fraction) != self.format.places:
            return False
        return entry.bare == expected.replace(" ", "")

    def _part(self, page: AnyPage, part: str) -> str:
        """Return one of the answers on *page*: what storing costs stands after the pattern."""
        if getattr(page, "special", False) and self.question.operation.name == "decode":
            word = write_answer(page, self.question)
            return f"minus {word}" if word == "infinity" and page.sign else word
        return dict(
            zip((ANSWER.name, *COSTS), write_answer(page, self.question).split(BETWEEN), strict=False)
        ).get(part, "")

    def _shows_row(self, line: str, page: AnyPage, entry: Reading) -> bool:
        if entry.word:
            return bool(OUTCOMES[page.outcome] == entry.word)
        return entry.bare in self._written_rows(line, page)

    def _written_rows(self, line: str, page: AnyPage) -> tuple[str, ...]:
        """Return the row that *line* writes, and that row with the carry in front where one leaves it."""
        bits, number = self.format.bits, getattr(page, self.rows[line])
        if page.outcome == TOO_LONG:
            return (to_bits(number, bits + 1),)
        row, columns = to_bits(number, bits), (1 << bits) - 1
        if line != "add":
            return (row,)
        total = number if isinstance(page, CodePage) else (page.first & columns) + (page.second & columns)
        return row, f"{total >> bits & 1}{row}"

    def _number(self, line: str, page: AnyPage) -> Fraction:
        number = Fraction(getattr(page, self.numbers[line]))
        if line in SIZES:
            return abs(number) if self.format.family == WHOLE else number / (1 << self.format.places)
        return number

    def _numbers(self, line: str, entry: Reading) -> set[Fraction]:
        """Return every number that *entry* may be: in decimal, or a size in binary."""
        found = set()
        if entry.value is not None and not entry.exponent:
            found.add(abs(entry.value) if line in SIZES else entry.value)
        if line in SIZES and entry.digits:
            whole, _, fraction = entry.digits.partition(".")
            found.add(Fraction(int(whole + fraction or "0", 2), 1 << len(fraction)))
        return found

    # === Taking over what is written ===

    def adopt(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> AnyPage:
        """Return *after* with what is written in the place of what should have been."""
        entry = entries[0]
        if line in self.rows and entry.bare:
            bits = entry.bare[-self.format.bits :]
            number = (
                int(bits, 2) if isinstance(after, CodePage) else signed(bits.rjust(self.format.bits, bits[0]))
            )
            return after._replace(**{self.rows[line]: number, "outcome": IN_RANGE})
        if line in self.numbers and (numbers := self._numbers(line, entry)):
            page = self._adopt_number(line, after, min(numbers))
            if line == "round" and entry.exponent:
                page = page._replace(exponent=max(-FURTHEST, min(FURTHEST, int(entry.exponent))))
            return self._stored_as_written(line, after, page)
        return after

    def _stored_as_written(self, line: str, right: AnyPage, page: AnyPage) -> AnyPage:
        """Return *page*, where a value is being stored, with the value that its own exponent and size have."""
        if not isinstance(page, SizeStorePage):
            return page
        if line == "point":
            return page._replace(value=page.value * power(page.exponent - right.exponent))
        size = -page.size if page.sign else page.size
        return page._replace(value=size * power(page.exponent - self.format.places))

    def _adopt_number(self, line: str, page: AnyPage, number: Fraction) -> AnyPage:
        if line in SIZES:
            whole = self.format.family == WHOLE
            number = (-number if page.value < 0 else number) if whole else number * (1 << self.format.places)
        if self.numbers[line] != "value" and number.denominator != 1:
            return page
        if self.numbers[line] == "exponent" and abs(number) > FURTHEST:
            return page
        return page._replace(**{self.numbers[line]: number if self.numbers[line] == "value" else int(number)})

    # === Words ===

    def says(self, line: str, before: AnyPage, after: AnyPage) -> str:
        """Return what *line* writes in going from *before* to *after*."""
        if line == ANSWER.name or line in COSTS:
            return self._part(after, line)
        if line in self.rows:
            return with_point(self._written_rows(line, after)[0], getattr(self.format, "places", 0))
        number = self._number(line, after)
        if line in SIZES and is_dyadic(number):
            places = number.denominator.bit_length() - 1
            digits = to_bits(number.numerator, max(number.numerator.bit_length(), places + 1))
            row = with_point(digits, places)
            exponent = write_value(Fraction(after.exponent)) if line == "round" else ""
            return f"{row} × 2^{exponent}" if exponent else row
        return write_value(number, point=self.question.course.point)

    def had(self, line: str, before: AnyPage) -> str:
        """Return what stood there before *line*: the question itself."""
        return ", ".join(self.question.operands)

    def inputs(self, before: AnyPage) -> list[str]:
        """Return the rows a pupil might copy instead of working on them."""
        return [
            to_bits(getattr(before, name), self.format.bits) for name in ("second",) if hasattr(before, name)
        ]

    def altered(self) -> list[tuple[str, AnyPage]]:
        """Return (what was miscopied, the page it leads to) for each small slip in copying the question."""
        question = self.question
        if not question.patterns:
            return [
                (words, replace_value(self.start, value)) for words, value in values_miscopied(question.value)
            ]
        found = []
        for number, pattern in enumerate(question.patterns):
            for other in self._one_bit_changed(pattern):
                patterns = (*question.patterns[:number], other, *question.patterns[number + 1 :])
                found.append(
                    ("a pattern copied with one bit changed", begin(replace(question, patterns=patterns)))
                )
        return found

    def _one_bit_changed(self, pattern: AnyPattern) -> list[AnyPattern]:
        bits = self.format.write(pattern).replace(" ", "")
        flipped = (bits[:at] + ("1" if bits[at] == "0" else "0") + bits[at + 1 :] for at in range(len(bits)))
        return [self.format.read(other) for other in flipped]


def power(exponent: int) -> Fraction:
    """Return two to the power of *exponent*; one far past every format's is as good as any other."""
    return Fraction(2) ** max(-FURTHEST, min(FURTHEST, exponent))


def replace_value(page: AnyPage, value: Fraction) -> AnyPage:
    """Return the first *page* of storing with another value."""
    return page._replace(value=value)
