"""Fields on paper: where boxes stand in every family of formats, and that they fit the page."""

from itertools import pairwise

import pytest

from chalkpoint.numbers.named import format_called
from chalkpoint.publishing.papers.fields import digits_of, plan_fields
from chalkpoint.publishing.papers.measures import TRAY, sheet_for
from chalkpoint.setting.asking import Printing
from chalkpoint.setting.cards import named_fields

SPELLINGS = (
    "8+4",
    "24+8",
    "binary16",
    "binary32",
    "E4M3",
    "8",
    "32",
    "Q5.3",
    "1750A-32",
    "1750A-48",
    "C3x-40",
)


@pytest.mark.parametrize("text", ["usual", "large"])
@pytest.mark.parametrize("spelling", SPELLINGS)
def test_boxes_fit_the_page_and_hold_every_bit(spelling: str, text: str) -> None:
    """No two fields overlap, none passes the marks at the right, and an example's digits fill them."""
    fmt, sheet = format_called(spelling), sheet_for(Printing(text=text))
    plan = plan_fields(fmt, sheet)

    assert sum(run.bits for run in plan.runs) == fmt.bits
    digits = digits_of(fmt, fmt.example)
    for name, bits in named_fields(fmt):
        assert len(digits[name]) == bits == sum(run.bits for run in plan.runs if run.name == name)
    for line in range(plan.lines):
        spans = [(run.x, run.x + run.bits * sheet.box) for run in plan.runs if run.line == line]
        if plan.tray and plan.tray[1] == line:
            spans.append((plan.tray[0], plan.tray[0] + TRAY * sheet.box))
        spans.sort()
        assert all(one[1] <= other[0] + 1e-9 for one, other in pairwise(spans))
        assert spans[-1][1] <= sheet.room + 1e-9


def test_fields_stand_in_the_order_they_are_written() -> None:
    """Sign, exponent, fraction; an exponent first where the format has it so; low bits behind."""
    sheet = sheet_for(Printing())
    names = {
        spelling: list(plan_fields(format_called(spelling), sheet).fields)
        for spelling in ("binary16", "C3x-16", "1750A-48")
    }

    assert names == {
        "binary16": ["sign", "exponent", "fraction"],
        "C3x-16": ["exponent", "mantissa"],
        "1750A-48": ["mantissa", "exponent", "its low bits"],
    }


def test_long_fields_go_on_below() -> None:
    """binary32: its sign beside its exponent, its fraction in two parts; 24+8 in three lines."""
    plan = plan_fields(format_called("binary32"), sheet_for(Printing()))
    assert [(run.name, run.bits, run.line) for run in plan.runs] == [
        ("sign", 1, 0),
        ("exponent", 8, 0),
        ("fraction", 16, 1),
        ("fraction", 7, 2),
    ]
    plan = plan_fields(format_called("24+8"), sheet_for(Printing()))
    assert [(run.name, run.bits, run.line) for run in plan.runs] == [
        ("mantissa", 16, 0),
        ("mantissa", 8, 1),
        ("exponent", 8, 2),
    ]
    assert plan.tray == (64.0, 1)


def test_the_point_stands_where_the_format_has_it() -> None:
    """Q5.3: after five of its eight bits, and darker edges are counted from there."""
    (run,) = plan_fields(format_called("Q5.3"), sheet_for(Printing())).runs

    assert run.point == 5
    assert [at for at, edge in enumerate(run.edges) if edge] == [0]
    assert named_fields(format_called("8")) == (("whole number", 8),)


def test_an_exponent_written_first_stands_first() -> None:
    """C3x-32 on two lines, in the order it is read: 8 bits of exponent, then 8 and 16 of the mantissa."""
    plan = plan_fields(format_called("C3x-32"), sheet_for(Printing()))
    assert [(run.name, run.first, run.bits, run.line) for run in plan.runs] == [
        ("exponent", 0, 8, 0),
        ("mantissa", 0, 8, 0),
        ("mantissa", 8, 16, 1),
    ]
    assert plan.beside == ()


def test_a_wide_row_without_a_tray_takes_two_lines() -> None:
    """The exponent of 24+8 stands behind the end of its mantissa, where a tray would be, with its name over it."""
    plan = plan_fields(format_called("24+8"), sheet_for(Printing()), tray=False)
    assert plan.lines == 2
    assert [(run.name, run.line, run.x) for run in plan.beside] == [("exponent", 1, 8 * 8 + 3.5)]
    assert plan_fields(format_called("24+8"), sheet_for(Printing())).lines == 3
