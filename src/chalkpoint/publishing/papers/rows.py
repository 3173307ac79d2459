"""The rows of a question on paper: operands given, boxes to write in, and ruled lines."""

from __future__ import annotations

from typing import Any

from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.publishing.papers.fields import FieldPlan, digits_of, plan_fields
from chalkpoint.publishing.papers.lines import MISTAKE_LINES, lines_for
from chalkpoint.publishing.papers.measures import TRAY, Sheet, has_tray, sheet_for
from chalkpoint.setting.answering import answer_format
from chalkpoint.setting.asking import Printing
from chalkpoint.setting.cards import named_fields
from chalkpoint.setting.papers import Item
from chalkpoint.setting.points import written_row
from chalkpoint.working.speech import for_ear, say_bits
from chalkpoint.working.working import Working

__all__ = ["lines_of", "rows_apart", "rows_of"]

Data = dict[str, Any]

TALLEST = 165.0  # mm: with its words above it a question still stands on one page
AFTER_GIVEN, AFTER_BOXES = 0.4, 0.65  # u
NAMES = 0.75  # u, over the fields of another format
ROWS: dict[str, tuple[str, ...]] = {
    "decode": (),
    "encode": ("answer",),
    "normalise": ("answer",),
    "negate": ("negate", "answer"),
    "add": ("align", "add", "answer"),
    "subtract": ("align", "negate", "add", "answer"),
    "multiply": ("answer",),
    "divide": ("answer",),
    "error": ("answer",),
}
WHOLE_ROWS: dict[str, tuple[str, ...]] = {
    "decode": (),
    "negate": ("invert", "answer"),
    "subtract": ("negate", "answer"),
}
WITH_A_TRAY = ("align",)
MAY_OVERFLOW = ("add", "subtract", "multiply", "divide", "negate", "encode", "convert", "sum")


def rows_of(item: Item, sheet: Sheet) -> Data:
    """Return the picture of an item's rows: each row with its place, and the words that stand for it."""
    return _picture(_rows(item), item, sheet)


def rows_apart(item: Item, sheet: Sheet) -> tuple[Data, Data]:
    """Return the rows that are given as one picture, and those to be written as another: lines stand between them."""
    rows = _rows(item)
    given = [row for row in rows if row["kind"] == "given"]
    return _picture(given, item, sheet), _picture(rows[len(given) :], item, sheet)


def _picture(rows: list[Data], item: Item, sheet: Sheet) -> Data:
    # Boxes are as wide in every format of the question, and no more than the page is high.
    own = [item.question.format, answer_format(item.question)]
    formats = [row["format"] for row in rows] or own
    u = min(sheet.u(fmt) for fmt in own)
    height = _place(rows, sheet, 0.0)
    u = min(u, TALLEST / height)
    _place(rows, sheet, sheet.labels / u)
    first = plan_fields(formats[0], sheet, sheet.labels / u)
    trays = any(row["lost"] is not None for row in rows)
    return {
        "u": u,
        "height": height,
        "headings": [] if first.lines > 1 else _headings(first, tray=trays),
        "rows": [row | {"format": str(row["format"])} for row in rows],
        "alt": " ".join(_words(row) for row in rows),
    }


def _place(rows: list[Data], sheet: Sheet, left: float) -> float:
    """Give each of *rows* its height and its fields their places; return the height of all."""
    y, above = 0.0, rows[0]["format"] if rows else None
    for row in rows:
        fmt = row["format"]
        plan = plan_fields(fmt, sheet, left)
        row["names"] = []
        if fmt != above and plan.lines == 1:  # another format's fields have names of their own
            y += NAMES
            row["names"] = _headings(plan, tray=False)
        above = fmt
        row |= {
            "y": y,
            "label_width": left,
            "fields": [
                {
                    "x": field.x,
                    "down": field.down,
                    "digits": [*row["digits"][field.name]],
                    "edges": field.edges,
                    "point": None if field.point is None else field.x + field.point,
                }
                for field in plan.fields
            ],
            "aside": _asides(plan),
            "tray_at": plan.tray,
        }
        y += plan.height + (AFTER_GIVEN if row["kind"] == "given" else AFTER_BOXES)
    return max(y - AFTER_BOXES, 0) + 0.1


def _headings(plan: FieldPlan, *, tray: bool) -> list[tuple[float, str]]:
    named = [(field.x, field.name) for field in plan.fields]
    return [*named, (plan.tray + 0.1, "tray")] if tray and plan.tray is not None else named


def _asides(plan: FieldPlan) -> list[Data]:
    """Return what is written beside the lines of stacked fields: their names."""
    if plan.lines == 1:
        return []
    last = {field.line: field for field in plan.fields}
    named = {line: ", ".join(field.name for field in plan.fields if field.line == line) for line in last}
    shown = last if plan.fields[0].name == "sign" else [line for line in last if line]
    left = plan.fields[0].x
    return [
        {
            # A long fraction leaves no room at its right: it is named at its left.
            "x": left - 0.3 if last[line].name == "fraction" else last[line].x + last[line].bits + 0.3,
            "anchor": "end" if last[line].name == "fraction" else "start",
            "down": last[line].down,
            "name": named[line],
        }
        for line in shown
    ]


def _rows(item: Item) -> list[Data]:
    """Return the rows without their places."""
    question = item.question
    given = question.about or question
    found = []
    for name, pattern in zip(
        item.names if question.about is None else given.names, given.patterns, strict=False
    ):
        label = name if len(given.patterns) > 1 or item.story else "given"
        found.append(_row("given", label, given.format, digits_of(given.format, pattern)))
    if item.faulty is not None:
        found += _mistaken(item, item.faulty)
        found.append(_boxes(item, "correction"))
    else:
        found += [
            _shown(item, name) if name in item.shown else _boxes(item, name) for name in boxes_for(item)
        ]
    if item.faulty is not None:
        found.append(_boxes(item, "answer"))
    return found


def boxes_for(item: Item) -> tuple[str, ...]:
    """Return the rows of empty boxes of *item*, by the marks they are for."""
    question, fmt = item.question, item.question.format
    operation = question.operation.name
    if operation == "convert":
        return ("answer",)
    if operation in {"choose-format", "explain"}:
        return ()
    if operation == "sum":
        return tuple(mark.rule for mark in item.scheme.marks if mark.rule != "decimal")
    if operation == "range":
        return tuple(item.working.result.values)
    if isinstance(fmt, FixedFormat):
        parts = ("answer", "remainder") if "remainder" in item.working.result.values else ("answer",)
        return WHOLE_ROWS.get(operation, parts)
    if not has_tray(fmt):
        return () if operation == "decode" else ("answer",)
    names = ROWS[operation]
    return (
        ("ready", *names) if operation in {"add", "subtract"} and _changed(item.working, "ready") else names
    )


def fields_of(fmt: Any) -> FieldPlan:
    """Return the fields of *fmt* in the order its rows show them, wherever they stand."""
    return plan_fields(fmt, sheet_for(Printing()))


def _changed(working: Working, rule: str) -> bool:
    return any(step.rule == rule and step.after != step.before for step in working.steps)


def _row(
    kind: str, label: str, fmt: Any, digits: dict[str, str], *, tray: str | None = None, mark: str = ""
) -> Data:
    """Return a row; *digits* are texts by field, blanks where a box is empty."""
    return {
        "kind": kind,
        "label": label,
        "format": fmt,
        "digits": digits,
        "lost": None if tray is None else [*tray[:TRAY].ljust(TRAY)],
        "mark": mark,
    }


def _boxes(item: Item, name: str) -> Data:
    """Return a row of empty boxes."""
    answers = name == "answer" or name in item.working.result.values
    fmt = answer_format(item.question) if answers else item.question.format
    empty = {name: " " * bits for name, bits in named_fields(fmt)}
    moves = name in WITH_A_TRAY or name.startswith("move ")
    tray = "" if moves and has_tray(fmt) else None
    return _row("boxes", label_of(item, name, fmt), fmt, empty, tray=tray, mark=_mark(item, name))


def label_of(item: Item, name: str, fmt: Any) -> str:
    """Return what stands before a row of boxes."""
    word, _, number = name.partition(" ")
    if word in {"move", "total"} and number:
        return f"term {number}: {'the row moved' if word == 'move' else 'the total'}"
    if name == "answer" and isinstance(fmt, FloatFormat):
        return "answer, normalised"
    if name == "answer" and isinstance(fmt, FixedFormat) and item.question.operation.name in MAY_OVERFLOW:
        return "answer, or overflow"
    return {"ready": "normalised operand", "invert": "inverted"}.get(name, name)


def _mark(item: Item, name: str) -> str:
    marks = sum(mark.marks for mark in item.scheme.marks if mark.rule == name)
    return f"[{marks}]" if marks else ""


def _shown(item: Item, name: str) -> Data:
    """Return a row filled in from the working."""
    return _filled(item.working, name)


def _filled(working: Working, name: str) -> Data:
    row = written_row(working, name)
    assert row is not None  # noqa: S101 - only lines that were written are shown
    fmt = working.question.format
    digits = {"mantissa": row.bits, "exponent": row.exponent_bits or " " * fmt.exponent_bits}
    tray = row.lost if name in WITH_A_TRAY else None
    return _row("filled", name, fmt, digits, tray=tray)


def _mistaken(item: Item, faulty: Working) -> list[Data]:
    names = [
        step.rule
        for step in faulty.steps
        if written_row(faulty, step.rule) and step.rule not in {"read", "ready"}
    ]
    return [_filled(faulty, name) for name in names]


def lines_of(item: Item) -> list[Data]:
    """Return the ruled lines under the rows: the pieces of words between the blanks, and the mark."""
    named = MISTAKE_LINES if item.faulty else lines_for(item.question)
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


def _words(row: Data) -> str:
    """Return the row for the ear."""
    label, fmt = for_ear(row["label"]), row["format"]
    plan = fields_of(fmt)
    if row["kind"] == "boxes":
        counts = [f"{field.bits} for the {field.name}" for field in plan.fields]
        if row["lost"] is not None:
            at = 1 + next(at for at, field in enumerate(plan.fields) if field.name == "mantissa")
            counts.insert(at, f"{len(row['lost'])} for bits that fall")
        mark = f", {row['mark'].strip('[]')} marks" if row["mark"] else ""
        return f"{label}: empty boxes, {', '.join(counts)}{mark}."
    said = []
    for field in plan.fields:
        digits = row["digits"][field.name]
        if digits.strip():
            places = None if field.point is None else len(digits) - field.point
            said.append(f"{field.name} {say_bits(digits) if places is None else say_bits(digits, places)}")
        if field.name == "mantissa" and row["lost"] and "".join(row["lost"]).strip():
            said.append(f"tray {say_bits(''.join(row['lost']).strip())}")
    return f"{label}: {'; '.join(said)}."
