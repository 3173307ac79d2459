"""How numbers of a sign, an exponent and a size are added, subtracted, multiplied and divided."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.carriers import Number, where
from chalkpoint.numbers.named import value_or_none
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working import sizes
from chalkpoint.working.bringing import overflow_pattern
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.page import IN_RANGE, INFINITY, NOT_A_NUMBER, OVERFLOW, UNDERFLOW, ZERO
from chalkpoint.working.question import Question
from chalkpoint.working.size_rounding import ROUND as ROUNDING_RULES
from chalkpoint.working.sizes import NO_SPECIAL, TO_INFINITY, TO_NAN, TO_ZERO, SizePage, SizeRule
from chalkpoint.working.steps import Loss
from chalkpoint.working.working import Working

__all__ = [
    "SIZE_LINES",
    "WRITTEN_FOR_SPECIALS",
    "exact_answer",
    "losses",
    "pack_for",
    "size_method",
    "start_sizes",
]


@cache
def pack_for(course: Course) -> SizeRule:
    """Return the rule that packs as *course* has it: its rounding, overflow and underflow say what is written."""
    fmt = course.size_format
    huge = [overflow_pattern(sign, fmt, course) for sign in (0, 1)]
    ends = [pattern or fmt.zero for pattern in huge]
    words = [_outcome_of(pattern, fmt) for pattern in huge]

    def pack(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
        """Drop the hidden one and write the fields; past either end write what the course says."""
        packed = _packed(page, fmt)
        over = _is_over(page, fmt)
        negative = page.sign == 1
        packed = _where(over, packed, *(where(negative, ends[1][at], ends[0][at]) for at in (1, 2)))
        outcome = where(over, where(negative, words[1], words[0]), packed.outcome)
        packed = packed._replace(outcome=outcome)
        if course.underflow != "un-normalised" or not fmt.gradual:
            packed = _small_refused(page, packed, fmt, UNDERFLOW if course.underflow == "word" else ZERO)
        return _special_written(packed, fmt)

    return pack


def _outcome_of(pattern: Fields | None, fmt: SignMagnitudeFormat) -> int:
    if pattern is None:
        return OVERFLOW
    kinds = {"infinity": INFINITY, "not a number": NOT_A_NUMBER}
    return kinds.get(fmt.kind(pattern), IN_RANGE)


def _where(condition: object, page: SizePage, stored: Number, fraction: Number) -> SizePage:
    return page._replace(
        stored=where(condition, stored, page.stored), fraction=where(condition, fraction, page.fraction)
    )


def _packed(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    outcome = where(page.total == 0, ZERO, IN_RANGE)
    if not fmt.hidden:
        stored = where(page.total == 0, fmt.exponent.lowest, page.exponent)
        return page._replace(stored=stored, fraction=page.total, outcome=outcome)
    bare = page.total >> fmt.fraction_bits == 0
    return page._replace(
        stored=where(bare, fmt.exponent.lowest, page.exponent),
        fraction=where(bare, page.total, page.total - (1 << fmt.fraction_bits)),
        outcome=outcome,
    )


def _is_over(page: SizePage, fmt: SignMagnitudeFormat) -> object:
    over = page.exponent > fmt.highest_exponent
    if fmt.specials == "one nan":
        over = over | ((page.exponent == fmt.highest_exponent) & (page.total == (1 << fmt.digits) - 1))
    return over & (page.total != 0)


def _small_refused(page: SizePage, packed: SizePage, fmt: SignMagnitudeFormat, outcome: int) -> SizePage:
    """Return the page with a word or zero for a size below the normal ones."""
    if fmt.gradual:
        small = page.total >> (fmt.digits - 1) == 0
    else:
        kept_for_zero = (page.exponent == fmt.lowest_exponent) & (page.total == 1 << fmt.fraction_bits)
        small = (page.exponent < fmt.lowest_exponent) | kept_for_zero
    small = small & (page.total != 0)
    packed = _where(small, packed, fmt.exponent.lowest, 0)
    return packed._replace(outcome=where(small, outcome, packed.outcome))


def _special_written(packed: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Return the page with the fields of what the operands alone decided."""
    if packed.special is NO_SPECIAL:
        return packed
    outcome = packed.outcome
    infinite = (fmt.infinity, INFINITY) if fmt.infinity else (fmt.nan, NOT_A_NUMBER)
    for special, pattern, word in (
        (TO_INFINITY, *infinite),
        (TO_NAN, fmt.nan, NOT_A_NUMBER),
        (TO_ZERO, fmt.zero, ZERO),
    ):
        if pattern is not None:
            packed = _where(packed.special == special, packed, pattern.exponent, pattern.fraction)
            outcome = where(packed.special == special, word, outcome)
    return packed._replace(outcome=outcome)


UNPACK = Line("unpack", ("unpack",))
SPECIAL = Line("special", ("special",), optional=True)
READY = Line("ready", ("operands",), optional=True)
SIGN = Line("sign", ("sign",))
EXPONENTS = Line("exponents", ("exponents",))
RENORMALISE = Line("renormalise", ("renormalise",), optional=True)
ROUND = Line("round", ("round",))
PACK = Line("pack", ("pack",))
AFTER = (RENORMALISE, ROUND, PACK)
ADDING = (SPECIAL, READY, Line("align", ("align",)), Line("combine", ("combine",)), *AFTER)

#: The lines of each operation (pedagogy of IEEE arithmetic by hand: common practice).
SIZE_LINES: dict[str, tuple[Line, ...]] = {
    "add": (UNPACK, *ADDING),
    "subtract": (UNPACK, Line("flip", ("flip",)), *ADDING),
    "multiply": (UNPACK, SPECIAL, SIGN, EXPONENTS, Line("product", ("product",)), *AFTER),
    "divide": (UNPACK, SPECIAL, SIGN, EXPONENTS, Line("quotient", ("quotient",)), *AFTER),
}
RULES = {
    "add": {"special": sizes.special_sum},
    "subtract": {"special": sizes.special_sum, "flip": sizes.flip_sign},
    "multiply": {"special": sizes.special_product, "exponents": sizes.add_exponents},
    "divide": {"special": sizes.special_quotient, "exponents": sizes.subtract_exponents},
}
SHARED = {
    "unpack": sizes.unpack,
    "operands": sizes.normalise_operands,
    "align": sizes.align,
    "sign": sizes.join_signs,
    "product": sizes.multiply,
    "quotient": sizes.divide,
    "renormalise": sizes.renormalise,
}
WRITTEN_FOR_SPECIALS = {"unpack", "flip", "special", "pack"}


@cache
def size_method(operation: str, course: Course) -> Method:
    """Return the method of *operation* as *course* has it: its rounding, and what it writes past the ends.

    >>> [line.name for line in size_method("add", Course(format="binary16")).lines]
    ['unpack', 'special', 'ready', 'align', 'combine', 'renormalise', 'round', 'pack']
    """
    rules = (
        SHARED
        | RULES[operation]
        | {
            "combine": sizes.combine_down if course.rounding == "down" else sizes.combine,
            "round": ROUNDING_RULES[course.rounding],
            "pack": pack_for(course),
        }
    )
    return Method("", "", SIZE_LINES[operation], rules)


def start_sizes(question: Question) -> SizePage:
    """Return the page before anything is done: the fields of both operands."""
    first, second = question.patterns
    return SizePage(*first, *second)


def exact_answer(question: Question) -> Fraction | str:
    """Return the exact answer: a value, or the word for one that the operands alone make special."""
    name, fmt = question.operation.name, question.size_format
    values = [value_or_none(fmt, operand) for operand in question.patterns]
    first, second = values
    if first is None or second is None or (name == "divide" and not second):
        page = sizes.unpack(start_sizes(question), fmt)
        if name == "subtract":
            page = sizes.flip_sign(page, fmt)
        decided = RULES[name]["special"](page, fmt)
        if decided.special == sizes.TO_ZERO:
            return Fraction(0)
        if decided.special == sizes.TO_NAN or fmt.infinity is None:
            return "not a number"
        return "minus infinity" if decided.sign else "infinity"
    if name == "divide":
        return first / second
    if name == "multiply":
        return first * second
    return first + second if name == "add" else first - second


def losses(working: Working) -> tuple[Loss, ...]:
    """Return the digits that rounding took: with the sticky place they account for the whole error."""
    error = working.check.error
    for step in working.steps:
        if step.rule == "round" and error:
            return (Loss(step.number, "round", to_bits(step.before.total, step.before.extra), error),)
    return ()
