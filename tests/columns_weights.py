"""Place values read back: what stands under a column has to be what the column is worth.

A weight is a value, the x of its middle, and where a medium tells it the grid that it belongs to; a value of None is
the plus or minus of a sign.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple
from xml.etree import ElementTree as ET

import chalkpoint as cp
from chalkpoint.numbers.families import SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.working.written import Row
from columns import Box, Line, Mark, merged

__all__ = ["Weight", "check_told", "check_weights", "page_weights", "pdf_weights", "svg_weights", "weight_of"]

Place = tuple[str, int]
SVG = "{http://www.w3.org/2000/svg}"


class Weight(NamedTuple):
    """A place value, the x of its middle, and its grid as in `columns.Line`, or ""."""

    value: Fraction | None
    x: float
    grid: str = ""


def weight_of(top: str, bottom: str = "", power: str = "") -> Fraction | None:
    """Return what is written as *top*, *top*/*bottom* or *top* to a *power*.

    >>> weight_of("1", "8"), weight_of("\u22122", power="15"), weight_of("\u00b1")
    (Fraction(1, 8), Fraction(-32768, 1), None)
    """
    top, power = top.replace("\u2212", "-"), power.replace("\u2212", "-")
    if top == "\u00b1":
        return None
    if " " in top:  # 2^-3 - 2^12, as ones' complement has it
        first, sign, last = top.split()
        return Fraction(first) + int(f"{sign}1") * Fraction(last) ** int(power or 1)
    if power:
        return (-1 if top.startswith("-") else 1) * Fraction(top.lstrip("-")) ** int(power)
    return Fraction(top) / Fraction(bottom or 1)


def check_weights(weights: list[Weight], steps: list[list[Line]], seen: list[list[Mark]], near: float) -> int:
    """Check that every one of *weights* stands under a place worth that, *near* its middle; return how many do."""
    lines = [line for step in steps for line in step if line.places]
    stands: dict[Place, set[float]] = {}
    exponents: set[int] = set()
    for line, marks in zip(lines, seen, strict=True):
        if line.kind != "rail":
            continue
        exponents.add(sum(grid == "x" for (grid, _), _ in line.places))
        for (place, _), mark in zip(line.places, merged(marks, line, centred=True), strict=True):
            stands.setdefault(place, set()).add(round(mark.x, 1))
    for weight in weights:
        found = [
            place
            for place, xs in stands.items()
            if weight.grid in {"", place[0]} and min(abs(x - weight.x) for x in xs) < near
        ]
        assert any(_is_worth(place, weight.value, exponents) for place in found), (weight, found, stands)
    return len(weights)


def _is_worth(place: Place, value: Fraction | None, exponents: set[int]) -> bool:
    """Tell whether a column is worth *value*; a sign in ones’ complement a unit in the last place less."""
    grid, column = place
    if value is None:
        return True
    if grid == "x":
        return abs(value) in {Fraction(2) ** (bits - 1 - column) for bits in exponents}
    worth = Fraction(2) ** -column
    return abs(value) == worth or worth - abs(value) in {Fraction(1, 1 << places) for places in range(16)}


def svg_weights(drawing: str, size: float) -> list[Weight]:
    """Return the place values of a drawing: words of *size* with their middle at x, fractions one over the other."""
    found = [
        (float(one.get("y", "0")), float(one.get("x", "0")), "^".join(_parts(one)))
        for one in ET.fromstring(drawing).iter(f"{SVG}text")  # noqa: S314 -- our own
        if abs(float(one.get("font-size", "0")) - size) < 0.01 and one.get("text-anchor") == "middle"
    ]
    weights = []
    for y, x, text in found:
        if (
            any(abs(y - 1.4 * size - top) < 0.1 and abs(x - at) < 0.1 for top, at, _ in found)
            or text.isalpha()
        ):
            continue  # the lower half of a fraction; the name of a column
        bottom = next(
            (low for top, at, low in found if abs(top - 1.4 * size - y) < 0.1 and abs(x - at) < 0.1), ""
        )
        plain, _, power = text.partition("^")
        weights.append(Weight(weight_of(plain, bottom, power), x))
    return weights


def _parts(written: ET.Element) -> list[str]:
    """Return the text of an element, and its power, which stands in the first element within."""
    raised = written.find(f"{SVG}tspan")
    return [written.text or "", *([] if raised is None else [raised.text or ""])]


def page_weights(read: list[list[object]]) -> list[Weight]:
    """Return the place values that `READ_PAGE` found on a page."""
    weights = []
    for grid, text, kind, x in read:
        written = str(text)
        if kind == "fraction":
            cut = 2 if written.startswith("\u2212") else 1
            top, bottom, power = written[:cut], written[cut:], ""
        elif kind == "power":
            cut = written.index("2", 3 if " " in written else 0) + 1
            top, bottom, power = written[:cut], "", written[cut:]
        else:
            top, bottom, power = written, "", ""
        weights.append(Weight(weight_of(top, bottom, power), float(str(x)), str(grid)))
    return weights


def pdf_weights(page: list[Box], size: float) -> list[Weight]:
    """Return the place values of a page: its characters put together again."""
    boxes = [(one.text, one.left, one.right, (one.bottom + one.top) / 2, one.size) for one in page]
    rows: dict[float, list[tuple[str, float, float, float, float]]] = {}
    for box in boxes:
        if abs(box[4] - size) < 0.004 and box[0] in "0123456789\u2212\u00b1":
            key = next((y for y in rows if abs(y - box[3]) < 0.3 * size), box[3])
            rows.setdefault(key, []).append(box)
    tokens: list[tuple[str, float, float, float]] = []
    for row in rows.values():
        run: list[tuple[str, float, float, float, float]] = []
        for box in sorted(row, key=lambda one: one[1]):
            if run and box[1] - run[-1][2] > 0.45 * size:
                tokens.append(_token(run))
                run = []
            run.append(box)
        tokens.append(_token(run))
    weights = []
    for text, left, right, y in tokens:
        raised = [
            box
            for box in boxes
            if box[4] < size * 0.8 and -0.1 < box[1] - right < 3 * size and 0 < box[3] - y < size
        ]
        near: list[tuple[str, float, float, float, float]] = []
        for box in sorted(raised, key=lambda one: one[1]):
            if box[1] - (near[-1][2] if near else right) < 0.4 * size:
                near.append(box)
        power = "".join(box[0] for box in near)
        middle = (left + max([right, *(box[2] for box in near)])) / 2
        above = [t for t in tokens if abs((t[1] + t[2]) / 2 - middle) < 1.5 and 1 < t[3] - y < 1.6 * size]
        below = [t for t in tokens if abs((t[1] + t[2]) / 2 - middle) < 1.5 and 1 < y - t[3] < 1.6 * size]
        if above:
            continue
        weights.append(Weight(weight_of(text, below[0][0] if below else "", power), middle))
    return weights


def _token(run: list[tuple[str, float, float, float, float]]) -> tuple[str, float, float, float]:
    return "".join(box[0] for box in run), run[0][1], run[-1][2], run[0][3]


def check_told(working: cp.Working, written: str) -> int:
    """Check the place values that a text tells in words under a row: one for each digit, and worth the row's value.

    Returns how many rows have them told.
    """
    told, label, step = 0, "", 0
    lines = written.splitlines()
    for at, line in enumerate(lines):
        if match := re.match(r"(\d+) [A-Z]", line):
            step = int(match[1])
        elif step and re.match(r" {4}\S", line):
            label = line[4:12].strip()
        if line.lstrip().startswith("place value"):
            row = [row for row in working.steps[step - 1].rows if row.label.startswith(label)][-1]
            more = lines[at + 1].strip()
            words = (
                f"{line.strip()} {more}" if re.fullmatch(r"(\.\.\. )?[\d/^\u2212]+", more) else line.strip()
            )
            target = working.question.target if working.steps[step - 1].rule.startswith("store-") else None
            _check_told(row, words, (target or working.question.course).number_format)
            told += 1
    return told


def _check_told(row: Row, words: str, fmt: AnyFormat) -> None:
    """Weigh the digits of *row* by *words* such as "place values: \u22121, then 1/2, 1/4 ... 1/128"."""
    first, _, rest = words.partition(": ")[2].partition(", then ")
    values = [_told_value(part) for part in re.split(r", | \.\.\. ", rest)]
    kept = row.bits[: len(row.bits) - len(row.beyond)]
    series = [_told_value(first), *(values[0] / (1 << at) for at in range(len(kept) - 1))]
    assert [*series[1:3], series[-1]] == [*values[:2], values[-1]], (words, row)
    if row.value is None or row.beyond:
        return
    size = sum((weight for bit, weight in zip(kept, series, strict=True) if bit == "1"), Fraction(0))
    if fmt.family == SIZES and fmt.hidden and "1" in row.exponent_bits:
        size += 1
    size *= Fraction(2) ** (row.exponent or 0)
    if fmt.family == WHOLE:
        size -= fmt.field.excess
    assert row.value == (-size if row.sign == "1" else size), (words, row)


def _told_value(text: str) -> Fraction:
    top, _, power = text.partition("^")
    number, _, bottom = top.partition("/")
    return weight_of(number, bottom, power) or Fraction(0)
