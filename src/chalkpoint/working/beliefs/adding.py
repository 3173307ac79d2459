"""Beliefs about the columns of an addition and the exponent below it."""

from __future__ import annotations

from chalkpoint.numbers.carriers import Number, opposite, smaller, where, wrap
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working import floating, multiplying
from chalkpoint.working.beliefs import code_places as in_codes
from chalkpoint.working.beliefs.belief import ADDING, FIXED, FLOAT, INTEGER, AnyRule, Belief, Place, acts
from chalkpoint.working.page import Page

__all__ = ["COLUMNS"]


# === Rules ===


def keep_exponents(page: Page, fmt: FloatFormat) -> Page:
    """Leave both mantissas and both exponents as they are."""
    return page._replace(first=page.first << page.extra, second=page.second << page.extra)


def add_exponents(page: Page, fmt: FloatFormat) -> Page:
    """Give the sum both exponents added together; a zero has none to add."""
    zero = (page.first == 0) | (page.second == 0)
    both = page.first_exponent + page.second_exponent + page.datum
    return page._replace(exponent=where(zero, page.exponent, both))


def align_keeping_smaller(page: Page, fmt: FloatFormat) -> Page:
    """Align as the right rule does, and keep the smaller exponent in mind for the sum."""
    low = smaller(page.first_exponent, page.second_exponent)
    return floating.align(page, fmt)._replace(exponent=low)


def add_under_smaller(page: Page, fmt: FloatFormat) -> Page:
    """Add the mantissas; the exponent is the smaller one, kept in mind."""
    return page._replace(total=page.first + page.second)


def _width(page: Page, fmt: FloatFormat) -> Number:
    return fmt.mantissa_bits + page.extra


def _sum(page: Page, total: Number) -> Page:
    return page._replace(total=total, exponent=page.first_exponent)


def add_without_carries(page: Page, fmt: FloatFormat) -> Page:
    """Add each column by itself: 1 + 1 is 0 and nothing is carried."""
    return _sum(page, wrap(page.first ^ page.second, _width(page, fmt)))


def add_three_ones_as_zero(page: Page, fmt: FloatFormat) -> Page:
    """Add column by column, but 1 + 1 and a carried 1 are written 0, carry 1."""
    total = page.first + page.second
    carried = page.first ^ page.second ^ total
    return _sum(page, wrap(total ^ (page.first & page.second & carried), _width(page, fmt)))


def add_without_signs(page: Page, fmt: FloatFormat) -> Page:
    """Add all but the sign column, losing its carry; the sign is the one the answer ought to have."""
    weight = 1 << (_width(page, fmt) - 1)
    low = (page.first + page.second) & (weight - 1)
    return _sum(page, low - where(page.first + page.second < 0, weight, 0))


def never_overflows(page: Page, fmt: FloatFormat) -> Page:
    """Ask nothing of the sum: it fits because it was written in its columns."""
    return page


def judge_by_signs(page: Page, fmt: FloatFormat) -> Page:
    """Judge overflow by the signs: of two numbers of one sign, a sum of the other sign has overflowed.

    There is no extra sign place to look at, so the sum then has the operands' sign in front of its columns.
    """
    negative = page.first < 0
    alike = opposite(negative ^ (page.second < 0))
    overflowed = alike & (negative ^ (page.total < 0))
    columns = 1 << _width(page, fmt)
    total = page.total + where(negative, -columns, columns)
    return page._replace(total=where(overflowed, total, page.total), overflowed=overflowed)


def wrap_sum(page: Page, fmt: FloatFormat) -> Page:
    """Keep the mantissa's columns of the sum, whatever its sign has become."""
    return page._replace(total=wrap(page.total, _width(page, fmt)))


def unless_said(rule: AnyRule) -> AnyRule:
    """Return *rule*, for pages on which no word stands yet; elsewhere nothing more is written."""

    def guarded(page: Page, fmt: FloatFormat) -> Page:
        said = opposite(page.outcome == 0)
        # A page with a word on it may hold a row that is too long for the rule: give it a short one.
        after: Page = rule(page._replace(total=where(said, 0, page.total)), fmt)
        return after._replace(
            total=where(said, page.total, after.total), exponent=where(said, page.exponent, after.exponent)
        )

    guarded.__name__ = f"{rule.__name__}_unless_said"
    return guarded


# === Beliefs ===


def _columns(rule: AnyRule, said: str, judge: AnyRule = judge_by_signs) -> tuple[Place, ...]:
    """Return the places of a rule for the columns: m columns, so nothing is asked of an extra one."""
    rules = {"add": rule, "carry": judge}
    return tuple(Place(ADDING, rules, {"add": said}, family) for family in (FLOAT, INTEGER, FIXED))


COLUMNS = (
    Belief(
        id="exponents-added",
        says="Whatever I do with the mantissas, I add the exponents.",
        step="add",
        nudge="Is the size of your answer sensible?",
        rule="Addition keeps the common exponent.",
        show="E stays 3.",
        evidence="T",
        weight=2,
        cause="multiplication rule used",
        places=(
            Place(
                ADDING,
                {"align": keep_exponents, "exponent": add_exponents},
                {
                    "align": "Nothing is moved: the exponents will be added.",
                    "add": "Add the mantissas as they stand, and add the exponents.",
                },
            ),
            *acts(("divide",), "exponents", multiplying.add_exponents, "Add the exponents."),
        ),
        alike=("align-skip",),
    ),
    Belief(
        id="result-smaller-exponent",
        says="After the shift I write the smaller exponent under the sum.",
        step="add",
        nudge="Which exponent do both mantissas share after the shift?",
        rule="Write the common exponent, the larger one.",
        show="E = 2.",
        evidence="C",
        weight=2,
        cause="label lost after the shift",
        places=(
            Place(
                ADDING,
                {"align": align_keeping_smaller, "add": add_under_smaller},
                {"add": "Add the mantissas and write the smaller exponent under them."},
            ),
        ),
    ),
    Belief(
        id="xor-add",
        says="1 + 1 is 0, so I write 0 and go on to the next column.",
        step="add",
        nudge="Where does the second half of 1 + 1 go?",
        rule="1 + 1 = 0, carry 1.",
        show="Column 2: 1 + 1, write 0, carry 1.",
        evidence="T",
        weight=1,
        cause="1 + 1 = 0 remembered without the carry",
        places=(
            *_columns(
                add_without_carries, "Add each column by itself: 1 + 1 is written 0 and nothing is carried."
            ),
            *in_codes.XOR,
        ),
    ),
    Belief(
        id="triple-one-zero",
        says="Ones in a column cancel: 1 + 1 and a carried 1 make 0, carry 1.",
        step="add",
        nudge="How many ones are in that column?",
        rule="Three ones make 11: write 1, carry 1.",
        show="1 + 1 + 1 = 3 = 11.",
        evidence="T",
        weight=2,
        cause="only the fact about two ones learned",
        places=_columns(
            add_three_ones_as_zero, "Add column by column; three ones in a column are written 0, carry 1."
        ),
    ),
    Belief(
        id="sign-bits-left-out",
        says="The sign bits are not added: I add the other digits and put the sign in front.",
        step="add",
        nudge="Which weight did you leave out?",
        rule="The sign column takes part in the addition like any other.",
        show="Add the eighth column too.",
        evidence="R",
        weight=2,
        cause="sign bit seen as a label",
        places=_columns(
            add_without_signs,
            "Add every column but the sign\u2019s, and put in front the sign the answer should have.",
            never_overflows,
        ),
        alike=("keep-sign-invert-rest",),
    ),
    Belief(
        id="wrap-accepted",
        says="The answer is whatever stands in the columns.",
        step="add",
        nudge="Two positives gave a negative: is that possible?",
        rule=(
            "Same signs in and a different sign out means overflow; "
            "in a floating-point sum repair it with one right shift."
        ),
        show="3.25 + 2.75: 0.1101 + 0.1011 = 01.1000, which becomes 0.1100 with E + 1.",
        evidence="T",
        weight=3,
        cause="no check of the range",
        places=(
            *acts(
                ADDING,
                "carry",
                wrap_sum,
                "Keep the columns the mantissas have, and ask nothing of the sign.",
                FLOAT,
                INTEGER,
                FIXED,
                line="add",
            ),
            *in_codes.NOTHING_JUDGED,
        ),
        alike=("repair-copies-wrong-sign",),
    ),
)
