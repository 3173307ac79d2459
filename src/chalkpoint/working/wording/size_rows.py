"""Rows of numbers with a sign, an exponent and a size: whole patterns, and sizes being worked on."""

from __future__ import annotations

from typing import Any

from chalkpoint.numbers.bits import scaled, shorten, to_bits
from chalkpoint.numbers.named import value_or_none
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working.question import show_pattern
from chalkpoint.working.speech import say_bits, say_number
from chalkpoint.working.wording.words_end import PARTS
from chalkpoint.working.written import Row

__all__ = [
    "fields_row",
    "pack_says",
    "past_end",
    "says_size",
    "size_row",
    "speak_size",
    "stored_code",
]

PLACE_NAMES = {"G": "guard", "R": "round", "S": "sticky"}


def stored_code(exponent: int, fmt: SignMagnitudeFormat) -> int:
    """Return the unsigned number that *exponent* is stored as."""
    return int(fmt.exponent.write(exponent), 2)


def fields_row(label: str, pattern: Fields, fmt: SignMagnitudeFormat, **marks: Any) -> Row:
    """Return the row of a whole pattern: its sign, exponent and fraction fields."""
    bits = to_bits(pattern.fraction, fmt.fraction_bits)
    code = fmt.exponent.write(pattern.exponent)
    places = fmt.fraction_bits - (0 if fmt.hidden or fmt.point_first else 1)
    row = Row(
        label=label,
        sign=str(pattern.sign),
        bits=shorten(bits),
        places=min(places, len(shorten(bits))),
        exponent=fmt.true_exponent(pattern.exponent),
        exponent_bits=code,
        stored=int(code, 2) if fmt.exponent.kind == "excess" else None,
        value=(value := value_or_none(fmt, pattern)),
        word=show_pattern(fmt, pattern, ".") if value is None or (value == 0 and pattern.sign) else "",
        in_order=fmt.order,
        **marks,
    )
    named = {"sign": say_bits(row.sign), "exponent": say_bits(code), "fraction": say_bits(row.bits)}
    spoken = "; ".join(f"{name} {named[name]}" for name in fmt.order.split())
    return row._replace(spoken=f"{label}: {spoken}")


def size_row(
    label: str,
    sign: int,
    size: int,
    exponent: int,
    fmt: SignMagnitudeFormat,
    *,
    extra: int = 0,
    width: int = 0,
    **marks: Any,
) -> Row:
    """Return the row of a size with *extra* places past the format's, and its true exponent.

    width  digits to write, where they are more than the format's and the extra ones
    """
    written = max(fmt.digits + extra, width, size.bit_length())
    bits = shorten(to_bits(size, written))
    row = Row(
        label=label,
        sign=str(sign),
        bits=bits,
        places=min(fmt.places + extra, len(bits)),
        exponent=exponent,
        value=scaled(-size if sign else size, exponent - fmt.places - extra),
        word="\u22120" if sign and not size else "",
        unwritten="1" + "0" * (len(bits) - 1) if fmt.hidden and len(bits) == fmt.digits + extra else "",
        beyond="GRS" if extra == 3 else "",
        **marks,
    )
    return speak_size(row)


def speak_size(row: Row) -> Row:
    """Return *row* with its words."""
    sign = "minus " if row.sign == "1" else ""
    digits = row.bits[: len(row.bits) - len(row.beyond)] if row.beyond else row.bits
    parts = [f"{sign}{say_bits(digits, row.places - len(row.beyond))}"]
    parts += [
        f"{PLACE_NAMES[letter]} {say_bits(bit)}"
        for letter, bit in zip(row.beyond, row.bits[len(digits) :], strict=True)
    ]
    if row.lost:
        parts.append(f"tray {say_bits(row.lost)}")
    if row.exponent is not None:
        parts.append(f"exponent {say_number(row.exponent)}")
    return row._replace(spoken=f"{row.label}: {'; '.join(parts)}")


def says_size(size: int, places: int) -> str:
    """Return a size in a sentence: its digits with the point.

    >>> says_size(0b1101, 3)
    '1.101'
    """
    bits = shorten(to_bits(size, max(size.bit_length(), places + 1)))
    return f"{bits[: len(bits) - places]}.{bits[len(bits) - places :]}" if 0 < places < len(bits) else bits


def pack_says(
    pattern: Fields, size: int, exponent: int, fmt: SignMagnitudeFormat
) -> tuple[list[str], dict[str, object]]:
    """Return how *pattern* is written from a rounded *size* and its true *exponent*: sentences and their facts."""
    kind = fmt.kind(pattern)
    code = fmt.exponent.write(pattern.exponent)
    facts: dict[str, object] = {
        "exponent": exponent,
        "code": code,
        "excess": fmt.exponent.excess,
        "stored": exponent + fmt.exponent.excess,
    }
    if kind == "zero":
        return ["pack.too-small" if size else "pack.nothing"], facts
    if fmt.exponent.kind != "excess":
        return ["pack.signed"], facts
    if fmt.hidden and fmt.subnormals and kind == "subnormal":
        return ["pack.subnormal"], facts
    return [*(["pack.hidden"] if fmt.hidden else []), "pack.excess"], facts


def past_end(pattern: Fields, fmt: SignMagnitudeFormat) -> str:
    """Return which kind of pattern is written for a number past the largest, by its name in the catalogue."""
    kind = fmt.kind(pattern)
    return kind if kind in PARTS else "number"
