"""What a course may choose in a family of formats, and what a format does where the course says nothing.

A machine's format brings its machine's conventions, and an IEEE format those of its standard; a school
format brings the school's. A course's own keys come before them.
"""

from __future__ import annotations

from chalkpoint.numbers.families import FLOATING, SIZES
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.numbers.rounding import DIRECTIONS, ROUNDINGS
from chalkpoint.numbers.signed import SignMagnitudeFormat

__all__ = ["CHOICES", "allowed_choices", "own_choices"]

CHOICES = ("rounding", "underflow", "overflow")
UNDERFLOWS = ("word", "zero", "un-normalised")


def own_choices(fmt: AnyFormat) -> dict[str, str]:
    """Return the conventions of *fmt* where a course says nothing.

    >>> from chalkpoint.numbers.named import format_called
    >>> own_choices(format_called("8+4"))
    {'rounding': 'cut', 'underflow': 'word', 'overflow': 'word'}
    >>> own_choices(format_called("binary16"))
    {'rounding': 'nearest', 'underflow': 'un-normalised', 'overflow': 'infinity'}
    >>> own_choices(format_called("1750A-32"))
    {'rounding': 'cut', 'underflow': 'zero', 'overflow': 'largest'}
    """
    if fmt.family == SIZES:
        underflow = "un-normalised" if fmt.subnormals else "word"
        rounding = "nearest" if fmt.hidden else "toward zero"  # as a course cuts that writes every digit
        return {"rounding": rounding, "underflow": underflow, "overflow": _own_overflow(fmt)}
    machine = fmt.family == FLOATING and bool(fmt.name)
    return {
        "rounding": "cut",
        "underflow": "zero" if machine else "word",
        "overflow": "largest" if machine else "word",
    }


def _own_overflow(fmt: SignMagnitudeFormat) -> str:
    return {"infinities": "infinity", "one nan": "not a number", "none": "word"}[fmt.specials]


def allowed_choices(fmt: AnyFormat) -> dict[str, tuple[str, ...]]:
    """Return what a course may choose in *fmt*, by key.

    >>> from chalkpoint.numbers.named import format_called
    >>> allowed_choices(format_called("E4M3"))["overflow"]
    ('word', 'largest', 'not a number')
    """
    overflows = ("word", "largest")
    if fmt.family != SIZES:
        unnormalised = fmt.family == FLOATING and not fmt.implied
        return {
            "rounding": tuple(ROUNDINGS),
            "underflow": UNDERFLOWS if unnormalised else UNDERFLOWS[:2],
            "overflow": overflows,
        }
    own = _own_overflow(fmt)
    return {
        "rounding": tuple(DIRECTIONS),
        "underflow": UNDERFLOWS if fmt.gradual else UNDERFLOWS[:2],
        "overflow": overflows if own == "word" else (*overflows, own),
    }
