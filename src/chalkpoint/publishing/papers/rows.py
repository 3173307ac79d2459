"""The rows of a question on paper: operands given, boxes to write in, and ruled lines."""

from __future__ import annotations

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.families import FLOATING, WHOLE
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.publishing.papers.fields import digits_of, point_in
from chalkpoint.publishing.papers.lines import lines_for, outgrows_boxes
from chalkpoint.publishing.papers.measures import TRAY, has_tray
from chalkpoint.setting.answering import answer_format
from chalkpoint.setting.cards import named_fields
from chalkpoint.setting.families import points_for
from chalkpoint.setting.kinds import lines_of_mistake
from chalkpoint.setting.papers import Item
from chalkpoint.setting.points import written_row
from chalkpoint.working.procedures import right_method
from chalkpoint.working.speech import for_ear, say_bits
from chalkpoint.working.wording.words_papers import BOXES, EXTREME_LINE, MISTAKE_LINES
from chalkpoint.working.working import Working

__all__ = ["boxes_for", "has_carries", "label_of", "lines_of", "rows_of", "spare_for", "words_of"]

Data = JsonObject

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
WITH_AN_EXTRA_PLACE = (
    "negate",
    "add",
    "correction",
)  # where a sum or an opposite may need one more sign place
MAY_OVERFLOW = ("add", "subtract", "multiply", "divide", "negate", "encode", "convert", "sum")


def rows_of(item: Item) -> list[Data]:
    """Return the rows of a question, from the operands that are given to the last row of boxes."""
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


def has_carries(item: Item, name: str) -> bool:
    """Tell whether a row for carries stands above a row of boxes: wherever two rows are added by hand."""
    if item.question.format.family != WHOLE:
        return name == "add"
    operation = item.question.operation.name
    return (name == "answer" and operation in {"add", "subtract"}) or (
        operation == "sum" and name.partition(" ")[0] in {"total", "answer"}
    )


def spare_for(item: Item, *, always: bool = False) -> tuple[Data, tuple[str, ...]] | None:
    """Return a spare row of boxes and the lines it may be used for; None where lines are not written in rows.

    always  whether every question with boxes has one, as on a sheet that is read by machine; else those whose rows
            are moved or negated
    """
    names = tuple(row["name"] for row in rows_of(item) if row["kind"] == "boxes")
    sums = {"align", "negate"}.intersection(names) and has_tray(item.question.format)
    if not names or not (always or (item.kind == "work" and sums)):
        return None
    name = next((name for name in names if _moves(name)), names[0])
    lead = " " if set(names).intersection(WITH_AN_EXTRA_PLACE) and has_tray(item.question.format) else ""
    return _boxes(item, name) | {"label": BOXES["spare line"], "mark": "", "words": (), "lead": lead}, names


def boxes_for(item: Item) -> tuple[str, ...]:
    """Return the rows of empty boxes of *item*, by the marks they are for."""
    question, fmt = item.question, item.question.format
    operation = question.operation.name
    if operation == "convert":
        return ("answer",)
    if operation in {"choose-format", "explain"} or item.values:
        return ()
    if operation == "sum":
        return tuple(mark.rule for mark in item.scheme.marks if mark.rule != "decimal")
    if operation == "range":
        return tuple(item.working.result.values)
    if fmt.family == WHOLE:
        parts = ("answer", "remainder") if "remainder" in item.working.result.values else ("answer",)
        named = {point.rule for point in points_for(question)}
        return tuple(
            name
            for name in WHOLE_ROWS.get(operation, parts)
            if name in named and not _not_written(item, name)
        )
    if not has_tray(fmt) or outgrows_boxes(question):
        return () if operation == "decode" else ("answer",)
    if operation not in {"add", "subtract"}:
        return ROWS[operation]
    lines = [line.name for line in right_method(operation, question.course).lines]
    names = sorted(ROWS[operation], key=lambda name: lines.index(name) if name in lines else len(lines))
    return ("ready", *names) if _changed(item.working, "ready") else tuple(names)


def _not_written(item: Item, name: str) -> bool:
    """Tell whether the line is no part of the working: unsigned numbers are taken away without negating."""
    return name == "negate" and written_row(item.working, name) is None


def _changed(working: Working, rule: str) -> bool:
    return any(step.rule == rule and step.after != step.before for step in working.steps)


def _row(
    kind: str,
    label: str,
    fmt: AnyFormat,
    digits: dict[str, str],
    *,
    tray: str | None = None,
    lead: str = "",
    mark: str = "",
    name: str = "",
    words: tuple[str, ...] = (),
) -> Data:
    """Return a row; *digits* are texts by field, blanks where a box is empty; *words* may be its answer instead.

    lead  what stands in the extra sign place: a digit, or a blank to write in; "" where there is none
    """
    return {
        "kind": kind,
        "name": name or label,
        "label": label,
        "format": fmt,
        "digits": digits,
        "lost": None if tray is None else tray[:TRAY].ljust(TRAY),
        "lead": lead,
        "mark": mark,
        "words": words,
    }


def _boxes(item: Item, name: str) -> Data:
    """Return a row of empty boxes."""
    answers = name == "answer" or name in item.working.result.values
    fmt = answer_format(item.question) if answers else item.question.format
    empty = {field: " " * bits for field, bits in named_fields(fmt)}
    tray = "" if _moves(name) and has_tray(fmt) else None
    lead = " " if name in WITH_AN_EXTRA_PLACE and has_tray(fmt) else ""
    words = _words_for(item) if name == "answer" else ()
    label, mark = label_of(item, name, fmt), _mark(item, name)
    return _row("boxes", label, fmt, empty, tray=tray, lead=lead, mark=mark, name=name, words=words)


def _moves(name: str) -> bool:
    return name in WITH_A_TRAY or name.startswith("move ")


def _words_for(item: Item) -> tuple[str, ...]:
    """Return the words that an answer may be in place of a pattern."""
    question = item.question
    if question.operation.name not in MAY_OVERFLOW:
        return ()
    course = question.target or question.course
    chosen = {"overflow": course.overflow, "underflow": course.underflow}
    kinds = ("overflow",) if answer_format(question).family == WHOLE else ("overflow", "underflow")
    return tuple(kind for kind in kinds if chosen[kind] == "word")


def label_of(item: Item, name: str, fmt: AnyFormat, *, short: bool = False) -> str:
    """Return what stands before a row of boxes; *short* without what the answer has to be."""
    if name == "answer" and short:
        return name
    word, _, number = name.partition(" ")
    if word in {"move", "total"} and number:
        return BOXES["moved" if word == "move" else "total"].format(number=number)
    if name == "answer" and fmt.family == FLOATING:
        return BOXES["answer-normalised"]
    if name == "answer" and fmt.family == WHOLE and item.question.operation.name in MAY_OVERFLOW:
        return BOXES["answer-or-overflow"]
    return BOXES.get(name, name)


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
    empty = "" if fmt.family == WHOLE else " " * fmt.exponent_bits
    digits = {"mantissa": row.bits, "exponent": row.exponent_bits or empty}
    tray = row.lost if name in WITH_A_TRAY else None
    return _row("filled", name, fmt, digits, tray=tray, lead=row.lead if row.lead_is == "kept" else "")


def _mistaken(item: Item, faulty: Working) -> list[Data]:
    return [_filled(faulty, name) for name in lines_of_mistake(faulty)]


def lines_of(item: Item) -> list[tuple[str, str, str]]:
    """Return the ruled lines: the mark each is for, its words with gaps in braces, and its marks as printed."""
    named = MISTAKE_LINES if item.faulty else lines_for(item.question)
    if item.values:
        named = tuple((mark.rule, EXTREME_LINE.format(name=mark.rule)) for mark in item.scheme.marks)
    return [
        (rule, words, _mark(item, rule))
        for rule, words in named
        if _mark(item, rule) and rule not in item.shown
    ]


def words_of(row: Data) -> str:
    """Return the row for the ear."""
    label, fmt = for_ear(row["label"]), row["format"]
    fields = named_fields(fmt)
    if row["kind"] == "boxes":
        counts = [BOXES["for-field"].format(bits=bits, name=name) for name, bits in fields]
        if row["lost"] is not None:
            at = 1 + next(at for at, (name, _) in enumerate(fields) if name == "mantissa")
            counts.insert(at, BOXES["for-tray"].format(bits=len(row["lost"])))
        counts += [BOXES["for-sign"]] if row["lead"] else []
        counts += [f"{row['mark'].strip('[]')} marks"] if row["mark"] else []
        return BOXES["empty"].format(label=label, counts=", ".join(counts))
    said = []
    for name, bits in fields:
        digits, point = row["digits"][name], point_in(fmt, name)
        if digits.strip():
            said.append(f"{name} {say_bits(digits) if point is None else say_bits(digits, bits - point)}")
        if name == "mantissa" and row["lost"] and row["lost"].strip():
            said.append(f"tray {say_bits(row['lost'].strip())}")
    return f"{label}: {'; '.join(said)}."
