"""Rows of bits as steps need them: digits, marks of what changed, and the words for the ear."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.formats import FloatFormat, scaled
from chalkpoint.working.speech import for_ear, say_bits, say_number
from chalkpoint.working.wording.words_end import HEARD
from chalkpoint.working.written import Row

__all__ = ["differences", "mantissa_row", "mark_changes", "shifted", "speak"]


def mantissa_row(
    label: str, mantissa: int, exponent: int | None, fmt: FloatFormat, *, extra: int = 0, **marks: Any
) -> Row:
    """Return a row for a mantissa of *extra* places more than the format's, and its exponent."""
    bits = shorten(to_bits(mantissa, fmt.mantissa_bits + extra))
    writable = exponent is not None and (fmt.holds(exponent) or (mantissa, exponent) == fmt.zero)
    fields: dict[str, Any] = marks | {
        "label": label,
        "bits": bits,
        "places": len(bits) - fmt.point,
        "exponent": exponent,
        "exponent_bits": fmt.exponent.write(exponent) if exponent is not None and writable else "",
    }
    return Row(
        **fields,
        value=None if exponent is None else scaled(mantissa, exponent - fmt.places - extra),
        unwritten=("01" + "0" * (len(bits) - 2)) if fmt.implied else "",
        spoken=_words(**{name: fields[name] for name in SPOKEN_OF if name in fields}),
    )


SPOKEN_OF = ("label", "bits", "places", "lead", "lead_is", "lost", "exponent", "exponent_bits")


def speak(row: Row, **marks: Any) -> Row:
    """Return *row* with its words, and with *marks* as `_replace` takes them."""
    fields = {name: marks.get(name, getattr(row, name)) for name in SPOKEN_OF}
    return row._replace(**marks, spoken=_words(**fields))


def _words(
    label: str,
    bits: str,
    places: int,
    *,
    lead: str = "",
    lead_is: str = "",
    lost: str = "",
    exponent: int | None = None,
    exponent_bits: str = "",
) -> str:
    """Return a row in words: the extra sign place, mantissa, tray and exponent in that order."""
    parts = []
    if lead_is == "dropped":
        parts.append(HEARD["dropped"])
    elif lead:
        parts.append(HEARD["extra"].format(say_bits(lead)))
    parts.append(f"mantissa {say_bits(bits, places)}")
    if lost:
        parts.append(f"tray {say_bits(lost)}")
    if exponent_bits:
        parts.append(f"exponent {say_bits(exponent_bits)}")
    elif exponent is not None:
        parts.append(f"exponent {say_number(exponent)}")
    return f"{for_ear(label)}: {'; '.join(parts)}"


def differences(old: str, new: str) -> str:
    """Return "1" for each digit of *new* that differs from *old*'s in its place, "0" elsewhere.

    >>> differences("0110", "0011")
    '0101'
    """
    if len(old) != len(new):
        return "1" * len(new)
    return "".join("1" if before != after else "0" for before, after in zip(old, new, strict=True))


def mark_changes(row: Row, old: Row) -> Row:
    """Return *row* with the digits marked that differ from *old*'s."""
    return row._replace(
        changed=differences(old.bits, row.bits),
        exponent_changed=_exponent_changes(row, old),
    )


def _exponent_changes(row: Row, old: Row) -> str:
    return differences(old.exponent_bits, row.exponent_bits) if row.exponent_bits else ""


def shifted(row: Row, old: Row, places: int, *, lost: str = "", lost_value: Fraction = Fraction(0)) -> Row:
    """Return *row* as *old* moved right *places* (left when negative), with what fell off."""
    return speak(
        row,
        changed=("1" if places else "0") * len(row.bits),
        exponent_changed=_exponent_changes(row, old),
        moved=places,
        filled=min(max(places, 0), len(row.bits)),
        lost=lost,
        lost_value=lost_value,
    )
