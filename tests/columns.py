"""Where every digit of a picture stands: one small model, what it has to be, and a reader for each medium.

A picture is a list of rows; a row is a list of marks, each a digit and the x of its middle. What a row has to show
comes from the working's own rows, and where it has to stand from the places that its digits have: nothing is taken
from the scene or the layout.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from xml.etree import ElementTree as ET

import chalkpoint as cp
from chalkpoint.working.written import Row
from fact_road import columns

__all__ = [
    "READ_PAGE",
    "Box",
    "Line",
    "Mark",
    "check_columns",
    "expected",
    "merged",
    "overlaps",
    "page_lines",
    "pdf_lines",
    "svg_lines",
    "text_lines",
]


@dataclass(frozen=True)
class Mark:
    """A digit, the x of its middle, and in which piece of a broken row it stands."""

    digit: str
    x: float
    piece: int = 0


@dataclass
class Line:
    """What one row has to show: (place, digit) from left to right.

    Its kind is "rail", "carries", "held" (in the tray since an earlier step) or "floor" (in the tray at the check).

    A place is ("m", column) in the mantissa's grid, ("s", 0) for a sign, ("x", 0 ...) in the exponent.
    """

    kind: str
    label: str
    places: list[tuple[tuple[str, int], str]] = field(default_factory=list)
    value: str = ""

    @property
    def digits(self) -> str:
        """The digits from left to right."""
        return "".join(digit for _, digit in self.places)


def expected(working: cp.Working) -> list[list[Line]]:
    """Return what every step of *working* has to show, with what the tray holds from earlier steps."""
    question = working.question
    losses: list[tuple[int, str]] = []
    lost_in: list[int] = []
    steps = []
    for step in working.steps:
        fmt = (
            question.target.number_format
            if question.target and step.rule.startswith("store-")
            else question.format
        )
        lines = [
            Line("held", f"lost, step {number}", _run("m", *loss))
            for number, loss in zip(lost_in, losses, strict=True)
            if step.rows and step.rule != "order"
        ]
        for at, row in enumerate(step.rows):
            if row.carries:
                lines.append(_carries(row, *step.rows[at + 1 : at + 3]))
                continue
            lines.append(_rail(row, fmt))
            if row.lost and row.lost_value:
                losses.append((_first(row) + len(row.bits), row.lost))
                lost_in.append(step.number)
        steps.append(lines)
    named = ["left in tray"] if len(losses) == 1 else [f"left, step {number}" for number in lost_in]
    left = [Line("floor", name, _run("m", *loss)) for name, loss in zip(named, losses, strict=True)]
    return [*steps, left]


def _run(grid: str, first: int, digits: str) -> list[tuple[tuple[str, int], str]]:
    return [((grid, first + at), digit) for at, digit in enumerate(digits)]


def _first(row: Row) -> int:
    """Return the column of the row's first bit: places before the point count 0, -1, ... to the left."""
    return row.places - len(row.bits) + 1


def _carries(row: Row, over: Row, under: Row) -> Line:
    """Return the carries of adding two rows, digit by digit, which have to be the working's own."""
    wide = [(one.lead if one.lead_is == "kept" else "") + one.bits for one in (over, under)]
    by_hand = columns(*wide)[1].replace("0", " ")[-len(row.carries) :]
    assert by_hand == row.carries, (wide, row.carries)
    last = over.places
    first = last - len(row.carries) + 1
    places = [place for place in _run("m", first, row.carries) if place[1] == "1"]
    return Line("carries", row.label, places)


def _rail(row: Row, fmt: object) -> Line:
    first = _first(row)
    mantissa = _run("m", first - len(row.lead), row.lead + row.bits + row.lost)
    sign = _run("s", 0, row.sign)
    exponent = _run("x", 0, row.exponent_bits)
    if not row.exponent_bits and row.exponent is not None:
        exponent = [(("x", -1), str(row.exponent).replace("-", "\u2212"))]
    order = row.in_order or getattr(fmt, "order", "")
    fields = order.split() if order else ["fraction", "exponent"]
    if not order and getattr(fmt, "exponent_first", False):
        fields = ["exponent", "fraction"]
    found = {"sign": sign, "exponent": exponent, "fraction": mantissa}
    names = fields if "sign" in fields else ["sign", *fields]
    return Line("rail", row.label, [place for name in names for place in found.get(name, [])])


# === Checking ===


def check_columns(
    steps: list[list[Line]], seen: list[list[Mark]], *, least: float, equal: bool = True
) -> int:
    """Check the rows *seen*, top to bottom, against *steps*, and return how many digits were checked.

    A place has one x all through the picture, and the columns of a piece stand *least* or more apart, all by one
    *equal* width where they do in that medium.
    """
    lines = [line for step in steps for line in step if line.places]
    assert len(seen) == len(lines), f"{len(seen)} rows are drawn, {len(lines)} should be"
    stands: dict[tuple[str, int, bool], Mark] = {}
    checked = 0
    for line, marks in zip(lines, seen, strict=True):
        assert "".join(mark.digit for mark in marks) == line.digits, (line, marks)
        for (place, digit), mark in zip(line.places, merged(marks, line, centred=equal), strict=True):
            first = stands.setdefault((*place, _leads(line, place)), mark)
            assert abs(first.x - mark.x) < least / 8, (line.label, place, digit, mark, first)
            checked += 1
    for piece in {mark.piece for mark in stands.values()}:
        at = {
            column: mark.x
            for (grid, column, _), mark in stands.items()
            if grid == "m" and mark.piece == piece
        }
        _check_pitch(at, least, equal=equal)
    return checked


def _check_pitch(stand: dict[int, float], least: float, *, equal: bool) -> None:
    """Check that columns stand from left to right, one *equal* width apart where they do in that medium."""
    ordered = [stand[column] for column in sorted(stand)]
    assert all(after - before >= least * 0.9 for before, after in pairwise(ordered)), ordered
    if not equal:
        return
    if len(stand) > 1:
        start, end = min(stand), max(stand)
        width = (stand[end] - stand[start]) / (end - start)
        assert width >= least, f"columns of {width}"
        for column, x in stand.items():
            assert abs(stand[start] + (column - start) * width - x) < width / 8, (column, x, width)


def _leads(line: Line, place: tuple[str, int]) -> bool:
    """Tell whether a field stands left of the mantissa."""
    order = [at for at, _ in line.places]
    mantissa = next((at for at, (grid, _) in enumerate(order) if grid == "m"), 0)
    return order.index(place) < mantissa


def merged(marks: list[Mark], line: Line, *, centred: bool) -> list[Mark]:
    """Return *marks*, the characters of a number that is one place put together, by its middle or its start."""
    found, rest = [], list(marks)
    for _, digits in line.places:
        here = rest[: len(digits)] if len(rest[0].digit) == 1 else rest[:1]
        del rest[: len(here)]
        x = sum(mark.x for mark in here) / len(here) if centred else here[0].x
        found.append(Mark(digits, x, here[0].piece))
    return found


# === Readers ===


def text_lines(written: str, steps: list[list[Line]]) -> list[list[Mark]]:
    """Return the rows of a text: after each label, as many characters as *steps* say that it has to show.

    Rows in pieces come back as one row each, its marks told which piece they stand in.
    """
    blocks: list[list[str]] = []
    for line in written.splitlines():
        if re.match(r"\d+ [A-Z]", line):
            blocks.append([])
        if blocks:
            blocks[-1].append(line)
    found = []
    for block, lines in zip(blocks, steps, strict=True):
        found += _text_block(block, [line for line in lines if line.places])
    return found


def _text_block(block: list[str], lines: list[Line]) -> list[list[Mark]]:
    """Return the rows of one step; rows in pieces stand in sections: of places from a first one, then of fields."""
    sections: list[tuple[int | None, list[str]]] = [(-9999, [])]
    for text in block:
        if match := re.fullmatch(r" +from (?:place (\d+)|2\^(\d+))", text):
            sections.append((int(match[1]) if match[1] else -int(match[2]), []))
        elif text.split() in (["exponent"], ["sign", "exponent"]):
            sections.append((None, []))
        else:
            sections[-1][1].append(text)
    if len(sections) == 1:
        texts = iter(block)
        return [_after_label(texts, line, line.places, 0) for line in lines]
    rows: list[list[Mark]] = [[] for _ in lines]
    starts = [start for start, _ in sections if start is not None]
    for number, (start, found) in enumerate(sections):
        end = starts[number + 1] if number + 1 < len(starts) else 9999
        following = iter(found)
        for row, line in zip(rows, lines, strict=True):
            if start is None:
                here = [place for place in line.places if place[0][0] != "m"]
            else:
                here = [place for place in line.places if place[0][0] == "m" and start <= place[0][1] < end]
            row.extend(_after_label(following, line, here, number) if here else [])
    return [_in_order(row, line) for row, line in zip(rows, lines, strict=True)]


def _in_order(row: list[Mark], line: Line) -> list[Mark]:
    """Return *row*, whose fields come after its mantissa, in the order of *line*."""
    mantissa = sum(len(digits) for (grid, _), digits in line.places if grid == "m")
    before = 0
    for (grid, _), digits in line.places:
        if grid == "m":
            break
        before += len(digits)
    before = 0 if mantissa == 0 else before
    return [*row[mantissa : mantissa + before], *row[:mantissa], *row[mantissa + before :]]


def _after_label(
    texts: Iterator[str], line: Line, places: list[tuple[tuple[str, int], str]], piece: int
) -> list[Mark]:
    """Return the characters behind the label of *line* in the next of *texts* that has it."""
    label = line.label[:9]
    text = next((text for text in texts if text.startswith(f"    {label}")), None)
    assert text is not None, f"no row for {line}"
    begins = min(4 + len(line.label), 24)
    marks = [
        Mark(sign, at, piece)
        for at, sign in enumerate(text)
        if at >= begins and sign not in " +\u25b4\u2503\u2591.|#"
    ]
    if not any("\u2212" in digits for _, digits in places):
        marks = [mark for mark in marks if mark.digit != "\u2212"]  # what is done with the row
    return marks[: sum(len(digits) for _, digits in places)]


def svg_lines(drawing: str, digit: float, carry: float) -> list[list[Mark]]:
    """Return the rows of a drawing: the words set in the size of a *digit* or of a *carry*, by their baseline."""
    rows: dict[float, list[Mark]] = {}
    for element in ET.fromstring(drawing).iter("{http://www.w3.org/2000/svg}text"):  # noqa: S314 -- our own
        size = float(element.get("font-size", "0"))
        if min(abs(size - digit), abs(size - carry)) < 0.06 and element.get("text-anchor") == "middle":
            text = "".join(element.itertext())
            rows.setdefault(float(element.get("y", "0")), []).append(Mark(text, float(element.get("x", "0"))))
    return [sorted(rows[y], key=lambda mark: mark.x) for y in sorted(rows)]


def pdf_lines(pdf: bytes, unit: float) -> tuple[list[list[Mark]], list[str], list[list[Box]]]:
    """Return the rows of a PDF by the boxes of its characters, its faults, and those boxes; *unit* is pt a cell."""
    import pypdfium2
    from pypdfium2 import raw

    rows: list[list[Mark]] = []
    faults: list[str] = []
    pages: list[list[Box]] = []
    document = pypdfium2.PdfDocument(pdf)
    for number, page in enumerate(document, start=1):
        text = page.get_textpage()
        assert text.count_chars(), f"page {number} is blank"
        boxes = []
        for at in range(text.count_chars()):
            character, (left, bottom, right, top) = (
                chr(raw.FPDFText_GetUnicode(text, at)),
                text.get_charbox(at),
            )
            if character.strip() and right > left:
                size, bold = raw.FPDFText_GetFontSize(text, at), raw.FPDFText_GetFontWeight(text, at) > 500
                boxes.append(Box(character, left, bottom, right, top, size, bold))
        faults += [
            f"{box} leaves page {number}"
            for box in boxes
            if box.left < 20 or box.right > page.get_width() - 20
        ]
        faults += overlaps(boxes)
        found: dict[float, list[Mark]] = {}
        for box in boxes:
            is_cell = abs(box.size - unit * 0.68) < 0.004 or (
                box.bold and abs(box.size - unit * 0.42) < 0.004
            )
            if is_cell and box.text in "0123456789\u2212\u2026":
                middle = (box.bottom + box.top) / 2
                key = next((y for y in found if abs(y - middle) < unit * 0.3), middle)
                found.setdefault(key, []).append(Mark(box.text, (box.left + box.right) / 2))
        rows += [sorted(found[y], key=lambda mark: mark.x) for y in sorted(found, reverse=True)]
        pages.append(boxes)
    document.close()
    return rows, faults, pages


@dataclass(frozen=True)
class Box:
    """Where a text stands: y up in a PDF, down on a page."""

    text: str
    left: float
    bottom: float
    right: float
    top: float
    size: float = 0.0
    bold: bool = False


def overlaps(boxes: list[Box], *, across: float = 0.15, down: float = 0.3) -> list[str]:
    """Return the pairs of *boxes* that share more than *across* of their size and *down* of their height."""
    found: list[str] = []
    waiting: list[Box] = []
    for box in sorted(boxes, key=lambda box: box.left):
        waiting = [other for other in waiting if other.right > box.left]
        for other in waiting:
            low, high = max(other.bottom, box.bottom), min(other.top, box.top)
            least = min(other.top - other.bottom, box.top - box.bottom)
            ligature = {other.text, box.text} <= set("filr")  # one glyph, several characters in one box
            if (
                high - low > max(down * least, 0.5)
                and min(other.right, box.right) - box.left > across * min(box.size, other.size)
                and not ligature
            ):
                found.append(f"{other.text!r} and {box.text!r} overlap at {box.left:.1f}, {low:.1f}")
        waiting.append(box)
    return found


#: Returns, for each working of a page, its rows of (grid, text, x, y, top of the piece), its place values, and its
#: boxes of text, and the words that cross the wall of a tray.
READ_PAGE = """() => [...document.querySelectorAll('.working')].map(working => {
  const shown = element => element.checkVisibility() && element.getClientRects().length > 0;
  const middle = box => [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
  const around = node => { const range = document.createRange(); range.selectNodeContents(node); return range; };
  const cells = line => [...line.querySelectorAll('.places .k b, .s b, .x b')];
  const isDigit = b => b.textContent && !b.classList.contains('op') && shown(b);
  const marks = line => cells(line).filter(isDigit).map(b => {
    const grid = b.closest('.k') ? 'm' : b.closest('.s') ? 's' : 'x';
    const top = b.closest('.k')?.getBoundingClientRect().top ?? 0;
    return [grid, b.textContent, ...middle(around(b).getBoundingClientRect()), top];
  });
  const lines = [...working.querySelectorAll('.line.rail, .line.carries, .line.holds, .line.floor')];
  const rows = lines.map(line => marks(line));
  const kind = b => b.querySelector('i') ? 'fraction' : b.querySelector('sup') ? 'power' : '';
  const weights = [...working.querySelectorAll('.line.pv .k b, .line.pv .x b')].filter(b => b.textContent && shown(b))
    .map(b => [b.closest('.k') ? 'm' : 'x', b.textContent, kind(b), middle(b.getBoundingClientRect())[0]]);
  const boxes = [], walker = document.createTreeWalker(working, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode, parent = node.parentElement;
    if (!node.data.trim() || parent.closest('.words, svg, style') || !shown(parent)) continue;
    const size = parseFloat(getComputedStyle(parent).fontSize);
    for (const box of around(node).getClientRects())
      boxes.push([node.data.trim(), box.left, box.top, box.right, box.bottom, size]);
  }
  const crossed = [...working.querySelectorAll('.chute')].flatMap(chute => {
    const digit = [...chute.querySelectorAll('b.t')].find(shown);
    if (!digit || getComputedStyle(chute).backgroundImage === 'none') return [];
    const wall = digit.getBoundingClientRect().left;
    return [...chute.querySelectorAll('.dec > *, .pv b')].filter(shown).filter(words =>
      [...around(words).getClientRects()].some(box => box.left < wall - 1 && box.right > wall + 1))
      .map(words => words.textContent);
  });
  return {rows, weights, boxes, crossed};
})"""


def page_lines(rows: list[list[list[object]]], steps: list[list[Line]]) -> list[list[Mark]]:
    """Return the rows read by `READ_PAGE`, each in the order of its line in *steps*; a new line is a new piece."""
    lines = [line for step in steps for line in step if line.places]
    drawn = [row for row in rows if row]
    assert len(drawn) == len(lines), f"{len(drawn)} rows are drawn, {len(lines)} should be"
    found = []
    for row, line in zip(drawn, lines, strict=True):
        marks: dict[str, list[Mark]] = {}
        tops = sorted({top for grid, _, _, _, top in row if grid == "m"})  # type: ignore[type-var]
        for grid, text, x, _, top in row:
            piece = tops.index(top) if grid == "m" else -1
            marks.setdefault(str(grid), []).append(Mark(str(text), float(str(x)), piece))
        found.append(
            [
                mark
                for grid in dict.fromkeys(grid for (grid, _), _ in line.places)
                for mark in marks.get(grid, [])
            ]
        )
    return found
