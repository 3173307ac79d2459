"""Which family of formats beliefs are told of a format belongs to."""

from __future__ import annotations

from chalkpoint.numbers.families import FLOATING, SIZES
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.working.beliefs.belief import BIASED, FIXED, FLOAT, IEEE, IMPLIED, INTEGER, SIZE

__all__ = ["family_of"]


def family_of(fmt: AnyFormat) -> str:
    """Return the family of *fmt*, one of `belief.FAMILIES`.

    >>> from chalkpoint.numbers.named import format_called
    >>> [family_of(format_called(name)) for name in ("8+4", "8+4 excess-8", "binary16", "8", "Q5.3", "8 unsigned")]
    ['m+e', 'm+e in excess', 'IEEE', 'integer', 'fixed', 'unsigned']
    """
    if fmt.family == FLOATING:
        if fmt.implied:
            return IMPLIED
        return BIASED if fmt.exponent.kind == "excess" else FLOAT
    if fmt.family == SIZES:
        return IEEE if fmt.hidden else SIZE
    if fmt.field.kind == "two's complement":
        return FIXED if fmt.places else INTEGER
    return fmt.field.kind
