"""The digits of a value that are brought to the places of a whole or fixed-point format, and which of them fall off.

A size is fitted as it is, and its code is written afterwards. Only where cutting the pattern of a negative goes down,
in two's complement and in excess codes, is that pattern written first, since other digits fall off it.
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.exact import is_dyadic
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.working.wording.byhand import digits_row
from chalkpoint.working.wording.words_end import HEARD
from chalkpoint.working.written import Row

__all__ = ["PLACES_PAST_THE_CUT", "Digits", "size_digits", "written_before_cut"]

PLACES_PAST_THE_CUT = 4  # written of digits that never end, so that the cut can be seen


class Digits(NamedTuple):
    """Digits on their way into a format, the last of them *past* places beyond the format's own.

    label   what their row is called
    number  the digits, in units of the last one written; negative in two's complement
    places  how many of them stand after the point
    past    how many of them fall off
    ends    whether they are all there are
    """

    label: str
    number: int
    places: int
    past: int
    ends: bool

    @property
    def width(self) -> int:
        """How many digits are written, a sign place before those of a negative."""
        needed = self.number.bit_length() if self.number >= 0 else (~self.number).bit_length() + 1
        return max(needed, self.places + 1)

    @property
    def lost(self) -> str:
        """The digits that fall off."""
        return shorten(to_bits(self.number, self.width)[self.width - self.past :]) + (
            "" if self.ends else "\u2026"
        )

    def row(self) -> Row:
        """Return the row of all that are written, an ellipsis where they never end."""
        row = digits_row(self.label, self.number, self.width, self.places)
        if self.ends:
            return row
        return row._replace(
            bits=f"{row.bits}\u2026", places=row.places + 1, spoken=HEARD["goes-on"].format(row.spoken)
        )


def _digits(label: str, x: Fraction, fmt: FixedFormat) -> Digits:
    ends = is_dyadic(x)
    places = x.denominator.bit_length() - 1 if ends else fmt.places + PLACES_PAST_THE_CUT
    number = (x.numerator << places) // x.denominator
    return Digits(label, number, places, max(places - fmt.places, 0), ends)


def size_digits(x: Fraction, fmt: FixedFormat) -> Digits:
    """Return the digits of the size of *x*.

    >>> from chalkpoint.numbers.named import fixed_format, format_called
    >>> size_digits(Fraction(-53, 8), fixed_format(format_called("8"))).lost
    '101'
    """
    return _digits("size", abs(x), fmt)


def written_before_cut(x: Fraction, fmt: FixedFormat, rounding: str) -> Digits | None:
    """Return the digits of the pattern of *x* where it is written before it is cut, else None: the size is fitted.

    Those of an excess code are negative where there is no such code.

    >>> from chalkpoint.numbers.named import fixed_format, format_called
    >>> written_before_cut(Fraction(-53, 8), fixed_format(format_called("8")), "cut").lost
    '011'
    """
    if rounding != "cut" or x >= 0 or fmt.field.writes_size:
        return None
    if fmt.field.kind == "excess":
        return _digits("with excess", x + fmt.field.excess * fmt.unit_value, fmt)
    return None if fmt.field.kind == "unsigned" else _digits("negative", x, fmt)
