"""Families of formats: what operations are declared for, and what every format has.

A format says its own family (`Format.family`), so that nobody has to look at its class.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final, Protocol, TypeVar

__all__ = ["FAMILIES", "FLOATING", "SIZES", "WHOLE", "Format"]

FLOATING: Final = "mantissa and exponent"
SIZES: Final = "sign and size"
WHOLE: Final = "whole and fixed point"

#: Each family, and what its patterns are made of.
FAMILIES: dict[str, str] = {
    FLOATING: "a two\u2019s complement mantissa and an exponent",
    SIZES: "a sign bit, an exponent and a size",
    WHOLE: "one row of bits with the point in an agreed place",
}

P = TypeVar("P")


class Format(Protocol[P]):
    """What formats of every family have in common; *P* is what a written number of it is.

    >>> from chalkpoint.numbers.named import format_called
    >>> [format_called(name).family for name in ("8+4", "binary16", "Q5.3")]
    ['mantissa and exponent', 'sign and size', 'whole and fixed point']
    """

    @property
    def family(self) -> str:
        """One of FAMILIES."""

    @property
    def bits(self) -> int:
        """Bits of the whole pattern."""

    @property
    def places(self) -> int:
        """Places behind the binary point."""

    @property
    def zero(self) -> P:
        """The pattern for zero."""

    @property
    def example(self) -> P:
        """A pattern to show in a sentence that tells how patterns are written."""

    def value(self, pattern: P) -> Fraction:
        """Return the exact value of *pattern*."""

    def unit(self, pattern: P) -> Fraction | None:
        """Return the unit in the last place of *pattern*; None where it has none."""

    def write(self, pattern: P, *, point: bool = False) -> str:
        """Return *pattern* in bits."""

    def read(self, text: str) -> P:
        """Return the pattern written in *text*."""
