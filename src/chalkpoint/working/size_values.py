"""Rules of reading and storing numbers of a sign, an exponent and a size, of their range and their sign."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import NamedTuple, TypeAlias

from chalkpoint.numbers.bits import scaled
from chalkpoint.numbers.carriers import Number, Truth
from chalkpoint.numbers.exact import is_dyadic
from chalkpoint.numbers.rounding import DIRECTIONS, rounding_called
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working.bringing import by_rule
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.steps import Loss
from chalkpoint.working.working import Working

__all__ = [
    "COSTS",
    "READ_OF_SPECIALS",
    "SIZE_CHANGING",
    "SIZE_READING",
    "SIZE_STORING",
    "SizeReadPage",
    "SizeStorePage",
    "losses",
    "size_extremes",
    "size_storing_method",
    "size_zero_method",
]

PLACES_PAST_THE_CUT = 4  # written of a tail that never ends, so that the cut can be seen


# === Reading ===


class SizeReadPage(NamedTuple):
    """A pattern being read: its fields as numbers, then what they stand for.

    special   whether the fields stand for an infinity or NaN
    size      the whole size, in units of its last place
    value     the exact value, once scaled
    """

    sign: Number
    stored: Number
    fraction: Number
    special: Truth = False
    exponent: Number = 0
    size: Number = 0
    value: Fraction = Fraction(0)


def read_sign(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Read the sign: 0 is plus, 1 is minus. Nothing else depends on it."""
    return page


def read_special(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Tell whether the fields are kept for an infinity or NaN."""
    fields = (page.stored, page.fraction)
    return page._replace(special=fmt.is_infinity(*fields) | fmt.is_nan(*fields))


def read_exponent(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Find the true exponent; the lowest stored one counts as the next one up where it makes subnormals."""
    return page._replace(exponent=fmt.true_exponent(page.stored))


def read_size(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Restore the hidden one, where there is one."""
    return page._replace(size=fmt.size(page.stored, page.fraction))


def scale(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Multiply by two to the power of the exponent, and give it its sign."""
    size = -page.size if page.sign else page.size
    return page._replace(value=scaled(size, page.exponent - fmt.places))


SIZE_READING = Method(
    "",
    "decode",
    (
        Line("sign", ("sign",)),
        Line("special", ("special",), optional=True),
        Line("exponent", ("exponent",)),
        Line("size", ("size",)),
        Line("scale", ("scale",)),
    ),
    {
        "sign": read_sign,
        "special": read_special,
        "exponent": read_exponent,
        "size": read_size,
        "scale": scale,
    },
)
READ_OF_SPECIALS = frozenset({"sign", "special"})


# === Storing ===


class SizeStorePage(NamedTuple):
    """A value on its way into a format.

    number, places, ends  the digits of the size written so far, as on the pages of `storing`
    exponent              the true exponent once the point is placed
    size                  the size once rounded, in units of the format's last place
    carried               whether rounding made a further digit
    pattern               the pattern, or None where the outcome is a word
    """

    value: Fraction
    sign: int = 0
    number: int = 0
    places: int = 0
    ends: bool = True
    exponent: int = 0
    size: int = 0
    carried: bool = False
    pattern: Fields | None = None
    outcome: str = "in range"


SizeStoreRule: TypeAlias = Callable[[SizeStorePage, Course], SizeStorePage]


def store_sign(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Write the sign bit: 1 for a negative value. All that follows is about its size."""
    return page._replace(sign=int(page.value < 0))


def store_digits(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Write the size in fixed point: every place of it, or a few past the cut where it never ends."""
    size, fmt = abs(page.value), course.size_format
    if is_dyadic(size):
        places = size.denominator.bit_length() - 1
    else:
        exponent = fmt.rounded(size, DIRECTIONS["toward zero"]).exponent
        places = max(fmt.places - exponent + PLACES_PAST_THE_CUT, 1)
    return page._replace(
        number=(size.numerator << places) // size.denominator, places=places, ends=is_dyadic(size)
    )


def store_point(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Place the point by the first 1; the places moved are the exponent, which stops at the lowest."""
    fitted = course.size_format.rounded(abs(page.value), DIRECTIONS["toward zero"])
    return page._replace(exponent=fitted.exponent)


def store_rounded(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Round the size to the format's digits by the course's direction."""
    fitted = course.size_format.rounded(page.value, rounding_called(course.rounding))
    return page._replace(size=fitted.size, carried=fitted.exponent != page.exponent, exponent=fitted.exponent)


def store_packed(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Add the excess to the exponent, leave out the hidden one, and write the fields; judge the range."""
    pattern = by_rule(page.value, course)
    if pattern is None:
        beyond = page.exponent >= course.size_format.highest_exponent
        return page._replace(outcome="overflow" if beyond else "underflow")
    kind = course.size_format.kind(pattern)
    return page._replace(
        pattern=pattern, outcome=kind if kind in {"zero", "infinity", "not a number"} else "in range"
    )


def store_zero(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Write the pattern for zero."""
    return page._replace(pattern=course.size_format.zero, outcome="zero")


SIZE_STORING: dict[str, SizeStoreRule] = {
    "zero": store_zero,
    "sign": store_sign,
    "digits": store_digits,
    "point": store_point,
    "round": store_rounded,
    "pack": store_packed,
}
ZERO = Line("zero", ("zero",))
STORING_LINES = tuple(Line(name, (name,)) for name in SIZE_STORING if name != "zero")
COSTS = (Line("absolute", ()), Line("relative", ()))


@cache
def size_storing_method(operation: str = "encode") -> Method:
    """Return how a value is stored; "error" goes on to what that cost.

    >>> [line.name for line in size_storing_method().lines]
    ['sign', 'digits', 'point', 'round', 'pack']
    """
    costs = COSTS if operation == "error" else ()
    return Method("", operation, (*STORING_LINES, *costs), SIZE_STORING)


@cache
def size_zero_method(method: Method) -> Method:
    """Return how a holder of *method* stores zero, which has a pattern of its own."""
    costs = tuple(line for line in method.lines if line.name == "absolute")
    return replace(method, lines=(ZERO, *costs), rules=method.rules | {"zero": store_zero})


def losses(working: Working) -> tuple[Loss, ...]:
    """Return the digits that rounding took; they account for the whole error."""
    error = working.check.error
    for step in working.steps:
        if step.rule == "round" and error:
            return (Loss(step.number, "round", step.rows[-1].lost, error),)
    return ()


# === Range, sign and normal form ===


def size_extremes(fmt: SignMagnitudeFormat) -> dict[str, Fields]:
    """Return the extreme values of *fmt*, the smallest normal one where that is not the smallest.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> size_extremes(size_format(format_called("E4M3")))["largest positive"]
    Fields(sign=0, exponent=8, fraction=6)
    """
    found = {"largest positive": fmt.largest}
    if fmt.smallest != fmt.smallest_normal:
        found["smallest normal"] = fmt.smallest_normal
    return found | {
        "smallest positive": fmt.smallest,
        "largest negative": fmt.smallest._replace(sign=1),
        "most negative": fmt.largest._replace(sign=1),
    }


def change_sign(pattern: Fields, fmt: SignMagnitudeFormat) -> Fields:
    """Change the sign bit; nothing else depends on it."""
    return pattern._replace(sign=1 - pattern.sign)


def shift_to_normal(pattern: Fields, fmt: SignMagnitudeFormat) -> Fields:
    """Shift the size left until it starts with a 1 or has the lowest exponent."""
    size = fmt.size(pattern.exponent, pattern.fraction)
    places = min(fmt.digits - size.bit_length(), pattern.exponent - fmt.lowest_exponent) if size else 0
    return fmt.pack(pattern.sign, size << places, pattern.exponent - places)


SIZE_CHANGING = {
    name: Method("", name, (Line(name, (name,)),), {name: rule})
    for name, rule in (("negate", change_sign), ("normalise", shift_to_normal))
}
