"""A sum or difference of whole numbers, or of many at once, as traits look at it.

The numbers of a case are on any carrier: one question, many in lanes, or every question there is in diagrams. Its pages
are what the engine's own rules write (`working/whole.py`, `working/codes.py`); nothing is added here.
"""

from __future__ import annotations

from functools import cached_property

from chalkpoint.numbers.carriers import Number, Truth, opposite, where
from chalkpoint.numbers.named import fixed_format
from chalkpoint.working.codes import CodePage
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.operations.whole import first_page
from chalkpoint.working.page import OVERFLOW, TOO_LONG, AnyPage
from chalkpoint.working.procedures import right_method

__all__ = ["WholeCase"]


class WholeCase:
    """A question on any carrier.

    operation      "add" or "subtract"
    course         its conventions; its format is of whole numbers or fixed point
    first, second  the operands' patterns, read as unsigned

    >>> case = WholeCase("add", Course(format="8"), 100, 29)
    >>> case.exact, case.overflowed
    (129, True)
    """

    def __init__(self, operation: str, course: Course, first: Number, second: Number) -> None:
        self.operation = operation
        self.course = course
        self.format = fixed_format(course.number_format)
        self.first = first
        self.second = second

    @cached_property
    def values(self) -> tuple[Number, Number]:
        """Both operands, in units of the last place."""
        return self.format.field.number(self.first), self.format.field.number(self.second)

    @cached_property
    def exact(self) -> Number:
        """The exact answer, in units of the last place."""
        first, second = self.values
        return first + second if self.operation == "add" else first - second

    @cached_property
    def right(self) -> Method:
        """The course's method."""
        return right_method(self.operation, self.course)

    @cached_property
    def lines(self) -> dict[str, tuple[AnyPage, AnyPage]]:
        """The page before and after each line of the course's method, by the line's name."""
        page = first_page(self.operation, self.format, self.first, self.second)
        return {line.name: (before, after) for line, before, after in self.right.trail(page, self.format)}

    @cached_property
    def rows(self) -> tuple[Number, Number]:
        """Both rows that are added or taken away, as unsigned numbers."""
        page = next(after for name, (_, after) in self.lines.items() if name in {"add", "take_away"})
        columns = (1 << self.format.bits) - 1
        return page.first & columns, page.second & columns

    @cached_property
    def last(self) -> AnyPage:
        """The last page of the course's method."""
        return list(self.lines.values())[-1][1]

    @property
    def overflowed(self) -> Truth:
        """Whether the answer does not fit."""
        return self.last.outcome == OVERFLOW

    @cached_property
    def answer(self) -> Number:
        """The answer in units of the last place; past the range the end of it, where the course writes that."""
        return self.format.field.number(self.written(self.last)[1])

    @property
    def ends_in_word(self) -> Truth:
        """Whether the answer is the word overflow."""
        return self.written(self.last)[0] != 0

    def written(self, page: AnyPage) -> tuple[Number, Number]:
        """Return what is written for an answer on *page*: the place of a word or 0, and a pattern where that is 0.

        One that has a digit too many is told from a pattern as a word is, by its own number.
        """
        over, long = page.outcome == OVERFLOW, page.outcome == TOO_LONG
        code = page.total & ((1 << self.format.bits) - 1)
        if self.course.overflow == "largest":
            code, over = where(over, self._end(page), code), False
        word = where(over, OVERFLOW, where(long, TOO_LONG, 0))
        return word, where(over, 0, where(long, page.total, code))

    def _end(self, page: AnyPage) -> Number:
        """Return the pattern nearest to the answer, which lies past the range."""
        field = self.format.field
        return field.code(field.nearest_end(self.exact if isinstance(page, CodePage) else page.total))

    def differs_by(self, method: Method) -> Truth:
        """Return whether *method* writes another answer than the course's."""
        page = method.finish(first_page(self.operation, self.format, self.first, self.second), self.format)
        word, pattern = self.written(page)
        right_word, right_pattern = self.written(self.last)
        return opposite((word == right_word) & (pattern == right_pattern))
