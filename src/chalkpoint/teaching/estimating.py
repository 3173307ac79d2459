"""Numbers as a teacher says them: in full where that is soon said, rounded where it is not, and what to expect."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from chalkpoint.numbers.exact import MINUS, write_value
from chalkpoint.working.question import Question

__all__ = ["SIGNS", "Estimate", "estimate", "near", "told_apart", "told_value"]

LONGEST_SAID = 9  # digits of a number that is said in full
LEAST, MOST = Fraction(1, 10**6), Fraction(10**9)  # what is beyond is told as a power of ten
SIGNS = {"add": "+", "subtract": "\u2212", "multiply": "\u00d7", "divide": "\u00f7"}


@dataclass(frozen=True, slots=True)
class Estimate:
    """Operands rounded, and what comes of them; all as they are written."""

    first: str
    second: str
    about: str


def near(x: Fraction) -> Fraction:
    """Return *x* as one rounds it in one's head: to a whole number, below 1 to one figure, halves away from 0.

    >>> near(Fraction(71, 8)), near(Fraction(-29, 128)), near(Fraction(5, 2))
    (Fraction(9, 1), Fraction(-1, 5), Fraction(3, 1))
    """
    if x == 0:
        return x
    unit = Fraction(1)
    while abs(x) < unit:
        unit /= 10
    while abs(x) >= 100 * unit:
        unit *= 10
    return _to_unit(x, unit)


def _to_unit(x: Fraction, unit: Fraction) -> Fraction:
    """Return the multiple of *unit* nearest to *x*, a half away from 0."""
    size = (2 * abs(x) + unit) // (2 * unit) * unit
    return -size if x < 0 else size


def _soon_said(x: Fraction, point: str) -> str | None:
    written = write_value(x, point=point)
    return written if x == 0 or sum(map(str.isdigit, written)) <= LONGEST_SAID else None


def told_value(x: Fraction, point: str) -> str:
    """Return *x* as it is said: in full where that is soon said, otherwise to five figures, below 1 to three.

    >>> told_value(Fraction(83, 16), "."), told_value(Fraction(1, 3), ".")
    ('5.1875', '1/3')
    >>> told_value(Fraction(1, 2**23), "."), told_value(Fraction(10_000_001, 2**13), ".")
    ('about 1.19 × 10^\u22127', 'about 1220.7')
    """
    return _soon_said(x, point) or _about(x, _unit_of(x), point)


def _about(x: Fraction, unit: Fraction, point: str) -> str:
    """Return *x* rounded to *unit*: a very large or small number as so much times a power of ten."""
    rounded, power = _to_unit(x, unit), 0
    if LEAST <= abs(rounded) < MOST:
        return f"about {write_value(rounded, point=point)}"
    while abs(rounded) >= 10:
        rounded, power = rounded / 10, power + 1
    while abs(rounded) < 1:
        rounded, power = rounded * 10, power - 1
    return f"about {write_value(rounded, point=point)} × 10^{power}".replace("^-", f"^{MINUS}")


def _unit_of(x: Fraction) -> Fraction:
    """Return the worth of the last figure said of *x*: the fifth, below 1 the third."""
    figures, unit = 3 if abs(x) < 1 else 5, Fraction(1)
    while abs(x) < 10 ** (figures - 1) * unit:
        unit /= 10
    while abs(x) >= 10**figures * unit:
        unit *= 10
    return unit


def told_apart(one: Fraction, other: Fraction, point: str) -> tuple[str, str]:
    """Return two numbers as they are said one after the other: with as many places as tell them apart.

    >>> told_apart(Fraction(2019, 2), Fraction(2019, 2) + Fraction(1, 2**17), ".")
    ('1009.5', 'about 1009.500008')
    """
    gap = abs(one - other)
    if not gap:
        return told_value(one, point), told_value(other, point)
    unit = Fraction(1)
    while gap < 2 * unit:
        unit /= 10
    return _to_places(one, unit, point), _to_places(other, unit, point)


def _to_places(x: Fraction, unit: Fraction, point: str) -> str:
    """Return *x* as it is said, rounded to *unit* or as `told_value` rounds it, whichever is finer."""
    return _soon_said(x, point) or _about(x, min(unit, _unit_of(x)), point)


def estimate(question: Question, exact: Fraction | None) -> Estimate | None:
    """Return the operands rounded and what comes of them; None where that tells nothing.

    exact  the exact answer: a rounding that leads far from it is no estimate
    """
    if question.operation.name not in SIGNS or len(question.values) != 2 or exact is None:
        return None
    if any(value is None for value in question.values):
        return None
    first, second = (near(value) for value in question.values)
    match question.operation.name:
        case "add":
            about = first + second
        case "subtract":
            about = first - second
        case "multiply":
            about = first * second
        case _:
            if second == 0:
                return None
            about = near(first / second)
    spread = max(abs(value) for value in (first, second, about))
    if (first, second) == tuple(question.values) or abs(about - exact) > max(abs(exact), spread / 4) / 2:
        return None
    point = question.course.point
    return Estimate(*(write_value(value, point=point) for value in (first, second, about)))
