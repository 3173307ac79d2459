"""Variants: equal by the declared measure, no question twice, the same for the same seed."""

from collections import Counter
from dataclasses import astuple, replace
from typing import Any

import pytest

from brackwater import COURSE, EVERY_KIND, PRACTICE, WHOLE, papers
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.asking import DEMANDS, Blueprint, BlueprintQuestion
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.measures import DIFFICULTY_TOLERANCE, pins_of, writing_tolerance
from chalkpoint.setting.setter import set_papers
from chalkpoint.setting.sources import case_from, key_of, parse_where
from chalkpoint.setting.variants import choose
from chalkpoint.working.course import Course

CLASS = 12
COURSE_84 = Course(format="8+4")


def columns(text: str, variants: int = CLASS) -> list[list[Any]]:
    """Return the items of each question, over all variants."""
    return [
        list(column) for column in zip(*(paper.questions for paper in papers(text, variants)), strict=True)
    ]


@pytest.mark.parametrize("text", [WHOLE, EVERY_KIND, PRACTICE], ids=["paper", "every kind", "practice"])
def test_variants_share_lines_marks_and_letters(text: str) -> None:
    """The same steps for the same marks, whoever gets which paper."""
    for column in columns(text, 3):
        assert len({item.candidate.measure.lines for item in column}) == 1
        assert len({item.candidate.measure.points for item in column}) == 1
        assert len({item.scheme.total for item in column}) == 1


def test_variants_are_near_in_writing_and_difficulty() -> None:
    """No two variants of a question lie further apart than the tolerance on either side of their middle."""
    for column in columns(WHOLE):
        amounts = [item.candidate.measure.writing for item in column]
        beliefs = [item.candidate.measure.difficulty for item in column]
        assert max(amounts) - min(amounts) <= 2 * writing_tolerance(max(amounts))
        assert max(beliefs) - min(beliefs) <= 2 * DIFFICULTY_TOLERANCE


def test_variants_have_the_traits_asked_for_and_share_the_rest() -> None:
    """What the blueprint asks is true of each question, and so are the pinned demands of its first."""
    blueprint = parse_blueprint(WHOLE)
    asked = [part for part in blueprint.questions for _ in range(part.count)]
    for part, column in zip(asked, columns(WHOLE), strict=True):
        terms = parse_where(part.where, part.operation)
        for item in column:
            assert all(term.meets(case_from(item.question)) for term in terms)
        assert len({pins_of(item.question) for item in column}) == 1


def test_no_question_is_asked_twice_in_a_class() -> None:
    """Twelve variants of two subtractions are 24 different ones; the range of a format is one question."""
    asked = Counter(
        (item.question.operation.name, *item.question.operands)
        for paper in papers(WHOLE, CLASS)
        for item in paper.questions
    )

    assert {key[0] for key, count in asked.items() if count > 1} == {"range"}


def test_same_seed_same_papers_and_another_seed_others() -> None:
    """Nothing but the blueprint, the number of variants and the seed decides."""
    blueprint = parse_blueprint(WHOLE)
    again = set_papers(blueprint, variants=3, seed=7).to_dict()

    assert again == papers(WHOLE).to_dict()
    assert again["papers"] != set_papers(blueprint, variants=3, seed=8).to_dict()["papers"]


def test_the_report_says_that_variants_are_equal() -> None:
    """The last paragraph is the verdict, and each question's spread stands above it."""
    report = papers(WHOLE, CLASS).report

    assert report[0] == "Gauge readings: 12 variants of 5 questions, 28 marks each."
    assert "Every variant is equal to every other" in report[-2]
    assert "The same in every variant: question 5." in report[-1]
    assert sum(paragraph.startswith("Question ") for paragraph in report) == 5


def test_too_small_a_space_is_said_to_be() -> None:
    """A class that needs more questions than there are is told how many there are."""
    text = 'title = "L"\n[[question]]\noperation = "add"\nformat = "3+2"\nwhere = ["align-shift = 2"]\n'

    with pytest.raises(EntryError, match=r"line 2: 500 different add questions.*ask for fewer variants"):
        set_papers(parse_blueprint(text), variants=500, seed=1)


def test_traits_that_exclude_each_other_are_said_to_find_nothing() -> None:
    """The line of the question and its traits are named."""
    text = f'title = "L"\n{COURSE}[[question]]\noperation = "add"\nwhere = ["equal-exponents", "lost-ones >= 1"]\n'

    with pytest.raises(EntryError, match=r"line 7: equal-exponents and lost-ones >= 1 exclude each other"):
        set_papers(parse_blueprint(text), variants=1, seed=1)


def test_a_request_that_only_unfair_questions_meet_is_refused_with_the_reason() -> None:
    """Every overflow is reached by the belief that a carry or a repair means one."""
    blueprint = Blueprint("Levels", Course(), where="levels.toml")
    asked = BlueprintQuestion("add", Course(), ("exponent-overflow", "sign-pattern = --"), line=3)

    with pytest.raises(
        EntryError,
        match=r"levels\.toml, line 3: every add.*right by wrong working \(.*carry-.*"
        r'change where, or set accidental = "needs working"$',
    ):
        choose(blueprint, asked, 2, "7", set())


def test_what_is_advised_would_help() -> None:
    """With the advice taken, the end-around carry is asked; of methods that differ nothing is said."""
    asked = 'operation = "subtract"\nformat = "8 ones-complement"\nwhere = ["end-around-carry"]'
    text = 'title = "L"\n{}[[question]]\n' + asked

    with pytest.raises(EntryError, match="twos-complement-assumed") as refused:
        set_papers(parse_blueprint(text.format("")), variants=1, seed=1)
    assert str(refused.value).endswith('change where, or set accidental = "needs working"')
    (paper,) = set_papers(
        parse_blueprint(text.format('accidental = "needs working"\n')), variants=1, seed=1
    ).papers
    assert len(paper.questions) == 1


@pytest.mark.parametrize(("variants", "seed"), [(0, 1), (1001, 1), (1, -1)])
def test_numbers_of_variants_and_seeds_that_cannot_be(variants: int, seed: int) -> None:
    """What is accepted is said."""
    with pytest.raises(EntryError, match="give a whole number from"):
        set_papers(parse_blueprint(WHOLE), variants=variants, seed=seed)


def test_progress_is_told_a_question_at_a_time() -> None:
    """The watcher hears of every question, the last time that all are done."""
    heard: list[tuple[int, int]] = []
    set_papers(parse_blueprint(WHOLE), variants=1, seed=1, watch=lambda done, of: heard.append((done, of)))

    assert heard == [(at, 5) for at in range(1, 6)]


def carried(first: int, second: int) -> str:
    """Return, over each of eight columns, whether it is carried into: worked a column at a time."""
    carry, found = 0, ""
    for place in range(8):
        found = str(carry) + found
        carry = ((first >> place & 1) + (second >> place & 1) + carry) >> 1
    return found


def moves(total: int) -> int:
    """Return how many places a sum of eight digits is moved until it is normalised: to the right, as a mantissa."""
    places = 0
    while total and -64 <= total < 64:
        total, places = total * 2, places - 1
    while not -128 <= total < 128:
        total, places = total // 2, places + 1
    return places


def test_variants_are_equal_in_what_a_pupil_meets() -> None:
    """Recomputed from the patterns alone, by another road: every measure of the strip, and what an answer alone earns.

    Carries, their longest chain, columns of three 1s, which number moves, how far the sum is moved, -1.0 as an operand.
    """
    for slot_number in (1, 2, 3):
        met = set()
        for paper in papers(WHOLE, 12):
            item = paper.questions[slot_number]
            (m1, e1), (m2, e2) = ((pattern.mantissa, pattern.exponent) for pattern in item.question.patterns)
            top = max(e1, e2)
            rows = [m1 >> (top - e1), m2 >> (top - e2)]
            if item.question.operation.name == "subtract":
                rows[1] = -rows[1]
            carries = carried(rows[0] & 255, rows[1] & 255)
            threes = sum(
                carry == "1" and rows[0] >> place & 1 and rows[1] >> place & 1
                for place, carry in enumerate(reversed(carries))
            )
            longest = max(map(len, carries.split("0")))
            moved = "neither" if e1 == e2 else "first" if e1 < e2 else "second"
            alone = item.scheme.alone == item.scheme.total
            seen = carries.count("1"), longest, threes, moved, moves(sum(rows)), -128 in (m1, m2), alone
            assert seen == astuple(item.candidate.measure.met)
            met.add(seen)
        assert len(met) == 1
    assert all("NOT EQUAL" not in said for said in papers(WHOLE, 12).report)


def test_working_can_be_required_throughout() -> None:
    """Then the answer alone earns its own marks, and the paper says so; without it, all of them."""
    required = papers(WHOLE.replace("[course]", 'working = "required"\n[course]', 1), 1).papers[0]
    for item, free in zip(required.questions, papers(WHOLE, 1).papers[0].questions, strict=True):
        answers = sum(mark.marks for mark in item.scheme.marks if mark.kind == "A")
        if item.question.operation.name == "range":
            assert item.scheme.alone == item.scheme.total
            continue
        assert item.scheme.alone == answers < item.scheme.total == free.scheme.alone
        assert "Show each line: the answer alone does not earn full marks." in item.notes


@pytest.mark.parametrize("operation", ["add", "decode"])
def test_harder_asks_for_more_carries_or_more_writing(operation: str) -> None:
    """Of each of five steps the question is at least as much work as of the step before, and more at the end."""
    plan = Blueprint("Levels", COURSE_84)
    asked = BlueprintQuestion(operation, COURSE_84, ("align-shift = 1",) if operation == "add" else ())
    efforts = []
    for demand in DEMANDS:
        slot = choose(plan, replace(asked, demand=demand), 2, "7", set())
        assert slot.equal
        assert all(
            term.meets(case_from(one.question))
            for one in slot.chosen
            for term in parse_where(asked.where, operation)
        )
        efforts.append(
            max(
                one.measure.effort[:2] if operation == "add" else one.measure.effort[2:]
                for one in slot.chosen
            )
        )
    assert efforts[0] < efforts[4]
    assert efforts[0] <= efforts[1] <= efforts[3] <= efforts[4]


def test_another_draw_is_other_questions_as_hard() -> None:
    """The same conditions and demands, other numbers; the first draw again is what it was."""
    plan, asked = (
        Blueprint("Levels", COURSE_84),
        BlueprintQuestion("subtract", COURSE_84, ("align-shift = 2",)),
    )
    first, second, again = (choose(plan, replace(asked, draw=draw), 3, "7", set()) for draw in (1, 2, 1))

    keys = [[key_of(one.question) for one in slot.chosen] for slot in (first, second, again)]
    assert keys[0] == keys[2]
    assert not set(keys[0]) & set(keys[1])
    assert {one.measure.met for one in first.chosen} == {one.measure.met for one in second.chosen}
    assert second.shared == first.shared


def test_variants_that_cannot_be_made_equal_are_said_not_to_be() -> None:
    """In 3+2 the sums with a place moved are few: the report names what is not the same, and in which variants."""
    text = 'title = "L"\n[[question]]\noperation = "add"\nformat = "4+2"\nwhere = ["align-shift = 1"]\n'
    unlike = set_papers(parse_blueprint(text), variants=60, seed=1)
    met = [paper.questions[0].candidate.measure.met for paper in unlike]

    assert len(set(met)) > 1
    assert "NOT EQUAL" in "\n".join(unlike.report)
    assert "Not equal by this measure: question 1." in unlike.report[-1]


def test_no_question_is_asked_again_that_the_class_had() -> None:
    """With the same seed the same questions would be asked; those that were had are left out, and only those."""
    text = f'title = "L"\n{COURSE}[[question]]\noperation = "add"\nwhere = ["align-shift = 1"]\n'
    first = set_papers(parse_blueprint(text), variants=3, seed=7)
    had = [item.question for paper in first for item in paper.questions]
    second = set_papers(parse_blueprint(text), variants=3, seed=7, had=had)

    again = {key_of(item.question) for paper in second for item in paper.questions}
    assert not again & {key_of(question) for question in had}
