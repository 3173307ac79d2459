"""Fields on paper: where boxes stand in every family of formats, and that they fit the page."""

from itertools import pairwise

import pytest

from chalkpoint.numbers.named import format_called
from chalkpoint.publishing.papers.fields import digits_of, plan_fields
from chalkpoint.publishing.papers.measures import sheet_for
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
    left = sheet.labels / sheet.u(fmt)
    plan = plan_fields(fmt, sheet, left)

    assert sum(field.bits for field in plan.fields) == fmt.bits
    digits = digits_of(fmt, fmt.example)
    assert all(len(digits[field.name]) == field.bits for field in plan.fields)
    for line in range(plan.lines):
        fields = [field for field in plan.fields if field.line == line]
        assert all(one.x + one.bits <= other.x for one, other in pairwise(fields))
    assert plan.right * sheet.u(fmt) <= sheet.width


def test_fields_stand_in_the_order_they_are_written() -> None:
    """Sign, exponent, fraction; an exponent first where the format has it so; low bits behind."""
    sheet = sheet_for(Printing())
    names = {
        spelling: [field.name for field in plan_fields(format_called(spelling), sheet).fields]
        for spelling in ("binary16", "C3x-16", "1750A-48")
    }

    assert names == {
        "binary16": ["sign", "exponent", "fraction"],
        "C3x-16": ["exponent", "mantissa"],
        "1750A-48": ["mantissa", "exponent", "its low bits"],
    }


def test_long_fractions_stand_under_their_exponents() -> None:
    """binary32 takes two lines, its sign beside its exponent."""
    plan = plan_fields(format_called("binary32"), sheet_for(Printing()))

    assert [(field.name, field.line) for field in plan.fields] == [
        ("sign", 0),
        ("exponent", 0),
        ("fraction", 1),
    ]


def test_the_point_stands_where_the_format_has_it() -> None:
    """Q5.3: after five of its eight bits, and darker edges are counted from there."""
    (field,) = plan_fields(format_called("Q5.3"), sheet_for(Printing())).fields

    assert field.point == 5
    assert [at for at, edge in enumerate(field.edges) if edge] == [0]
    assert named_fields(format_called("8")) == (("whole number", 8),)
