"""What a pupil wrote, drawn as a row of the working: on the working's own columns, each bit in its place.

The row of the working is the pattern: its digits are taken out and the written ones put in, so that marks, pupils'
pages and entry show the same rails as the working does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from functools import cache, cached_property, lru_cache

from markupsafe import Markup  # jinja2 brings it

from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.reading import read_place
from chalkpoint.numbers.exact import MINUS
from chalkpoint.numbers.named import is_school
from chalkpoint.publishing.html import templates
from chalkpoint.publishing.htmlview import Shower, ShownCell, ShownLine
from chalkpoint.publishing.parts import Cell, PlaceValues, Rail, Scene, Weight
from chalkpoint.publishing.scene import scene
from chalkpoint.setting.answering import final_answer
from chalkpoint.working.question import Question
from chalkpoint.working.speech import say_bits
from chalkpoint.working.work import work_question
from chalkpoint.working.working import Working

__all__ = ["WrittenRows", "ringed", "rows_of", "unmarked"]

LONGEST = 40  # columns that are drawn; more are shown as they were typed
KEPT = 256  # questions whose working is kept drawn
DRAWN = 4_000  # rows of one question that are kept


@lru_cache(KEPT)
def rows_of(question: Question, *, only_answer: bool = False) -> WrittenRows:
    """Return what draws the rows written to *question*, worked once; *only_answer* spares the lines before it."""
    return WrittenRows(question, only_answer=only_answer)


class WrittenRows:
    """Draws what is written to one question.

    >>> from chalkpoint.working.question import ask
    >>> from chalkpoint.working.course import Course
    >>> rows = WrittenRows(ask("subtract", "8.875", "3.6875", course=Course(format="8+4")))
    >>> rows.expected("negate").bits
    '11100011'
    >>> wrong = rows.written("negate", "1.1100010")
    >>> wrong.bits, [cell.column for cell in wrong.cells if cell.changed]
    ('11100010', [7])
    >>> rows.written("answer", "0.1010100 3").exponent_text
    '3'
    >>> rows.written("answer", "5.25") is None
    True
    """

    def __init__(self, question: Question, *, only_answer: bool = False) -> None:
        self.question = question
        self.only_answer = only_answer
        self._drawn: dict[tuple[str, str], Markup | None] = {}

    def drawn(self, line: str, text: str) -> Markup | None:
        """Return *text* drawn, its unlike bits marked; None where it is no row of bits."""
        if (line, text) not in self._drawn:
            if len(self._drawn) >= DRAWN:
                self._drawn.clear()
            rail = self.written(line, text)
            self._drawn[line, text] = self.markup(rail) if rail else None
        return self._drawn[line, text]

    @cached_property
    def working(self) -> Working:
        """The question worked by the course's method."""
        return work_question(self.question)

    @cached_property
    def scene(self) -> Scene:
        """The rows of that working drawn, on whose columns every other row is."""
        if self.only_answer and len(self.working.steps) > 1:
            only = (self.working.steps[-1].by_itself(),)
            last = scene(replace(self.working, steps=only), checked=False)
            if any(rail.cells and (rail.exponent or rail.sign) and not rail.soft for rail in last.rails):
                return last
        return scene(self.working, checked=False)

    @cached_property
    def _shower(self) -> Shower:
        return Shower(self.scene)

    @cached_property
    def start(self) -> int:
        """The first column of the answer, or of what is given, counted from the first of the working."""
        rail = self.expected("answer") or next(iter(self.given), None)
        return (rail.cells[0].column if rail and rail.cells else 0) - self.scene.first

    @cached_property
    def columns(self) -> int:
        """How many columns its answer takes, the gap before its exponent being one; 0 where it is no row of bits."""
        answer = self.expected("answer")
        if answer is None:
            return 0
        return len(answer.sign) + len(answer.cells) + bool(answer.exponent) + len(answer.exponent)

    @cached_property
    def given(self) -> tuple[Rail, ...]:
        """The patterns that the question gives, as its first step shows them; none where it gives values."""
        if self.question.operation.takes == "values" or not self.scene.blocks:
            return ()
        rails = [item for item in self.scene.blocks[0].items if isinstance(item, Rail)]
        return tuple(rails[: len(self.question.patterns)])

    def expected(self, line: str) -> Rail | None:
        """Return the row that the working has on *line*; None where it has a number or a word."""
        if line == "answer" and final_answer(self.working).isalpha():
            return None  # overflow: no pattern is the answer
        blocks = [block for block in self.scene.blocks if block.rule == line]
        rails = [item for block in blocks for item in block.items if isinstance(item, Rail) and not item.soft]
        if rails:
            return _without_asides(rails[-1])
        if line != "answer" or self.question.operation.name in {
            "decode",
            "choose-format",
            "explain",
            "range",
        }:
            return None
        whole = [rail for rail in self.scene.rails if not rail.soft and rail.cells]
        fields = [rail for rail in whole if rail.exponent or rail.sign]
        return _without_asides((fields or whole)[-1]) if whole else None

    @cached_property
    def place_values(self) -> Markup | None:
        """What the places of the answer are worth, to print under a row; None where no row has any."""
        found = (
            item for block in self.scene.blocks[::-1] for item in block.items if isinstance(item, PlaceValues)
        )
        item, answer = next(found, None), self.expected("answer")
        if item is None or answer is None:
            return None
        last = answer.cells[-1].column
        if item.weights[-1].column < last:  # only some places of a long row are weighed: room for the rest
            item = replace(item, weights=(*item.weights, Weight(last, "")))
        line = self._shower.line(item, 1, gap=False)
        return self._row(replace(line, sign=tuple(ShownCell("") for _ in answer.sign)), self.start)

    def written(self, line: str, text: str) -> Rail | None:
        """Return *text* as a row on the columns of *line*, what is unlike the working marked.

        None where it is no row of bits: a value, a word, or nothing that can be read.
        """
        expected, asked = self.expected(line), self._asked_on(line)
        readings = [one for one in read_place(asked, line, text) if one.digits] if expected else []
        if expected is None or not readings:
            return None
        reading = readings[-1]
        if not is_school(asked.format):
            return _run(expected, reading)
        cells = tuple(_cells(expected, reading))
        if len(cells) > max(LONGEST, 2 * len(expected.cells)):
            return None
        exponent, as_number = _exponent(expected, reading)
        return replace(
            expected,
            cells=cells,
            exponent=exponent,
            exponent_text=as_number,
            exponent_moved=bool(as_number),
            exponent_first=expected.exponent_first != reading.swapped,
            words=_words(line, reading, expected),
        )

    def _asked_on(self, line: str) -> Question:
        """Return the question in the format of *line*: a conversion is answered in another."""
        target = self.question.target
        if line != "answer" or target is None:
            return self.question
        return replace(self.question, course=target, format=target.number_format)

    def markup(self, rail: Rail, *, start: int | None = None) -> Markup:
        """Return a row as part of a page that has the sheet of rails.

        start  the column at its left edge; by default the first of the answer
        """
        line = self._shower.line(rail, 1, gap=False)
        return self._row(line, self.start if start is None else start - self.scene.first)

    def _row(self, line: ShownLine, start: int) -> Markup:
        return _row_template()(line, start)


@cache
def _row_template() -> Callable[[ShownLine, int], Markup]:
    """Return what writes a row by itself: a macro called as it stands is four times as quick as a template."""
    cells = templates().get_template("cells.jinja").module
    macro: Callable[[ShownLine, int], Markup] = vars(cells)["row"]
    return macro


def unmarked(cells: Iterable[Cell]) -> tuple[Cell, ...]:
    """Return *cells* without marks of what changed; most have none, and are used as they are."""
    return tuple(
        replace(cell, changed=False, copied=False) if cell.changed or cell.copied else cell for cell in cells
    )


def _without_asides(rail: Rail) -> Rail:
    """Return a row of the working as a row by itself: no marks of what changed in its step, no tray."""
    cells = unmarked(cell for cell in rail.cells if cell.kind in {"kept", "extra"})
    exponent = unmarked(rail.exponent)
    return replace(
        rail, cells=cells, exponent=exponent, exponent_moved=False, value="", note="", worth="", operator="",
        soft=False, tray=None,
    )  # fmt: skip


def _cells(expected: Rail, reading: Reading) -> Iterator[Cell]:
    """Yield the digits written, each in its column: from the point where one is written, else from the first."""
    there = {cell.column: cell for cell in expected.cells if cell.kind != "lost"}
    kept = [cell.column for cell in expected.cells if cell.kind == "kept"]
    before, dot, _ = reading.digits.partition(".")
    first = 1 - len(before) if dot else min(kept, default=0)
    for at, digit in enumerate(reading.lead):
        yield Cell(first - len(reading.lead) + at, digit, kind="dropped")
    column = first
    for digit in reading.bare:
        yield Cell(column, digit, changed=column not in there or there[column].digit != digit)
        column += 1
    for digit in reading.tray:
        yield Cell(column, digit, kind="lost")
        column += 1


def _exponent(expected: Rail, reading: Reading) -> tuple[tuple[Cell, ...], str]:
    """Return the cells of the exponent written, or the number in their place."""
    if not reading.exponent:
        return (), ""
    if reading.power or len(reading.exponent) != len(expected.exponent):
        return (), reading.exponent.replace("-", MINUS)
    cells = (
        Cell(at, digit, changed=digit != cell.digit)
        for at, (digit, cell) in enumerate(zip(reading.exponent, expected.exponent, strict=True))
    )
    return tuple(cells), ""


def _run(expected: Rail, reading: Reading) -> Rail | None:
    """Return a run of bits on the fields of another family of formats; None where they are not as many."""
    fields = [expected.sign, expected.exponent, tuple(cell for cell in expected.cells if not cell.unwritten)]
    if not expected.exponent_first:
        fields = [fields[0], fields[2], fields[1]]
    run = iter(reading.bare + reading.exponent)
    if sum(map(len, fields)) != len(reading.bare + reading.exponent):
        return None
    put = [
        tuple(
            replace(cell, digit=digit, changed=digit != cell.digit)
            for cell, digit in zip(field, run, strict=False)
        )
        for field in fields
    ]
    sign, exponent, digits = put if expected.exponent_first else (put[0], put[2], put[1])
    hidden = tuple(cell for cell in expected.cells if cell.unwritten)
    return replace(
        expected, sign=sign, exponent=exponent, cells=hidden + digits, words=say_bits(reading.bare)
    )


def _words(line: str, reading: Reading, expected: Rail) -> str:
    places = len(reading.digits.partition(".")[2]) or (
        len(reading.bare) - 1 if expected.point is not None and expected.cells[0].column == 0 else 0
    )
    said = f"{line}: {say_bits(reading.bare, places)}"
    if reading.tray:
        said += f"; tray {say_bits(reading.tray)}"
    if reading.power:
        return f"{said}; exponent written as the number {reading.exponent}"
    return f"{said}; exponent {say_bits(reading.exponent)}" if reading.exponent else said


def ringed(rail: Rail) -> Rail:
    """Return *rail* with its first wrong bit ringed, and no other mark: in the order in which it is read."""
    fields = (
        [rail.sign, rail.exponent, rail.cells]
        if rail.exponent_first
        else [rail.sign, rail.cells, rail.exponent]
    )
    found = False
    put = []
    for field in fields:
        cells = list(unmarked(field))
        wrong = next((at for at, cell in enumerate(field) if cell.changed), None)
        if wrong is not None and not found:
            cells[wrong], found = replace(cells[wrong], ringed=True), True
        put.append(tuple(cells))
    sign, one, other = put
    exponent, cells_ = (one, other) if rail.exponent_first else (other, one)
    return replace(rail, sign=sign, cells=cells_, exponent=exponent)
