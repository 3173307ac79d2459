"""How a teacher goes through one step: what is said, in order, and what the board shows meanwhile.

A step that has a drama of its own is told by it; any other is told in whole steps, from its own sentences.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from chalkpoint.numbers.families import WHOLE
from chalkpoint.teaching.drama.checking import checking, summing_up
from chalkpoint.teaching.drama.columns import add, combine, negate
from chalkpoint.teaching.drama.endings import cut, normalise, repair, round_size
from chalkpoint.teaching.drama.extremes import extreme, term
from chalkpoint.teaching.drama.line import Line, Telling, Told
from chalkpoint.teaching.drama.operands import align, read, ready
from chalkpoint.teaching.drama.products import exponents, product, quotient, sign
from chalkpoint.teaching.drama.reading import exponent_field, mantissa, read_in_words, scale, weigh
from chalkpoint.teaching.drama.sizes import align_sizes, renormalise, unpack
from chalkpoint.teaching.drama.storing import absolute, exponent_code, fit, place_point, relative, size
from chalkpoint.teaching.drama.whole import around, sum_whole, take_away
from chalkpoint.working.methods import METHODS
from chalkpoint.working.multiplying import CUTS
from chalkpoint.working.page import Page
from chalkpoint.working.sizes import SizePage
from chalkpoint.working.working import Working

__all__ = ["Line", "Told", "checking", "drama", "in_words", "summing_up"]

Tell = Callable[[Telling], Told | None]
#: By rule, how a step of a two's complement mantissa is told, and one of sign, exponent and size.
MANTISSAS: Mapping[str, Tell] = {
    "read": read,
    "operands": ready,
    "ready": ready,
    "align": align,
    "negate": negate,
    "add": add,
    "repair": repair,
    "normalise": normalise,
    "cut": cut,
    "exponents": exponents,
    "product": product,
    "quotient": quotient,
    "sign": sign,
}
SIZES: Mapping[str, Tell] = {
    "unpack": unpack,
    "align": align_sizes,
    "combine": combine,
    "renormalise": renormalise,
    "round": round_size,
    "exponents": exponents,
    "product": product,
    "quotient": quotient,
}
#: The same for patterns read and numbers written, of any family.
READING: Mapping[str, Tell] = {
    "exponent": exponent_field,
    "mantissa": mantissa,
    "scale": scale,
    "weigh": weigh,
}
STORING: Mapping[str, Tell] = {
    "size": size,
    "digits": size,
    "point": place_point,
    "fit": fit,
    "exponent": exponent_code,
    "absolute": absolute,
    "relative": relative,
}
#: By operation, where it is none of those that work on mantissas or sizes.
VALUES: Mapping[str, Mapping[str, Tell]] = {
    "decode": READING,
    "encode": STORING,
    "error": STORING,
    "convert": {**READING, **{f"store-{rule}": tell for rule, tell in STORING.items()}},
    "range": dict.fromkeys(
        ("largest positive", "smallest normal", "smallest positive", "largest negative", "most negative"),
        extreme,
    ),
    "sum": {"add": term},
}
#: The same for whole numbers and fixed point.
WHOLES: Mapping[str, Tell] = {
    "read": read,
    "negate": negate,
    "add": sum_whole,
    "around": around,
    "take_away": take_away,
    "product": product,
    "quotient": quotient,
}
TOLD = {"add", "subtract", "multiply", "divide", "normalise", "negate"}


def _tellers(working: Working) -> Mapping[str, Tell]:
    operation = working.question.operation.name
    if working.faulty or operation not in TOLD:
        return {} if working.faulty else VALUES.get(operation, {})
    if working.question.format.family == WHOLE:
        return WHOLES
    pages = {type(step.after) for step in working.steps}
    if pages == {SizePage}:
        return SIZES
    by_rows = working.method in METHODS or working.method in CUTS or not working.method
    return MANTISSAS if by_rows and pages == {Page} else {}


def drama(working: Working, index: int) -> Told | None:
    """Return how step *index* is told, or None where it is told in whole steps."""
    tell = _tellers(working).get(working.steps[index].rule)
    return tell(Telling.of(working, index)) if tell else None


def in_words(working: Working, index: int, said: list[Line]) -> Told | None:
    """Return *said* if the step's rows are all shown from the start and it is told as a whole; else None."""
    return read_in_words(Telling.of(working, index), said)
