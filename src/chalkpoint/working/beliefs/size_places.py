"""Where beliefs act in arithmetic on a sign, an exponent and a size."""

from __future__ import annotations

from collections.abc import Callable

from chalkpoint.numbers.carriers import Number, larger, smaller, where
from chalkpoint.numbers.rounding import DIRECTIONS
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working import sizes
from chalkpoint.working.beliefs.belief import ADDING, IEEE, SCALING, SIZE, STORING, AnyRule, Place, acts
from chalkpoint.working.course import Course
from chalkpoint.working.size_rounding import ROUND
from chalkpoint.working.size_values import (
    SizeStorePage,
    shift_to_normal,
    store_packed,
)
from chalkpoint.working.sizes import EXTRA_PLACES, SizePage

__all__ = [
    "ALIGN_LARGER_RIGHT",
    "ALIGN_OFF_BY_ONE",
    "ALIGN_SKIP",
    "BIAS_NOT_PUT_BACK",
    "CUT_AT_THE_END",
    "EXPONENTS_MULTIPLIED",
    "HIDDEN_ONES_LEFT_OUT",
    "NORM_MANTISSA_ONLY",
    "NORM_ONE_PLACE",
    "NORM_SKIPPED",
    "NORM_WRONG_WAY",
    "SIGNS_IGNORED",
    "SUBNORMALS_AS_NORMAL",
    "SUB_ADDS",
    "SUB_REVERSED",
    "TIES_UP",
    "places",
]

BOTH = (IEEE, SIZE)


def places(
    operations: tuple[str, ...], slot: str, rule: AnyRule, said: str, families: tuple[str, ...] = BOTH
) -> tuple[Place, ...]:
    """Return the places of one rule in each family."""
    return acts(operations, slot, rule, said, *families)


# === What is added to what ===


def leave_hidden_ones(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Take the fractions for the sizes."""
    return sizes.unpack(page, fmt)._replace(first=page.first_fraction, second=page.second_fraction)


def add_instead(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Leave the sign of the number taken away."""
    return page


def flip_first_sign(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Take the first number from the second."""
    return page._replace(first_sign=1 - page.first_sign)


HIDDEN_ONES_LEFT_OUT = places(
    (*ADDING, *SCALING), "unpack", leave_hidden_ones, "Take the fractions for the sizes.", (IEEE,)
)


def restore_every_one(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Put a hidden one before both fractions and take the bias off both exponents, even where 0 is stored."""
    one = fmt.hidden << fmt.fraction_bits
    return page._replace(
        first=page.first_fraction + one,
        first_exponent=page.first_stored,
        second=page.second_fraction + one,
        second_exponent=page.second_stored,
    )


SUBNORMALS_AS_NORMAL = places(
    (*ADDING, *SCALING),
    "unpack",
    restore_every_one,
    "Put the hidden 1 before every fraction, and take the bias off as always.",
    (IEEE,),
)
SUB_ADDS = places(("subtract",), "flip", add_instead, "Leave the sign bits as they are.")
SUB_REVERSED = places(("subtract",), "flip", flip_first_sign, "Take the first number from the second.")


# === Aligning ===


def _aligned(page: SizePage, first: Number, second: Number) -> SizePage:
    """Return both sizes with their extra places, each moved right as far, under the larger exponent."""
    common = larger(page.first_exponent, page.second_exponent)
    return page._replace(
        first=(page.first << EXTRA_PLACES) >> first,
        first_exponent=common,
        second=(page.second << EXTRA_PLACES) >> second,
        second_exponent=common,
        extra=EXTRA_PLACES,
    )


def _apart(page: SizePage, fmt: SignMagnitudeFormat) -> tuple[Number, Number]:
    """Return how far the first and the second are to be moved."""
    most = fmt.digits + EXTRA_PLACES + 1
    apart = page.first_exponent - page.second_exponent
    return smaller(larger(-apart, 0), most), smaller(larger(apart, 0), most)


def align_skip(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Write the larger exponent on both and move nothing."""
    return _aligned(page, 0, 0)


def align_larger_right(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Move the size with the larger exponent right."""
    first, second = _apart(page, fmt)
    return _aligned(page, second, first)


def align_off_by_one(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Move one place further than the difference, where there is one."""
    first, second = _apart(page, fmt)
    return _aligned(page, first + where(first > 0, 1, 0), second + where(second > 0, 1, 0))


ALIGN_SKIP = places(ADDING, "align", align_skip, "Write the larger exponent on both; move no digits.")
ALIGN_LARGER_RIGHT = places(
    ADDING, "align", align_larger_right, "Move the digits with the larger exponent right."
)
ALIGN_OFF_BY_ONE = places(ADDING, "align", align_off_by_one, "Move one place further than the difference.")


# === Combining, and the normal form ===


def add_sizes(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Add the sizes whatever the signs; the sign is the first number's."""
    usual = sizes.combine(page, fmt)
    sign = where(page.special == 0, page.first_sign, usual.sign)
    return usual._replace(total=page.first + page.second, sign=sign)


def _normal(exponent: Callable[[SizePage, SizePage], Number]) -> AnyRule:
    """Return the right rule for the digits, with the exponent that *exponent* gives, (before, right) -> exponent."""

    def renormalise(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
        usual = sizes.renormalise(page, fmt)
        return usual._replace(exponent=exponent(page, usual))

    return renormalise


def leave_unshifted(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Leave the sum as it stands; a digit too many is left out in front."""
    return page._replace(total=page.total & ((1 << (fmt.digits + page.extra)) - 1))


SIGNS_IGNORED = places(ADDING, "combine", add_sizes, "Add the sizes and write the first number\u2019s sign.")


def _normalised(exponent: Callable[[int, int], int]) -> AnyRule:
    """Return the rule for a pattern whose digits are moved; *exponent* is given the old one and the right one."""

    def normalise(pattern: Fields, fmt: SignMagnitudeFormat) -> Fields:
        usual = shift_to_normal(pattern, fmt)
        code = exponent(pattern.exponent, usual.exponent)
        return usual._replace(exponent=max(fmt.exponent.lowest, min(fmt.exponent.highest, code)))

    return normalise


def one_place(pattern: Fields, fmt: SignMagnitudeFormat) -> Fields:
    """Move the digits left one place at most."""
    usual = shift_to_normal(pattern, fmt)
    if usual == pattern:
        return pattern
    return pattern._replace(fraction=pattern.fraction << 1, exponent=pattern.exponent - 1)


NORM_MANTISSA_ONLY = (
    *places(
        (*ADDING, *SCALING),
        "renormalise",
        _normal(lambda page, usual: page.exponent),
        "Move the digits and leave the exponent.",
    ),
    *places(
        ("normalise",),
        "normalise",
        _normalised(lambda old, right: old),
        "Move the digits and leave the exponent.",
        (SIZE,),
    ),
)
NORM_WRONG_WAY = (
    *places(
        (*ADDING, *SCALING),
        "renormalise",
        _normal(lambda page, usual: page.exponent + page.exponent - usual.exponent),
        "Move the digits and change the exponent the other way.",
    ),
    *places(
        ("normalise",),
        "normalise",
        _normalised(lambda old, right: old + old - right),
        "Move the digits left and add the places to the exponent.",
        (SIZE,),
    ),
)
NORM_ONE_PLACE = places(("normalise",), "normalise", one_place, "Move the digits left one place.", (SIZE,))
NORM_SKIPPED = (
    *places(ADDING, "renormalise", leave_unshifted, "Leave the sum as it stands."),
    *places(
        ("normalise",), "normalise", lambda pattern, fmt: pattern, "Leave the pattern as it is.", (SIZE,)
    ),
)


# === Multiplying and dividing ===


def multiply_exponents(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Multiply the true exponents."""
    return page._replace(exponent=page.first_exponent * page.second_exponent)


def subtract_stored(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Take the difference of the stored exponents for the one to be stored."""
    usual = sizes.subtract_exponents(page, fmt)
    return usual._replace(exponent=usual.exponent - fmt.exponent.excess)


EXPONENTS_MULTIPLIED = places(("multiply",), "exponents", multiply_exponents, "Multiply the exponents.")
BIAS_NOT_PUT_BACK = places(
    ("divide",),
    "exponents",
    subtract_stored,
    "Subtract the stored exponents: that is what is stored.",
    (IEEE,),
)


# === Rounding ===


def _stored(direction: str) -> dict[str, AnyRule]:
    """Return the rules of storing that round in another direction, ends of the range apart."""

    def round_size(page: SizeStorePage, course: Course) -> SizeStorePage:
        fitted = course.size_format.rounded(page.value, DIRECTIONS[direction])
        return page._replace(
            size=fitted.size, carried=fitted.exponent != page.exponent, exponent=fitted.exponent
        )

    def pack(page: SizeStorePage, course: Course) -> SizeStorePage:
        over = page.exponent > course.size_format.highest_exponent
        return store_packed(page, course if over else course.with_(rounding=direction))

    return {"round": round_size, "pack": pack}


CUT_AT_THE_END = places(
    (*ADDING, *SCALING), "round", ROUND["toward zero"], "Keep the digits that fit and drop the rest."
)
TIES_UP = (
    *places(
        (*ADDING, *SCALING), "round", ROUND["nearest away"], "A tie goes up, whatever digit stands there."
    ),
    *(
        Place(
            STORING,
            _stored("nearest away"),
            {"round": "A tie goes up, whatever digit stands there.", "pack": "Write the rounded digits."},
            family,
        )
        for family in BOTH
    ),
)
