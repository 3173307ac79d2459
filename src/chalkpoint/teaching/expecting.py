"""What to expect before any bit is written, of the operations that have no operands to round."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from chalkpoint.numbers.families import FLOATING, SIZES
from chalkpoint.numbers.named import value_or_none
from chalkpoint.teaching.estimating import near
from chalkpoint.teaching.narrator import Narrator
from chalkpoint.working.wording import words_told as say
from chalkpoint.working.working import Working

__all__ = ["expected"]


def expected(working: Working) -> tuple[str, str] | None:
    """Return what a teacher says to expect, and how it is written below the question; None where nothing is.

    >>> from chalkpoint.working.work import work
    >>> expected(work("encode", "5.1875"))
    ('Before any bits: 5.1875 lies between 4 and 8, so expect exponent 3.', 'expect exponent 3')
    """
    narrator = Narrator(working.question.names, working.question.course.point)
    tell = EXPECTED.get(working.question.operation.name)
    return tell(working, narrator) if tell else None


def _easy(working: Working, narrator: Narrator) -> tuple[str, str] | None:
    """Tell a sum of whole numbers, which needs no rounding."""
    exact = Fraction(working.check.exact)
    if exact.denominator != 1 or None in working.question.values or working.question.past_range:
        return None
    about = narrator.value(exact)
    return narrator.words(say.EXPECTED_EASY, exact=about), f"= {about}"


def _same(working: Working, narrator: Narrator) -> tuple[str, str] | None:
    """Tell the value, which normalising keeps and negating turns into its opposite."""
    question = working.question
    value = value_or_none(question.format, question.patterns[0])
    if not value:
        return None
    if question.operation.name == "normalise":
        return narrator.words(say.EXPECTED_SAME, value=value), f"= {narrator.value(value)}"
    words = narrator.words(say.EXPECTED_OPPOSITE, value=value, opposite=narrator.value(-value))
    return words, f"expect {narrator.value(-value)}"


def _sign(working: Working, narrator: Narrator) -> tuple[str, str] | None:
    """Tell the sign, which the first bit of most formats shows."""
    value, fmt = working.result.value, working.question.format
    pattern = working.question.patterns[0]
    bits = fmt.write(pattern, point=False).replace(" ", "")
    if fmt.family == FLOATING and fmt.exponent_first:
        bits = fmt.mantissa.write(pattern.mantissa)
    if not value or (value < 0) != (bits[0] == "1"):
        return None
    sign = "a negative" if value < 0 else "a positive"
    return narrator.words(say.EXPECTED_SIGN, bit=bits[0], sign=sign), f"expect {sign} number"


def _exponent(working: Working, narrator: Narrator) -> tuple[str, str] | None:
    """Tell the powers of two that the number lies between."""
    found = [step.facts["exponent"] for step in working.steps if step.rule == "point"]
    exact = working.check.exact
    if not found or not exact:
        return None
    exponent, size = int(str(found[0])), abs(Fraction(exact))
    power = exponent if working.question.format.family == FLOATING else exponent + 1
    low, high = Fraction(2) ** (power - 1), Fraction(2) ** power
    if not low <= size <= high:
        return None
    words = narrator.words(
        say.EXPECTED_BETWEEN,
        size=size,
        low=narrator.fraction(low),
        high=narrator.fraction(high),
        exponent=exponent,
    )
    return words, f"expect exponent {narrator.value(exponent)}"


def _loss(working: Working, narrator: Narrator) -> tuple[str, str] | None:
    """Tell what the last place is worth, which bounds the loss."""
    unit = working.check.unit
    if not unit:
        return None
    shown = narrator.fraction(unit)
    return narrator.words(say.EXPECTED_LOSS, unit=shown), say.ON_BOARD["loss"].format(unit=shown)


def _reach(working: Working, narrator: Narrator) -> tuple[str, str] | None:
    """Tell the power of two that the highest exponent reaches to."""
    top = working.steps[0].rows[0]
    if top.value is None or top.exponent is None:
        return None
    power = top.exponent + (working.question.format.family == SIZES)
    words = narrator.words(say.EXPECTED_REACH, exponent=top.exponent, power=str(power))
    return words, say.ON_BOARD["reach"].format(power=power)


def _sum(working: Working, narrator: Narrator) -> tuple[str, str] | None:
    exact = working.check.exact
    about = narrator.value(near(Fraction(exact)))
    return narrator.words(say.EXPECTED_SUM, about=about), f"\u2248 {about}"


def _room(working: Working, narrator: Narrator) -> tuple[str, str] | None:
    """Tell how many digits there were, and how many there is room for."""
    question = working.question
    if question.target is None or {question.format.family, question.target.number_format.family} != {
        FLOATING
    }:
        return None
    before, after = question.format.places + 1, question.target.number_format.places + 1
    words = narrator.words(say.EXPECTED_WIDTH, before=before, after=after)
    return words, f"{before} digits into {after}"


EXPECTED: Mapping[str, Callable[[Working, Narrator], tuple[str, str] | None]] = {
    "add": _easy,
    "subtract": _easy,
    "multiply": _easy,
    "decode": _sign,
    "encode": _exponent,
    "error": _loss,
    "normalise": _same,
    "negate": _same,
    "convert": _room,
    "range": _reach,
    "sum": _sum,
}
