"""Negating and adding as every two's complement number does it: mantissas, fixed point and whole numbers."""

from __future__ import annotations

from chalkpoint.numbers.bits import shorten
from chalkpoint.working.facts import Addition, Negation
from chalkpoint.working.written import Row

__all__ = ["add_says", "carries_row", "inverted_row", "negate_says", "whole_add_says"]


def negate_says(found: Negation, *, taken_away: bool) -> list[str]:
    """Return the sentences of negating: how, then what is special about the number."""
    said = ["negate.taken" if taken_away else "negate.invert"]
    if found.mantissa == 0:
        said.append("negate.zero")
    elif not found.fits:
        said.append("negate.extra")
    return said


def inverted_row(old: Row, lead: str) -> Row:
    """Return *old* with every bit turned; *lead* is the extra sign place of the opposite, if it has one."""
    turned = old.bits.translate(str.maketrans("01", "10"))
    plain = old._replace(label="invert", bits=turned, exponent=None, exponent_bits="", value=None, soft=True)
    return plain._replace(lead="0" if lead else "", lead_is="kept" if lead else "")


def carries_row(found: Addition, below: Row) -> list[Row]:
    """Return the row of carries above the row *below*, or nothing where no column is carried into."""
    if "1" not in found.carried:
        return []
    return [Row(label="carries", carries=shorten(found.carried).replace("0", " "), places=below.places)]


def _carries(found: Addition) -> str:
    if "1" in found.carried:
        return "add.carries"
    return "add.sign-only" if found.carry_out else "add.none"


def _in_extra_place(found: Addition, *, overflow: str) -> list[str]:
    if found.overflowed:
        return ["add.extra", overflow]
    return ["add.extra", "add.agrees", *(["add.extra-dropped"] if found.carry_out else [])]


def add_says(found: Addition) -> list[str]:
    """Return the sentences of adding mantissas, whose overflow is repaired."""
    said = [_carries(found)]
    if found.extra_place:
        return said + _in_extra_place(found, overflow="add.overflow")
    if found.overflowed:
        return [*said, "add.overflow"]
    if found.carry_out:
        return [*said, "add.dropped", "add.opposite" if found.signs[0] != found.signs[1] else "add.negatives"]
    return said


def whole_add_says(found: Addition, *, unsigned: bool) -> list[str]:
    """Return the sentences of adding whole or fixed-point numbers, whose overflow ends the working."""
    if unsigned:
        return ["whole.carry-overflow" if found.carry_out else "whole.carry-none"]
    if found.extra_place:
        return _in_extra_place(found, overflow="whole.extra-overflow")
    said = ["whole.dropped" if found.carry_out else "whole.no-carry"]
    if found.zeros:
        return [*said, "whole.zero"]
    if found.signs[0] != found.signs[1]:
        return [*said, "add.opposite"]
    signs = "positives" if found.signs.startswith("0") else "negatives"
    return [*said, f"whole.{signs}{'-overflow' if found.overflowed else ''}"]
