"""The rows of a question on paper: operands given, boxes to write in, and ruled lines."""

from __future__ import annotations

from typing import Any

from chalkpoint.publishing.layout import CELL_HEIGHT, edge_after
from chalkpoint.publishing.papers.measures import GAP, TRAY, Sheet
from chalkpoint.setting.papers import Item
from chalkpoint.setting.points import written_row
from chalkpoint.working.extremes import EXTREMES
from chalkpoint.working.speech import for_ear, say_bits
from chalkpoint.working.working import Working

__all__ = ["lines_of", "rows_of"]

Data = dict[str, Any]

TALLEST = 165.0  # mm: with its words above it a question still stands on one page
AFTER_GIVEN, AFTER_BOXES, STACK_GAP = 0.4, 0.65, 0.2  # u
ROWS: dict[str, tuple[str, ...]] = {
    "decode": (),
    "encode": ("answer",),
    "normalise": ("answer",),
    "negate": ("negate", "answer"),
    "add": ("align", "add", "answer"),
    "subtract": ("align", "negate", "add", "answer"),
    "multiply": ("answer",),
    "divide": ("answer",),
    "range": tuple(EXTREMES),
    "error": ("answer",),
}
WITH_A_TRAY = ("align",)
NOT_IN_RANGE = ("in range", "zero")

#: Ruled lines under the rows: the mark they are for, and the words with a gap for each blank.
LINES: dict[str, tuple[tuple[str, str], ...]] = {
    "decode": (
        ("exponent", "The exponent is {}."),
        ("mantissa", "The mantissa is {}."),
        ("answer", "The value is {unit}."),
    ),
    "encode": (("size", "The size in binary: {long}"), ("sign", "With its sign: {long}")),
    "add": (("decimal", "In decimal, your answer is {unit} and the exact answer is {unit}."),),
    "subtract": (("decimal", "In decimal, your answer is {unit} and the exact answer is {unit}."),),
    "multiply": (("exponents", "The exponents together make {}."), ("product", "The product: {long}")),
    "divide": (("exponents", "The exponents leave {}."), ("quotient", "The quotient: {long}")),
    "error": (("absolute", "The absolute error is {unit}."), ("relative", "The relative error is {}.")),
}
MISTAKE_LINES = (("line", "The line that is wrong: {}"),)


def rows_of(item: Item, sheet: Sheet) -> Data:
    """Return the picture of an item's rows: each row with its place, and the words that stand for it."""
    fmt = item.question.format
    stacked = sheet.stacks(fmt)
    rows: list[Data] = []
    y = 0.0
    for row in _rows(item):
        tall = CELL_HEIGHT * 2 + STACK_GAP if stacked and row["exponent"] else CELL_HEIGHT
        rows.append(row | {"y": y})
        y += tall + (AFTER_GIVEN if row["kind"] == "given" else AFTER_BOXES)
    height = max(y - AFTER_BOXES, 0) + 0.1
    u = min(sheet.u(fmt), TALLEST / height)
    left = sheet.labels / u
    exponent_at = left if stacked else left + fmt.mantissa_bits + TRAY + GAP
    mantissa_at = left
    if fmt.exponent_first and not stacked:
        exponent_at, mantissa_at = left, left + fmt.exponent_bits + GAP
    return {
        "u": u,
        "height": height,
        "mantissa_at": mantissa_at,
        "exponent_at": exponent_at,
        "exponent_down": CELL_HEIGHT + STACK_GAP if stacked else 0.0,
        "edges": [edge_after(column, 0) for column in range(fmt.mantissa_bits)],
        "tray": TRAY,
        "headed": not stacked,
        "rows": rows,
        "alt": " ".join(_words(row, fmt.places) for row in rows),
    }


def _rows(item: Item) -> list[Data]:
    """Return the rows without their places."""
    question, fmt = item.question, item.question.format
    found = []
    for name, pattern in zip(item.names, question.patterns, strict=False):
        label = name if len(question.patterns) > 1 or item.story else "given"
        found.append(
            _row("given", label, fmt.mantissa.write(pattern.mantissa), fmt.exponent.write(pattern.exponent))
        )
    if item.faulty is not None:
        found += _mistaken(item, item.faulty)
        found.append(_boxes(item, "correction"))
    else:
        names = ROWS[question.operation.name]
        if question.operation.name in {"add", "subtract"} and _changed(item.working, "ready"):
            names = ("ready", *names)
        found += [_shown(item, name) if name in item.shown else _boxes(item, name) for name in names]
    if item.faulty is not None:
        found.append(_boxes(item, "answer"))
    return found


def _changed(working: Working, rule: str) -> bool:
    return any(step.rule == rule and step.after != step.before for step in working.steps)


def _row(
    kind: str, label: str, mantissa: str, exponent: str, *, tray: str | None = None, mark: str = ""
) -> Data:
    lost = None if tray is None else [*tray[:TRAY].ljust(TRAY)]
    return {
        "kind": kind,
        "label": label,
        "mantissa": [*mantissa],
        "exponent": [*exponent],
        "lost": lost,
        "mark": mark,
    }


def _boxes(item: Item, name: str) -> Data:
    """Return a row of empty boxes."""
    fmt = item.question.format
    label = {"ready": "normalised operand", "answer": "answer, normalised"}.get(name, name)
    empty = " " * fmt.mantissa_bits, " " * fmt.exponent_bits
    tray = "" if name in WITH_A_TRAY else None
    return _row("boxes", label, *empty, tray=tray, mark=_mark(item, name))


def _mark(item: Item, name: str) -> str:
    marks = sum(mark.marks for mark in item.scheme.marks if mark.rule == name)
    return f"[{marks}]" if marks else ""


def _shown(item: Item, name: str) -> Data:
    """Return a row filled in from the working."""
    return _filled(item.working, name)


def _filled(working: Working, name: str) -> Data:
    row = written_row(working, name)
    assert row is not None  # noqa: S101 - only lines that were written are shown
    bits, fmt = row.bits, working.question.format
    tray = row.lost if name in WITH_A_TRAY else None
    return _row("filled", name, bits, row.exponent_bits or " " * fmt.exponent_bits, tray=tray)


def _mistaken(item: Item, faulty: Working) -> list[Data]:
    names = [
        step.rule
        for step in faulty.steps
        if written_row(faulty, step.rule) and step.rule not in {"read", "ready"}
    ]
    return [_filled(faulty, name) for name in names]


def lines_of(item: Item) -> list[Data]:
    """Return the ruled lines under the rows: the pieces of words between the blanks, and the mark."""
    named = MISTAKE_LINES if item.faulty else LINES.get(item.question.operation.name, ())
    unit = item.story.unit if item.story else ""
    return [
        {"parts": _parts(words, unit), "mark": _mark(item, rule), "rule": rule}
        for rule, words in named
        if _mark(item, rule) and rule not in item.shown
    ]


def _parts(words: str, unit: str) -> list[tuple[str, str]]:
    """Return words and blanks in turn: ("words", text) or ("blank", its length)."""
    parts: list[tuple[str, str]] = []
    rest = words
    while rest:
        before, brace, after = rest.partition("{")
        if before:
            parts.append(("words", before))
        if not brace:
            break
        name, _, rest = after.partition("}")
        parts.append(("blank", "long" if name == "long" else "short"))
        if name == "unit" and unit:
            parts.append(("words", f"\u00a0{unit}"))
    return parts


def _words(row: Data, places: int) -> str:
    """Return the row for the ear."""
    label = for_ear(row["label"])
    if row["kind"] == "boxes":
        mark = f", {row['mark'].strip('[]')} marks" if row["mark"] else ""
        tray = f", {len(row['lost'])} for bits that fall" if row["lost"] else ""
        return (
            f"{label}: empty boxes, {len(row['mantissa'])} for the mantissa{tray}, "
            f"{len(row['exponent'])} for the exponent{mark}."
        )
    said = [f"mantissa {say_bits(''.join(row['mantissa']), places)}"]
    if row["lost"] and "".join(row["lost"]).strip():
        said.append(f"tray {say_bits(''.join(row['lost']).strip())}")
    if "".join(row["exponent"]).strip():
        said.append(f"exponent {say_bits(''.join(row['exponent']))}")
    return f"{label}: {'; '.join(said)}."
