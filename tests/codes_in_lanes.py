"""Whole words of bits as unsigned numbers: cut into the fields of a format, and put together again.

Everything here runs on one integer or on many in lanes, so a whole format can be read at once.
"""

from __future__ import annotations

from chalkpoint.numbers.carriers import Number, wrap
from chalkpoint.numbers.orders import ORDERS
from chalkpoint.numbers.signed import SignMagnitudeFormat

__all__ = ["cut_code", "join_code"]


def cut_code(code: Number, fmt: SignMagnitudeFormat) -> tuple[Number, Number, Number]:
    """Return sign, exponent and fraction of *code*, each the number its field reads as.

    >>> from chalkpoint.numbers.named import format_called
    >>> cut_code(0x46, format_called("1+4+3"))
    (0, 1, 6)
    """
    exponent_at, fraction_at, sign_at = _places(fmt)
    field = fmt.exponent
    stored = (code >> exponent_at) & ((1 << field.bits) - 1)
    exponent = stored - field.excess if field.kind == "excess" else wrap(stored, field.bits)
    return (code >> sign_at) & 1, exponent, (code >> fraction_at) & ((1 << fmt.fraction_bits) - 1)


def join_code(sign: Number, exponent: Number, fraction: Number, fmt: SignMagnitudeFormat) -> Number:
    """Return the code of three fields.

    >>> from chalkpoint.numbers.named import format_called
    >>> hex(join_code(0, 1, 6, format_called("1+4+3")))
    '0x46'
    """
    exponent_at, fraction_at, sign_at = _places(fmt)
    stored = (exponent + fmt.exponent.excess) & ((1 << fmt.exponent_bits) - 1)
    return (sign << sign_at) + (stored << exponent_at) + (fraction << fraction_at)


def _places(fmt: SignMagnitudeFormat) -> tuple[int, int, int]:
    """Return how far from the right-hand end exponent, fraction and sign stand."""
    fraction, exponent = fmt.fraction_bits, fmt.exponent_bits
    if fmt.order == ORDERS[0]:
        return fraction, 0, fraction + exponent
    if fmt.order == ORDERS[1]:
        return 0, exponent, exponent + fraction
    return fraction + 1, 0, fraction
