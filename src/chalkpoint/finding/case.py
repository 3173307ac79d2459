"""A case: one question of addition or subtraction, or many at once, as traits look at it.

The numbers of a case are on any carrier. Exponents are counted from the larger one, whose true value
is the page's *datum*: so the working of questions that differ by both exponents alike is done once.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import NamedTuple

from chalkpoint.finding.found import question_of
from chalkpoint.numbers.carriers import Number, Truth, larger, smaller, where
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working import floating
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method, method_for
from chalkpoint.working.page import IN_RANGE, OVERFLOW, UNDERFLOW, ZERO, Page
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question
from chalkpoint.working.working import Working

__all__ = ["Case", "NormalForm", "case_of", "same_answer"]

USUAL_VARIANTS = ("align-then-negate", "negate-then-align", "exact-then-truncate")


class NormalForm(NamedTuple):
    """The exact answer in normal form: total / 2**(width - 1) * 2**exponent, counted from the datum.

    spare  places past the mantissa's last
    fits   whether it has a pattern in the format (or is zero)
    """

    total: Number
    exponent: Number
    spare: Number
    fits: Truth


class Case:
    """A question on any carrier.

    operation      "add" or "subtract"
    course         its conventions; the format is the course's
    first, second  the operands' mantissas
    apart          first exponent minus second; where the operands are so far apart that the working no
                   longer depends on how far, any distance that far
    distance       the size of the true difference
    larger         the larger exponent, true
    """

    def __init__(
        self,
        operation: str,
        course: Course,
        first: Number,
        second: Number,
        *,
        apart: Number,
        distance: Number,
        larger_exponent: Number,
    ) -> None:
        self.operation = operation
        self.course = course
        self.format = course.float_format
        self.first = first
        self.second = second
        self.apart = apart
        self.distance = distance
        self.larger_exponent = larger_exponent
        self._lines: dict[str, dict[str, tuple[Page, Page]]] = {}
        self._remembered: dict[str, Number] = {}

    @property
    def subtracts(self) -> bool:
        """Whether the second operand is taken away."""
        return self.operation == "subtract"

    @cached_property
    def first_apart(self) -> Number:
        """How far the first exponent lies above the second, 0 where it does not."""
        return larger(self.apart, 0)

    @cached_property
    def second_apart(self) -> Number:
        """How far the second exponent lies above the first, 0 where it does not."""
        return larger(-self.apart, 0)

    @cached_property
    def smaller_exponent(self) -> Number:
        """The smaller exponent, true."""
        return self.larger_exponent - self.distance

    @cached_property
    def first_exponent(self) -> Number:
        """The first operand's exponent, true."""
        return self.larger_exponent + self._below(-self.apart)

    @cached_property
    def second_exponent(self) -> Number:
        """The second operand's exponent, true."""
        return self.larger_exponent + self._below(self.apart)

    def _below(self, apart: Number) -> Number:
        return -self.distance if isinstance(apart, int) and apart > 0 else -larger(apart, 0)

    @cached_property
    def page(self) -> Page:
        """The page before anything is done."""
        return Page(
            self.first,
            smaller(self.apart, 0),
            self.second,
            -larger(self.apart, 0),
            datum=self.larger_exponent,
        )

    @cached_property
    def question(self) -> Question:
        """The question, where the case is one question and not many."""
        first = Pattern(self.first, self.first_exponent)
        second = Pattern(self.second, self.second_exponent)
        return question_of(self.operation, self.course, (first, second))

    @cached_property
    def working(self) -> Working:
        """The question written out, where the case is one question."""
        return work_question(self.question)

    def remember(self, name: str, make: Callable[[], Number]) -> Number:
        """Return what *make* gives, made once for this case under *name*."""
        if name not in self._remembered:
            self._remembered[name] = make()
        return self._remembered[name]

    def method(self, name: str) -> Method:
        """Return the method called *name* as the course has it."""
        course = self.course
        return method_for(
            self.operation, name, as_written=course.operands == "as written", underflow=course.underflow
        )

    def lines_by(self, name: str) -> dict[str, tuple[Page, Page]]:
        """Return the working by the method called *name*: the page before and after each line."""
        return self.lines_with(name, self.method(name))

    def lines_with(self, name: str, method: Method) -> dict[str, tuple[Page, Page]]:
        """Return the working by *method*, remembered under *name*."""
        if name not in self._lines:
            trail = method.trail(self.page, self.format)
            self._lines[name] = {line.name: (before, after) for line, before, after in trail}
        return self._lines[name]

    @cached_property
    def worth(self) -> Page:
        """A row worth as much as the answer: the one before it is brought to normal form, if it can be.

        That row is a plain sum, which keeps diagrams small. Where digits are cut after it, or an
        underflow changes the answer, it is the answer itself.
        """
        if "cut" in self.lines or self.course.underflow != "word":
            return self.answer
        return self.lines["normalise"][0]

    def last_page(self, name: str) -> Page:
        """Return the last page of the working by the method called *name*."""
        return list(self.lines_by(name).values())[-1][1]

    @cached_property
    def lines(self) -> dict[str, tuple[Page, Page]]:
        """The course's working: the page before and after each line, by the line's name."""
        return self.lines_by(self.course.method)

    @cached_property
    def answer(self) -> Page:
        """The last page of the course's working."""
        return self.last_page(self.course.method)

    @cached_property
    def ready(self) -> Page:
        """The page with both operands in normal form, a zero given the other's exponent."""
        page = self.lines["ready"][1] if "ready" in self.lines else self.page
        return floating.compare(page, self.format)

    @cached_property
    def first_shift(self) -> Number:
        """How far aligning moves the first operand (in a far class: at least that far)."""
        return larger(self.ready.second_exponent - self.ready.first_exponent, 0)

    @cached_property
    def second_shift(self) -> Number:
        """How far aligning moves the second operand (in a far class: at least that far)."""
        return larger(self.ready.first_exponent - self.ready.second_exponent, 0)

    @cached_property
    def shift(self) -> Number:
        """How far aligning moves the operand with the smaller exponent."""
        return self.first_shift + self.second_shift + (self.distance - self.first_apart - self.second_apart)

    @cached_property
    def shifted(self) -> Number:
        """The mantissa that aligning moves, 0 where it moves none."""
        ready = self.ready
        return where(self.first_shift > 0, ready.first, where(self.second_shift > 0, ready.second, 0))

    @cached_property
    def added(self) -> Page:
        """The page with the sum written below the line."""
        return self.lines["add"][1]

    @property
    def sum_bits(self) -> Number:
        """Bits the sum is written in: the mantissa's, and any places kept beyond."""
        return self.format.mantissa_bits + self.added.extra

    @cached_property
    def carries(self) -> Number:
        """Ones in the columns that a carry came into; the one past the sign place is the carry out."""
        page = self.added
        return page.first ^ page.second ^ page.total

    @cached_property
    def carry_out(self) -> Truth:
        """Whether a carry leaves the sign place."""
        return (self.carries >> self.sum_bits) & 1 == 1

    @cached_property
    def overflowed(self) -> Truth:
        """Whether the sum does not fit the mantissa."""
        return self.added.overflowed

    @cached_property
    def copies(self) -> Number:
        """Places the sum is shifted left to bring it to normal form."""
        before, after = self.lines["normalise"]
        return before.exponent - after.exponent

    @cached_property
    def tail(self) -> Number:
        """The mantissa's own digits that aligning shifts past the last place."""
        moved = smaller(self.first_shift + self.second_shift, self.format.mantissa_bits)
        return self.shifted & ((1 << moved) - 1)

    @cached_property
    def exact(self) -> Number:
        """The exact answer, in units of the last place of the operand with the smaller exponent."""
        second = -self.second if self.subtracts else self.second
        return (self.first << self.first_apart) + (second << self.second_apart)

    @cached_property
    def exact_normal(self) -> NormalForm:
        """The exact answer in normal form."""
        spare = self.first_apart + self.second_apart + 1
        page = Page(0, 0, 0, 0, total=self.exact, exponent=1, extra=spare, datum=self.larger_exponent)
        page = floating.judge_range(floating.normalise(page, self.format), self.format)
        fits = (page.total & ((1 << spare) - 1) == 0) & self.is_number(page)
        return NormalForm(page.total, page.exponent, spare, fits)

    @staticmethod
    def is_number(page: Page) -> Truth:
        """Return whether the working ends in a pattern, not in a word."""
        return (page.outcome == IN_RANGE) | (page.outcome == ZERO)

    @cached_property
    def is_exact(self) -> Truth:
        """Whether the answer means exactly the exact answer."""
        page, normal = self.answer, self.exact_normal
        if self.course.underflow == "un-normalised":
            page = floating.normalise(page, self.format)
        zero = page.total == 0
        same = (page.total << normal.spare == normal.total) & (zero | (page.exponent == normal.exponent))
        return same & self.is_number(page)

    @cached_property
    def variants(self) -> tuple[str, ...]:
        """The methods whose answers count as right: the course's, or the usual three."""
        course = self.course
        return (course.method, *course.accepts) if course.accepts else USUAL_VARIANTS


def same_answer(one: Page, other: Page) -> Truth:
    """Return whether two last pages give one answer: the same word, both zero, or the same pattern."""
    zero = one.outcome == ZERO
    word = (one.outcome == OVERFLOW) | (one.outcome == UNDERFLOW)
    pattern = (one.total == other.total) & (one.exponent == other.exponent)
    return (one.outcome == other.outcome) & (word | zero | pattern)


def case_of(operation: str, course: Course, first: Pattern, second: Pattern) -> Case:
    """Return the case of one question, or of many whose patterns hold numbers in lanes.

    >>> case = case_of("subtract", Course(format="6+4"), Pattern(23, 3), Pattern(20, 1))
    >>> case.apart, case.larger_exponent, case.exact, case.is_exact
    (2, 3, 72, True)
    """
    apart = first.exponent - second.exponent
    return Case(
        operation,
        course,
        first.mantissa,
        second.mantissa,
        apart=apart,
        distance=larger(apart, -apart),
        larger_exponent=larger(first.exponent, second.exponent),
    )
