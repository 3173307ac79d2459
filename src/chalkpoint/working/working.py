"""Working: a question, the steps a method wrote down, the result, and its check."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING

from chalkpoint.numbers.hexadecimal import to_hexadecimal
from chalkpoint.numbers.named import AnyPattern, value_or_none
from chalkpoint.working.check import Check
from chalkpoint.working.notebook import drawn
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Loss, Step

if TYPE_CHECKING:
    from chalkpoint.working.wording.checking import CheckWords

__all__ = ["Result", "Working"]


@dataclass(frozen=True, slots=True)
class Result:
    """What the working ends in.

    outcome  "in range", "zero", "overflow", "underflow", "infinity" or "not a number"; "too long" where a
             faulty method kept a carry
    pattern  the pattern, or None where the outcome is a word
    bits     the pattern in bits, or None
    value    its exact value, or None for a word, an infinity or NaN
    values   for `range`: (bits, value) of each extreme by name
    """

    outcome: str
    pattern: AnyPattern
    bits: str | None
    value: Fraction | None
    values: dict[str, tuple[str, Fraction]] = field(default_factory=dict)

    @property
    def hexadecimal(self) -> str | None:
        """The pattern in hexadecimal, or None."""
        return None if self.bits is None else to_hexadecimal(self.bits)


@dataclass(eq=False, repr=False)
class Working:
    """A question worked: every step kept, every lost bit accounted for.

    question  the question
    method    name of the method, or "" where the operation has one way only
    steps     the lines written, in order
    check     the exact answer laid beside the result
    faulty    whether a belief's rules wrote it
    """

    question: Question
    method: str
    steps: tuple[Step, ...]
    outcome: str
    pattern: AnyPattern
    judge: Callable[[], Check]
    losses_of: Callable[[Working], tuple[Loss, ...]] = field(default=lambda working: ())
    extremes: Mapping[str, AnyPattern] = field(default_factory=dict)
    faulty: bool = False

    def __repr__(self) -> str:
        answer = self.result.bits or self.outcome
        return f"<working of {self.title}: {answer}, {self.check.verdict}>"

    def _repr_html_(self) -> str | None:
        return drawn(self)

    @cached_property
    def check(self) -> Check:
        """The exact answer laid beside the result."""
        return self.judge()

    @cached_property
    def result(self) -> Result:
        """The outcome, and the pattern it ends in if any."""
        fmt = self.check.format
        values = {name: (fmt.write(pattern), fmt.value(pattern)) for name, pattern in self.extremes.items()}
        if self.pattern is None:
            return Result(self.outcome, None, None, None, values)
        value = value_or_none(fmt, self.pattern)
        return Result(self.outcome, self.pattern, fmt.write(self.pattern), value, values)

    @property
    def result_format(self) -> str:
        """The format the result is written in: the question's own, except where that is what is asked for."""
        return str(self.check.format)

    @property
    def title(self) -> str:
        """The question in one line, such as "8.875 \u2212 3.6875 in 8+4"."""
        from chalkpoint.working.wording.heading import heading  # words wait until they are asked for

        return heading(self.question)

    @property
    def method_words(self) -> str:
        """What the method does, in a few words; "" where the operation has one way only."""
        from chalkpoint.working.wording.heading import describe_method

        return describe_method(self.question, self.method)

    @cached_property
    def check_words(self) -> CheckWords:
        """The check as written on the board, below the last step."""
        from chalkpoint.working.wording.checking import write_check

        return write_check(self)

    @cached_property
    def losses(self) -> tuple[Loss, ...]:
        """Every loss of digits, in the order made; their worths add up to the error."""
        return self.losses_of(self)
