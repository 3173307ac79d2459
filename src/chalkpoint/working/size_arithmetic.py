"""How numbers of a sign, an exponent and a size are added, subtracted, multiplied and divided."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.named import value_or_none
from chalkpoint.working import sizes
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.packing import pack_for
from chalkpoint.working.question import Question
from chalkpoint.working.size_rounding import ROUND as ROUNDING_RULES
from chalkpoint.working.sizes import SizePage
from chalkpoint.working.steps import Loss
from chalkpoint.working.working import Working

__all__ = ["SIZE_LINES", "WRITTEN_FOR_SPECIALS", "exact_answer", "losses", "size_method", "start_sizes"]

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
