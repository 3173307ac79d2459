"""Naming: what must hold besides the probability, which stands at 0.99 throughout here."""

import pytest

from chalkpoint.marking.asking import diagnose
from chalkpoint.marking.chances import Item, Model, Seen
from chalkpoint.marking.naming import Evidence, Finding, findings
from chalkpoint.marking.ways import Way, held_method, ways_for
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by
from chalkpoint.working.question import ask, ask_line

WAYS = ways_for(Course(), frozenset({"add", "subtract"}), pairs=False)
NUMBERS = {way: number for number, way in enumerate(WAYS)}

WRAPPING = [  # the sum needs one place more
    "add 01101000 0010, 01011000 0010",
    "add 01110000 0010, 01010000 0010",
    "add 01101000 0010, 01100000 0010",
    "add 01110000 0010, 01100000 0010",
]
FITTING = [
    "add 01010000 0011, 01000000 0001",
    "add 01100000 0010, 01000000 0000",
    "add 01001000 0011, 01000000 0000",
]
LOSING = ["subtract 01101000 0011, 01010001 0001", "subtract 01101000 0011, 01010011 0001"]
KEEPING = ["subtract 01101000 0011, 01010000 0001", "subtract 01110000 0011, 01010000 0001"]


def found(belief: str, lines: list[str], slips: dict[int, int]) -> Finding:
    """Return what is said of a holder of *belief* who turns over one digit of some answers (question: place)."""
    held = NUMBERS[Way("", (belief,))]
    seen = []
    for number, line in enumerate(lines, start=1):
        item = Item(ask_line(line, course=Course()), WAYS, Model())
        answer = item.by(held)
        if number in slips:
            at = slips[number]
            answer = f"{answer[:at]}{'10'[int(answer[at])]}{answer[at + 1 :]}"
        seen.append(Seen(number, item, answer))
    chances = [0.99 if way == held else 0.0 for way in range(len(WAYS))]
    return findings(Evidence(WAYS, NUMBERS, [*chances, 0.01], tuple(seen)))[0]


@pytest.mark.parametrize(
    ("slips", "why"),
    [
        ({}, ""),
        ({3: 1, 4: 2}, ""),
        ({3: 2, 4: 2}, "too many of the wrong answers are unlike it"),
        ({2: 1, 3: 2, 4: 3}, "one answer is not enough"),
    ],
)
def test_half_may_be_slips_at_different_places(slips: dict[int, int], why: str) -> None:
    """Of four answers that could show it two may be slips, unless at the same place."""
    assert found("repair-copies-wrong-sign", WRAPPING, slips).why == why


def test_no_more_slips_than_answers_that_show_it() -> None:
    """Two answers carry two slips elsewhere, and not three."""
    lines = [*WRAPPING[:2], *FITTING]
    assert found("wrap-accepted", lines, {3: 2, 4: 3}).named
    assert (
        found("wrap-accepted", lines, {3: 2, 4: 3, 5: 4}).why == "too many of the wrong answers are unlike it"
    )


def test_a_right_method_must_miss_more() -> None:
    """Where 1s are lost, forgetting to add one is negating first: two answers elsewhere must tell, and be no slips."""
    why = "negate-then-align and a slip give the same answers"
    assert found("invert-only", LOSING, {}).why == "another right method may explain it"
    assert found("invert-only", [*LOSING, KEEPING[0]], {}).why == why
    assert found("invert-only", [*LOSING, *KEEPING], {}).named
    assert found("invert-only", [*LOSING, *KEEPING], {4: 1}).why == why


def test_each_unlike_answer_wants_two_that_show_the_belief() -> None:
    """An answer at random beside two that show the belief is borne; two beside three are too many."""
    assert found_with("repair-copies-wrong-sign", WRAPPING[:3], {3: "00000000 0000"}).named
    lines = [*WRAPPING[:3], *FITTING[:2]]
    wild = {4: "00000000 0000", 5: "11111111 1111"}
    assert (
        found_with("repair-copies-wrong-sign", lines, wild).why
        == "too many of the wrong answers are unlike it"
    )


def found_with(belief: str, lines: list[str], others: dict[int, str]) -> Finding:
    """Return what is said of a holder of *belief* who writes *others* on some questions."""
    held = NUMBERS[Way("", (belief,))]
    items = [Item(ask_line(line, course=Course()), WAYS, Model()) for line in lines]
    seen = tuple(
        Seen(number, item, others.get(number, item.by(held))) for number, item in enumerate(items, start=1)
    )
    chances = [0.99 if way == held else 0.0 for way in range(len(WAYS))]
    return findings(Evidence(WAYS, NUMBERS, [*chances, 0.01], seen))[0]


IN_FIXED = Course(format="Q5.3")
BOTH = ("frac-bits-bottom-up", "add-then-invert")


@pytest.mark.parametrize(
    ("values", "named"), [(("-89/8", "-49/8", "-115/8"), ()), (("-89/8", "-49/8", "-115/8", "89/8"), BOTH)]
)
def test_two_beliefs_that_only_show_together_are_not_named(
    values: tuple[str, ...], named: tuple[str, ...]
) -> None:
    """Of negatives with a fraction both change every answer; a positive one shows the first by itself."""
    method = held_method(Way("", BOTH), "encode", IN_FIXED)
    asked = [ask("encode", value, course=IN_FIXED) for value in values]
    said = diagnose([(one, answer_by(method, one)) for one in asked])
    assert {belief for finding in said.named for belief in finding.among} == set(named)
