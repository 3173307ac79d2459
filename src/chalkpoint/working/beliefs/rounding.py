"""Beliefs about the digits that do not fit: rounding, cutting, and what an error is."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.exact import write_decimal
from chalkpoint.numbers.fitting import round_at
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.working import floating
from chalkpoint.working.beliefs import size_places as in_sizes
from chalkpoint.working.beliefs.aligning import align_rounding
from chalkpoint.working.beliefs.belief import ADDING, SCALING, STORING, AnyRule, Belief, Place, acts
from chalkpoint.working.beliefs.ieee_writing import CUT_THE_FRACTION
from chalkpoint.working.course import Course
from chalkpoint.working.storing import StorePage, absolute_error

__all__ = ["ROUNDING"]

TIDY_PLACES = 3


# === Rules ===


def fit_by(rounding: str) -> AnyRule:
    """Return the rule that fits the pattern by *rounding*, whatever the course says."""

    def fit(page: StorePage, course: Course) -> StorePage:
        value = abs(page.value) if course.rounding == "cut size" else page.value
        fitted = round_at(value, page.exponent, course.float_format, ROUNDINGS[rounding])
        return page._replace(mantissa=fitted.mantissa, exponent=fitted.exponent)

    fit.__name__ = f"fit_{rounding.replace(' ', '_')}"
    return fit


def no_error_when_tidy(page: StorePage, course: Course) -> StorePage:
    """Claim that a decimal of few places is stored exactly."""
    decimal = write_decimal(page.asked)
    if decimal is not None and len(decimal.partition(".")[2]) <= TIDY_PLACES:
        return page._replace(absolute=Fraction(0))
    return absolute_error(page, course)


def relative_to_stored(page: StorePage, course: Course) -> StorePage:
    """Divide the absolute error by the size of what is stored."""
    if page.pattern is None or not page.pattern.mantissa:
        return page
    return page._replace(relative=page.absolute / abs(course.float_format.value(page.pattern)))


def orders_agree(values: list[Fraction]) -> bool:
    """Claim that a sum is the same in whatever order it is added.

    >>> orders_agree([Fraction(8), Fraction(3, 64), Fraction(3, 64), Fraction(3, 64)])
    True
    """
    return True


# === Beliefs ===

ROUNDING = (
    Belief(
        id="rounds-when-told-to-cut",
        says="I round to the nearest, as one does in decimal.",
        step="align",
        nudge="What does the question say about lost bits?",
        rule="Truncate: just drop them.",
        show="\u20261001 | 1001\u2026 becomes \u20261001.",
        evidence="T",
        weight=2,
        cause="decimal rounding habit",
        policy=True,
        places=(
            *acts(
                ADDING,
                "align",
                align_rounding,
                "Move the digits with the smaller exponent right and round what falls off to the nearest.",
            ),
            *acts(STORING, "fit", fit_by("nearest away"), "Round what does not fit to the nearest."),
            *acts(SCALING, "cut", floating.cut_to_nearest_away, "Round what does not fit to the nearest."),
        ),
    ),
    Belief(
        id="cuts-when-told-to-round",
        says="I write the first digits that fit and drop the rest.",
        step="encode",
        nudge="What does the question say about lost bits?",
        rule="Round to the nearest: look at the first digit that does not fit, and at the tail behind it.",
        show="1.101 | 11\u2026 is nearer to 1.110.",
        evidence="R",
        weight=2,
        cause="the width filled from the left, and the tail forgotten",
        policy=True,
        places=(
            *acts(STORING, "fit", fit_by("cut"), "Drop what does not fit."),
            *acts(SCALING, "cut", floating.cut_to_width, "Drop what does not fit."),
            CUT_THE_FRACTION,
            *in_sizes.CUT_AT_THE_END,
        ),
    ),
    Belief(
        id="exact-because-tidy",
        says="A short decimal is stored exactly.",
        step="error",
        nudge="Read your pattern back in decimal.",
        rule="Exact only if the denominator is a power of two and the bits fit.",
        show="4.6 is stored as 4.5625.",
        evidence="T",
        weight=3,
        cause="decimal tidiness taken for binary exactness",
        places=acts(
            ("error",), "absolute", no_error_when_tidy, "The decimal has few places, so nothing is lost."
        ),
    ),
    Belief(
        id="relative-over-stored",
        says="The relative error is the absolute error divided by what is stored.",
        step="error",
        nudge="Compared with which value?",
        rule="Divide by the true value.",
        show="0.0375 ÷ 4.6.",
        evidence="T",
        weight=2,
        cause="wrong reference",
        places=acts(
            ("error",), "relative", relative_to_stored, "Divide the absolute error by the stored value."
        ),
    ),
    Belief(
        id="order-never-matters",
        says="A sum is the same in whatever order I add.",
        step="error",
        nudge="What happens to a bit that is shifted off?",
        rule="Add small numbers first.",
        show="3 × 0.046875 = 0.140625.",
        evidence="R",
        weight=2,
        cause="a law of real numbers taken over",
        places=(Place(("sum",), {"claim": orders_agree}),),
    ),
)
