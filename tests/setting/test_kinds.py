"""Worked examples with lines left out, and workings with one wrong line."""

from collections.abc import Generator
from random import Random

import pytest

from brackwater import EVERY_KIND, papers
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.asking import Blueprint, BlueprintQuestion
from chalkpoint.setting.kinds import (
    faded_scheme,
    lines_of_mistake,
    lines_shown,
    mistake_in,
    mistake_scheme,
    wrong_line,
)
from chalkpoint.setting.points import written_row
from chalkpoint.setting.schemes import scheme_for
from chalkpoint.setting.variants import choose
from chalkpoint.working.course import Course

ITEMS = [item for paper in papers(EVERY_KIND) for item in paper.questions]
MISTAKES = [item for item in ITEMS if item.kind == "mistake"]
FADED = [item for item in ITEMS if item.kind == "faded"]


def test_a_shown_mistake_has_one_wrong_line_and_a_wrong_answer() -> None:
    """Every other line follows from the one above it."""
    assert MISTAKES
    for item in MISTAKES:
        assert item.faulty is not None
        assert item.faulty.result.bits != item.working.result.bits
        line, correction, answer = item.scheme.marks
        assert line.expects == wrong_line(item.candidate, item.faulty) != ""
        assert answer.expects == item.working.result.bits
        assert correction.expects != ""


def test_each_faded_question_leaves_out_one_line_more() -> None:
    """Backward fading: the last lines go first."""
    first, second = [item for item in papers(EVERY_KIND).papers[0].questions if item.kind == "faded"]

    assert first.shown == ("align", "negate", "add")
    assert second.shown == ("align", "negate")


def test_filled_in_lines_earn_no_marks() -> None:
    """Only what is left to write is marked."""
    for item in FADED:
        assert not {mark.rule for mark in item.scheme.marks} & set(item.shown)
        assert item.scheme.total < item.candidate.measure.points


def test_fading_starts_again_after_the_last_line() -> None:
    """A fourth faded subtraction shows what the first did."""
    working = FADED[0].working

    assert [len(lines_shown(working, number)) for number in (1, 2, 3, 4)] == [3, 2, 1, 3]
    assert faded_scheme(FADED[0].scheme, ()) == FADED[0].scheme


def test_operations_without_such_a_mistake_are_refused() -> None:
    """A reading has no row of bits to put right."""
    asked = BlueprintQuestion("decode", Course())
    slot = choose(Blueprint("L", Course()), asked, 1, "7", set())

    with pytest.raises(
        EntryError, match=r'decode has no belief to show a mistake of; ask kind = "mistake" of add'
    ):
        mistake_in(slot.chosen[0], Random(1))


# === A shown mistake, found again from the digits alone ===


def number(bits: str) -> int:
    """Return what *bits* are in two's complement."""
    return int(bits, 2) - ((1 << len(bits)) if bits[0] == "1" else 0)


def bits_of(x: int, width: int) -> str:
    """Return *x* in two's complement, its further digits left out on the left."""
    return format(x & ((1 << width) - 1), f"0{width}b")


def right_lines(
    operation: str, given: list[tuple[str, str]]
) -> Generator[tuple[str, tuple[str, str]], tuple[str, str], None]:
    """Yield each line that the course writes from *given*, mantissa and exponent: by whole numbers and shifts.

    The line as it is shown is sent back, and the next goes on from there.
    """
    rows = [(number(mantissa), number(exponent)) for mantissa, exponent in given]
    if operation in {"add", "subtract"}:
        top = max(exponent for _, exponent in rows)
        moved = min(range(2), key=lambda at: (rows[at][1], -at))
        apart = top - rows[moved][1]
        rows = [(mantissa >> (top - exponent), top) for mantissa, exponent in rows]
        shown = yield "align", (bits_of(rows[moved][0], 8), bits_of(top, 4))
        rows[moved] = (number(shown[0]), number(shown[1]))
        assert apart
        if operation == "subtract":
            opposite = -rows[1][0]  # the opposite of -1.0 needs an extra sign place
            shown = yield "negate", (bits_of(opposite, 8), bits_of(top, 4))
            rows[1] = (opposite if shown[0] == bits_of(opposite, 8) else number(shown[0]), number(shown[1]))
        total = rows[0][0] + rows[1][0]
        shown = yield "add", (bits_of(total, 8), bits_of(top, 4))
        rows = [(total if shown[0] == bits_of(total, 8) else number(shown[0]), number(shown[1]))]
    if operation == "negate":
        opposite = -rows[0][0]
        shown = yield "negate", (bits_of(opposite, 8), bits_of(rows[0][1], 4))
        rows = [(opposite if shown[0] == bits_of(opposite, 8) else number(shown[0]), number(shown[1]))]
    mantissa, exponent = rows[0]
    if not -128 <= mantissa <= 127:
        yield "repair", (bits_of(mantissa >> 1, 8), bits_of(exponent + 1, 4))
    elif mantissa and bits_of(mantissa, 8)[0] == bits_of(mantissa, 8)[1]:
        while bits_of(mantissa, 8)[0] == bits_of(mantissa, 8)[1]:
            mantissa, exponent = mantissa << 1, exponent - 1
        yield "normalise", (bits_of(mantissa, 8), bits_of(exponent, 4))


@pytest.mark.parametrize("operation", ["add", "subtract", "normalise", "negate"])
def test_one_line_is_wrong_it_can_be_seen_and_its_correction_differs(operation: str) -> None:
    """Worked again from the digits on paper: up to the line named all is right, and that line is not."""
    course = Course(format="8+4")
    where = {
        "add": ["align-shift >= 1", "align-shift <= 4"],
        "subtract": ["align-shift >= 1", "align-shift <= 4"],
    }
    asked = BlueprintQuestion(operation, course, where=tuple(where.get(operation, ())), kind="mistake")
    named = set()
    plan = Blueprint("M", course, accidental="needs working")
    drawn = [one for seed in "ab" for one in choose(plan, asked, 12, seed, set()).chosen]
    for at, candidate in enumerate(drawn):
        for seed in range(3):
            belief, faulty = mistake_in(candidate, Random(f"{at}/{seed}"))
            scheme = mistake_scheme(candidate, scheme_for(candidate.question), faulty, belief)
            line, correction, answer = (mark.expects for mark in scheme.marks)
            shown = {
                rule: (row.bits, row.exponent_bits)
                for rule in lines_of_mistake(faulty)
                if (row := written_row(faulty, rule)) is not None
            }
            given = [text.replace(".", "").split() for text in candidate.question.operands]
            worked = right_lines(operation, [(mantissa, exponent) for mantissa, exponent in given])
            rule, right = next(worked)
            while shown[rule] == right:
                rule, right = worked.send(shown[rule])
            assert rule == line
            assert correction.split() in ([right[0]], [*right])
            assert correction not in {shown[rule][0], " ".join(shown[rule])}
            assert answer == candidate.working.result.bits != faulty.result.bits
            named.add(line)
    assert len(named) >= (2 if operation in {"add", "subtract"} else 1)
