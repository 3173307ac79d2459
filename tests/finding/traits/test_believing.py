"""How many wrong answers tell beliefs apart, against answers as pupils would write them."""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

import chalkpoint as cp
from chalkpoint.finding.find import Find
from chalkpoint.setting.fairness import judge


@pytest.mark.parametrize("operation", ["add", "subtract"])
def test_answer_classes_are_the_different_wrong_answers(operation: str) -> None:
    """In 5+3 a question is found by as many classes as there are different wrong answers in bits."""
    every = cp.find(operation, format="5+3")
    found = [(classes, asked(every, classes)) for classes in (9, 13, 17)]
    for question in every.draw(250, seed=4):
        wrong = set(judge(question.question).wrong.values())
        for classes, numbers in found:
            assert (question.given in numbers) == (len(wrong) == classes), question


def asked(every: Find, classes: int) -> set[tuple[object, ...]]:
    """Return the operands of every question with so many classes."""
    found = cp.find(every.operation, format="5+3", where=[f"answer-classes = {classes}"])
    assert found.exact
    return {found[number].given for number in range(found.count)}


def test_a_table_of_answer_classes_adds_up() -> None:
    """Every question of 4+3 has some number of classes, counted at once."""
    table = cp.find("add", format="4+3").table("answer-classes")

    assert sum(table.counts.values()) == (8 * 8) ** 2
    assert len(table.counts) > 5


def test_answer_classes_are_an_estimate_where_questions_are_many() -> None:
    """In 24+8 the share is drawn, and what is drawn meets the request."""
    found = cp.find("subtract", format="24+8", where=["answer-classes >= 20"])

    assert not found.exact
    (question,) = found.draw(1, seed=1)
    assert len(set(judge(question.question).wrong.values())) >= 20


@pytest.mark.parametrize(
    ("operation", "belief", "exposed"),
    [
        ("decode", "exp-unsigned", lambda pattern: pattern.exponent < 0),
        ("decode", "mantissa-sign-dropped", lambda pattern: pattern.mantissa < 0),
        ("negate", "sign-bit-only", lambda pattern: pattern.mantissa != 64),
        (
            "normalise",
            "norm-mantissa-only",
            lambda pattern: pattern.mantissa != 0 and -64 <= pattern.mantissa < 64,
        ),
    ],
)
def test_a_belief_about_one_operand_is_exposed_where_its_rule_matters(
    operation: str, belief: str, exposed: Callable[[Any], bool]
) -> None:
    """In 8+4 every operand is looked at, and those found are the ones on which the two rules differ."""
    found = cp.find(operation, format="8+4", where=[f"exposes:{belief}"])
    every = cp.find(operation, format="8+4")
    wanted = {every[number].given for number in range(every.count) if exposed(every[number].given[0])}

    assert found.exact
    assert {found[number].given for number in range(found.count)} == wanted


def stored_exponent(value: Fraction) -> int:
    """Return the exponent that *value* is stored with in 8+4, zero with the lowest."""
    for exponent in range(-8, 8):
        high = Fraction(2) ** exponent
        if high / 2 <= value < high or -high <= value < -high / 2:
            return exponent
    return -8


def test_a_belief_about_storing_is_exposed_where_the_exponent_shows_it() -> None:
    """Sign and magnitude goes wrong on every negative exponent but -4, which is 1100 either way.

    Zero is written down whole, without an exponent being worked out.
    """
    found = cp.find("encode", format="8+4", where=["exposes:exp-written-sign-mag"])
    every = [Fraction(hundredths, 100) for hundredths in range(-10000, 10001)]

    assert found.exact
    assert [found[number].given[0] for number in range(found.count)] == [
        value for value in every if value and stored_exponent(value) < 0 and stored_exponent(value) != -4
    ]


def test_only_exposing_is_asked_of_one_operand() -> None:
    """Other families compare rows that one operand's working does not share."""
    with pytest.raises(
        cp.EntryError, match="'untouched:exp-unsigned' is not a trait of decode; give exposes:X"
    ):
        cp.find("decode", format="8+4", where=["untouched:exp-unsigned"])
