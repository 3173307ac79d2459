"""Adding, subtracting, multiplying and dividing numbers of a sign, an exponent and a size."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import value_or_none
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working import sizes
from chalkpoint.working.check import Check, check, check_special
from chalkpoint.working.course import Course
from chalkpoint.working.losing import no_losses
from chalkpoint.working.methods import Line, Method, Trail
from chalkpoint.working.packing import pack_for
from chalkpoint.working.page import INFINITY, NOT_A_NUMBER, OUTCOMES, OVERFLOW, UNDERFLOW
from chalkpoint.working.question import Question
from chalkpoint.working.size_rounding import ROUND as ROUNDING_RULES
from chalkpoint.working.sizes import SizePage
from chalkpoint.working.steps import Loss, written_steps
from chalkpoint.working.wording.size_arithmetic import writer
from chalkpoint.working.working import Working

__all__ = ["SIZE_LINES", "size_method", "start_sizes", "work_sizes"]

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


def work_sizes(question: Question, method: Method | None = None) -> Working:
    """Return the working of one of the four operations on numbers of sign, exponent and size."""
    course, fmt = question.course, question.format
    name = question.operation.name
    if name == "divide" and fmt.specials == "none" and fmt.kind(question.patterns[1]) == "zero":
        raise EntryError(
            f"{question.shown[0]} ÷ 0 has no answer in {fmt}, which has no special values; divide by another"
        )
    method = method or size_method(name, course)
    trail: list[Trail] = method.trail(start_sizes(question), fmt)
    last: SizePage = trail[-1].after
    if last.special:
        trail = [entry for entry in trail if entry.line.name in WRITTEN_FOR_SPECIALS]
    steps = written_steps(trail, writer(question, method))
    pattern = None if last.outcome in {OVERFLOW, UNDERFLOW} else Fields(last.sign, last.stored, last.fraction)
    outcome = OUTCOMES[last.outcome]
    checked = _checked(question, last, outcome, pattern)
    faulty = method.right is not None
    traced = no_losses if faulty else losses
    return Working(question, course.rounding, steps, outcome, pattern, checked, traced, faulty=faulty)


def _checked(question: Question, last: SizePage, outcome: str, pattern: Fields | None) -> Check:
    fmt: SignMagnitudeFormat = question.format
    values = [value_or_none(fmt, operand) for operand in question.patterns]
    name = question.operation.name
    first, second = values
    if first is None or second is None or (name == "divide" and not second):
        if last.outcome == NOT_A_NUMBER:
            return check_special("not a number", pattern, question.course)
        if last.outcome == INFINITY:
            return check_special("minus infinity" if last.sign else "infinity", pattern, question.course)
        return check(Fraction(0), outcome, pattern, question.course)  # a number over infinity
    exact = {
        "add": lambda: first + second,
        "subtract": lambda: first - second,
        "multiply": lambda: first * second,
        "divide": lambda: first / second,
    }[name]()
    return check(exact, outcome, pattern, question.course)


def losses(working: Working) -> tuple[Loss, ...]:
    """Return the digits that rounding took: with the sticky place they account for the whole error."""
    error = working.check.error
    for step in working.steps:
        if step.rule == "round" and error:
            return (Loss(step.number, "round", to_bits(step.before.total, step.before.extra), error),)
    return ()
