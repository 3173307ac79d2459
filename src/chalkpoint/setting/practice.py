"""Practice: graded sheets, small formats first and one new difficulty at a time; five-minute starters."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.drawn import is_plain
from chalkpoint.setting.papers import Candidate

__all__ = ["LADDERS", "STARTER_SECONDS", "Level", "fits_a_starter", "ladder", "seconds_for"]

SMALL = "5+3"
SECONDS_A_CHARACTER, SECONDS_A_LINE = 2, 10
STARTER_SECONDS = 300


@dataclass(frozen=True, slots=True)
class Level:
    """One step of a ladder: what is new on it, and the traits that keep everything else out."""

    new: str
    where: tuple[str, ...]
    small: bool = True


_EASY = ("exponent-signs = both-positive",)  # decimals that can be checked in the head
_PLAIN = ("not mantissa-overflow", "norm-shift = 0", "not align-loses-bits", "not result-zero")


def _pair_ladder(first: tuple[str, ...]) -> tuple[Level, ...]:
    """Return the ladder of adding or subtracting, whose first level has *first* too.

    Equal exponents come late: with them the sum of normalised numbers overflows, or their difference has to be
    normalised.
    """
    return (
        Level("one number is moved one place", ("align-shift = 1", *_PLAIN, *_EASY, *first)),
        Level(
            "a negative number is moved: its sign is copied",
            ("align-shift = 1", *_PLAIN, *_EASY, "shifted-negative"),
        ),
        Level(
            "the answer is normalised",
            (
                "align-shift = 1",
                "not mantissa-overflow",
                "norm-shift >= 1",
                "not align-loses-bits",
                "not result-zero",
                *_EASY,
            ),
        ),
        Level(
            "the sum does not fit the mantissa",
            ("equal-exponents", "mantissa-overflow", "not repair-loses-bit", "not exponent-overflow", *_EASY),
        ),
        Level(
            "a bit is lost", ("align-shift = 2", "not mantissa-overflow", "norm-shift = 0", "lost-ones = 1")
        ),
        Level("the class’s own format", ("align-shift = 2", *_PLAIN), small=False),
        Level("the class’s own format, bits are lost", ("align-shift >= 2", "lost-ones >= 1"), small=False),
    )


LADDERS: dict[str, tuple[Level, ...]] = {
    "add": _pair_ladder(("sign-pattern = ++", "carry-chain = 0")),
    "subtract": _pair_ladder(("sign-pattern = ++", "shifted-operand = second")),
    "decode": (
        Level("positive, exponent not negative", ("sign-pattern = +", "exponent-signs = positive")),
        Level("a negative mantissa", ("sign-pattern = -", "exponent-signs = positive")),
        Level("a negative exponent", ("sign-pattern = +", "exponent-signs = negative")),
        Level("both negative", ("sign-pattern = -", "exponent-signs = negative")),
        Level("the class’s own format", ("decimal-places <= 6",), small=False),
    ),
    "encode": (
        Level("positive and exact", ("sign-pattern = +", "exact-result")),
        Level("negative and exact", ("sign-pattern = -", "exact-result")),
        Level("digits that never end", ("not terminating", "sign-pattern = +"), small=False),
        Level("digits that never end, negative", ("not terminating", "sign-pattern = -"), small=False),
    ),
    "normalise": (
        Level("one place", ("norm-shift = 1", "sign-pattern = +", "not exponent-underflow")),
        Level("two places", ("norm-shift = 2", "sign-pattern = +", "not exponent-underflow")),
        Level("a negative mantissa", ("norm-shift = 1", "sign-pattern = -", "not exponent-underflow")),
        Level("the class’s own format", ("norm-shift >= 2", "not exponent-underflow"), small=False),
    ),
    "negate": (
        Level("a positive number", ("sign-pattern = +", "norm-shift = 0")),
        Level("a negative number", ("sign-pattern = -", "not mantissa-overflow")),
        Level("the class’s own format", (), small=False),
    ),
    "multiply": (
        Level("nothing to normalise, exact", ("sign-pattern = ++", "norm-shift = 0", "exact-result")),
        Level("the product is normalised", ("sign-pattern = ++", "norm-shift = 1", "exact-result")),
        Level("one number is negative", ("sign-pattern = +-", "exact-result")),
        Level("the class’s own format, bits are cut", ("not exact-result",), small=False),
    ),
    "divide": (
        Level("positive and exact", ("sign-pattern = ++", "exact-result")),
        Level("one number is negative", ("sign-pattern = +-", "exact-result")),
        Level("the class’s own format, digits that do not end", ("not exact-result",), small=False),
    ),
    "error": (Level("the class’s own format", (), small=False),),
    "range": (Level("a small format", ()), Level("the class’s own format", (), small=False)),
}


def ladder(asked: BlueprintQuestion) -> list[tuple[str, BlueprintQuestion]]:
    """Return what is new on each level, and what is asked there.

    A blueprint's own traits are asked for on the levels in the class’s own format. What the finder does not know
    has no ladder: it is asked unchanged.

    >>> from chalkpoint.working.course import Course
    >>> [(new, level.course.format) for new, level in ladder(BlueprintQuestion("normalise", Course()))][-2:]
    [('a negative mantissa', '5+3'), ('the class’s own format', '8+4')]
    """
    if asked.operation not in LADDERS or is_plain(asked):
        return [("", asked)]
    levels = []
    for level in LADDERS[asked.operation]:
        course = asked.course.with_(format=SMALL) if level.small else asked.course
        where = level.where if level.small or not asked.where else asked.where
        levels.append(
            (level.new, replace(asked, course=course, where=where, context=asked.context and not level.small))
        )
    return levels


def seconds_for(candidate: Candidate) -> int:
    """Return the time a question takes: two seconds a character written, ten a line.

    The figures are this project's own guess, to be put right by a class.
    """
    seen = candidate.measure
    return SECONDS_A_CHARACTER * seen.writing + SECONDS_A_LINE * len(seen.lines)


def fits_a_starter(candidates: Iterable[Candidate]) -> int:
    """Return how many of *candidates*, from the first, fit in five minutes; at least one."""
    spent = count = 0
    for candidate in candidates:
        spent += seconds_for(candidate)
        if count and spent > STARTER_SECONDS:
            break
        count += 1
    return count
