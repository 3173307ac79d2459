"""In which order sign, exponent and fraction are written, and how a row of bits is cut into them again."""

from __future__ import annotations

from itertools import pairwise

from chalkpoint.numbers.bits import parse_bits

__all__ = ["ORDERS", "field_widths", "in_order", "named_fields", "run_together"]

#: IEEE 754's order, and the two in which sign and fraction are together, as a mantissa.
ORDERS = ("sign exponent fraction", "sign fraction exponent", "exponent sign fraction")


def field_widths(order: str, exponent_bits: int, fraction_bits: int) -> tuple[int, ...]:
    """Return the bits of each field as written; sign and fraction of a mantissa are one.

    >>> field_widths("sign exponent fraction", 4, 3), field_widths("exponent sign fraction", 4, 3)
    ((1, 4, 3), (4, 4))
    """
    if order == ORDERS[0]:
        return 1, exponent_bits, fraction_bits
    mantissa = 1 + fraction_bits
    return (mantissa, exponent_bits) if order == ORDERS[1] else (exponent_bits, mantissa)


def in_order(order: str, sign: str, exponent: str, fraction: str, *, point: bool = False) -> str:
    """Return the fields as written, a space between; a mantissa with its point if asked for.

    >>> in_order("sign fraction exponent", "1", "0011", "0110000", point=True)
    '1.0110000 0011'
    """
    if order == ORDERS[0]:
        return f"{sign} {exponent} {fraction}"
    mantissa = f"{sign}.{fraction}" if point else sign + fraction
    return f"{mantissa} {exponent}" if order == ORDERS[1] else f"{exponent} {mantissa}"


def run_together(bare: str, widths: tuple[int, ...]) -> list[str]:
    """Return fields of *widths* cut from a row without spaces; nothing where it has another length.

    >>> run_together("01001101", (1, 4, 3)), run_together("0100", (1, 4, 3))
    (['0', '1001', '101'], [])
    """
    bits = bare.translate(str.maketrans("", "", "._|"))
    if len(bits) != sum(widths):
        return []
    starts = [sum(widths[:at]) for at in range(len(widths) + 1)]
    return [bits[start:end] for start, end in pairwise(starts)]


def named_fields(fields: list[str], order: str, widths: tuple[int, ...]) -> tuple[str, str, str]:
    """Return the bits of sign, exponent and fraction.

    Raises EntryError, which names the field, for a stray character or a wrong length.

    >>> named_fields(["0100", "01110000"], ORDERS[2], (4, 8))
    ('0', '0100', '1110000')
    """
    names = {ORDERS[0]: ("sign", "exponent", "fraction"), ORDERS[1]: ("mantissa", "exponent")}
    called = names.get(order, ("exponent", "mantissa"))
    read = {
        name: parse_bits(text, width, name) for name, text, width in zip(called, fields, widths, strict=True)
    }
    if "sign" in read:
        return read["sign"], read["exponent"], read["fraction"]
    return read["mantissa"][0], read["exponent"], read["mantissa"][1:]
