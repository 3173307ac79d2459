"""The marker's booklet: what is expected, in boxes as the pupil's; and once for the class, what wrong answers say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from chalkpoint.numbers.bits import looks_like_bits
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.families import SIZES
from chalkpoint.publishing.papers.fields import digits_of, plan_fields
from chalkpoint.publishing.papers.flow import LABEL, SMALL_LABEL, Block, Side, box_row, flow, text_block
from chalkpoint.publishing.papers.measures import Sheet, sheet_for
from chalkpoint.publishing.papers.metrics import Setting, width_of, wrap
from chalkpoint.publishing.papers.printing import placed, sheet_data, template
from chalkpoint.publishing.papers.questions import (
    AFTER_LINES,
    after_boxes,
    line_heights,
    lines_first,
    widths_of,
)
from chalkpoint.publishing.papers.rows import has_carries, label_of, rows_of, words_of
from chalkpoint.publishing.papers.schemes import expected, given_in, pointed, remarks_on
from chalkpoint.publishing.papers.wronganswers import wrong_answers
from chalkpoint.publishing.typst.literals import literal
from chalkpoint.publishing.typst.rows import MEASURES, pieces
from chalkpoint.setting.answering import answer_format
from chalkpoint.setting.composite_points import addition
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.met import carries_of
from chalkpoint.setting.papers import Item, SetPaper, SetPapers
from chalkpoint.setting.points import written_row
from chalkpoint.working.wording.words_marks import REMARKS

__all__ = ["booklet_source", "expected_row", "sides_of_booklet"]

TOP, NEXT_TOP, BOTTOM = 34.0, 20.0, 20.0  # mm; the last from the lower edge
ABOUT = 40.0  # mm, from the left margin to what stands beside the name of a variant
MOST_ADDED = 8  # questions whose marks are added at the foot
RELATIVE = "relative"
LEAST_FIGURES = 100  # a decimal of a relative error has three figures

Data = JsonObject


def booklet_source(papers: SetPapers, chosen: Sequence[SetPaper]) -> str:
    """Return the typst source of the booklet for *chosen* variants; it follows the library of `compiling`."""
    sheet = sheet_for(replace(papers.blueprint.printing, tint="none", spacing="usual"))
    whose = ", ".join(filter(None, (papers.blueprint.title, papers.blueprint.course.name)))
    title = f"Marker\u2019s booklet. {papers.blueprint.title}"
    variants = [
        {
            "name": f"Variant {paper.variant}",
            "about": _cut(f"Code {paper.code}. {paper.marks} marks. {whose}", sheet),
            "foot": REMARKS["letters"].format(sum=_sum(paper)),
            "sides": [
                {"number": side.number, "blocks": placed(side)}
                for side in sides_of_booklet(papers, paper, sheet)
            ],
        }
        for paper in chosen
    ]
    wrong = wrong_answers(chosen)
    arguments = ", ".join(literal(one) for one in (sheet_data(sheet), MEASURES, title, variants, wrong))
    return f"{template('paper.typ')}\n{template('scheme.typ')}\n{template('booklet.typ')}\n#booklet({arguments})\n"


def _sum(paper: SetPaper) -> str:
    """Return the marks of each question, added; the sum alone where there are many."""
    each = " + ".join(str(item.scheme.total) for item in paper.questions)
    return f"{each} = {paper.marks}" if len(paper.questions) <= MOST_ADDED else f"{paper.marks} marks"


def _cut(text: str, sheet: Sheet) -> str:
    """Return *text*, the end of it left out where it is longer than its line."""
    first, *rest = wrap([(text, "")], Setting(9.5, wide=sheet.wide), sheet.width - ABOUT)
    return "".join(words for words, _ in first) + ("\u2026" if rest else "")


def sides_of_booklet(papers: SetPapers, paper: SetPaper, sheet: Sheet) -> list[Side]:
    """Return the sides of one variant's scheme."""
    parts = [
        (item.number, _blocks(item, sheet, widths_of(papers, item.number)), 0.0) for item in paper.questions
    ]
    return flow(parts, TOP, NEXT_TOP, sheet.page[1] - BOTTOM)


def _blocks(item: Item, sheet: Sheet, widths: dict[str, list[float]]) -> list[Block]:
    scheme = item.scheme
    total = f"{scheme.total} mark{'' if scheme.total == 1 else 's'}"
    blocks = [
        text_block(
            pieces(item.working.title),
            sheet,
            11.5,
            bold=True,
            below=0.6,
            number=str(item.number),
            right=total,
        )
    ]
    given = given_in(item)
    if len((item.question.about or item.question).patterns) > 1:
        blocks.append(text_block(pieces(given), sheet, 9, below=1.6))
    boxes = []
    shown: set[str] = set()
    for row in rows_of(item):
        if row["kind"] != "boxes":
            continue
        filled = expected_row(item, row, sheet)
        shown.add(row["name"])
        carries = has_carries(item, row["name"])
        boxes.append(box_row(filled, sheet, words=words_of(filled), below=after_boxes(item), carries=carries))
    heights = line_heights(item, sheet, widths) if lines_first(item) else {}
    lines = [
        _line(item, mark, sheet, heights.get(mark.rule, 0.0))
        for mark in scheme.marks
        if mark.rule not in shown
    ]
    if lines_first(item):
        blocks += [*lines, AFTER_LINES] if lines else []
        blocks += boxes
    else:
        blocks += boxes + lines
    gives = [
        f"{mark.name}: {mark.give}"
        for mark in scheme.marks
        if mark.rule in shown and not _has_room(item, sheet) and item.question.operation.name != "range"
    ]
    said = [
        *([REMARKS["given"].format(gives="; ".join(gives))] if gives else []),
        *_other_methods(item),
        *remarks_on(item),
    ]
    blocks += [text_block(pieces(one), sheet, 9, below=0.6) for one in said]
    return blocks


def _has_room(item: Item, sheet: Sheet) -> bool:
    plan = plan_fields(item.question.format, sheet)
    return plan.tray is not None and plan.lines == 1


def expected_row(item: Item, row: Data, sheet: Sheet) -> Data:
    """Return *row* with what the working has there: its digits, what fell off, the extra sign place, and its marks."""
    name, fmt = row["name"], row["format"]
    marks = [mark for mark in item.scheme.marks if mark.rule == name]
    found = next((mark.row for mark in marks if mark.row is not None), None)
    if found is None and name not in {"answer", "correction"}:
        found = written_row(item.working, name)
    digits, lost, lead, note = dict(row["digits"]), row["lost"], row["lead"], []
    pattern = _pattern(item, name)
    if found is None or name in item.working.result.values:
        if pattern:
            digits = dict(zip(digits, pattern.split(" "), strict=True))
        else:
            note = [f"\u201c{item.working.outcome}\u201d"]
    else:
        field = next((one for one in digits if one != "exponent"), "mantissa")
        digits[field] = found.bits if len(found.bits) == len(digits[field]) else digits[field]
        if "exponent" in digits and found.exponent_bits:
            digits["exponent"] = found.exponent_bits
        lead = found.lead if found.lead_is == "kept" else row["lead"]
        if lost is not None:
            lost = found.lost[: len(lost)].ljust(len(lost))
    room = plan_fields(fmt, sheet)  # words stand where the tray's place is free
    words_fit = room.tray is not None and room.lines == 1 and row["lost"] is None
    if words_fit and marks and not note and item.question.operation.name != "range":
        lines = wrap([(marks[0].give, "")], sheet.type(9), 31 * sheet.scale)
        note = ["".join(text for text, _ in line) for line in lines[:3]]
    letters = "\n".join(
        f"{mark.part if mark.part == 'exponent' else label_of(item, name, fmt, short=True)} {mark.letter}"
        for mark in marks
    )
    moved = (
        f"\nmoved right {found.moved}" if found is not None and name == "align" and found.moved > 0 else ""
    )
    label = (letters or row["label"]) + moved
    label_width = sheet.labels - 2 - (sheet.pitch if lead else 0)
    fits = all(width_of(line, sheet.type(LABEL)) < label_width for line in label.split("\n"))
    return row | {
        "digits": digits,
        "lost": lost,
        "lead": lead,
        "note": note,
        "kind": "filled",
        "label": label,
        "label_size": LABEL if fits else SMALL_LABEL,
        "carries": _carries(item, name),
        "carries_label": REMARKS["carries"],
    }


def _pattern(item: Item, name: str) -> str:
    """Return the pattern a row of an answer is filled with; "" where the answer is a word."""
    working = item.working
    if name in working.result.values:
        text = working.result.values[name][0]
    elif name == "answer":
        fmt = answer_format(item.question)
        text = " ".join(digits_of(fmt, working.pattern).values()) if working.pattern is not None else ""
    else:
        text = " ".join(mark.expects for mark in item.scheme.marks if mark.rule == name).replace(".", "")
    return text if looks_like_bits(text) else ""


def _carries(item: Item, name: str) -> str:
    """Return the carries of the addition as the working has them, over the columns of the row called *name*."""
    if not has_carries(item, name):
        return ""
    fmt, working = item.question.format, item.working
    if item.question.operation.name == "sum":
        number = name.removeprefix("total ")
        added = addition(working, int(number) if number.isdecimal() else len(item.question.patterns))
        if added is None:
            return ""
        working = added
    return carries_of(working)[-(fmt.digits if fmt.family == SIZES else fmt.mantissa_bits) :]


def _line(item: Item, mark: Mark, sheet: Sheet, height: float) -> Block:
    """Return a mark that has no boxes of its own: what is expected, and what it is given for.

    height  of the line that the pupil writes on, so that what is below lies level too
    """
    wanted = expected(item, mark)
    if mark.rule == RELATIVE:
        wanted = _tolerance(item, wanted)
    said = f"{mark.name} {mark.letter}:  {_ended(wanted)}  {_ended(mark.give[:1].upper() + mark.give[1:])}"
    block = text_block(pieces(said), sheet, 9.5, below=1.2, right=f"[{mark.marks}]")
    return replace(block, height=max(block.height, height))


def _ended(text: str) -> str:
    """Return *text* with a full stop, unless it has an end of its own."""
    return text if text.endswith((".", "\u2026", "\u201d")) else f"{text}."


def _tolerance(item: Item, written: str) -> str:
    """Return *written*, and what else is right for a relative error: its decimal to three figures, cut or rounded."""
    size = Fraction(abs(item.working.check.relative_error or Fraction(0)))
    if size == 0:
        return written
    unit = Fraction(1)
    while size / unit < LEAST_FIGURES:
        unit /= 10
    low = size // unit * unit
    return REMARKS["decimal"].format(written=written, low=write_value(low), high=write_value(low + unit))


def _other_methods(item: Item) -> list[str]:
    point = item.question.course.point
    said = []
    for one in item.scheme.alternatives:
        if not one.differs:
            continue
        lines = "; ".join(f"{rule} {written}" for rule, written in one.lines)
        value = f" = {write_value(one.value, point=point)}" if one.value is not None else ""
        words = one.method.replace("-", " ")
        right_too = REMARKS["other-lines" if lines else "other"].format(
            method=f"{words[:1].upper()}{words[1:]}", answer=pointed(item, one.answer) + value, lines=lines
        )
        said.append(f"{right_too} {REMARKS['some-wrong']}" if one.beliefs else right_too)
    return said
