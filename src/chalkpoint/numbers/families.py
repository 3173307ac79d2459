"""Families of formats, for which operations are declared.

A format says its own family, so that nobody has to look at its class.
"""

from __future__ import annotations

from typing import Final

__all__ = ["FAMILIES", "FLOATING", "SIZES", "WHOLE"]

FLOATING: Final = "mantissa and exponent"
SIZES: Final = "sign and size"
WHOLE: Final = "whole and fixed point"

#: Each family, and what its patterns are made of.
FAMILIES: dict[str, str] = {
    FLOATING: "a two\u2019s complement mantissa and an exponent",
    SIZES: "a sign bit, an exponent and a size",
    WHOLE: "one row of bits with the point in an agreed place",
}
