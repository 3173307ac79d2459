"""Two markers compared: what both marked, on how much they agree, and how far they are apart."""

from __future__ import annotations

from chalkpoint.marking.agreement import agreement

SAMPLE = [
    {
        "student": "H01",
        "questions": [{"question": 1, "of": 3, "marks": 3}, {"question": 2, "of": 4, "marks": 1}],
    },
    {"student": "H02", "questions": [{"question": 1, "of": 3, "marks": 0}]},
]


def test_only_what_was_marked_twice_counts() -> None:
    """A mark of nought is a mark; what was left out is none."""
    twice = agreement(SAMPLE, {("H01", 1): 3, ("H02", 1): 2, ("H09", 1): 3})
    assert (twice.agreed, twice.of, twice.apart) == (1, 2, 2)
    assert [(one.student, one.question, one.second) for one in twice.compared] == [
        ("H01", 1, 3),
        ("H01", 2, None),
        ("H02", 1, 2),
    ]


def test_nothing_marked_again_agrees_on_nothing() -> None:
    """No share is made of no marks."""
    none = agreement(SAMPLE, {})
    assert (none.agreed, none.of, none.apart) == (0, 0, 0)
