"""Lines that write a number: sizes in binary, exponents, values, and the sizes of both operands."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from typing import Any

from chalkpoint.marking.family_numbers import FURTHEST, power, sized, sticky
from chalkpoint.marking.patterns import Reading
from chalkpoint.numbers.bits import signed, to_bits, with_point
from chalkpoint.numbers.exact import is_dyadic, write_value
from chalkpoint.numbers.families import WHOLE
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.working.page import AnyPage
from chalkpoint.working.size_values import SizeStorePage

__all__ = ["Numbers", "Operands"]

#: Lines that write a size, in binary as a rule.
SIZES = ("size", "round", "digits", "combine", "product", "quotient", "renormalise")
ENDLESS = ("digits", "quotient")  # whose digits may go on: as many as the format has, or more, are enough
DOTS = re.compile(r"(?:\u2026|\.\.+|\brecurring)\W*$", re.IGNORECASE)  # behind digits that are said to go on
BEYOND = 4  # places past the format's that are said of digits without an end
FEWEST = 3  # places that show where they lead, if the writer says that they go on
WITH_EXPONENT = ("round", "combine", "renormalise")  # lines where an exponent may follow the size


class Numbers:
    """Lines that write one number: by line, which of the page it is."""

    def __init__(self, fmt: AnyFormat, numbers: dict[str, str], point: str) -> None:
        self.format = fmt
        self.numbers = numbers
        self.point = point
        self.whole = fmt.family == WHOLE

    def shows(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether the number is written, in decimal or, of a size, in binary."""
        entry = entries[0]
        if line == "weigh":
            return self._shows_weights(after, entry)
        if line in {"point", *WITH_EXPONENT} and entry.exponent:
            scale = power(int(entry.exponent) - after.exponent)
            if line in {
                "point",
                "renormalise",
            }:  # of a moved point the exponent counts, whatever comes before it
                return scale == 1 and (line == "point" or self._is_any(line, after, entry, scale))
            return self._is_any(line, after, entry, scale)
        if entry.digits and (line in ENDLESS or self._is_endless_size(line, after)):
            return self._begins(line, before, after, entry)
        if line in {"product", "quotient"} and self._is_negated(line, after, entry):
            return True
        if self._is_stored(line, after, entry):
            return True
        return any(self._is_size(line, after, number) for number in self.written(line, entry))

    def _is_stored(self, line: str, page: AnyPage, entry: Reading) -> bool:
        """Tell whether *entry* is the number of *line* with its excess: an exponent, or what such a code stores."""
        fmt: Any = self.format
        field = fmt.field if self.whole else fmt.exponent
        if line not in (["size"] if self.whole else ["exponents", "point"]) or field.kind != "excess":
            return False
        stored = Fraction(getattr(page, self.numbers[line]) + field.excess)
        bits = re.fullmatch(f"[01]{{{field.bits}}}", entry.bare) if line == "point" else None
        return stored in self.written(line, entry) or (bits is not None and int(bits[0], 2) == stored)

    def _is_any(self, line: str, page: AnyPage, entry: Reading, scale: Fraction) -> bool:
        """Tell whether one of the numbers that *entry* may be is that of *line*, times *scale*."""
        return any(self._is_size(line, page, size * scale) for size in self.written(line, entry))

    def _is_negated(self, line: str, page: AnyPage, entry: Reading) -> bool:
        """Tell whether *entry* is a negative number of *line* in two's complement, where its size is asked for."""
        number = getattr(page, self.numbers[line])
        if not self.whole or number >= 0 or entry.bare[:1] != "1":
            return False
        places = len(entry.digits.partition(".")[2]) or self.unit(page)
        return Fraction(signed(entry.bare), 1 << places) == Fraction(number, 1 << self.unit(page))

    def _shows_weights(self, page: AnyPage, entry: Reading) -> bool:
        """Tell whether *entry* is the place values added up, whatever the last place counts, or the complement read."""
        number = Fraction(page.number)
        rows = re.findall("[01]+", entry.text.replace(".", ""))
        if number < 0 and to_bits(-page.number, self.format.bits) in rows:
            return True
        return entry.value in {number, number / (1 << self.format.places)}

    def unit(self, page: AnyPage) -> int:
        """Return how many places follow the point of the sizes on *page*."""
        return int(self.format.places + getattr(page, "extra", 0))

    def number(self, line: str, page: AnyPage) -> Fraction:
        """Return the number that *line* writes of *page*."""
        number = Fraction(getattr(page, self.numbers[line]))
        if line == "weigh":
            return number / (1 << self.format.places)
        if line == "digits":
            return number / (1 << int(page.places))
        if line not in SIZES:
            return number
        if self.whole:
            return abs(number) / (1 << self.unit(page)) if line in {"product", "quotient"} else abs(number)
        return number / (1 << self.unit(page))

    def written(self, line: str, entry: Reading) -> set[Fraction]:
        """Return every number that *entry* may be: in decimal, or a size in binary."""
        found = set()
        if entry.value is not None and not entry.exponent:
            found.add(abs(entry.value) if line in SIZES else entry.value)
        if line in SIZES and entry.digits:
            found.add(_in_binary(entry))
        return found

    def _is_size(self, line: str, page: AnyPage, written: Fraction) -> bool:
        """Tell whether *written* is the number of *line*: past the last place only that digits follow is kept."""
        if line not in {"combine", "renormalise"}:
            return written == self.number(line, page)
        return sticky(written, self.unit(page)) == int(getattr(page, self.numbers[line]))

    def _begins(self, line: str, before: AnyPage, after: AnyPage, entry: Reading) -> bool:
        """Tell whether the digits of *entry* begin those of *line*, which may go on past what is written."""
        places, written = len(entry.digits.partition(".")[2]), _in_binary(entry)
        exact = self._endless(line, before, after)
        if written == exact:
            return True
        if line == "size":
            enough = places > self.format.places
        else:
            enough = len(entry.bare.lstrip("0")) >= getattr(self.format, "digits", 1 + self.format.places)
        goes_on = places >= FEWEST and DOTS.search(entry.text)
        begun = Fraction(int(exact * (1 << places)), 1 << places)
        return bool(enough or goes_on) and written == begun

    def _is_endless_size(self, line: str, page: AnyPage) -> bool:
        """Tell whether *line* is the size of a value that no row of bits ends at."""
        return self.whole and line == "size" and not is_dyadic(self.number(line, page))

    def _endless(self, line: str, before: AnyPage, after: AnyPage) -> Fraction:
        """Return the number of *line* with every digit that is known of it."""
        if line == "digits" and after.value:
            size, places = abs(after.value), after.places
            kept = Fraction(int(after.number), 1 << places)
            return size if sticky(size, places) >> 1 == after.number >> 1 else kept
        if self.whole:
            return abs(self.number(line, after))
        exact = Fraction(before.first, before.second or 1) * power(before.exponent - after.exponent)
        return exact if sticky(exact, self.unit(after)) == after.total else self.number(line, after)

    def adopt(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> AnyPage:
        """Return *after* with the number that is written."""
        entry = entries[0]
        numbers = self.written(line, entry)
        if not numbers:
            return after
        page = self._with(line, after, min(numbers))
        if line in WITH_EXPONENT and entry.exponent:
            page = page._replace(exponent=max(-FURTHEST, min(FURTHEST, int(entry.exponent))))
        return self._stored_as_written(line, after, page)

    def _with(self, line: str, page: AnyPage, number: Fraction) -> AnyPage:
        if line in SIZES:
            if line == "digits":
                places = max(number.denominator.bit_length() - 1, page.places)
                return page._replace(number=int(number * (1 << places)), places=places, ends=True)
            number = self._in_units(line, page, number)
        name = self.numbers[line]
        unfit = (
            (line == "sign" and number not in {0, 1})
            or (name != "value" and number.denominator != 1)
            or (name == "exponent" and abs(number) > FURTHEST)
        )
        return page if unfit else page._replace(**{name: number if name == "value" else int(number)})

    def _in_units(self, line: str, page: AnyPage, number: Fraction) -> Fraction:
        """Return a size in units of the last place, with the sign that the number on *page* has."""
        if not self.whole:
            return Fraction(sticky(abs(number), self.unit(page)))
        if line == "size":
            return -number if page.value < 0 else number
        number *= 1 << self.unit(page)
        return -number if page.total < 0 else number

    def _stored_as_written(self, line: str, right: AnyPage, page: AnyPage) -> Any:
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

    def says(self, line: str, before: AnyPage, after: AnyPage) -> str:
        """Return the number: a size in binary, with its exponent where that may follow it."""
        if line in ENDLESS and not self.whole:
            return self._says_endless(line, after)
        number = self.number(line, after)
        if self._is_endless_size(line, after):
            places = self.format.places + BEYOND
            return f"{sized(Fraction(int(number * (1 << places)), 1 << places), None)}\u2026"
        if line in SIZES and is_dyadic(number):
            return sized(number, after.exponent if line in WITH_EXPONENT else None)
        return write_value(number, point=self.point)

    def _says_endless(self, line: str, page: AnyPage) -> str:
        """Return digits that may go on: a quotient's last place only says whether they do."""
        number = page.number if line == "digits" else page.total >> 1
        places = page.places if line == "digits" else self.unit(page) - 1
        return with_point(to_bits(number, max(number.bit_length(), places + 1)), places)


class Operands:
    """Lines that write the size and the exponent of each operand."""

    names = ("first", "second")

    def __init__(self, numbers: Numbers) -> None:
        self.numbers = numbers

    def shows(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether both sizes are written, or the one that *line* moved."""
        shown = [self._is_operand(line, name, before, after) for name in self.names]
        if len(entries) == len(shown):
            return all(is_one(entry) for is_one, entry in zip(shown, entries, strict=True))
        moved = [
            is_one
            for name, is_one in zip(self.names, shown, strict=True)
            if name in self._moved(before, after)
        ]
        return len(entries) == 1 and line == "align" and any(is_one(entries[0]) for is_one in moved or shown)

    def _moved(self, before: AnyPage, after: AnyPage) -> tuple[str, ...]:
        """Return the names of the operands whose exponent is another than before."""
        return tuple(
            name
            for name in self.names
            if getattr(before, f"{name}_exponent") != getattr(after, f"{name}_exponent")
        )

    def _is_operand(self, line: str, name: str, before: AnyPage, after: AnyPage) -> Callable[[Reading], bool]:
        """Return what tells whether an entry is the size of the operand called *name*."""
        size, exponent = getattr(after, name), getattr(after, f"{name}_exponent")
        unit = self.numbers.unit(after)
        exact = getattr(before, name) * power(getattr(before, f"{name}_exponent") - exponent)
        exact /= 1 << self.numbers.format.places

        def is_one(entry: Reading) -> bool:
            scale = power(int(entry.exponent) - exponent) if entry.exponent else 1
            if line == "unpack" and scale != 1:
                return False
            written = {number * scale for number in self.numbers.written("size", entry)}
            kept = Fraction(size, 1 << unit)
            return kept in written or (sticky(exact, unit) == size and exact in written)

        return is_one

    def adopt(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> Any:
        """Return *after* with the sizes and exponents that are written."""
        names = self._moved(before, after) if len(entries) == 1 else self.names
        page = after
        for name, entry in zip(names, entries, strict=False):
            numbers = self.numbers.written("size", entry)
            if not numbers:
                continue
            size = sticky(abs(min(numbers)), self.numbers.unit(after))
            exponent = int(entry.exponent) if entry.exponent else getattr(after, f"{name}_exponent")
            exponent = max(-FURTHEST, min(FURTHEST, exponent))
            page = page._replace(**{name: size, f"{name}_exponent": exponent})
        return page

    def says(self, line: str, before: AnyPage, after: AnyPage) -> str:
        """Return both sizes with their exponents."""
        unit = 1 << self.numbers.unit(after)
        pairs = [(getattr(after, name), getattr(after, f"{name}_exponent")) for name in self.names]
        return "; ".join(sized(Fraction(size, unit), exponent) for size, exponent in pairs)


def _in_binary(entry: Reading) -> Fraction:
    """Return the size that the digits of *entry* write.

    >>> _in_binary(Reading("10.1", digits="10.1"))
    Fraction(5, 2)
    """
    whole, _, fraction = entry.digits.partition(".")
    return Fraction(int(whole + fraction or "0", 2), 1 << len(fraction))
