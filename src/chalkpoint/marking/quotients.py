"""The sheet of divisions: that of sums, but for a quotient, whose digits may go on without end."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.rows import sized_values
from chalkpoint.marking.sums import SumSheet
from chalkpoint.numbers.bits import scaled, signed, to_bits
from chalkpoint.numbers.carriers import fits
from chalkpoint.numbers.exact import write_value
from chalkpoint.working.page import Page

__all__ = ["QuotientSheet"]

SIZE = "quotient"  # the line that holds a size, without its sign


class QuotientSheet(SumSheet):
    """What divisions write. The last digit of a page's quotient only says whether its digits go on."""

    def _digits_of(self, page: Page) -> tuple[str, str, bool]:
        """Return the digits before and after the point of the row below the line, and whether they end there."""
        places = self.format.places + page.extra - 1
        width = places + 1
        while not fits(page.total >> 1, width):
            width += 1
        bits = to_bits(page.total >> 1, width)
        return bits[:-places], bits[-places:], page.total & 1 == 0

    def _shows_total(self, line: str, page: Page, entry: Reading) -> bool:
        if not page.extra:
            return super()._shows_total(line, page, entry)
        if entry.exponent and page.exponent not in entry.exponents(self.format):
            return False
        whole, fraction, ends = self._digits_of(page)
        digits = entry.lead + entry.digits
        if not digits:  # in decimal, its sign put on already or not yet
            size = (
                abs(Fraction(page.first, page.second))
                if page.second
                else scaled(page.total >> 1, -len(fraction))
            )
            signed_size = -size if (page.first < 0) != (page.second < 0) else size
            return not {size, signed_size}.isdisjoint(sized_values(entry))
        if "." not in digits:
            before = len(whole) if digits.startswith(whole) else 1
            digits = f"{digits[:before]}.{digits[before:]}"
        left, right = digits.split(".")
        least = self.format.places - len(whole) + 1  # digits that the mantissa will hold
        return self._same_whole(line, left, whole) and self._goes_as(right, fraction, least=least, ends=ends)

    def _same_whole(self, line: str, left: str, whole: str) -> bool:
        """Tell whether *left* is *whole*, its sign written as often as one likes; a size needs none."""
        if not left:
            return False
        return int(left, 2) == int(whole, 2) if line == SIZE else signed(left) == signed(whole)

    def _goes_as(self, written: str, fraction: str, *, least: int, ends: bool) -> bool:
        """Tell whether *written* are the digits of *fraction*: all there are, or *least* of them or more."""
        if ends and written.rstrip("0") == fraction.rstrip("0"):
            return True
        known = min(len(written), len(fraction))
        past = "" if not ends else written[known:]
        return known >= least and written[:known] == fraction[:known] and "1" not in past

    def _number(self, entry: Reading, page: Page) -> int | None:
        digits = entry.lead + entry.digits
        if not page.extra or "." not in digits:
            return super()._number(entry, page)
        left, right = digits.split(".")
        places = self.format.places + page.extra
        return signed(f"{left or '0'}{right[:places].ljust(places, '0')}")

    def _below(self, line: str, page: Page, total: int, exponent: int) -> Page:
        if line == SIZE and total < 0:  # a size written without a place for its sign
            total &= (1 << self._width(page)) - 1
        over = not fits(total, self.format.mantissa_bits + page.extra)
        return page._replace(total=total, exponent=exponent, overflowed=over)

    def _shown(self, mantissa: int, exponent: int, page: Page) -> str:
        if not page.extra:
            return super()._shown(mantissa, exponent, page)
        whole, fraction, ends = self._digits_of(page._replace(total=mantissa))
        more = "" if ends else "\u2026"
        return f"{whole}.{fraction}{more} × 2^{write_value(Fraction(exponent))}"
