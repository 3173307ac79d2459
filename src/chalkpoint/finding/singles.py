"""Questions that are worked one by one: a pattern to read or change, a decimal to store, a product, a quotient.

Spaces are listed and worked one by one where they are small, and drawn from where they are not.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from chalkpoint.finding.atlas import Watch
from chalkpoint.finding.estimate import Source, one_by_one
from chalkpoint.finding.found import Given, question_of
from chalkpoint.finding.request import Term
from chalkpoint.finding.trait import AnyCase
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.working.course import Course
from chalkpoint.working.question import OPERATIONS
from chalkpoint.working.work import work_question
from chalkpoint.working.working import Working

__all__ = ["MOST_LISTED", "Listed", "Space", "single_cost", "space_of", "worked"]

MOST_LISTED = 1 << 16
PLACES = 2  # decimal places of the values offered for storing
FARTHEST = 100  # and how far from 0 they lie at most


@dataclass(frozen=True)
class Space:
    """Everything one operand may be, in order.

    name   what the space is called
    count  how many there are
    single  for two operands, the space of each
    """

    operation: str
    format: FloatFormat
    name: str
    count: int
    single: Space | None = None

    def item(self, number: int) -> tuple[Pattern | Fraction, ...]:
        """Return the operand with this number: exponent, then mantissa bits; or the value, ascending."""
        fmt = self.format
        if OPERATIONS[self.operation].takes == "values":
            return (Fraction(number - self.count // 2, 10**PLACES),)
        if self.single is not None:
            first, second = divmod(number, self.single.count)
            return (*self.single.item(first), *self.single.item(second))
        bits = fmt.mantissa_bits - (1 if self.name == "normalised patterns" else 0)
        exponent, code = (number >> bits) + fmt.lowest_exponent, number & ((1 << bits) - 1)
        if self.name == "normalised patterns":
            sign = code >> (bits - 1)  # the second bit is its opposite, and goes without saying
            code = (sign << bits) | ((1 - sign) << (bits - 1)) | (code & ((1 << (bits - 1)) - 1))
        return (Pattern(code - ((code >> (fmt.mantissa_bits - 1)) << fmt.mantissa_bits), exponent),)

    def pairs(self, numbers: Sequence[int]) -> Sequence[Given]:
        """Return several operands by their numbers."""
        return [self.item(number) for number in numbers]

    def simplest(self, most: int) -> list[tuple[int, Given]]:
        """Return the simplest operands of the first there are."""
        near = [(number, self.item(number)) for number in range(min(self.count, MOST_LISTED))]
        return sorted(near, key=lambda entry: (single_cost(entry[1], self.format), entry[0]))[:most]


def space_of(operation: str, course: Course, *, every: bool) -> Space:
    """Return the space of an operation with one operand; *every* pattern, or normalised ones only."""
    fmt = course.float_format
    if OPERATIONS[operation].takes == "values":
        far = 1 << fmt.highest_exponent if fmt.highest_exponent < FARTHEST.bit_length() else FARTHEST
        far = min(far, FARTHEST)
        name = f"decimals of up to {PLACES} places within {far} of 0"
        return Space(operation, fmt, name, 2 * far * 10**PLACES + 1)
    if every or operation == "normalise":
        one = Space(operation, fmt, "all patterns", 1 << fmt.bits)
    else:
        one = Space(operation, fmt, "normalised patterns", 1 << (fmt.bits - 1))
    if OPERATIONS[operation].operands == 1:
        return one
    return Space(operation, fmt, one.name.replace("patterns", "pairs"), one.count**2, one)


def worked(operation: str, course: Course, given: Given) -> Working:
    """Return the working of one question."""
    return work_question(question_of(operation, course, given))


def single_cost(given: Given, fmt: FloatFormat) -> int:
    """Return what an operand costs: 1s and sizes of exponents, or the digits of a decimal."""
    part = given[0]
    if isinstance(part, Pattern):
        digits = (1 << fmt.mantissa_bits) - 1
        return sum((pattern.mantissa & digits).bit_count() + abs(pattern.exponent) for pattern in given)
    value: Fraction = part
    places = next(places for places in range(PLACES + 1) if (value * 10**places).denominator == 1)
    return len(str(abs(int(value)))) + 2 * places + (value < 0)


class Listed:
    """The questions of a small *base* that meet further terms, each of them looked at.

    base     questions that are counted and numbered
    case     from a question's operands, what traits look at
    meeting  what returns the numbers of those that meet *terms*, where all can be looked at in one stroke
    """

    def __init__(
        self,
        base: Source,
        terms: Sequence[Term],
        case: Callable[[Given], AnyCase],
        watch: Watch | None = None,
        meeting: Callable[[], list[int]] | None = None,
    ) -> None:
        self.base = base
        self.terms = tuple(terms)
        self.case = case
        self.watch = watch
        self.meeting = meeting

    @cached_property
    def _numbers(self) -> list[int]:
        if not self.terms:
            return list(range(self.base.count))
        if self.meeting:
            return self.meeting()
        met = []
        for number, given in one_by_one(self.base, range(self.base.count)):
            case = self.case(given)
            if all(bool(term.meets(case)) for term in self.terms):
                met.append(number)
            if self.watch and number % 256 == 0:
                self.watch(number, self.base.count)
        return met

    @property
    def count(self) -> int:
        """How many questions are selected."""
        return len(self._numbers)

    @property
    def is_empty(self) -> bool:
        """Whether nothing is selected."""
        return not self._numbers

    def pairs(self, numbers: Sequence[int]) -> Sequence[Given]:
        """Return the operands of several questions by their numbers among those selected."""
        return self.base.pairs([self._numbers[number] for number in numbers])

    def simplest(self, most: int) -> list[tuple[int, Given]]:
        """Return the *most* simplest questions as (number, operands)."""
        places = {number: at for at, number in enumerate(self._numbers)}
        window = most
        while True:
            window = min(4 * window, self.base.count)
            near = self.base.simplest(window)
            found = [(places[number], given) for number, given in near if number in places]
            if len(found) >= most or window == self.base.count:
                return found[:most]

    def table(self, columns: Sequence[Sequence[Term]]) -> dict[tuple[str, ...], int]:
        """Return how many selected questions meet each combination of one term a column."""
        from itertools import product

        counts = {tuple(term.text for term in terms): 0 for terms in product(*columns)}
        for _, given in one_by_one(self.base, self._numbers):
            case = self.case(given)
            for terms in product(*([term for term in column if term.meets(case)] for column in columns)):
                counts[tuple(term.text for term in terms)] += 1
        return counts
