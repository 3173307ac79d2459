"""Rows that a pupil wrote, and the places under them, in every family of formats."""

import re

from chalkpoint.publishing.classes.written import WrittenRows
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask


def test_place_values_stand_under_their_places_in_every_family() -> None:
    """A slot for the sign of binary16; room for all 24 places of 24+8, though only every fourth is weighed."""
    half = str(WrittenRows(ask("add", "1.5", "2", course=Course(format="binary16"))).place_values)
    sign, exponent, fraction, *_ = half.split('<span class="f')[1:]
    assert (sign.count("<b"), exponent.count("<b")) == (1, 5)
    assert re.findall(r">(\d+)</b>", exponent) == ["16", "8", "4", "2", "1"]
    assert fraction.count("<b") == 10
    long = str(WrittenRows(ask("add", "1.5", "2", course=Course(format="24+8"))).place_values)
    assert long.count("<b") == 24 + 8


def test_where_overflow_is_the_answer_no_row_is_expected() -> None:
    """What the columns hold is not the answer; the patterns given stand at the left edge all the same."""
    rows = WrittenRows(ask("add", "78", "65", course=Course(format="8")))
    assert rows.expected("answer") is None
    assert 'style="--at' not in str(rows.markup(rows.given[0]))
