"""Reading and storing numbers of a sign, an exponent and a size; their range; changing their sign."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import cache
from typing import NamedTuple, TypeAlias

from chalkpoint.numbers.bits import scaled
from chalkpoint.numbers.carriers import Number, Truth
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import is_dyadic
from chalkpoint.numbers.named import value_or_none
from chalkpoint.numbers.rounding import DIRECTIONS, rounding_called
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working.bringing import by_rule
from chalkpoint.working.check import Check, check, check_special
from chalkpoint.working.course import Course
from chalkpoint.working.losing import no_losses
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Loss, Step, written_steps
from chalkpoint.working.wording.size_values import writer
from chalkpoint.working.working import Working

__all__ = [
    "SIZE_READING",
    "SIZE_STORING",
    "SizeReadPage",
    "SizeStorePage",
    "change_size",
    "decode_size",
    "encode_size",
    "find_size_range",
    "size_storing_method",
    "usual_size_storing",
]

PLACES_PAST_THE_CUT = 4  # written of a tail that never ends, so that the cut can be seen


# === Reading ===


class SizeReadPage(NamedTuple):
    """A pattern being read: its fields as numbers, then what they stand for.

    special   whether the fields stand for an infinity or for what is not a number
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


SizeReadRule: TypeAlias = Callable[[SizeReadPage, SignMagnitudeFormat], SizeReadPage]


def read_sign(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Read the sign: 0 is plus, 1 is minus. Nothing else depends on it."""
    return page


def read_special(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Tell whether the fields are kept for an infinity or for what is not a number."""
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
READ_OF_SPECIALS = {"sign", "special"}


def decode_size(question: Question, method: Method = SIZE_READING) -> Working:
    """Return the working that reads a pattern: sign, exponent, size, then all together."""
    fmt: SignMagnitudeFormat = question.format
    (pattern,) = question.patterns
    trail = method.trail(SizeReadPage(*pattern), fmt)
    last: SizeReadPage = trail[-1].after
    if last.special:
        trail = [entry for entry in trail if entry.line.name in READ_OF_SPECIALS]
    steps = written_steps(trail, writer(question, method))
    faulty = method.right is not None
    value = value_or_none(fmt, pattern)
    if value is None:
        checked = _special_check(question, pattern)
        return Working(question, "", steps, fmt.kind(pattern), pattern, checked, faulty=faulty)
    exact = value if faulty else last.value
    outcome = "in range" if exact else "zero"
    checked = check(exact, outcome, pattern, question.course)
    return Working(question, "", steps, outcome, pattern, checked, faulty=faulty)


def _special_check(question: Question, pattern: Fields) -> Check:
    word = question.format.kind(pattern)
    if word == "infinity" and pattern.sign:
        word = "minus infinity"
    return check_special(word, pattern, question.course)


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
    size, fmt = abs(page.value), course.number_format
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
    fitted = course.number_format.rounded(abs(page.value), DIRECTIONS["toward zero"])
    return page._replace(exponent=fitted.exponent)


def store_rounded(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Round the size to the format's digits by the course's direction."""
    fitted = course.number_format.rounded(page.value, rounding_called(course.rounding))
    return page._replace(size=fitted.size, carried=fitted.exponent != page.exponent, exponent=fitted.exponent)


def store_packed(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Add the excess to the exponent, leave out the hidden one, and write the fields; judge the range."""
    pattern = by_rule(page.value, course)
    if pattern is None:
        beyond = page.exponent >= course.number_format.highest_exponent
        return page._replace(outcome="overflow" if beyond else "underflow")
    kind = course.number_format.kind(pattern)
    return page._replace(
        pattern=pattern, outcome=kind if kind in {"zero", "infinity", "not a number"} else "in range"
    )


def store_zero(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Write the pattern for zero."""
    return page._replace(pattern=course.number_format.zero, outcome="zero")


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
def size_storing_method(operation: str = "encode", *, zero: bool = False) -> Method:
    """Return how a value is stored; "error" goes on to what that cost.

    zero  whether the value is 0, which has a pattern of its own

    >>> [line.name for line in size_storing_method().lines]
    ['sign', 'digits', 'point', 'round', 'pack']
    """
    lines = (ZERO,) if zero else STORING_LINES
    costs = COSTS[: 1 if zero else 2] if operation == "error" else ()
    return Method("", operation, (*lines, *costs), SIZE_STORING)


def usual_size_storing(question: Question) -> Method:
    """Return how the question's value is stored."""
    return size_storing_method(question.operation.name, zero=question.value == 0)


def encode_size(question: Question, method: Method | None = None) -> Working:
    """Return the working that stores a value, and for `error` goes on to what that cost."""
    method = method or usual_size_storing(question)
    trail = method.trail(SizeStorePage(question.value), question.course)
    last: SizeStorePage = trail[-1].after
    if last.pattern is None or value_or_none(question.format, last.pattern) is None:
        trail = [entry for entry in trail if entry.line not in COSTS]
    faulty = method.right is not None
    return Working(
        question,
        question.course.rounding,
        written_steps(trail, writer(question, method)),
        last.outcome,
        last.pattern,
        check(question.value, last.outcome, last.pattern, question.course),
        no_losses if faulty else losses,
        faulty=faulty,
    )


def losses(working: Working) -> tuple[Loss, ...]:
    """Return the digits that rounding took; they account for the whole error."""
    error = working.check.error
    for step in working.steps:
        if step.rule == "round" and error:
            return (Loss(step.number, "round", step.rows[-1].lost, error),)
    return ()


# === Range, sign and normal form ===


def find_size_range(question: Question) -> Working:
    """Return the working that writes the extremes; the result is the largest."""
    fmt: SignMagnitudeFormat = question.format
    patterns = {"largest positive": fmt.largest}
    if fmt.smallest != fmt.smallest_normal:
        patterns["smallest normal"] = fmt.smallest_normal
    patterns |= {
        "smallest positive": fmt.smallest,
        "largest negative": fmt.smallest._replace(sign=1),
        "most negative": fmt.largest._replace(sign=1),
    }
    write = writer(question)
    steps = tuple(
        Step(number, name, None, pattern, write) for number, (name, pattern) in enumerate(patterns.items(), 1)
    )
    checked = check(fmt.value(fmt.largest), "in range", fmt.largest, question.course)
    return Working(question, "", steps, "in range", fmt.largest, checked, extremes=patterns)


def change_size(question: Question) -> Working:
    """Return the working that changes a sign, or brings a size into normal form."""
    fmt: SignMagnitudeFormat = question.format
    (pattern,) = question.patterns
    if question.operation.name == "negate":
        changed = pattern._replace(sign=1 - pattern.sign)
    elif fmt.hidden:
        raise EntryError(
            f"{fmt.write(pattern)} cannot be shifted: {fmt} hides the first 1, so its patterns have one form only; "
            "take a format that writes every digit, such as 8+4"
        )
    else:
        size = fmt.size(pattern.exponent, pattern.fraction)
        places = min(fmt.digits - size.bit_length(), pattern.exponent - fmt.lowest_exponent) if size else 0
        changed = fmt.pack(pattern.sign, size << places, pattern.exponent - places)
    step = Step(1, question.operation.name, pattern, changed, writer(question))
    value = value_or_none(fmt, changed)
    if value is None:
        return Working(question, "", (step,), fmt.kind(changed), changed, _special_check(question, changed))
    outcome = "in range" if value else "zero"
    return Working(question, "", (step,), outcome, changed, check(value, outcome, changed, question.course))
