"""The belief that is named is the one planted: scripts typed as pupils type, each expected by hand first.

8+4 throughout. The rows are worked out beside each script; what is typed is as untidy as pupils are.
"""

from __future__ import annotations

from chalkpoint.marking.answers import Script
from chalkpoint.marking.students import Entry, Marker
from chalkpoint.marking.summary import Summary
from chalkpoint.publishing.classes.pages import class_page
from chalkpoint.setting.papers import Papers
from heron import papers_of

Written = dict[int, dict[str, str]]

FOUR = papers_of(
    ("subtract", "6.5", "1.25"), ("subtract", "5.5", "-2.25"), ("subtract", "3.5", "1.25"), ("add", "7", "-5")
)
#: 6.5 and 1.25 at 3: 0.1101000, 0.0010100; 5.5 and -2.25 at 3: 0.1011000, 1.1011100; 3.5 and 1.25 at 2: 0.1110000,
#: 0.0101000; 7 and -5 at 3: 0.1110000, 1.0110000.
CARRIES = papers_of(
    ("subtract", "6.5", "1.25"), ("subtract", "3.5", "1.25"), ("add", "2.75", "-1.5"), ("add", "7", "-5")
)
MOVED = papers_of(
    ("subtract", "6.5", "1.25"), ("add", "2.5", "0.75"), ("subtract", "3.5", "1.25"), ("add", "7", "-5")
)
SHORT = papers_of(
    ("subtract", "4", "1"), ("add", "2.75", "-1.5"), ("add", "7", "-5"), ("subtract", "6.5", "1.25")
)


def entry(papers: Papers, written: Written) -> Entry:
    """Return the entry of the pupil who wrote that."""
    return Marker(papers).entry(Script("H01", 1, written))


def named(found: Entry) -> list[list[str]]:
    """Return the beliefs that are named, each with those that nothing tells from it."""
    return [one["among"] for one in found["beliefs"] if one["named"]]


def test_invert_only_with_typed_lines_is_invert_only() -> None:
    """Inverted, and nothing added: no other method and no slip, whatever the lines look like."""
    written: Written = {
        # 0.1101000 + 1.1101011 is 0.1010011
        1: {
            "align": "0.00101 x 2^3",
            "negate": "1.1101011",
            "add": "(1)0.1010011",
            "answer": "0.1010011 0011",
        },
        # 0.1011000 + 0.0100011 is 0.1111011
        2: {"negate": "1.1011100 -> 0.0100011", "add": "0.1111011", "answer": "0.1111011|0011"},
        # 0.1110000 + 1.1010111 is 0.1000111
        3: {"align": "0.0101", "negate": "11010111", "add": "1 0.1000111", "answer": "01000111 0010"},
        4: {"add": "1|0.0100000", "answer": "0.1000000 0010"},
    }
    assert named(entry(FOUR, written)) == [["invert-only"]]


def test_a_kept_carry_is_not_lost_where_lines_are_typed() -> None:
    """The ninth digit stays in the answer; the row above it may be written as one that drops it."""
    written: Written = {
        1: {"negate": "1.1101100", "add": "1 0.1010100", "answer": "1 0.1010100 0011"},
        2: {"align": "0.0101", "negate": "1.1011", "add": "10.1001000", "answer": "101001000 0010"},
        3: {"align": "1.1010000", "add": "(1)0.0101000", "answer": "100101000 0010"},
        4: {"add": "100100000", "answer": "10.0100000 0011"},
    }
    assert named(entry(CARRIES, written)) == [["carry-kept"]]


def test_an_answer_not_normalised_is_a_candidate_with_lines_and_without() -> None:
    """The sum's own row for an answer: 0.0110000, 0.0101000 and 0.0100000."""
    alone: Written = {
        1: {"answer": "0.0110000 0011"},
        2: {"answer": "00101000 0010"},
        3: {"answer": "0.01 x 2^3"},
        4: {"answer": "0.1010100 0011"},
    }
    assert named(entry(SHORT, alone)) == [["norm-skipped"]]
    lines: tuple[dict[str, str], ...] = (
        {"negate": "1.111", "add": "0.011"},
        {"align": "1.101", "add": "1|0.0101"},
        {"add": "0.0100000"},
        {},
    )
    typed = {at: {**more, **alone[at]} for at, more in enumerate(lines, start=1)}
    assert named(entry(SHORT, typed)) == [["norm-skipped"]]


def test_who_never_aligned_has_misread_nothing() -> None:
    """1.25 stays 0.1010000 beside an exponent of 3: the page names that, and no digit misread."""
    written: Written = {
        # 0.1101000 + 1.0110000 is 0.0011000, normalised 0.1100000 at 1
        1: {"align": "0.1010000", "negate": "1.0110000", "add": "0.0011000", "answer": "0.1100000 0001"},
        # 0.1010000 + 0.1100000 is 01.0110000, repaired 0.1011000 at 3
        2: {"align": "0.11 x 2^2", "add": "01.011", "answer": "0.1011000 0011"},
        # 0.1110000 + 1.0110000 is 0.0100000, normalised 0.1000000 at 1
        3: {"align": "0.101", "negate": "1.011", "add": "(1)0.0100000", "answer": "0.1000000 0001"},
        4: {"add": "0.0100000", "answer": "0.1000000 0010"},
    }
    found = entry(MOVED, written)
    assert named(found) == [["align-skip"]]
    assert not [question for question in found["questions"] if "reading" in question]


def test_a_misreading_is_proposed_where_no_belief_explains_it() -> None:
    """1.25 read as 1.5, 0.1100000: moved, negated, added and normalised rightly from there; the rest is right."""
    written: Written = {
        # 0.1101000 + 1.1101000 is 0.1010000
        1: {"align": "0.0011000", "negate": "1.1101000", "add": "0.1010000", "answer": "0.1010000 0011"},
        2: {"add": "0.1111100", "answer": "0.1111100 0011"},
    }
    first = entry(FOUR, written)["questions"][0]
    assert first["reading"] == "the second copied with two mantissa bits exchanged"


def test_sign_and_magnitude_is_no_hidden_one() -> None:
    """A leading 1 for minus and the size behind it, read and written: named, and no convention beside it."""
    papers = papers_of(
        ("decode", "10110000 1110"), ("decode", "11010000 0001"), ("encode", "-5.25"), ("encode", "-0.4375"),
        ("decode", "01010000 0011"),
    )  # fmt: skip
    written: Written = {
        1: {"exponent": "-2", "mantissa": "-3/8", "answer": "-0.09375"},
        2: {"mantissa": "-.625", "answer": "-1.25"},
        3: {"size": "101.01", "answer": "1.1010100 0011"},
        4: {"size": "0.0111", "answer": "1.1110000 1111"},
        5: {"answer": "5"},
    }
    found = entry(papers, written)
    assert {belief for among in named(found) for belief in among} == {"mantissa-sign-mag", "set-sign-bit"}
    assert not [name for name, chance in found["methods"].items() if chance > 0.05]


def test_a_convention_says_which_answers_do_not_bear_it_out() -> None:
    """Negated first: three subtractions cut as that method cuts them, and one slip."""
    papers = papers_of(
        ("subtract", "6.5", "0.7109375"),
        ("subtract", "1.015625", "0.9921875"),
        ("subtract", "8.875", "3.6875"),
        ("subtract", "6.5", "1.25"),
        ("subtract", "3.5", "1.25"),
        ("add", "1.015625", "-0.9921875"),
    )
    written: Written = {
        1: {"answer": "0.1011100 0011"},  # 5.75, where cutting before negating leaves 5.8125
        2: {"answer": "0.1000000 1011"},  # 1/64, where it leaves 1/32
        3: {"answer": "0.1010010 0011"},  # 5.125, where it leaves 5.25
        4: {"answer": "0.1010101 0011"},
        5: {"answer": "0.1001000 0010"},
        6: {"answer": "0.1000000 1011"},  # 1/64: nothing is negated, and one cut at the end would keep 3/128
    }
    found = entry(papers, written)
    assert found["methods"].get("negate-then-align", 0) > 0.5
    assert found["contrary"]["negate-then-align"] == [4]
    summary = Summary(papers)
    summary.add(found)
    assert "Not every answer bears it out: H01 on 4." in class_page(summary)


def test_no_belief_is_named_against_a_right_line() -> None:
    """Negated rightly on every line, and answers as if nothing had been added."""
    written: Written = {
        1: {"negate": "1.1101100", "answer": "0.1010011 0011"},
        2: {"negate": "0.0100100", "answer": "0.1111011 0011"},
        3: {"negate": "1.1011", "answer": "0.1000111 0010"},
    }
    assert not [among for among in named(entry(FOUR, written)) if "invert-only" in among]
