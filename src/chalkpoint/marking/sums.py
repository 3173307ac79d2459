"""The sheet of additions and subtractions, and of one pattern normalised or negated."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.rows import is_pattern, shows_bits, sized_values
from chalkpoint.marking.sheets import ANSWER, EXPONENT, Written
from chalkpoint.numbers.bits import scaled, signed, to_bits, with_point
from chalkpoint.numbers.carriers import fits
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working.adding import answer_on, start, written_answer
from chalkpoint.working.changing import one_row
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.page import IN_RANGE, OUTCOMES, OVERFLOW, TOO_LONG, UNDERFLOW, ZERO, Page
from chalkpoint.working.question import Question

__all__ = ["ABOVE", "SumSheet"]

ABOVE = ("ready", "align", "spare", "negate")
JOINING = ("add", "exponents", "product", "quotient")  # lines that both operands lead to
NUMBERS = ("exponent", "exponents", "range")  # lines that hold an exponent alone
WORDS = {OVERFLOW: "overflow", UNDERFLOW: "underflow", ZERO: "zero"}


def _with_tray(entry: Reading) -> tuple[str, ...]:
    """Return the digits of a row, and those with what fell off it: a method may keep every place."""
    return (entry.digits, entry.digits + entry.tray) if entry.tray else (entry.digits,)


class SumSheet:
    """What additions, subtractions, normalising and negating write."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.format = question.float_format
        self.context = self.format
        self.one = len(question.patterns) == 1
        self.start = one_row(question) if self.one else start(question)

    def lines(self, base: Method, written: Written | None = None) -> tuple[Line, ...]:
        """Return the lines of *base*, then the exponent and the answer."""
        return (*base.lines, EXPONENT, ANSWER)

    def goes_on(self, page: Page) -> bool:
        """Tell whether there is no word on the page yet; an operand past the range may be worked on all the same."""
        return bool(page.outcome == IN_RANGE or (self.question.past_range and page.outcome == OVERFLOW))

    # === Rows ===

    def _width(self, page: Page) -> int:
        return self.format.mantissa_bits + int(page.extra)

    def _places(self, page: Page) -> int:
        """Return how many digits of a row follow its point."""
        return self.format.places + int(page.extra)

    def _above(self, line: str) -> bool:
        return line in ABOVE and not self.one

    def _moved(self, before: Page, after: Page) -> list[tuple[int, int]]:
        """Return the rows above the line that a step wrote: those it moved, or both where it moved none."""
        more = after.extra - before.extra
        pairs = [
            (
                getattr(before, row) << more,
                getattr(before, f"{row}_exponent"),
                getattr(after, row),
                getattr(after, f"{row}_exponent"),
            )
            for row in ("first", "second")
        ]
        moved = [pair for pair in pairs if pair[0] != pair[2]] or [
            pair for pair in pairs if pair[1] != pair[3]
        ]
        return [(mantissa, exponent) for _, _, mantissa, exponent in moved or pairs]

    def _row(self, mantissa: int, page: Page) -> str:
        width = self._width(page)
        return to_bits(mantissa, width if fits(mantissa, width) else width + 1)

    # === What is written against what should be ===

    def shows(self, line: str, before: Page, after: Page, entries: tuple[Reading, ...]) -> bool:
        """Tell whether *entries* are what *line* writes in going from *before* to *after*."""
        entry = entries[0]
        if line == "answer":
            return self._answers(after, entry)
        if self.question.past_range and before.outcome == OVERFLOW:
            return entry.word == WORDS[OVERFLOW]
        if entry.word:
            return WORDS.get(after.outcome) == entry.word
        if line in NUMBERS and not (entry.digits and entry.exponent):
            return after.exponent in entry.exponents(self.format)
        if self._above(line):
            if line == "align" and self._shows_shared(before, after, entries):
                return True
            return self._shows_above(before, after, entries)
        if after.outcome in {OVERFLOW, UNDERFLOW} and line != "range":
            return False
        return self._shows_total(line, after, entry)

    def _shows_shared(self, before: Page, after: Page, entries: tuple[Reading, ...]) -> bool:
        """Tell whether the exponent that both rows share is written: nothing is to be moved."""
        entry, still = entries[0], (before.first, before.second) == (after.first, after.second)
        alone = len(entries) == 1 and not (entry.digits and entry.exponent)
        return still and alone and after.first_exponent in entry.exponents(self.format)

    def _shows_above(self, before: Page, after: Page, entries: tuple[Reading, ...]) -> bool:
        if len(entries) == 2:
            both = [(after.first, after.first_exponent), (after.second, after.second_exponent)]
            return all(self._is_row(entry, *row, after) for entry, row in zip(entries, both, strict=True))
        return any(self._is_row(entries[0], *row, after) for row in self._moved(before, after))

    def _is_row(self, entry: Reading, mantissa: int, exponent: int, page: Page) -> bool:
        if entry.exponent and exponent not in entry.exponents(self.format):
            return False
        row, width, places = self._row(mantissa, page), self._width(page), self._places(page)
        if entry.lead:
            return False
        longer = len(row) > width and len(entry.digits.partition(".")[0]) <= width - places
        return any(
            shows_bits(digits, row, places=places) or (longer and shows_bits(digits, row[1:], places=places))
            for digits in _with_tray(entry)
        )

    def _shows_total(self, line: str, page: Page, entry: Reading) -> bool:
        if entry.exponent and page.exponent not in entry.exponents(self.format):
            return False
        width, places = self._width(page), self._places(page)
        row, whole = to_bits(page.total, width), len(entry.digits.partition(".")[0])
        if line == "product" and not entry.digits:
            return scaled(page.total, -places) in sized_values(entry)
        if line in {"add", "negate", "product"} and (entry.lead or whole > width - places):
            return self._shows_long_sum(page, entry, width)
        return not entry.lead and any(shows_bits(digits, row, places=places) for digits in _with_tray(entry))

    def _shows_long_sum(self, page: Page, entry: Reading, width: int) -> bool:
        """Tell whether a sum with digits before its sign place is *page*'s: they are its sign's, or the carry."""
        columns, places = (1 << width) - 1, self._places(page)
        carry = ((page.first & columns) + (page.second & columns)) >> width
        row, longer = to_bits(page.total, width), to_bits(page.total, width + 1)
        digits = entry.lead + entry.digits
        if "." not in digits and len(entry.bare) <= width and not entry.lead:
            return shows_bits(digits, row, places=places)
        if entry.lead and entry.lead == str(carry) and shows_bits(entry.digits, row, places=places):
            return True
        point = {-1, width - places + 1}
        carried = digits.replace(".", "") == f"{carry}{row}" and digits.find(".") in point
        return carried or shows_bits(digits, longer, places=places)

    def _answers(self, page: Page, entry: Reading) -> bool:
        if entry.word:
            return WORDS.get(page.outcome, "in range") == entry.word
        if page.outcome in {OVERFLOW, UNDERFLOW}:
            return False
        if page.outcome == TOO_LONG:
            row = to_bits(page.total, self.format.mantissa_bits + 1)
            right = (entry.bare == row and not entry.lead) or (entry.lead + entry.bare == row)
            return right and entry.exponent == self.format.exponent.write(page.exponent)
        _, pattern = answer_on(page, self.format)
        return pattern is not None and self.is_pattern(entry, pattern)

    def is_pattern(self, entry: Reading, pattern: Pattern) -> bool:
        """Tell whether *entry* is *pattern*, or its value."""
        if is_pattern(entry, pattern, self.format):
            return True
        as_value = entry.value is not None and not entry.exponent and len(entry.bare) <= 4
        return as_value and entry.value == self.format.value(pattern)

    # === Taking over what is written ===

    def adopt(self, line: str, before: Page, after: Page, entries: tuple[Reading, ...]) -> Page:
        """Return *after* with what is written in the place of what should have been."""
        entry = entries[0]
        if entry.word:
            codes = {word: code for code, word in WORDS.items()}
            return after._replace(outcome=codes.get(entry.word, IN_RANGE))
        page = after if after.outcome in {IN_RANGE, ZERO} else after._replace(outcome=IN_RANGE)
        found = entry.exponents(self.format) if entry.exponent or line in NUMBERS else set()
        exponent = min(found) if found else None
        if line in NUMBERS:
            return page if exponent is None else page._replace(exponent=exponent)
        if self._above(line):
            return self._adopt_above(before, page, entries)
        number = self._number(entry, page)
        if number is None:
            return page
        return self._below(line, page, number, page.exponent if exponent is None else exponent)

    def _below(self, line: str, page: Page, total: int, exponent: int) -> Page:
        """Return *page* with a new row below the line; a sign that the rows above rule out is an overflow."""
        width = self._width(page)
        over = False
        if line == "add" and (page.first < 0) == (page.second < 0) and (total < 0) != (page.first < 0):
            over, total = True, total + ((1 << width) if total < 0 else -(1 << width))
        return page._replace(total=total, exponent=exponent, overflowed=over)

    def _adopt_above(self, before: Page, page: Page, entries: tuple[Reading, ...]) -> Page:
        names = ("first", "second")
        if len(entries) == 1:
            changed = [name for name in names if getattr(before, name) != getattr(page, name)]
            names = (changed or ["second"])[0], ""
        for name, entry in zip(names, entries, strict=False):
            number = self._number(entry, page)
            if name and number is not None:
                page = page._replace(**{name: number})
        return page

    def _number(self, entry: Reading, page: Page) -> int | None:
        """Return the digits of *entry* as a row of the page's width; None where they are no such row."""
        width, digits = self._width(page), entry.digits
        if not digits:
            return None
        if "." in digits:
            left, right = digits.split(".")
            left, places = left or "0", self._places(page)
            digits = left.rjust(width - places, left[0])[places - width :] + right.ljust(places, "0")[:places]
        bits = digits.ljust(width, "0") if len(digits) < width else digits[-width:]
        return signed(bits)

    # === Words ===

    def says(self, line: str, before: Page, after: Page) -> str:
        """Return what *line* writes in going from *before* to *after*."""
        if line == "answer":
            return self.answer(after)
        if self.question.past_range and before.outcome == OVERFLOW:
            return WORDS[OVERFLOW]
        if line in {"exponent", "exponents"}:
            return write_value(Fraction(after.exponent))
        if line == "range":
            return WORDS.get(after.outcome) or write_value(Fraction(after.exponent))
        if self._above(line):
            rows = self._moved(before, after)
            rows = rows[-1:] if len(rows) == 2 and line != "ready" else rows
            return "; ".join(self._shown(mantissa, exponent, after) for mantissa, exponent in rows)
        if after.outcome in {OVERFLOW, UNDERFLOW}:
            return OUTCOMES[after.outcome]
        return self._shown(after.total, after.exponent, after)

    def answer(self, page: Page) -> str:
        """Return the answer on *page* in bits, its point shown, or a word."""
        text = written_answer(page, self.format)
        _, pattern = answer_on(page, self.format)
        if pattern is None:
            return text
        return self.format.write(pattern, point=self.question.course.binary_point == "shown")

    def _shown(self, mantissa: int, exponent: int, page: Page) -> str:
        row = self._row(mantissa, page)
        return f"{with_point(row, self._places(page))} × 2^{write_value(Fraction(exponent))}"

    def had(self, line: str, before: Page) -> str:
        """Return what the page had before *line*."""
        if line == "negate" and not self.one:
            return self._shown(before.second, before.second_exponent, before)
        if self._above(line) or line in JOINING:
            rows = [(before.first, before.first_exponent), (before.second, before.second_exponent)]
            return "; ".join(self._shown(mantissa, exponent, before) for mantissa, exponent in rows)
        if before.outcome in {OVERFLOW, UNDERFLOW}:
            return OUTCOMES[before.outcome]
        return self._shown(before.total, before.exponent, before)

    def inputs(self, before: Page) -> list[str]:
        """Return the rows a pupil might copy instead of working on them."""
        numbers = (before.first, before.second, before.total) if not self.one else (before.total,)
        return [self._row(number, before) for number in numbers]

    # === Slips in copying ===

    def altered(self) -> list[tuple[str, Page]]:
        """Return (what was miscopied, the page it leads to) for each small slip in copying an operand."""
        found = []
        for number, pattern in enumerate(self.question.patterns):
            for words, other in self._miscopied(pattern):
                name = "pattern" if self.one else self.question.names[number]
                patterns = [*self.question.patterns]
                patterns[number] = other
                asked = replace(self.question, patterns=tuple(patterns))
                page = one_row(asked) if self.one else start(asked)
                found.append((f"the {name} copied with {words}", page))
        return found

    def _miscopied(self, pattern: Pattern) -> Iterator[tuple[str, Pattern]]:
        fmt = self.format
        for width, which in ((fmt.mantissa_bits, "mantissa"), (fmt.exponent_bits, "exponent")):
            number = getattr(pattern, which)
            bits = to_bits(number, width)
            for place in range(width):
                flipped = bits[:place] + ("1" if bits[place] == "0" else "0") + bits[place + 1 :]
                yield f"one {which} bit changed", pattern._replace(**{which: signed(flipped)})
                pair = bits[place : place + 2]
                if pair in {"01", "10"}:
                    swapped = bits[:place] + pair[::-1] + bits[place + 2 :]
                    yield f"two {which} bits exchanged", pattern._replace(**{which: signed(swapped)})
