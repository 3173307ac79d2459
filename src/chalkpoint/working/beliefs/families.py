"""Which family of formats beliefs are told of a format belongs to."""

from __future__ import annotations

from chalkpoint.numbers.families import FLOATING, SIZES
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.working.beliefs.belief import FIXED, FLOAT, IEEE, INTEGER, UNSIGNED

__all__ = ["family_of"]


def family_of(fmt: AnyFormat) -> str:
    """Return the family of *fmt*, one of `belief.FAMILIES`; "" for a format no belief is told of.

    >>> from chalkpoint.numbers.named import format_called
    >>> [family_of(format_called(name)) for name in ("8+4", "binary16", "8", "Q5.3", "8 unsigned", "C3x-16")]
    ['m+e', 'IEEE', 'integer', 'fixed', 'unsigned', '']
    """
    if fmt.family == FLOATING:
        usual = fmt.plain and fmt.point == 1 and not fmt.zero_reserved and fmt.exponent.kind != "excess"
        return FLOAT if usual else ""
    if fmt.family == SIZES:
        return IEEE if fmt.hidden and fmt.exponent.kind == "excess" else ""
    if fmt.field.kind == "two's complement":
        return FIXED if fmt.places else INTEGER
    return UNSIGNED if fmt.field.kind == "unsigned" else ""
