"""One row for a whole pattern of any family of formats."""

from __future__ import annotations

from typing import Any

from chalkpoint.numbers.bits import shorten
from chalkpoint.numbers.families import FLOATING, SIZES
from chalkpoint.numbers.named import AnyFormat, AnyPattern
from chalkpoint.working.speech import say_bits
from chalkpoint.working.wording.rows import mantissa_row
from chalkpoint.working.wording.size_rows import fields_row
from chalkpoint.working.written import Row

__all__ = ["pattern_row"]


def pattern_row(label: str, pattern: AnyPattern, fmt: AnyFormat, **marks: Any) -> Row:
    """Return the row of *pattern*, which is one of *fmt*'s."""
    if fmt.family == FLOATING:
        return mantissa_row(label, pattern.mantissa, pattern.exponent, fmt, **marks)
    if fmt.family == SIZES:
        return fields_row(label, pattern, fmt, **marks)
    bits = shorten(pattern)
    places = min(fmt.places, len(bits))
    return Row(
        label=label,
        bits=bits,
        places=places,
        value=fmt.value(pattern),
        spoken=f"{label}: {say_bits(bits, places)}",
        **marks,
    )
