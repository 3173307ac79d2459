"""The page that stays: every digit on it is the working's at that moment, and everything has room."""

from collections.abc import Iterator
from functools import cache

import pytest

from chalkpoint.publishing.film.items import Bit, Chunk, Item, NumberLine, Rules, Words
from chalkpoint.publishing.film.lettering import HEIGHT, WIDTH
from chalkpoint.publishing.film.page import LEDGE
from chalkpoint.publishing.film.picture import Picture
from chalkpoint.publishing.film.row import Row
from chalkpoint.publishing.film.stills import states
from chalkpoint.publishing.film.timeline import RATE, stretches
from chalkpoint.teaching.lessonfile import lesson_from, lesson_of
from chalkpoint.teaching.parts import storyboard
from chalkpoint.teaching.storyboard import Storyboard
from chalkpoint.working.work import work
from chalkpoint.working.working import Working
from lessons import told

ASKED = {
    "tray": ("subtract", "8.875", "3.6875"),
    "overflow": ("add", "6.5", "5.25"),
    "minus one": ("subtract", "01000000 0010", "10000000 0001"),
    "zero": ("add", "0", "3.25"),
    "negate": ("negate", "10000000 0010"),
    "normalise": ("normalise", "00010110 0010"),
    "error": ("error", "0.1"),
    "multiply": ("multiply", "2.3", "-1.7"),
    "divide": ("divide", "5.5", "-1.75"),
    "decode": ("decode", "01101000 0011"),
    "encode": ("encode", "-5.25"),
    "convert": ("convert", "1.3", "6+4"),
    "range": ("range",),
    "sum": ("sum", "1.5", "2.25", "-3.5"),
    "choose-format": ("choose-format", "-10", "40", "0.25"),
}
#: The same in a format of their own: whole numbers, fixed point, and others.
FORMATS = {
    "whole number read": (("decode", "0b11101101"), "8"),
    "whole overflow": (("add", "100", "100"), "8"),
    "whole quotient": (("divide", "20", "3"), "8"),
    "unsigned": (("subtract", "5", "3"), "8 unsigned"),
    "ones' complement": (("add", "5", "-3"), "8 ones-complement"),
    "fixed point": (("subtract", "2.25", "3.5"), "Q5.3"),
    "size read": (("decode", "0b0010111001100110"), "binary16"),
    "range of sizes": (("range",), "binary16"),
    "1750A": (("add", "6.5", "-0.75"), "1750A-32"),
}
SIZES = {
    "sum of sizes": ("add", "6.5", "5.25"),
    "difference of sizes": ("subtract", "9.2", "0.3"),
    "product of sizes": ("multiply", "2.5", "-1.75"),
}
NAMED = {"named": ("subtract", "8.875", "3.6875")}
EVERY = [*ASKED, *SIZES, *FORMATS, *NAMED]


@cache
def worked(name: str) -> Working:
    """Return one of the workings."""
    if name in FORMATS:
        operands, fmt = FORMATS[name]
        return work(*operands, format=fmt)
    if name in SIZES:
        return work(*SIZES[name], format="binary16")
    if name in NAMED:
        return work(*NAMED[name], names=("gauge", "datum"))
    return work(*ASKED[name])


@cache
def shown(name: str) -> list[Picture]:
    """Return its page in every state."""
    return [picture for _, picture in states(storyboard(lesson_of(worked(name))))]


def rows_of(working: Working) -> set[str]:
    """Return every digit string that a row of the working can stand for, with what is beside it."""
    rows = [row for step in working.steps for row in step.rows if not row.carries]
    return {row.sign + row.lead + row.bits + row.lost + row.exponent_bits for row in rows} | {
        digits
        for row in rows
        for digits in (
            row.bits
            + row.lost
            + row.sign
            + row.exponent_bits,  # fields beside the digits are drawn after them
            row.bits,
        )
    }


def digits(row: Row) -> str:
    """Return what stands in the cells of a row, a blank for a cell that is empty."""
    return "".join(cell.digit or " " for cell in row.cells)


@pytest.mark.parametrize("name", EVERY)
def test_every_whole_row_is_the_workings(name: str) -> None:
    """Digit for digit, in every state, large or folded."""
    known = rows_of(worked(name))
    for picture in shown(name):
        for row in (item for item in picture.items.values() if isinstance(item, Row)):
            if " " not in digits(row):
                assert digits(row) in known


@pytest.mark.parametrize("name", EVERY)
def test_a_row_half_written_has_only_its_own_digits(name: str) -> None:
    """Column by column: what stands already is what will stand in the end."""
    for picture in shown(name):
        for row in (item for item in picture.items.values() if isinstance(item, Row)):
            halves = digits(row)
            assert any(_begins(halves, whole) for whole in rows_of(worked(name)))


def _begins(halves: str, whole: str) -> bool:
    """Tell whether *halves* is *whole* with some digits left out, whatever stands beside it missing or not."""
    for start in range(len(whole) - len(halves) + 1):
        part = whole[start : start + len(halves)]
        if all(one in {" ", other} for one, other in zip(halves, part, strict=True)):
            return True
    return not halves.strip()


@pytest.mark.parametrize("name", EVERY)
def test_every_row_ends_where_the_working_does(name: str) -> None:
    """The last state of the last step shows all that the working wrote on it."""
    last = worked(name).steps[-1]
    found = {digits(i) for picture in shown(name) for i in picture.items.values() if isinstance(i, Row)}
    for row in last.rows:
        if not row.carries:
            assert any(row.bits + row.lost in one for one in found)


@pytest.mark.parametrize("name", EVERY)
def test_nothing_stands_outside_the_page(name: str) -> None:
    """Rows end above the strip that is kept for captions, and within the page."""
    for picture in shown(name):
        for item in picture.items.values():
            if isinstance(item, Row):
                assert item.y + item.h <= LEDGE
                assert all(0 <= cell.x <= WIDTH - item.u for cell in item.cells)
            if isinstance(item, Words):
                assert 0 < item.y <= HEIGHT
            if isinstance(item, Rules) and any(lower for _, _, lower, _ in item.marks):
                assert item.y + 2.2 * item.size <= LEDGE


@pytest.mark.parametrize("name", ["tray", "multiply", "divide", "error"])
def test_the_trays_bits_close_the_gap(name: str) -> None:
    """Laid on the number line they reach from one mark to the other, and they are the lost digits."""
    last = shown(name)[-1]
    pieces = [item for item in last.items.values() if isinstance(item, Chunk)]
    (line,) = (item for item in last.items.values() if isinstance(item, NumberLine))
    marks = sorted(mark[0] for mark in line.marks)

    assert "".join(piece.digits for piece in pieces) == "".join(loss.bits for loss in worked(name).losses)
    assert abs(pieces[0].x - marks[0]) < 1
    assert abs(pieces[-1].x + pieces[-1].w - marks[1]) < 1
    working = worked(name)
    assert working.check.error is not None
    for piece, loss in zip(pieces, working.losses, strict=True):
        share = float(loss.worth / working.check.error)
        assert abs(piece.w - share * (marks[1] - marks[0])) < 1


@pytest.mark.parametrize("name", ["tray", "multiply", "divide", "error"])
def test_the_gap_on_the_line_is_as_long_as_the_error(name: str) -> None:
    """From tick to tick is one unit in the last place."""
    (line,) = (item for item in shown(name)[-1].items.values() if isinstance(item, NumberLine))
    check, marks = worked(name).check, sorted(mark[0] for mark in line.marks)
    assert check.error is not None
    assert check.unit is not None
    each = line.ticks[1] - line.ticks[0]

    assert abs(marks[1] - marks[0] - each * float(abs(check.error) / check.unit)) < 1


def test_the_rows_of_a_range_are_told_apart_when_they_are_done() -> None:
    """Under the check each is called what it is the extreme of, not "pattern"."""
    last = shown("range")[-1]
    labels = [item.label for item in last.items.values() if isinstance(item, Row)]

    assert labels == ["largest positive", "smallest positive", "largest negative", "most negative"]


def test_carries_rise_one_by_one() -> None:
    """Worked by hand: 0.1000111 + 1.1100011 carries into columns 6, 5, 4, then 0, then out."""
    seen = [sorted(name for name in p.items if "carry" in name) for p in shown("tray")]
    grown = [len(names) for names in seen if names]

    assert list(dict.fromkeys(grown)) == [1, 2, 3, 4, 5]


def test_digits_come_from_where_they_stood() -> None:
    """A digit that moves right two places sets out two columns to the left of where it lands."""
    told = storyboard(lesson_of(worked("tray")))
    flights = [move for stretch in stretches(told) for move in stretch.moving if ">" in move.name]
    align = [move for move in flights if move.name.startswith("0:row:1:")]
    apart = {round(_x(move.end) - _x(move.begin)) for move in align}
    u = next(item.u for item in shown("tray")[3].items.values() if isinstance(item, Row))

    assert round(2 * u) in apart


def _x(item: Item | None) -> float:
    assert isinstance(item, Bit)
    return item.x


def _y(item: Item | None) -> float:
    assert isinstance(item, Bit)
    return item.y


@pytest.mark.parametrize(
    ("operation", "format"),
    [(("add", "100.3", "-7.77"), "24+8"), (("add", "1.1", "2.2"), "binary32")],
)
def test_wide_formats_fill_the_page(operation: tuple[str, ...], format: str) -> None:
    """The cells of the widest row reach over most of the page, and none is lost off it."""
    working = work(*operation, format=format)
    rows = list(_rows(working))
    right = max(cell.x + row.u for row in rows for cell in row.cells)

    assert WIDTH * 0.9 <= right <= WIDTH


def _rows(working: Working) -> Iterator[Row]:
    for _, picture in states(storyboard(lesson_of(working))):
        yield from (item for item in picture.items.values() if isinstance(item, Row))


def test_only_the_row_that_lost_them_has_digits_in_the_tray() -> None:
    """What was lost stays hatched beside the row that lost it; the rows being added end at the last place."""
    rows = [item for picture in shown("tray") for item in picture.items.values() if isinstance(item, Row)]
    past = [(row.label, cell) for row in rows for cell in row.cells if cell.digit and cell.column in {8, 9}]
    assert past
    assert all(cell.style == "lost" for _, cell in past)
    assert not any(label.startswith("first") for label, _ in past)


@pytest.mark.parametrize("name", ["named", "minus one"])
def test_a_row_is_inverted_under_the_row_it_comes_from(name: str) -> None:
    """Every digit of the inverted row sets out from the same column of the row above, one after the other."""
    told = storyboard(lesson_of(worked(name)))
    flights = [(stretch, move) for stretch in stretches(told) for move in stretch.moving if ">" in move.name]
    step = next(at for at, each in enumerate(worked(name).steps) if each.rule == "negate")
    inverting = [move for _, move in flights if move.name.startswith(f"0:row:{step}:1>")]
    width = len(worked(name).steps[step].rows[1].bits)

    assert len(inverting) == width
    assert all(_x(move.begin) == _x(move.end) for move in inverting)
    assert len({move.start for move in inverting}) == width
    assert all(_y(move.begin) < _y(move.end) for move in inverting)


def test_rows_of_a_product_come_one_by_one() -> None:
    """Each from the digit that is looked at; in the end all stand, and only what they come to stays in sight."""
    counts = [
        sum(name.startswith("0:row:2:") and bool(digits_of(item).strip()) for name, item in p.items.items())
        for p in shown("multiply")
    ]

    assert list(dict.fromkeys(filter(None, counts))) == [
        4,
        5,
        6,
        7,
        9,
        10,
        11,
    ]  # operands, sizes, rows, sum, sign
    kept = [name for name in shown("multiply")[-1].items if name.startswith("0:done:2:")]
    assert kept == ["0:done:2:8"]


def digits_of(item: Item) -> str:
    """Return what stands in the cells of a row; of anything else nothing."""
    return digits(item) if isinstance(item, Row) else ""


BELIEFS = ["invert-only", "carry-kept", "align-skip"]


def test_answers_to_choose_from_stand_under_the_questions_rows() -> None:
    """By hand: 0.1010100 0011 is right; the carry kept stands one column further left than any other digit."""
    lesson = lesson_from(
        {"part": [{"kind": "hinge", "question": "subtract 8.875, 3.6875", "beliefs": BELIEFS}]}
    )
    pictures = [picture for _, picture in states(storyboard(lesson))]
    asked, first, *_, told = (p for p in pictures if "choiceA" in p.items)
    rows = {item.label: item for item in told.items.values() if isinstance(item, Row)}

    assert [digits(rows[name]) for name in ("first", "second")] == ["010001110100", "011101100010"]
    assert [digits(rows[letter]) for letter in "ABCD"] == [
        "010100100011",
        "010101000011",
        "1001010100100",
        "101000100011",
    ]
    assert {cell.column for cell in rows["C"].cells if cell.column < 100} == {-1, *range(8)}
    assert not [name for name in first.items if name.endswith(".says") and "choiceB" not in name]
    assert [name for name in told.items if name.endswith(".says")] == [
        f"choice{letter}.says" for letter in "ABCD"
    ]
    assert [letter for letter in "ABCD" if rows[letter].cells[0].style == "changed"] == ["B"]
    assert not [
        item for item in asked.items.values() if isinstance(item, Row) and item.cells[0].style == "changed"
    ]


def test_long_numbers_are_rounded_and_marked_so() -> None:
    """What does not fit beside a row says that it is near."""
    values = {row.value for row in _rows(work("add", "1009.2", "-0.3", format="24+8")) if row.value}

    assert "\u2248 1009.19995" in values
    assert max(map(len, values)) <= 16


@pytest.mark.parametrize("name", EVERY)
def test_something_changes_every_twenty_seconds(name: str) -> None:
    """Between one change of the picture and the next lie at most twenty seconds; a countdown is one."""
    check_changes(storyboard(lesson_of(worked(name))))


def test_something_changes_in_every_kind_of_lesson() -> None:
    """What is thought behind wrong answers comes one by one, too."""
    check_changes(told())
    kinds = [{"kind": kind, "question": "subtract 8.875, 3.6875"} for kind in ("next", "split", "mistake")]
    check_changes(storyboard(lesson_from({"part": kinds})))


def check_changes(lesson: Storyboard) -> None:
    """Check that no picture of *lesson* stands longer than twenty seconds."""
    last = 0.0
    for stretch in stretches(lesson):
        if stretch.moving or stretch.asked:
            assert stretch.first / RATE - last <= 20
            busy = stretch.count if stretch.asked else min(stretch.count, stretch.busy)
            last = (stretch.first + busy) / RATE
        assert (stretch.first + stretch.count) / RATE - last <= 20


def test_a_sum_that_is_told_is_written_beside_it() -> None:
    """By hand: 0.1 is stored as 0.099609375, so 0.000390625 is the error."""
    written = {
        item.runs[0][0]
        for picture in shown("error")
        for name, item in picture.items.items()
        if name.endswith("aside") and isinstance(item, Words)
    }

    assert "0.1 \u2212 0.099609375 = 0.000390625" in written
