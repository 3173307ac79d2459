"""Where the fields of a pattern stand on paper: boxes in the order they are written, on one line or on several."""

from __future__ import annotations

from dataclasses import dataclass

from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat, AnyPattern
from chalkpoint.publishing.layout import edge_after
from chalkpoint.publishing.papers.measures import TRAY, Sheet, has_tray
from chalkpoint.setting.cards import named_fields

__all__ = ["FieldPlan", "Run", "digits_of", "edges_in", "plan_fields", "point_in"]

FIELD_GAP, NARROW_GAP = 3.5, 2.5  # mm, between two fields, and between three
LEAST_PART = 8  # boxes of a long field that may stand behind another field


@dataclass(frozen=True, slots=True)
class Run:
    """Boxes that stand side by side: a field, or a part of one that is too long for a line.

    name   the field
    first  which of the field's digits its first box is for
    bits   how many boxes
    x      its left edge, in mm from the first box of the row
    line   which line of the row it stands on, from 0
    point  how many of its boxes stand before the binary point; None where no point stands in it
    edges  after which boxes a darker edge stands
    """

    name: str
    first: int
    bits: int
    x: float
    line: int
    point: int | None
    edges: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class FieldPlan:
    """The boxes of a format on a sheet.

    tray   the left edge and the line of the boxes for lost bits, or None where the format has none
    lines  how many lines a row takes
    """

    runs: tuple[Run, ...]
    tray: tuple[float, int] | None
    lines: int

    @property
    def fields(self) -> tuple[str, ...]:
        """The names of the fields, each once."""
        return tuple(dict.fromkeys(run.name for run in self.runs))

    @property
    def beside(self) -> tuple[Run, ...]:
        """The fields that begin on a further line, behind the end of another: their names stand over them."""
        return tuple(run for run in self.runs if run.line and run.x and not run.first)


def plan_fields(fmt: AnyFormat, sheet: Sheet, *, tray: bool = True) -> FieldPlan:
    """Return where the boxes of *fmt* stand on *sheet*: on one line, or on several where they do not fit on one.

    tray  whether the row has boxes for lost bits; on one line their place is kept free in every row

    >>> from chalkpoint.numbers.named import format_called
    >>> from chalkpoint.publishing.papers.measures import sheet_for
    >>> from chalkpoint.setting.asking import Printing
    >>> [(run.name, run.x) for run in plan_fields(format_called("8+4"), sheet_for(Printing())).runs]
    [('mantissa', 0.0), ('exponent', 99.5)]
    """
    fields = named_fields(fmt)
    gap = FIELD_GAP if len(fields) < 3 else NARROW_GAP
    tray_wide = TRAY * sheet.box if has_tray(fmt) else 0.0
    boxes = sum(bits for _, bits in fields) * sheet.pitch - (len(fields) - bool(tray_wide)) * sheet.gap
    stacked = boxes + tray_wide + gap * (len(fields) - 1) > sheet.room
    a_line = int((sheet.room + sheet.gap) / sheet.pitch)
    a_part = a_line // 4 * 4
    fallen = has_tray(fmt) and (tray or not stacked)
    runs: list[Run] = []
    x, line, tray_at = 0.0, 0, None

    def make_room(wide: float) -> None:
        nonlocal x, line
        if x and x + wide > sheet.room:
            x, line = 0.0, line + 1

    for name, bits in fields:
        point, edges = point_in(fmt, name), edges_in(fmt, name, bits)
        first = 0
        while first < bits:
            left = (
                int((sheet.room - x + sheet.gap) / sheet.pitch) // 4 * 4
            )  # boxes that fit beside what stands there
            count = bits - first if bits - first <= a_line else left if x and left >= LEAST_PART else a_part
            make_room(sheet.span(count))
            has_point = point is not None and first < point <= first + count
            runs.append(
                Run(
                    name,
                    first,
                    count,
                    x,
                    line,
                    point - first if has_point and point else None,
                    edges[first : first + count],
                )
            )
            first += count
            x += sheet.span(count) + (sheet.gap if first < bits else 0)
        if name == "mantissa" and fallen:
            make_room(sheet.gap + tray_wide)
            tray_at = (x + sheet.gap if x else x, line)
            x = tray_at[0] + tray_wide
        x += gap
    return FieldPlan(tuple(runs), tray_at, line + 1)


def edges_in(fmt: AnyFormat, name: str, bits: int) -> tuple[bool, ...]:
    """Return after which boxes of a field a darker edge stands: every fourth from the point, but in an exponent."""
    if name == "exponent":
        return (False,) * bits
    point = {"fraction": -1, "its low bits": -1}.get(name, 0)
    if name in {"whole number", "fixed point"}:
        before = point_in(fmt, name)
        point = (bits if before is None else before) - 1
    return tuple(edge_after(at, point) for at in range(bits))


def point_in(fmt: AnyFormat, name: str) -> int | None:
    """Return how many digits of a field stand before the binary point; None where no point stands in it."""
    if fmt.family == WHOLE:
        return fmt.bits - fmt.places if fmt.places else None
    if fmt.family == FLOATING:
        return fmt.point if name == "mantissa" and not fmt.implied else None
    assert fmt.family == SIZES  # noqa: S101 - there are three families
    return 1 if name == "mantissa" else None


def digits_of(fmt: AnyFormat, pattern: AnyPattern) -> dict[str, str]:
    """Return the digits of *pattern* by field.

    >>> from chalkpoint.numbers.named import format_called
    >>> half = format_called("binary16")
    >>> digits_of(half, half.largest)
    {'sign': '0', 'exponent': '11110', 'fraction': '1111111111'}
    """
    return dict(zip((name for name, _ in named_fields(fmt)), fmt.write(pattern).split(" "), strict=True))
