"""The questions of a format as a few classes, each small enough for decision diagrams.

The working of an addition or subtraction depends on both mantissas, the signed difference of the
exponents and the larger exponent. A class is one signed difference d = first exponent - second;
past m+1 places either way the working no longer depends on how far, so all those are one class.

The bits of a class, in order, are those of: the distance (in the two far classes only), the larger
exponent counted from the lowest, then both mantissas from the top, interleaved as they are aligned.
A normalised mantissa's second bit is the opposite of its first and is left out, so no bit pattern
stands for an illegal mantissa. Read as a number, these bits give the order in which questions are
numbered: signed difference, larger exponent, mantissa bits from the top.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from operator import itemgetter

from chalkpoint.finding.case import Case
from chalkpoint.finding.diagram import MOST_NODES, Edge, Table
from chalkpoint.numbers.carriers import Number
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.symbolic import as_bit, integer
from chalkpoint.working.course import Course

__all__ = ["OpenClass", "ShiftClass", "classes_of"]


@dataclass(frozen=True)
class ShiftClass:
    """The normalised questions of one signed difference of exponents, or of all far ones of one sign.

    apart  first exponent minus second; in a far class, the least distance with its sign
    far    whether greater distances belong here too
    bits   what each bit of the class is, in order: (name, place), where name is "distance", "exponent",
           "first" or "second" and place is the power of two it counts for
    """

    format: FloatFormat
    apart: int
    far: bool
    bits: tuple[tuple[str, int], ...]

    @property
    def least(self) -> int:
        """The least distance between the exponents."""
        return abs(self.apart)

    def patterns(self, model: int) -> tuple[Pattern, Pattern]:
        """Return the two operands whose bits of this class, read as one number, are *model*."""
        digits = format(model, f"0{len(self.bits)}b")
        exponent, first_bits, second_bits, distance = (
            int("".join(pick(digits)), 2) if pick else 0 for pick in self._picks
        )
        larger = exponent + self.format.lowest_exponent
        smaller = larger - (self._distance(distance) if self.far else self.least)
        first, second = self._mantissa(first_bits), self._mantissa(second_bits)
        if self.apart >= 0:
            return Pattern(first, larger), Pattern(second, smaller)
        return Pattern(first, smaller), Pattern(second, larger)

    @cached_property
    def _picks(self) -> list[Callable[[str], tuple[str, ...]] | None]:
        """For each field, how to pick its digits out of the class's; every field is two digits or more."""
        picks: list[Callable[[str], tuple[str, ...]] | None] = []
        for wanted in ("exponent", "first", "second", "distance"):
            at = [number for number, (name, _) in enumerate(self.bits) if name == wanted]
            picks.append(itemgetter(*at) if at else None)
        return picks

    def _distance(self, code: int) -> int:
        # The signed difference ascends with its bits, so below zero the distance is written inverted.
        return code if self.apart > 0 else (1 << self.format.exponent_bits) - 1 - code

    def _mantissa(self, bits: int) -> int:
        """Return the mantissa of these bits, its second left out."""
        width = self.format.mantissa_bits
        sign, rest = bits >> (width - 2), bits & ((1 << (width - 2)) - 1)
        return rest - (1 << (width - 1)) if sign else rest + (1 << (width - 2))

    def model(self, first: Pattern, second: Pattern) -> int:
        """Return the bits of this class, read as one number, of a question in it."""
        fields = {
            "distance": 0,
            "exponent": max(first.exponent, second.exponent) - self.format.lowest_exponent,
            "first": first.mantissa,
            "second": second.mantissa,
        }
        if self.far:
            fields["distance"] = self._distance(abs(first.exponent - second.exponent))
        model = 0
        for name, place in self.bits:
            model = model << 1 | (fields[name] >> place & 1)
        return model

    def holds(self, apart: int) -> bool:
        """Tell whether questions whose exponents differ by *apart* belong here."""
        return apart * self.apart > 0 and abs(apart) >= self.least if self.far else apart == self.apart

    def open(self, operation: str, course: Course, most: int = MOST_NODES) -> OpenClass:
        """Return a fresh table for this class, with its questions in it."""
        return OpenClass(self, operation, course, Table(len(self.bits), most))


def classes_of(fmt: FloatFormat) -> tuple[ShiftClass, ...]:
    """Return the classes of *fmt*, signed difference ascending: at most 2m + 5 of them.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> len(classes_of(parse_format("24+8"))), len(classes_of(parse_format("8+4")))
    (53, 21)
    """
    most = (1 << fmt.exponent_bits) - 1
    far = fmt.mantissa_bits + 2
    ends = min(far, most)
    return tuple(_class(fmt, apart, far=abs(apart) == far) for apart in range(-ends, ends + 1))


def _class(fmt: FloatFormat, apart: int, *, far: bool) -> ShiftClass:
    width, exponent_bits = fmt.mantissa_bits, fmt.exponent_bits
    columns = []
    for place in range(width):
        if place != width - 2:
            columns.append((width - 1 - place + max(-apart, 0), "first", place))
            columns.append((width - 1 - place + max(apart, 0), "second", place))
    places = range(exponent_bits - 1, -1, -1)
    bits = [("distance", place) for place in places] if far else []
    bits += [("exponent", place) for place in places]
    bits += [(name, place) for _, name, place in sorted(columns)]
    return ShiftClass(fmt, apart, far, tuple(bits))


class OpenClass:
    """A class being built: its table, and its questions as one symbolic case.

    legal  the edge of "the smaller exponent too lies in its range"
    """

    def __init__(self, shift: ShiftClass, operation: str, course: Course, table: Table) -> None:
        self.shift = shift
        self.operation = operation
        self.course = course
        self.table = table
        self._at = {bit: number for number, bit in enumerate(shift.bits)}
        code = self._number("exponent", shift.format.exponent_bits)
        self._exponent = code + shift.format.lowest_exponent
        self._first, self._second = self._mantissa("first"), self._mantissa("second")
        self._distance: Number = shift.least
        self.legal: Edge = as_bit(table, code >= shift.least)
        if shift.far:
            self._distance = self._number("distance", shift.format.exponent_bits, turned=shift.apart < 0)
            self.legal = as_bit(table, (self._distance >= shift.least) & (code >= self._distance))

    def _number(self, name: str, width: int, *, turned: bool = False) -> Number:
        row = [self.table.bit(self._at[name, place]) ^ turned for place in range(width)]
        return integer(self.table, [*row, 0])

    def _mantissa(self, name: str) -> Number:
        width = self.shift.format.mantissa_bits
        sign = self.table.bit(self._at[name, width - 1])
        row = [self.table.bit(self._at[name, place]) for place in range(width - 2)]
        return integer(self.table, [*row, sign ^ 1, sign])

    @cached_property
    def case(self) -> Case:
        """Every question of the class as one case: what traits share of the working is written once."""
        return self._case(self.shift.apart, self._distance)

    def cases(self, reach: int) -> Iterator[tuple[Edge, Case]]:
        """Yield the questions of the class by their distance, for traits that depend on it: (where, case).

        reach  the distance past which nothing changes any more
        """
        if not self.shift.far:
            yield self.legal, self.case
            return
        most = (1 << self.shift.format.exponent_bits) - 1
        last = max(self.shift.least, min(reach, most))
        sign = 1 if self.shift.apart > 0 else -1
        for distance in range(self.shift.least, last + 1):
            at = self._distance >= distance if distance == last else self._distance == distance
            yield self.table.both(self.legal, as_bit(self.table, at)), self._case(sign * distance, distance)

    def _case(self, apart: int, distance: Number) -> Case:
        return Case(
            self.operation,
            self.course,
            self._first,
            self._second,
            apart=apart,
            distance=distance,
            larger_exponent=self._exponent,
        )
