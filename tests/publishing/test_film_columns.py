"""Every frame of a film and every board proved: where each digit stands, over every family and awkward inputs."""

import pytest

import chalkpoint as cp
from chalkpoint.teaching.lessonfile import lesson_of
from columns import Line, Mark, check_columns, expected
from columns_cases import CASES, WORKINGS
from columns_film import Named, board_steps, film_steps

#: Shown otherwise in a lesson than as rows of one working.
OTHERWISE = {"choose"}
NAMES = [name for name in CASES if name not in OTHERWISE]


def in_order(shown: Named) -> list[list[Mark]]:
    """Return the rows of a step, top to bottom, its carries as one row above the rest."""
    rows = {int(name.rsplit(":", 1)[1]): marks for name, marks in shown.items() if name.startswith("row:")}
    rows = {at: marks for at, marks in rows.items() if at >= 0}  # others are the operands, shown once more
    carries = sorted(
        (mark for name, marks in shown.items() if name.startswith("carry") for mark in marks),
        key=lambda mark: mark.x,
    )
    return [*([carries] if carries else []), *(rows[at] for at in sorted(rows))]


def of_step(lines: list[Line]) -> list[Line]:
    """Return what a step itself shows; what the tray holds stands on the rows that are done."""
    return [line for line in lines if line.kind in {"rail", "carries"}]


@pytest.mark.parametrize("name", NAMES)
def test_every_digit_of_a_frame_and_of_a_board_stands_in_its_column(name: str) -> None:
    """The last frame of each step has all its rows, each place at one x all through; the board shows the same."""
    working = WORKINGS[name]
    lesson = lesson_of(working)
    steps = [of_step(lines) for lines in expected(working)[:-1]]
    film = list(film_steps(lesson))

    own = [
        shown if lines else {} for shown, lines in zip(film, steps, strict=True)
    ]  # others repeat the last row

    assert check_columns(steps, [marks for shown in own for marks in in_order(shown)], least=8)
    check_done(working, film)
    drawings = [shown for shown in board_steps(lesson) if shown]
    for shown in film:
        assert not shown or any(same(shown, drawn) for drawn in drawings)


def check_done(working: cp.Working, film: list[Named]) -> None:
    """Check that a row that is done, and what is in its tray, stands digit by digit where it was written.

    A bit that was dropped, or a guard bit that held nothing, is not repeated; a sum of several shows its totals only.
    """
    for at, shown in enumerate(film):
        for name, marks in shown.items():
            if name.startswith("done:"):
                _, step, row = name.split(":")
                written = film[int(step)][f"row:{step}:{row}"]
                assert {(mark.digit, mark.x) for mark in marks} <= {(mark.digit, mark.x) for mark in written}
        lost = {
            f"done:{step.number - 1}:{row}"
            for step in working.steps[:at]
            for row, digits in enumerate(step.rows)
            if digits.lost and digits.lost_value and working.question.operation.name != "sum"
        }
        assert not shown or lost <= set(shown), (at, lost - set(shown), set(shown))


def same(shown: Named, drawn: Named) -> bool:
    """Tell whether a drawing has every row of a frame, digit by digit in the same place."""
    return all(
        [mark.digit for mark in marks] == [mark.digit for mark in drawn.get(row, [])]
        and all(abs(mark.x - other.x) < 0.1 for mark, other in zip(marks, drawn[row], strict=True))
        for row, marks in shown.items()
    )


def test_a_digit_in_another_column_is_found_out() -> None:
    """One digit of a frame moved by half a column, and the check refuses it."""
    working = WORKINGS[NAMES[0]]
    steps = [of_step(lines) for lines in expected(working)[:-1]]
    seen = [marks for shown in film_steps(lesson_of(working)) for marks in in_order(shown)]
    first, *others = seen[0]
    seen[0] = [Mark(first.digit, (first.x + others[0].x) / 2), *others]

    with pytest.raises(AssertionError):
        check_columns(steps, seen, least=8)
