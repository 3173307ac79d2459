"""The sheet of encoding, and of what storing a value costs."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.marking.decoding import binary_value
from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.rows import is_pattern, shows_bits
from chalkpoint.marking.sheets import ANSWER, EXPONENT, Written
from chalkpoint.numbers.bits import signed, to_bits, with_point
from chalkpoint.numbers.exact import write_decimal, write_value
from chalkpoint.numbers.formats import Pattern, scaled
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.question import Question
from chalkpoint.working.storing import COSTS, StorePage

__all__ = ["StoreSheet", "is_rounded", "values_miscopied"]

LEAST_DIGITS = 2  # significant digits of a rounded error that still count as it


class StoreSheet:
    """What encoding writes; ``error`` goes on to the absolute and the relative error."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.context = question.course
        self.format = question.float_format
        self.costs = question.operation.name == "error"
        self.start = StorePage(question.value)

    def lines(self, base: Method, written: Written | None = None) -> tuple[Line, ...]:
        """Return the lines of *base* and the answer: before what storing costs where it is a pattern."""
        lines = tuple(line for line in base.lines if line.name != "sign" or self.question.value < 0)
        answer = (written or {}).get(ANSWER.name, (Reading(""),))[0]
        if self.costs and (answer.exponent or answer.word):
            costs = tuple(line for line in lines if line in COSTS)
            return (*lines[: len(lines) - len(costs)], ANSWER, *costs)
        return (
            (*lines, ANSWER) if EXPONENT.name in {line.name for line in lines} else (*lines, EXPONENT, ANSWER)
        )

    def goes_on(self, page: StorePage) -> bool:
        """Tell whether there is no word on the page yet."""
        return page.outcome in {"in range", "zero"}

    # === What is written against what should be ===

    def shows(self, line: str, before: StorePage, after: StorePage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether *entries* are what *line* writes in going from *before* to *after*."""
        entry = entries[0]
        if entry.word and line in {"exponent", "answer"}:
            return entry.word == ("in range" if entry.word == "in range" and after.pattern else after.outcome)
        if line in {"absolute", "relative"}:
            return self._is_number(getattr(after, line), entry)
        shown = {
            "size": self._shows_digits,
            "sign": self._shows_digits,
            "point": self._shows_point,
            "fit": self._shows_fit,
            "exponent": self._shows_exponent,
        }
        return shown.get(line, self._answers)(after, entry)

    def _shows_fit(self, page: StorePage, entry: Reading) -> bool:
        row = to_bits(page.mantissa, self.format.mantissa_bits)
        fine = not entry.exponent or page.exponent in entry.exponents(self.format)
        return fine and shows_bits(entry.digits, row)

    def _shows_exponent(self, page: StorePage, entry: Reading) -> bool:
        return self._exponent(page) in self._exponents(entry)

    def _exponent(self, page: StorePage) -> int:
        return page.pattern.exponent if page.pattern is not None else page.exponent

    def _exponents(self, entry: Reading) -> set[int]:
        return entry.exponents(self.format)

    def _shows_digits(self, page: StorePage, entry: Reading) -> bool:
        if not entry.bare:
            return False
        if "." not in entry.digits and page.places:  # the digits as they run, without their point
            return entry.digits.rstrip("0") == self._digits(page).rstrip("\u2026").replace(".", "").rstrip(
                "0"
            )
        fraction = entry.digits.partition(".")[2]
        digits = self._signed_digits(entry, sized=page.number >= 0)
        number = scaled(page.number, -page.places)
        if page.ends:
            return binary_value(digits) == number
        enough = len(fraction) + page.exponent >= self.format.places or len(fraction) >= page.places - 4
        full = scaled(abs(page.value).numerator, len(fraction)) / page.value.denominator
        floor = full.numerator // full.denominator
        wanted = ~floor if page.number < 0 else floor
        return enough and signed(digits.replace(".", "")) == wanted

    def _shows_point(self, page: StorePage, entry: Reading) -> bool:
        if entry.exponent and page.exponent not in entry.exponents(self.format):
            return False
        if not entry.bare or (not entry.exponent and "." not in entry.digits):
            return page.exponent in self._exponents(entry)
        mantissa = binary_value(entry.digits)
        exact = page.value * scaled(1, -page.exponent)
        sized = exact if page.number < 0 or exact > 0 else -exact
        missing = sized - mantissa
        places = len(entry.digits.partition(".")[2])
        return missing == 0 or (places >= self.format.places and 0 < missing < scaled(1, -places))

    def _answers(self, page: StorePage, entry: Reading) -> bool:
        if self.costs and (entry.value is not None and not entry.exponent):
            last = page.relative if page.value else page.absolute
            if self._is_number(last, entry):
                return True
        if page.pattern is None:
            return False
        return is_pattern(entry, page.pattern, self.format)

    def _is_number(self, exact: Fraction, entry: Reading) -> bool:
        """Tell whether *entry* is *exact*, or *exact* rounded to the digits written."""
        return entry.value is not None and (entry.value == exact or is_rounded(entry.text, exact))

    # === Taking over what is written ===

    def adopt(
        self, line: str, before: StorePage, after: StorePage, entries: tuple[Reading, ...]
    ) -> StorePage:
        """Return *after* with what is written in the place of what should have been."""
        entry, found = entries[0], self._exponents(entries[0])
        page = after
        if entry.word in {"overflow", "underflow"}:
            page = after._replace(outcome=entry.word, pattern=None)
        elif line in {"size", "sign"} and entry.bare:
            page = self._with_digits(after, self._signed_digits(entry, sized=line == "size"))
        elif line == "point" and found and not (entry.bare and not entry.exponent and "." in entry.digits):
            page = after._replace(exponent=min(found))
        elif line == "fit" and entry.bare:
            digits = entry.bare.ljust(self.format.mantissa_bits, "0")[: self.format.mantissa_bits]
            page = after._replace(mantissa=signed(digits))
        elif line == "exponent" and found:
            exponent = min(found)
            held = self.format.holds(exponent)
            page = after._replace(
                exponent=exponent, pattern=Pattern(after.mantissa, exponent) if held else None
            )
        elif line == ANSWER.name and found and len(entry.bare) == self.format.mantissa_bits:
            page = after._replace(pattern=Pattern(signed(entry.bare), min(found)))
        elif line == "absolute" and entry.value is not None:
            page = after._replace(absolute=entry.value)
        elif line == "relative" and entry.value is not None:
            page = after._replace(relative=entry.value)
        return page

    def _signed_digits(self, entry: Reading, *, sized: bool) -> str:
        """Return the digits of *entry*; a size may be written without the 0 of its sign place."""
        return f"0{entry.digits}" if sized and not entry.digits.startswith("0") else entry.digits

    def _with_digits(self, page: StorePage, digits: str) -> StorePage:
        """Return *page* with *digits* written; what is stored from now on is what they say."""
        number, places = signed(digits.replace(".", "")), len(digits.partition(".")[2])
        written = page.with_digits(number, places)
        return written if written.value else written._replace(value=page.value)

    # === Words ===

    def says(self, line: str, before: StorePage, after: StorePage) -> str:
        """Return what *line* writes in going from *before* to *after*."""
        if line in {"absolute", "relative"}:
            return self._number(getattr(after, line))
        written = {
            "size": self._digits,
            "sign": lambda page: self._digits(page) if page.number else self._mantissa(page),
            "point": lambda page: f"exponent {write_value(Fraction(page.exponent))}",
            "fit": self._mantissa,
            "exponent": self._says_exponent,
        }
        return written.get(line, self._says_answer)(after)

    def _mantissa(self, page: StorePage) -> str:
        return with_point(to_bits(page.mantissa, self.format.mantissa_bits), self.format.places)

    def _says_exponent(self, page: StorePage) -> str:
        return page.outcome if page.pattern is None else write_value(Fraction(page.pattern.exponent))

    def _says_answer(self, page: StorePage) -> str:
        if self.costs and (
            page.absolute or page.pattern is None
        ):  # else the pattern comes before what it costs
            return self._number(page.relative if page.value else page.absolute)
        if page.pattern is None:
            return page.outcome
        shown = self.question.course.binary_point == "shown"
        return str(self.format.write(page.pattern, point=shown))

    def _digits(self, page: StorePage) -> str:
        number, places = page.number, page.places
        width = max((number if number >= 0 else ~number).bit_length(), places) + 1
        return with_point(to_bits(number, width), places) + ("" if page.ends else "\u2026")

    def _number(self, x: Fraction) -> str:
        text = write_decimal(x)
        return write_value(x, point=self.question.course.point) if text is not None else str(x)

    def had(self, line: str, before: StorePage) -> str:
        """Return what the page had before *line*."""
        if line == "size":
            return write_value(before.value, point=self.question.course.point)
        if line in {"sign", "point", "fit"} and before.number:
            return self._digits(before)
        if line == "exponent":
            return write_value(Fraction(before.exponent))
        if line == "relative":
            return self._number(before.absolute)
        if line == ANSWER.name and before.pattern is not None:
            return f"{self._mantissa(before)} × 2^{write_value(Fraction(before.pattern.exponent))}"
        return self.says("answer", before, before)

    def inputs(self, before: StorePage) -> list[str]:
        """Return the rows a pupil might copy instead of working on them."""
        return [self._digits(before).rstrip("\u2026")] if before.number else []

    def altered(self) -> list[tuple[str, StorePage]]:
        """Return (what was miscopied, the page it leads to) for each decimal digit changed or two exchanged."""
        return [(words, StorePage(value)) for words, value in values_miscopied(self.question.value)]


def is_rounded(text: str, exact: Fraction, *, least: int = LEAST_DIGITS) -> bool:
    """Tell whether *text* is *exact* rounded to the digits written, *least* of them significant.

    >>> is_rounded("0.00815", Fraction(3, 368)), is_rounded("0.8%", Fraction(3, 368)), is_rounded("3/368", Fraction(0))
    (True, False, False)
    """
    written = text.rsplit("=", maxsplit=1)[-1].strip().rstrip(".")
    shown, value = written.rstrip("% ").replace(",", "."), value_of(written)
    digits = shown.lstrip("-\u22120.").replace(".", "")
    if value is None or not digits.isdigit() or len(digits) < least:
        return False
    unit = Fraction(1, 10 ** len(shown.partition(".")[2])) / (100 if written.endswith("%") else 1)
    return abs(value - exact) * 2 <= unit


def values_miscopied(value: Fraction) -> list[tuple[str, Fraction]]:
    """Return (what was miscopied, the other value) for each decimal digit of *value* changed or two exchanged."""
    text = write_decimal(value)
    if text is None:
        return []
    found: list[tuple[str, str]] = []
    for at, digit in enumerate(text):
        if not digit.isdigit():
            continue
        others = (other for other in "0123456789" if other != digit)
        found += [(f"{text[:at]}{other}{text[at + 1 :]}", "one digit changed") for other in others]
        if text[at + 1 : at + 2].isdigit():
            found.append((f"{text[:at]}{text[at + 1]}{digit}{text[at + 2 :]}", "two digits exchanged"))
    return [(f"the value copied with {words}", Fraction(other)) for other, words in found if Fraction(other)]
