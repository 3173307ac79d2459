"""A range asked for by its values: what the paper says, its scheme, and its marks, all expected by hand.

In 6+4 the mantissa runs to 31/32 and the exponent from -8 to 7: 31/32 x 128 = 124, 1/2 x 2^-8 = 1/512,
-17/32 x 2^-8 = -17/8192 and -1 x 128 = -128.
"""

import pytest

from chalkpoint.marking.entering import places_of
from chalkpoint.marking.marks import mark_question
from chalkpoint.numbers.errors import EntryError
from chalkpoint.publishing.papers.rows import lines_of, rows_of
from chalkpoint.publishing.papers.schemes import answer_of
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.papers import Asked, SetPapers
from chalkpoint.setting.setter import set_papers

ENDS = ("largest positive", "smallest positive", "largest negative", "most negative")
VALUES = ("124", "0.001953125", "\u22120.0020751953125", "\u2212128")
PLAN = """
title = "Gauge ranges"
[[question]]
operation = "range"
format = "6+4"
kind = "values"
[[question]]
operation = "range"
format = "6+4"
"""


@pytest.fixture(scope="module")
def papers() -> SetPapers:
    """A paper that asks for a range by its values, and for one by its patterns."""
    return set_papers(parse_blueprint(PLAN), variants=1, seed=1)


@pytest.fixture(scope="module")
def asked(papers: SetPapers) -> Asked:
    """The first question, as it is read back from the papers' file."""
    return papers_from(papers.to_dict()).first.questions[0]


def test_the_paper_says_which_is_asked_for(papers: SetPapers) -> None:
    """Values in words, on a ruled line each; patterns in boxes. A mark for each value, two for each pattern."""
    values, patterns = papers.papers[0].questions
    assert values.words == (
        "Give each extreme value of the format 6+4, as a decimal, a fraction or with a power of two. "
        "Write no patterns."
    )
    assert patterns.words == "Write the patterns of the four extreme values of the format 6+4, normalised."
    assert (rows_of(values), [rule for rule, *_ in lines_of(values)]) == ([], list(ENDS))
    assert len(rows_of(patterns)) == 4
    assert (values.marks, patterns.marks) == (4, 8)
    assert [(mark.rule, mark.expects) for mark in values.points] == list(zip(ENDS, VALUES, strict=True))
    assert answer_of(values) == "; ".join(VALUES)


def test_it_is_entered_by_its_values(asked: Asked) -> None:
    """Each in a place of its own, with its value expected."""
    assert [(place.line, place.expected) for place in places_of(asked)] == list(
        zip(ENDS, VALUES, strict=True)
    )


@pytest.mark.parametrize(
    ("written", "marks", "most"),
    [
        (VALUES, 4, 4),
        (("31/32 * 2^7", "1/512", "-17/8192", "-2^7"), 4, 4),
        (("0.11111 0111", "0.10000 1000", "1.01111 1000", "1.00000 0111"), 0, 4),  # patterns are a manner
        (("124 = 0.11111 0111", "2^-9", "-17/32 x 2^-8", "128"), 3, 3),  # a pattern beside costs nothing
        (("128", "", "-1/512", "-128"), 1, 1),
    ],
)
def test_values_earn_its_marks(asked: Asked, written: tuple[str, ...], marks: int, most: int) -> None:
    """In any spelling of a value; a right pattern alone waits with its mark."""
    marked = mark_question(asked, dict(zip(ENDS, written, strict=True)))
    assert (marked.marks, marked.most) == (marks, most)
    assert {mark.group for mark in marked.waiting} <= {"pattern without its value"}
    assert mark_question(asked, {"answer": "; ".join(written)}).marks == marks


def test_another_operation_is_refused() -> None:
    """One sentence with the line, and what would be taken."""
    with pytest.raises(EntryError, match='line 6: kind = "values" asks for the values of a range'):
        parse_blueprint(PLAN.replace('operation = "range"', 'operation = "encode"', 1))
    with pytest.raises(EntryError, match="range has 4 marking points; write marks = 4 to 4"):
        parse_blueprint(PLAN.replace('kind = "values"', 'kind = "values"\nmarks = 8'))
