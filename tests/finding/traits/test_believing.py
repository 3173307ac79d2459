"""How many wrong answers tell beliefs apart, against answers as pupils would write them."""

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
