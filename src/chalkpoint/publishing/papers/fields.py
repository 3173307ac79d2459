"""Where the fields of a pattern stand on paper: boxes in the order they are written, on one line or on several."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.numbers.signed import SignMagnitudeFormat
from chalkpoint.publishing.layout import CELL_HEIGHT, edge_after
from chalkpoint.publishing.papers.measures import GAP, TRAY, Sheet, has_tray
from chalkpoint.setting.cards import named_fields

__all__ = ["STACK_GAP", "Field", "FieldPlan", "digits_of", "plan_fields", "point_in"]

STACK_GAP = 0.2  # u


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a row.

    x      its left edge, in u
    line   which line it stands on, from 0
    point  how many of its boxes stand before the binary point; None where no point stands in it
    """

    name: str
    bits: int
    x: float
    line: int
    point: int | None = None

    @property
    def down(self) -> float:
        """How far below the row's top it stands, in u."""
        return self.line * (CELL_HEIGHT + STACK_GAP)

    @property
    def edges(self) -> list[bool]:
        """After which boxes a darker edge stands: every fourth from the point, but in an exponent."""
        if self.name == "exponent":
            return [False] * self.bits
        point = {"fraction": -1, "its low bits": -1}.get(self.name, 0)
        if self.name in {"whole number", "fixed point"}:
            point = (self.bits if self.point is None else self.point) - 1
        return [edge_after(at, point) for at in range(self.bits)]


@dataclass(frozen=True, slots=True)
class FieldPlan:
    """The fields of a format on a sheet.

    tray   the left edge of the boxes for lost bits, or None where the format has none
    lines  how many lines a row takes
    """

    fields: tuple[Field, ...]
    tray: float | None
    lines: int

    @property
    def height(self) -> float:
        """How high a row is, in u."""
        return self.lines * CELL_HEIGHT + (self.lines - 1) * STACK_GAP

    @property
    def right(self) -> float:
        """The right edge of the first line, in u."""
        return max(field.x + field.bits for field in self.fields if not field.line)


def plan_fields(fmt: Any, sheet: Sheet, left: float = 0.0) -> FieldPlan:
    """Return where the fields of *fmt* stand on *sheet*, from *left* u.

    >>> from chalkpoint.numbers.named import format_called
    >>> from chalkpoint.publishing.papers.measures import sheet_for
    >>> from chalkpoint.setting.asking import Printing
    >>> [(field.name, field.x) for field in plan_fields(format_called("8+4"), sheet_for(Printing())).fields]
    [('mantissa', 0.0), ('exponent', 12.5)]
    """
    fields: list[Field] = []
    x, line, tray = left, 0, None
    for name, bits in in_reading_order(fmt, stacked=sheet.stacks(fmt)):
        if fields and sheet.stacks(fmt) and fields[-1].name != "sign":
            x, line = left, line + 1
        fields.append(Field(name, bits, x, line, point_in(fmt, name)))
        x += bits
        if name == "mantissa" and has_tray(fmt):
            tray = x
            x += TRAY
        x += GAP
    return FieldPlan(tuple(fields), tray, line + 1)


def in_reading_order(fmt: Any, *, stacked: bool) -> tuple[tuple[str, int], ...]:
    """Return the fields as they stand: as written; an exponent under its mantissa where they are stacked."""
    fields = named_fields(fmt)
    if stacked and fields[0][0] == "exponent":
        return fields[::-1]
    return fields


def point_in(fmt: Any, name: str) -> int | None:
    """Return how many digits of a field stand before the binary point; None where no point stands in it."""
    if isinstance(fmt, FixedFormat):
        return fmt.bits - fmt.places if fmt.places else None
    if isinstance(fmt, FloatFormat):
        return fmt.point if name == "mantissa" and not fmt.implied else None
    assert isinstance(fmt, SignMagnitudeFormat)  # noqa: S101 - there are three families
    return 1 if name == "mantissa" else None


def digits_of(fmt: Any, pattern: Any) -> dict[str, str]:
    """Return the digits of *pattern* by field.

    >>> from chalkpoint.numbers.named import format_called
    >>> half = format_called("binary16")
    >>> digits_of(half, half.largest)
    {'sign': '0', 'exponent': '11110', 'fraction': '1111111111'}
    """
    return dict(zip((name for name, _ in named_fields(fmt)), fmt.write(pattern).split(" "), strict=True))
