"""Beliefs about what the bits of a format are for: how many its mantissa and its exponent need."""

from __future__ import annotations

from collections.abc import Mapping

from chalkpoint.numbers.fitting import normal_exponent
from chalkpoint.working.beliefs.belief import BIASED, FAMILIES, IMPLIED, AnyRule, Belief, Place
from chalkpoint.working.choosing import ChoicePage, Serving, choose_exponent

__all__ = ["CHOOSING_BELIEFS"]


# === Rules ===


def range_by_mantissa(page: ChoicePage, chosen: Serving) -> ChoicePage:
    """Give the mantissa the bits that the exponent needs."""
    return page._replace(mantissa=chosen.format.exponent_bits)


def precision_by_exponent(page: ChoicePage, chosen: Serving) -> ChoicePage:
    """Give the exponent the bits that the mantissa needs."""
    return page._replace(exponent=chosen.format.mantissa_bits)


def digits_alone(page: ChoicePage, chosen: Serving) -> ChoicePage:
    """Count the digits of a size, and no place for the sign."""
    return page._replace(mantissa=chosen.format.mantissa_bits - 1)


def exponent_as_size(page: ChoicePage, chosen: Serving) -> ChoicePage:
    """Count the bits of the exponent as if it were never negative."""
    return page._replace(exponent=choose_exponent(page, chosen).exponent - 1)


def places_of_step(page: ChoicePage, chosen: Serving) -> ChoicePage:
    """Count a sign place and the places of the step after the point, and none of those before it."""
    step = chosen.need.step
    return page._replace(mantissa=1 + max(1, -normal_exponent(-step.numerator, step.denominator)))


# === Beliefs ===


def everywhere(rules: Mapping[str, AnyRule], says: Mapping[str, str]) -> tuple[Place, ...]:
    """Return the place of *rules* in every family: what a course works in changes nothing in a choice."""
    families = (
        family for family in FAMILIES if family not in {BIASED, IMPLIED}
    )  # where those of m+e act too
    return tuple(Place(("choose-format",), rules, says, family) for family in families)


CHOOSING_BELIEFS = (
    Belief(
        id="bits-and-range-swapped",
        says="More mantissa bits give a wider range.",
        step="choice",
        nudge="Which part sets the scale?",
        rule="Exponent bits give range, mantissa bits give precision.",
        show="E is at most 3 in 3 bits.",
        evidence="T",
        weight=3,
        cause="roles swapped",
        places=everywhere(
            {"mantissa": range_by_mantissa, "exponent": precision_by_exponent},
            {
                "mantissa": "Count the bits that the range needs.",
                "exponent": "Count the bits that the step needs.",
            },
        ),
    ),
    Belief(
        id="mantissa-sign-uncounted",
        says="The mantissa has a place for each digit of the number.",
        step="mantissa",
        nudge="How does the mantissa show a minus?",
        rule="One place of the mantissa is its sign; the digits come behind it.",
        show="Seven digits and a sign are 8 bits.",
        evidence="C",
        weight=2,
        cause="digits counted as for unsigned numbers",
        places=everywhere({"mantissa": digits_alone}, {"mantissa": "Count the digits."}),
    ),
    Belief(
        id="exponent-sign-uncounted",
        says="An exponent of 6 is 110, so three bits hold it.",
        step="exponent",
        nudge="Write the highest exponent in that many bits, in two\u2019s complement.",
        rule="The exponent is in two\u2019s complement: it needs one bit more than its size.",
        show="In 3 bits the highest is 011 = 3.",
        evidence="C",
        weight=2,
        cause="exponent taken as unsigned",
        places=everywhere(
            {"exponent": exponent_as_size}, {"exponent": "Count the bits of the highest exponent."}
        ),
    ),
    Belief(
        id="step-places-alone",
        says="The mantissa needs the places that the step has after the point.",
        step="mantissa",
        nudge="How far apart are neighbours at the far end of the range?",
        rule="The mantissa holds every digit, from the first one of the largest number to the last one of the step.",
        show="40 in steps of 0.25: 101000.00 has 8 digits.",
        evidence="C",
        weight=1,
        cause="the point thought to stand still",
        places=everywhere({"mantissa": places_of_step}, {"mantissa": "Count the places of the step."}),
    ),
)
