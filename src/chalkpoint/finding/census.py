"""The compiled census: every question of a format looked at, by a loop made from the rules' own text.

The traits are run once on numbers that only write down what is done to them. What they wrote is a list
of plain assignments, which numba compiles into a loop over all pairs of patterns. It is the third and
slowest witness for a count, fit for formats up to 12+4, and needs the extra "census".
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from chalkpoint.finding.case import Case
from chalkpoint.finding.request import Term
from chalkpoint.numbers.errors import EntryError, missing_extra
from chalkpoint.working.course import Course

__all__ = ["Tape", "Traced", "census", "census_source"]

WIDEST = 60  # bits a number of the loop may take


class Tape:
    """The assignments written so far, each different one once."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self._known: dict[str, str] = {}

    def write(self, text: str, *, truth: bool = False) -> Traced:
        """Write down ``text`` as a new number, or find the one that is it already."""
        if text not in self._known:
            self._known[text] = f"v{len(self.lines)}"
            self.lines.append(f"{self._known[text]} = {text}")
        return Traced(self, self._known[text], truth=truth)


class Traced:
    """A number, or a condition, that is only known by its name in the loop."""

    __slots__ = ("name", "tape", "truth")
    __hash__ = None  # type: ignore[assignment]

    def __init__(self, tape: Tape, name: str, *, truth: bool = False) -> None:
        self.tape = tape
        self.name = name
        self.truth = truth

    def __bool__(self) -> bool:
        raise TypeError("what is only written down is neither true nor false")

    def max(self) -> int:
        """Return the most bits this may stand for, where it is a width."""
        return WIDEST

    def select(self, yes: Any, no: Any) -> Traced:
        """Return *yes* where this condition holds and *no* elsewhere."""
        truth = _is_truth(yes)
        return self.tape.write(f"{_name(yes)} if {self.name} else {_name(no)}", truth=truth)

    def _do(self, sign: str, other: Any, *, turned: bool = False, truth: bool = False) -> Traced:
        left, right = (_name(other), self.name) if turned else (self.name, _name(other))
        return self.tape.write(f"{left} {sign} {right}", truth=truth)

    def _join(self, word: str, sign: str, other: Any) -> Traced:
        if self.truth and _is_truth(other):
            return self._do(word, other, truth=True)
        return self._do(sign, other)

    def __add__(self, other: Any) -> Traced:
        return self._do("+", other)

    def __sub__(self, other: Any) -> Traced:
        return self._do("-", other)

    def __rsub__(self, other: Any) -> Traced:
        return self._do("-", other, turned=True)

    def __mul__(self, other: Any) -> Traced:
        return self._do("*", other)

    def __lshift__(self, other: Any) -> Traced:
        return self._do("<<", other)

    def __rlshift__(self, other: Any) -> Traced:
        return self._do("<<", other, turned=True)

    def __rshift__(self, other: Any) -> Traced:
        return self._do(">>", other)

    def __rrshift__(self, other: Any) -> Traced:
        return self._do(">>", other, turned=True)

    def __and__(self, other: Any) -> Traced:
        return self._join("and", "&", other)

    def __or__(self, other: Any) -> Traced:
        return self._join("or", "|", other)

    def __xor__(self, other: Any) -> Traced:
        return self._join("!=", "^", other)

    def __neg__(self) -> Traced:
        return self.tape.write(f"-{self.name}")

    def __invert__(self) -> Traced:
        return self.tape.write(f"{'not ' if self.truth else '~'}{self.name}", truth=self.truth)

    def __lt__(self, other: Any) -> Traced:
        return self._do("<", other, truth=True)

    def __le__(self, other: Any) -> Traced:
        return self._do("<=", other, truth=True)

    def __gt__(self, other: Any) -> Traced:
        return self._do(">", other, truth=True)

    def __ge__(self, other: Any) -> Traced:
        return self._do(">=", other, truth=True)

    def __eq__(self, other: object) -> Traced:  # type: ignore[override]
        return self._do("==", other, truth=True)

    def __ne__(self, other: object) -> Traced:  # type: ignore[override]
        return self._do("!=", other, truth=True)

    __radd__, __rmul__, __rand__, __ror__, __rxor__ = __add__, __mul__, __and__, __or__, __xor__


def _name(number: Any) -> str:
    return number.name if isinstance(number, Traced) else f"({number})"


def _is_truth(number: Any) -> bool:
    return isinstance(number, bool) or (isinstance(number, Traced) and number.truth)


LOOP = """
def look_at_all(mantissas, lowest, highest):
    counts = np.zeros({requests}, np.int64)
    for first_exponent in range(lowest, highest + 1):
        for second_exponent in range(lowest, highest + 1):
            apart = first_exponent - second_exponent
            distance = abs(apart)
            larger_exponent = max(first_exponent, second_exponent)
            for first in mantissas:
                for second in mantissas:
                    {body}
    return counts
"""


def census_source(operation: str, course: Course, requests: Sequence[Sequence[Term]]) -> str:
    """Return the loop, as Python, that counts the questions meeting each of *requests*."""
    tape = Tape()
    names = ("first", "second", "apart", "distance", "larger_exponent")
    first, second, apart, distance, larger_exponent = (Traced(tape, name) for name in names)
    case = Case(
        operation, course, first, second, apart=apart, distance=distance, larger_exponent=larger_exponent
    )
    ends = []
    for at, terms in enumerate(requests):
        met: Any = True
        for term in terms:
            met = met & term.meets(case)
        ends.append(f"counts[{at}] += 1 if {_name(met)} else 0")
    body = ("\n" + 20 * " ").join([*tape.lines, *ends])
    return LOOP.format(requests=len(requests), body=body)


def census(operation: str, course: Course, requests: Sequence[Sequence[Term]]) -> list[int]:
    """Return how many pairs of normalised patterns meet each of *requests*, every pair looked at.

    Raises EntryError where numba is not installed or the format is too wide for the loop's integers.
    """
    try:
        import numba
    except ImportError as reason:
        raise missing_extra("a census", "numba", "census") from reason
    import numpy as np

    fmt = course.number_format
    if 2 * fmt.mantissa_bits + (1 << fmt.exponent_bits) > WIDEST:
        raise EntryError(f"{course.format} is too wide for a census; take 12+4 or less")
    quarter = 1 << (fmt.places - 1)
    mantissas = np.array([*range(-2 * quarter, -quarter), *range(quarter, 2 * quarter)], dtype=np.int64)
    space: dict[str, Any] = {"np": np}
    exec(census_source(operation, course, requests), space)  # noqa: S102 - our own text, made just above
    look_at_all: Callable[..., Any] = numba.njit(space["look_at_all"])
    return [int(count) for count in look_at_all(mantissas, fmt.lowest_exponent, fmt.highest_exponent)]
