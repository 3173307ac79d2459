"""Beliefs about normal form: each a rule for one mantissa and exponent, put wherever something is normalised."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from chalkpoint.numbers.carriers import Number, sign_copies, smaller, where, wrap
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.beliefs import size_places as in_sizes
from chalkpoint.working.beliefs.belief import ADDING, SCALING, AnyRule, Belief, Place, acts
from chalkpoint.working.page import Page

__all__ = ["NORMALISING"]

NormalRule: TypeAlias = Callable[[Number, Number, Number], tuple[Number, Number]]


# === Rules: (mantissa, exponent, bits) -> (mantissa, exponent) ===


def _copies(mantissa: Number, bits: Number) -> Number:
    return where(mantissa == 0, 0, sign_copies(mantissa, bits))


def mantissa_only(mantissa: Number, exponent: Number, bits: Number) -> tuple[Number, Number]:
    """Shift left by the repeated sign bits; leave the exponent."""
    return mantissa << _copies(mantissa, bits), exponent


def wrong_way(mantissa: Number, exponent: Number, bits: Number) -> tuple[Number, Number]:
    """Shift left by the repeated sign bits; add that to the exponent."""
    copies = _copies(mantissa, bits)
    return mantissa << copies, exponent + copies


def one_place(mantissa: Number, exponent: Number, bits: Number) -> tuple[Number, Number]:
    """Shift left one place at most."""
    copies = smaller(_copies(mantissa, bits), 1)
    return mantissa << copies, exponent - copies


def one_too_far(mantissa: Number, exponent: Number, bits: Number) -> tuple[Number, Number]:
    """Where a shift is needed, shift one place further."""
    copies = _copies(mantissa, bits)
    places = copies + where(copies > 0, 1, 0)
    return wrap(mantissa << places, bits), exponent - places


def fill_with_sign(mantissa: Number, exponent: Number, bits: Number) -> tuple[Number, Number]:
    """Shift left by the repeated sign bits; fill the right of a negative mantissa with 1s."""
    copies = _copies(mantissa, bits)
    filled = (mantissa << copies) + where(mantissa < 0, (1 << copies) - 1, 0)
    return filled, exponent - copies


def wants_point_one(mantissa: Number, exponent: Number, bits: Number) -> tuple[Number, Number]:
    """Delete 0s after the point until a 1 stands there, in negatives too; 1.000... is left alone."""
    weight = 1 << (bits - 1)
    digits = mantissa & (weight - 1)
    places = where(digits == 0, 0, sign_copies(digits, bits))
    return (digits << places) - where(mantissa < 0, weight, 0), exponent - places


def skip(mantissa: Number, exponent: Number, bits: Number) -> tuple[Number, Number]:
    """Leave the mantissa as it is."""
    return mantissa, exponent


def on_result(rule: NormalRule) -> AnyRule:
    """Return *rule* as it acts on the row below the line."""

    def normalise(page: Page, fmt: FloatFormat) -> Page:
        total, exponent = rule(page.total, page.exponent, fmt.mantissa_bits + page.extra)
        return page._replace(total=total, exponent=exponent)

    normalise.__name__ = f"normalise_{rule.__name__}"
    return normalise


def on_operands(rule: NormalRule) -> AnyRule:
    """Return *rule* as it acts on operands that are not in normal form."""

    def ready(page: Page, fmt: FloatFormat) -> Page:
        first, first_exponent = rule(page.first, page.first_exponent, fmt.mantissa_bits)
        second, second_exponent = rule(page.second, page.second_exponent, fmt.mantissa_bits)
        return page._replace(
            first=first, first_exponent=first_exponent, second=second, second_exponent=second_exponent
        )

    ready.__name__ = f"ready_{rule.__name__}"
    return ready


# === Beliefs ===


def _everywhere(rule: NormalRule, said: str) -> tuple[Place, ...]:
    """Return the places of a rule that acts on operands and results alike."""
    return (
        Place(
            (*ADDING, *SCALING),
            {"operands": on_operands(rule), "normalise": on_result(rule)},
            {"ready": said, "normalise": said},
        ),
        *acts(("normalise", "negate"), "normalise", on_result(rule), said),
    )


def _results_only(rule: NormalRule, said: str) -> tuple[Place, ...]:
    operations = (*ADDING, *SCALING, "normalise", "negate")
    return acts(operations, "normalise", on_result(rule), said)


NORMALISING = (
    Belief(
        id="norm-mantissa-only",
        says="To normalise I move the digits left until the first two differ.",
        step="normalise",
        nudge="Is the value still the same?",
        rule="Each left shift doubles the mantissa, so subtract 1 from E.",
        show="k = 2, so 3 becomes 1.",
        evidence="T",
        weight=3,
        cause="a step of two parts half done",
        places=(
            *_everywhere(
                mantissa_only, "Move the digits left until the first two differ. The exponent is left alone."
            ),
            *in_sizes.NORM_MANTISSA_ONLY,
        ),
    ),
    Belief(
        id="norm-exponent-wrong-way",
        says="For each place I move the digits left I add one to the exponent.",
        step="normalise",
        nudge="Check the decimal value before and after.",
        rule="Left shift: E goes down.",
        show="3 \u2212 2 = 1.",
        evidence="T",
        weight=3,
        cause="direction muddled",
        places=(
            *_everywhere(
                wrong_way,
                "Move the digits left until the first two differ, and add the places to the exponent.",
            ),
            *in_sizes.NORM_WRONG_WAY,
        ),
    ),
    Belief(
        id="norm-one-place-only",
        says="To normalise I move the digits left one place.",
        step="normalise",
        nudge="Do the first two bits differ now?",
        rule="Repeat until the first two bits differ.",
        show="00.11 becomes 0.110 and then 0.1101.",
        evidence="C",
        weight=2,
        cause="an example with one shift copied",
        places=(
            *_everywhere(one_place, "Move the digits left one place and take 1 from the exponent."),
            *in_sizes.NORM_ONE_PLACE,
        ),
    ),
    Belief(
        id="norm-one-too-far",
        says="To normalise I move the digits left until a 1 stands in front.",
        step="normalise",
        nudge="Did the sign change?",
        rule="Stop as soon as the first two bits differ.",
        show="Stop at 0.1101000.",
        evidence="T",
        weight=2,
        cause="trying to bring the 1 to the front",
        places=_everywhere(
            one_too_far, "Move the digits left one place further than where the first two differ."
        ),
    ),
    Belief(
        id="norm-fill-sign",
        says="When I move a negative mantissa left I put 1s in on the right.",
        step="normalise",
        nudge="Check the value.",
        rule="New right-hand places are always 0.",
        show="\u202610 becomes \u202610000.",
        evidence="C",
        weight=2,
        cause="the rule of copying the sign used on the wrong side",
        places=_everywhere(
            fill_with_sign, "Move the digits left and fill the places on the right with the sign bit."
        ),
    ),
    Belief(
        id="norm-wants-point-one",
        says="A normalised number has a 1 after the point, negative or not.",
        step="normalise",
        nudge="Compare the first two bits.",
        rule="The normal form of a negative starts 1.0.",
        show="1.1110010 becomes 1.0010000.",
        evidence="T",
        weight=3,
        cause="the rule for positives generalised",
        places=_results_only(
            wants_point_one,
            "Keep the sign and delete 0s after the point until a 1 stands there; each takes 1 from E.",
        ),
        alike=("norm-skipped",),
    ),
    Belief(
        id="norm-skipped",
        says="What comes out is the answer.",
        step="normalise",
        nudge="Do the first two bits differ?",
        rule="The last step is always a check of normal form.",
        show="0.0101 becomes 0.1010, with E \u2212 1.",
        evidence="T",
        weight=3,
        cause="stopping at a value that is right",
        places=(
            *_results_only(skip, "Leave the digits as they stand."),
            *in_sizes.NORM_SKIPPED,
        ),
        alike=("norm-wants-point-one",),
    ),
)
