"""Whatever is typed: it is refused in a sentence, or has one spelling that reads back and is judged alike."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.marking.lines_ahead import lines_on
from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.judged import judge_line
from chalkpoint.teaching.lines import read_line
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask_line

COURSE = Course()
UNEXPLAINED = {"off", "slip", "copied"}
PIECES = [
    "0",
    "1",
    "0",
    "1",
    ".",
    "1010",
    "0011",
    " ",
    "|",
    "_",
    " x 2^3",
    " × 2^4",
    "-2",
    " E=4",
    "(1)",
    ";",
    "5.25",
]
TYPED = st.lists(st.sampled_from([*PIECES, "1/3", "overflow", "zero", "%", "e400", "0x3e", "…"]), max_size=9)


@pytest.mark.parametrize(
    "line", ["subtract 8.875, 3.6875", "add 8.875, 8.6875", "decode 1.0110000 1110", "encode -5.25"]
)
@given(pieces=TYPED, which=st.integers(0, 9))
def test_one_spelling_reads_back_and_is_judged_alike(line: str, pieces: list[str], which: int) -> None:
    """Only what nothing explains may be called a slip in one spelling and not in the other."""
    question, text = ask_line(line, course=COURSE), "".join(pieces)
    left = lines_on(question, {})
    onward = left[which % len(left)]
    try:
        read = read_line(question, onward.rule, text, own=onward.expects)
    except EntryError:
        return
    assert read_line(question, onward.rule, read.spelling, own=onward.expects).spelling == read.spelling
    kinds = {
        judge_line(COURSE, line, (), onward.rule, written).kind
        for written in (read.spelling, text.rstrip(" .").lstrip())
    }
    assert len(kinds) == 1 or kinds <= UNEXPLAINED
