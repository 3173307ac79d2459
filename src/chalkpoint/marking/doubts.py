"""What is right but for something that teachers differ on: a row in decimal, a value in binary, a signed error."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.decoding import binary_value
from chalkpoint.marking.encoding import is_rounded
from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.patterns import Reading

__all__ = ["error_but_for", "is_left_in_binary", "is_row_in_decimal", "lacks_zeros"]


def is_row_in_decimal(reading: Reading, row: str) -> bool:
    """Tell whether *reading* is the value of *row*, two's complement digits, where the digits were asked for.

    >>> is_row_in_decimal(Reading("7/16", value=Fraction(7, 16)), "0.0111")
    True
    """
    if reading.digits or reading.exponent or reading.value is None or set(row) - set("01.") or len(row) < 2:
        return False
    return reading.value == binary_value(row if "." in row else f"{row[0]}.{row[1:]}")


def lacks_zeros(text: str, row: str) -> bool:
    """Tell whether *text* is the row of bits *row* without some of the zeros before it.

    >>> lacks_zeros("100", "00000100"), lacks_zeros("4", "00000100")
    (True, False)
    """
    digits = plain_text(text).replace(" ", "")
    return bool(digits) and set(digits) <= {"0", "1"} and digits.rjust(len(row), "0") == row


def is_left_in_binary(text: str, value: Fraction) -> bool:
    """Tell whether *text* is *value* in binary, as a size with its sign or in two's complement.

    >>> is_left_in_binary("110.1", Fraction(13, 2)), is_left_in_binary("1.11011", Fraction(-5, 32))
    (True, True)
    """
    plain = plain_text(text)
    size = plain.removeprefix("-")
    if set(size) - set("01.") or not set(size) & set("01") or size.count(".") > 1:
        return False
    sized = binary_value(f"0{size}") * (-1 if plain != size else 1)
    return value in {sized, binary_value(plain) if plain == size and size[0] != "." else sized}


def error_but_for(text: str, exact: str) -> str:
    """Return what keeps *text* from being the error *exact*: "its sign", "its rounding", or "" where it is another.

    >>> error_but_for("-0.0375", "0.0375"), error_but_for("0.8%", "3/368"), error_but_for("0.4", "0.0375")
    ('its sign', 'its rounding', '')
    """
    plain = plain_text(text)
    written, wanted = value_of(plain.rsplit("=", maxsplit=1)[-1]), value_of(exact)
    if written is None or wanted is None:
        return ""
    if written == -wanted != 0 or (written < 0 and is_rounded(plain.lstrip("-"), wanted, least=2)):
        return "its sign"
    return "its rounding" if is_rounded(plain, wanted, least=1) else ""
