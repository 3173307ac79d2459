"""Beliefs about matching the exponents."""

from __future__ import annotations

from chalkpoint.numbers.carriers import Number, larger, smaller, where, wrap
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.beliefs import size_places as in_sizes
from chalkpoint.working.beliefs.belief import ADDING, Belief, acts
from chalkpoint.working.page import Page

__all__ = ["ALIGNING", "align_rounding"]


# === Rules ===


def _places(page: Page) -> tuple[Number, Number]:
    """Return how many places the right rule moves the first and the second mantissa."""
    apart = page.first_exponent - page.second_exponent
    return larger(-apart, 0), larger(apart, 0)


def _written_out(page: Page) -> tuple[Number, Number]:
    """Return both mantissas with the places the method keeps beyond its width."""
    return page.first << page.extra, page.second << page.extra


def _at(page: Page, first: Number, second: Number, exponent: Number) -> Page:
    return page._replace(first=first, first_exponent=exponent, second=second, second_exponent=exponent)


def _larger_exponent(page: Page) -> Number:
    return larger(page.first_exponent, page.second_exponent)


def _smaller_exponent(page: Page) -> Number:
    return smaller(page.first_exponent, page.second_exponent)


def align_skip(page: Page, fmt: FloatFormat) -> Page:
    """Write the larger exponent on both and move nothing."""
    return _at(page, *_written_out(page), _larger_exponent(page))


def align_left(page: Page, fmt: FloatFormat) -> Page:
    """Shift the mantissa with the smaller exponent left; what passes the sign place is gone."""
    bits = fmt.mantissa_bits + page.extra
    (first, second), (up, down) = _written_out(page), _places(page)
    return _at(page, wrap(first << up, bits), wrap(second << down, bits), _larger_exponent(page))


def align_larger_right(page: Page, fmt: FloatFormat) -> Page:
    """Shift the mantissa with the larger exponent right, and keep that exponent."""
    (first, second), (up, down) = _written_out(page), _places(page)
    return _at(page, first >> down, second >> up, _larger_exponent(page))


def align_right_to_smaller(page: Page, fmt: FloatFormat) -> Page:
    """Shift the mantissa with the larger exponent right, and go down to the smaller exponent."""
    (first, second), (up, down) = _written_out(page), _places(page)
    return _at(page, first >> down, second >> up, _smaller_exponent(page))


def align_larger_left(page: Page, fmt: FloatFormat) -> Page:
    """Shift the mantissa with the larger exponent left in its width, and go down to the smaller exponent."""
    bits = fmt.mantissa_bits + page.extra
    (first, second), (up, down) = _written_out(page), _places(page)
    return _at(page, wrap(first << down, bits), wrap(second << up, bits), _smaller_exponent(page))


def align_fill_zeros(page: Page, fmt: FloatFormat) -> Page:
    """Shift right as the right rule does, but bring in 0s on the left, sign place included."""
    bits = fmt.mantissa_bits + page.extra
    first, second = (
        where(places > 0, (mantissa & ((1 << bits) - 1)) >> places, mantissa)
        for mantissa, places in zip(_written_out(page), _places(page), strict=True)
    )
    return _at(page, first, second, _larger_exponent(page))


def align_sign_pinned(page: Page, fmt: FloatFormat) -> Page:
    """Keep the sign bit where it is and bring in 0s behind it."""
    weight = 1 << (fmt.mantissa_bits + page.extra - 1)
    first, second = (
        ((mantissa & (weight - 1)) >> places) - where(mantissa < 0, weight, 0)
        for mantissa, places in zip(_written_out(page), _places(page), strict=True)
    )
    return _at(page, first, second, _larger_exponent(page))


def align_off_by_one(page: Page, fmt: FloatFormat) -> Page:
    """Shift one place more than the difference, where there is one."""
    (first, second), (up, down) = _written_out(page), _places(page)
    return _at(
        page,
        first >> (up + where(up > 0, 1, 0)),
        second >> (down + where(down > 0, 1, 0)),
        _larger_exponent(page),
    )


def align_rounding(page: Page, fmt: FloatFormat) -> Page:
    """Shift right and round what falls off to the nearest, halves up."""
    first, second = (
        (mantissa + ((1 << places) >> 1)) >> places
        for mantissa, places in zip(_written_out(page), _places(page), strict=True)
    )
    return _at(page, first, second, _larger_exponent(page))


def align_unsigned(page: Page, fmt: FloatFormat) -> Page:
    """Compare and subtract the exponents as unsigned patterns; the one that looks larger is kept."""
    first_code, second_code = (
        where(exponent + page.datum < 0, exponent + (1 << fmt.exponent_bits), exponent)
        for exponent in (page.first_exponent, page.second_exponent)
    )
    first, second = _written_out(page)
    apart = first_code - second_code
    kept = where(apart < 0, page.second_exponent, page.first_exponent)
    return _at(page, first >> larger(-apart, 0), second >> larger(apart, 0), kept)


# === Beliefs ===

ALIGNING = (
    Belief(
        id="align-skip",
        says="The exponents have to be equal, so I write the larger one on both.",
        step="align",
        nudge="Estimate in decimal: is the answer as large as yours?",
        rule="Shift the smaller-exponent mantissa right by the difference.",
        show="2 \u2212 0 = 2 places: 0.1100 becomes 0.0011.",
        evidence="T",
        weight=3,
        cause="\u201cmake the exponents equal\u201d taken literally",
        places=(
            *acts(
                ADDING,
                "align",
                align_skip,
                "Write the larger exponent on both. The digits stay where they are.",
            ),
            *in_sizes.ALIGN_SKIP,
        ),
        alike=("exponents-added",),
    ),
    Belief(
        id="align-left",
        says="To raise the smaller exponent I move its digits to the left.",
        step="align",
        nudge="Raising E makes the mantissa larger or smaller?",
        rule="Exponent up by d means mantissa right by d.",
        show="Two places right: 0.1010 becomes 0.0010100.",
        evidence="T",
        weight=2,
        cause="direction muddled",
        places=acts(
            ADDING,
            "align",
            align_left,
            "Move the digits with the smaller exponent left, one place for each step it goes up.",
        ),
    ),
    Belief(
        id="align-larger-right",
        says="I move the digits of the number with the larger exponent to the right, and keep its exponent.",
        step="align",
        nudge="Whose exponent changed?",
        rule="Shift the one whose exponent you change.",
        show="E goes from 1 to 3, so shift 1.25.",
        evidence="T",
        weight=2,
        cause="wrong operand picked",
        places=(
            *acts(
                ADDING,
                "align",
                align_larger_right,
                "Move the digits with the larger exponent right, and keep the larger exponent.",
            ),
            *in_sizes.ALIGN_LARGER_RIGHT,
        ),
    ),
    Belief(
        id="align-right-to-smaller",
        says="I bring the larger exponent down to the smaller one by moving its digits to the right.",
        step="align",
        nudge="Did the value of the number you moved stay the same?",
        rule="Digits moved right go with an exponent that rises: raise the smaller one.",
        show="E goes up from 1 to 3, so 1.25 moves right two places.",
        evidence="R",
        weight=1,
        cause="the right move made on the wrong number",
        places=acts(
            ADDING,
            "align",
            align_right_to_smaller,
            "Take the smaller exponent, and move the digits with the larger one right.",
        ),
    ),
    Belief(
        id="align-larger-left",
        says="I bring the larger exponent down to the smaller one by moving its digits to the left.",
        step="align",
        nudge="Did any leading digits fall off?",
        rule="In a fixed width only right shifts are safe.",
        show="Shift the smaller one right instead.",
        evidence="T",
        weight=2,
        cause="valid on paper, where there is room on the left, and wrong in a fixed width",
        places=acts(
            ADDING,
            "align",
            align_larger_left,
            "Take the smaller exponent, and move the digits with the larger one left. "
            "What passes the sign place is gone.",
        ),
    ),
    Belief(
        id="align-fill-zeros",
        says="When I move digits right I put 0s in front.",
        step="align",
        nudge="Is it still negative?",
        rule="Copy the sign bit into the new places on the left.",
        show="Two places right: 1.011 becomes 1.11011.",
        evidence="T",
        weight=3,
        cause="shifting as for an unsigned number",
        places=acts(
            ADDING,
            "align",
            align_fill_zeros,
            "Move the digits with the smaller exponent right, and fill the places in front with 0s.",
        ),
    ),
    Belief(
        id="align-sign-pinned",
        says="The sign bit stays in front; the new places behind it are 0s.",
        step="align",
        nudge="Check the shifted value.",
        rule="Every new place copies the sign.",
        show="1.011 becomes 1.11011, not 1.00011.",
        evidence="C",
        weight=2,
        cause="sign bit taken as a label",
        places=acts(
            ADDING,
            "align",
            align_sign_pinned,
            "Leave the sign bit in front, and move the other digits right with 0s behind it.",
        ),
    ),
    Belief(
        id="align-off-by-one",
        says="From one exponent to the other I count both ends.",
        step="align",
        nudge="Count the exponent steps.",
        rule="Shift exactly the difference of the exponents.",
        show="2 \u2212 0 = 2 places.",
        evidence="T",
        weight=1,
        cause="fence posts counted instead of gaps; often only a slip",
        places=(
            *acts(
                ADDING,
                "align",
                align_off_by_one,
                "Move the digits with the smaller exponent right, one place more than the difference.",
            ),
            *in_sizes.ALIGN_OFF_BY_ONE,
        ),
    ),
    Belief(
        id="exp-unsigned-compare",
        says="I compare the exponents as plain binary: the bigger pattern is the bigger exponent.",
        step="align",
        nudge="Which exponent is really larger?",
        rule="Turn both into signed integers first.",
        show="1 \u2212 (\u22122) = 3.",
        evidence="T",
        weight=2,
        cause="signs of the exponents overlooked",
        places=acts(
            ADDING,
            "align",
            align_unsigned,
            "Compare the exponents as unsigned patterns; keep the one that looks larger.",
            signed=True,
        ),
    ),
)
