"""The sheet of whole numbers, fixed point, and formats of a sign, an exponent and a size.

Their operations are declared line by line (`working.operations`). A line that is judged writes one number of its page;
a line whose number is not named here is worked with the next one.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

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

__all__ = ["ROWS", "FamilySheet"]

COSTS = ("absolute", "relative")
STORING = ("encode", "error")
#: Lines that write a size, in binary as a rule.
SIZES = ("size", "round", "digits", "combine", "product", "quotient", "renormalise")
PAIRS = {
    "unpack": ("first", "second"),
    "align": ("first", "second"),
}  # lines that write a size for each operand
ENDLESS = (
    "digits",
    "quotient",
)  # lines whose digits may go on: as many as the format has, or more, are enough
WITH_EXPONENT = ("round", "combine", "renormalise")  # lines where an exponent may stand behind the size
#: A value in binary times a power of two; and how many digits of a rounded decimal are enough to know it by.
IN_BINARY = re.compile(
    r"(?P<sign>[-\u2212]?)\s*\(?(?P<digits>[01]+\.[01]+)\)?\s*[x*\u00d7]\s*2\s*\^\s*\(?(?P<power>[-+]?\d{1,6})\)?"
)
ENOUGH = 5
FURTHEST = 1 << 15  # of an exponent: sizes are shifted by as much
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
        self.pairs = {} if whole else PAIRS
        if hasattr(self.start, "size"):
            self.numbers = self.numbers | {"round": "size"}

    def judges(self, line: Line) -> bool:
        """Tell whether *line* is judged by itself."""
        return line.name in self.rows or line.name in self.numbers or line.name in self.pairs

    def lines(self, base: Method, written: Written | None = None) -> tuple[Line, ...]:
        """Return the lines of *base* that are judged, and the answer; a line that is not goes with the next."""
        lines: list[Line] = []
        slots: tuple[str, ...] = ()
        for line in base.lines:
            slots += line.slots
            if self.judges(line):
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
        if line in self.pairs:
            return self._shows_pair(line, before, after, entries)
        if line in WITH_EXPONENT and entry.exponent:
            scale = power(int(entry.exponent) - after.exponent)
            if line == "renormalise" and scale != 1:
                return False
            return any(self._is_size(line, after, size * scale) for size in self._numbers(line, entry))
        if line in ENDLESS and entry.digits:
            return self._begins(line, before, after, entry)
        return any(self._is_size(line, after, number) for number in self._numbers(line, entry))

    # === Sizes ===

    def _unit(self, page: Any) -> int:
        """Return how many places stand after the point of the sizes on *page*."""
        return int(self.format.places + getattr(page, "extra", 0))

    def _is_size(self, line: str, page: Any, written: Fraction) -> bool:
        """Tell whether *written* is the number of *line*: past the last place only that digits follow is kept."""
        if line not in {"combine", "renormalise"}:
            return written == self._number(line, page)
        return sticky(written, self._unit(page)) == int(getattr(page, self.numbers[line]))

    def _begins(self, line: str, before: Any, after: Any, entry: Reading) -> bool:
        """Tell whether the digits of *entry* begin those of *line*, which may go on past what is written."""
        places = len(entry.digits.partition(".")[2])
        for written in self._numbers(line, entry) - {entry.value}:
            exact = self._endless(line, before, after)
            if written == exact:
                return True
            digits = getattr(self.format, "digits", 1 + self.format.places)
            enough = len(entry.bare.lstrip("0")) >= digits
            if enough and written == Fraction(int(exact * (1 << places)), 1 << places):
                return True
        return False

    def _endless(self, line: str, before: Any, after: Any) -> Fraction:
        """Return the number of *line* with every digit that is known of it."""
        if line == "digits" and after.value:
            size = Fraction(int(after.number), 1 << after.places)
            return (
                abs(after.value) if sticky(abs(after.value), after.places) >> 1 == after.number >> 1 else size
            )
        if self.format.family == WHOLE:
            return abs(self._number(line, after))
        exact = Fraction(before.first, before.second or 1) * power(before.exponent - after.exponent)
        return exact if sticky(exact, self._unit(after)) == after.total else self._number(line, after)

    def _shows_pair(self, line: str, before: Any, after: Any, entries: tuple[Reading, ...]) -> bool:
        """Tell whether *entries* are the sizes of both operands, or of the one that *line* moved."""
        names = self.pairs[line]
        shown = [self._is_operand(line, name, before, after) for name in names]
        if len(entries) == len(names):
            return all(is_one(entry) for is_one, entry in zip(shown, entries, strict=True))
        moved = [
            is_one
            for name, is_one in zip(names, shown, strict=True)
            if getattr(before, f"{name}_exponent") != getattr(after, f"{name}_exponent")
        ]
        return len(entries) == 1 and line == "align" and any(is_one(entries[0]) for is_one in moved or shown)

    def _is_operand(self, line: str, name: str, before: Any, after: Any) -> Callable[[Reading], bool]:
        """Return what tells whether an entry is the size of the operand called *name*."""
        size, exponent = getattr(after, name), getattr(after, f"{name}_exponent")
        unit = self._unit(after)
        exact = getattr(before, name) * power(getattr(before, f"{name}_exponent") - exponent)
        exact /= 1 << self.format.places

        def is_one(entry: Reading) -> bool:
            scale = power(int(entry.exponent) - exponent) if entry.exponent else 1
            if line == "unpack" and scale != 1:
                return False
            written = {number * scale for number in self._numbers("size", entry)}
            kept = Fraction(size, 1 << unit)
            return kept in written or (sticky(exact, unit) == size and exact in written)

        return is_one

    def _answers(self, page: AnyPage, entry: Reading) -> bool:
        expected = self._part(page, ANSWER.name)
        if self.question.operation.name == "decode":
            value = getattr(page, "value", None) if not getattr(page, "special", False) else None
            if entry.value is not None or value is not None:
                return value is not None and is_value(entry, value, exact=self.format.family == WHOLE)
            return read_answer(self.question, entry.text).spelling == expected
        if entry.digits and len(entry.bare) >= self.format.bits:
            return self._is_pattern(entry, expected)
        answer = read_answer(self.question, entry.text)
        own = self.question.operation.name in OWN_VALUE and "value without its pattern" in answer.manners
        return answer.readable and not own and not answer.several and answer.spelling == expected

    def _is_pattern(self, entry: Reading, expected: str) -> bool:
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

    def _part(self, page: AnyPage, part: str) -> str:
        """Return one of the answers on *page*: what storing costs stands after the pattern."""
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
        if line == "digits":
            return number / (1 << int(page.places))
        if line not in SIZES:
            return number
        if self.format.family == WHOLE:
            scaled = line in {"product", "quotient"}
            return abs(number) / (1 << self._unit(page)) if scaled else abs(number)
        return number / (1 << self._unit(page))

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
        if line in self.pairs:
            return self._adopt_pair(line, before, after, entries)
        if line in self.rows and entry.bare:
            bits = entry.bare[-self.format.bits :]
            number = (
                int(bits, 2) if isinstance(after, CodePage) else signed(bits.rjust(self.format.bits, bits[0]))
            )
            return after._replace(**{self.rows[line]: number, "outcome": IN_RANGE})
        if line in self.numbers and (numbers := self._numbers(line, entry)):
            page = self._adopt_number(line, after, min(numbers))
            if line in WITH_EXPONENT and entry.exponent:
                page = page._replace(exponent=max(-FURTHEST, min(FURTHEST, int(entry.exponent))))
            return self._stored_as_written(line, after, page)
        return after

    def _adopt_pair(self, line: str, before: Any, after: Any, entries: tuple[Reading, ...]) -> Any:
        """Return *after* with the sizes and exponents that are written."""
        names: tuple[str, ...] = self.pairs[line]
        if len(entries) == 1:
            names = tuple(
                name
                for name in names
                if getattr(before, f"{name}_exponent") != getattr(after, f"{name}_exponent")
            )
        page = after
        for name, entry in zip(names, entries, strict=False):
            numbers = self._numbers("size", entry)
            if not numbers:
                continue
            size = sticky(abs(min(numbers)), self._unit(after))
            exponent = int(entry.exponent) if entry.exponent else getattr(after, f"{name}_exponent")
            exponent = max(-FURTHEST, min(FURTHEST, exponent))
            page = page._replace(**{name: size, f"{name}_exponent": exponent})
        return page

    def _stored_as_written(self, line: str, right: Any, page: Any) -> Any:
        """Return *page*, where a value is being stored, with the value that its own exponent and size have."""
        if not isinstance(page, SizeStorePage):
            return page
        if line == "digits":
            size = Fraction(page.number, 1 << page.places)
            return page._replace(value=-size if page.sign else size)
        if line == "sign":
            return page._replace(value=-abs(page.value) if page.sign else abs(page.value))
        if line == "point":
            return page._replace(value=page.value * power(page.exponent - right.exponent))
        signed_size = -page.size if page.sign else page.size
        return page._replace(value=signed_size * power(page.exponent - self.format.places))

    def _adopt_number(self, line: str, page: AnyPage, number: Fraction) -> AnyPage:
        if line in SIZES:
            whole = self.format.family == WHOLE
            if line == "digits":
                places = max(number.denominator.bit_length() - 1, page.places)
                return page._replace(number=int(number * (1 << places)), places=places, ends=True)
            if not whole:
                number = Fraction(sticky(abs(number), self._unit(page)))
            elif line == "size":
                number = -number if page.value < 0 else number
            else:
                number *= 1 << self._unit(page)
                number = -number if page.total < 0 else number
        if line == "sign" and number not in {0, 1}:
            return page
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
        if line in self.pairs:
            return "; ".join(
                sized(
                    Fraction(getattr(after, name), 1 << self._unit(after)), getattr(after, f"{name}_exponent")
                )
                for name in self.pairs[line]
            )
        if line in ENDLESS and self.format.family != WHOLE:
            return self._says_endless(line, after)
        number = self._number(line, after)
        if line in SIZES and is_dyadic(number):
            return sized(number, after.exponent if line in WITH_EXPONENT else None)
        return write_value(number, point=self.question.course.point)

    def _says_endless(self, line: str, page: Any) -> str:
        """Return digits that may go on: a quotient's last place only says whether they do."""
        number = page.number if line == "digits" else page.total >> 1
        places = page.places if line == "digits" else self._unit(page) - 1
        return with_point(to_bits(number, max(number.bit_length(), places + 1)), places)

    def had(self, line: str, before: Any) -> str:
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
                if question.operation.name == "divide" and number and not self._divides(other):
                    continue
                patterns = (*question.patterns[:number], other, *question.patterns[number + 1 :])
                found.append(
                    ("a pattern copied with one bit changed", begin(replace(question, patterns=patterns)))
                )
        return found

    def _divides(self, pattern: AnyPattern) -> bool:
        """Tell whether something can be divided by *pattern*: in whole numbers zero has no quotient."""
        return self.format.family != WHOLE or bool(self.format.value(pattern))

    def _one_bit_changed(self, pattern: AnyPattern) -> list[AnyPattern]:
        bits = self.format.write(pattern).replace(" ", "")
        flipped = (bits[:at] + ("1" if bits[at] == "0" else "0") + bits[at + 1 :] for at in range(len(bits)))
        return [self.format.read(other) for other in flipped]


def is_value(entry: Reading, value: Fraction, *, exact: bool) -> bool:
    """Tell whether *entry* is *value*: in decimal, rounded there unless *exact*, or in binary with a power of two.

    >>> from chalkpoint.marking.reading import Reading
    >>> is_value(Reading("-1.01 x 2^3", value=Fraction(-202, 25)), Fraction(-10), exact=True)
    True
    """
    if entry.value == value:
        return True
    if found := IN_BINARY.fullmatch(entry.text.strip()):
        digits = found["digits"]
        places = len(digits.partition(".")[2])
        size = Fraction(int(digits.replace(".", ""), 2), 1 << places) * power(int(found["power"]))
        return value == (-size if found["sign"] else size)
    if exact or entry.value is None or not value:
        return False
    digits = re.sub(r"[eE].*|[x*\u00d7].*|[^0-9]", "", entry.text).lstrip("0")
    return len(digits) >= ENOUGH and abs(entry.value - value) * 10 ** (len(digits) - 1) <= abs(value)


def sticky(number: Fraction, places: int) -> int:
    """Return a size in units of its last place; where digits follow that place, it is 1.

    >>> sticky(Fraction(5, 8), 3), sticky(Fraction(5, 8), 2), sticky(Fraction(1, 2), 2)
    (5, 3, 2)
    """
    floor, rest = divmod(number.numerator << places, number.denominator)
    return floor | 1 if rest else floor


def sized(number: Fraction, exponent: int | None) -> str:
    """Return a size in binary, with its exponent where it has one.

    >>> sized(Fraction(13, 8), 1), sized(Fraction(5, 2), None)
    ('1.101 × 2^1', '10.1')
    """
    places = number.denominator.bit_length() - 1
    digits = to_bits(number.numerator, max(number.numerator.bit_length(), places + 1))
    row = with_point(digits, places)
    return row if exponent is None else f"{row} × 2^{write_value(Fraction(exponent))}"


def power(exponent: int) -> Fraction:
    """Return two to the power of *exponent*; one far past every format's is as good as any other."""
    return Fraction(2) ** max(-FURTHEST, min(FURTHEST, exponent))


def replace_value(page: AnyPage, value: Fraction) -> AnyPage:
    """Return the first *page* of storing with another value."""
    return page._replace(value=value)
