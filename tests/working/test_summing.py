"""Chains of additions against exact fractions."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

import chalkpoint as cp

TERMS = st.lists(st.integers(-127, 127).map(lambda number: Fraction(number, 16)), min_size=2, max_size=6)


@given(TERMS, st.sampled_from(["8+4", "1+4+3", "binary16", "Q5.3", "8+4 sign-and-magnitude"]))
def test_the_exact_sum_is_that_of_the_stored_terms(terms: list[Fraction], spelling: str) -> None:
    """The check holds the exact sum, and what each addition lost adds up to the error."""
    course = cp.Course(format=spelling)
    try:
        working = cp.work("sum", *terms, course=course)
    except cp.EntryError:  # a term that the format does not hold
        return
    exact = sum(working.question.values, Fraction(0))

    assert working.check.exact == exact
    if working.check.error is not None and working.check.verdict != "overflow":
        assert sum((loss.worth for loss in working.losses), Fraction(0)) == working.check.error
    assert all(step.says and step.spoken for step in working.steps)


@given(TERMS)
def test_a_better_order_is_better_and_comes_to_what_it_says(terms: list[Fraction]) -> None:
    """Added in the order shown, the terms come to the result shown, nearer to the exact sum."""
    working = cp.work("sum", *terms, format="8+4")
    orders = [step.after for step in working.steps if step.rule == "order"]
    for order in orders:
        again = cp.work("sum", *(terms[number - 1] for number in order.terms), format="8+4")
        assert again.pattern == order.result
        if order.better and working.check.error is not None:
            assert abs(order.error) < abs(working.check.error)


def test_the_example_of_small_terms_absorbed_one_by_one() -> None:
    """8 + three of 0.046875: one by one each is absorbed; the small ones first give 8.125."""
    working = cp.work("sum", "8", "0.046875", "0.046875", "0.046875")
    additions = [step.after for step in working.steps if step.rule == "add"]
    (order,) = (step.after for step in working.steps if step.rule == "order")

    assert working.result.value == 8
    assert [addition.absorbed for addition in additions] == [True, True, True]
    assert order.terms == (2, 3, 4, 1)
    assert working.question.format.value(order.result) == Fraction(65, 8)
    assert "absorbed" in working.steps[0].detail


def test_a_chain_ends_at_the_first_word() -> None:
    """Once a total is out of range nothing can be added to it; another order may stay in range."""
    working = cp.work("sum", "100", "100", "-100")
    (order,) = (step.after for step in working.steps if step.rule == "order")

    assert working.result.outcome == "overflow"
    assert [step.rule for step in working.steps] == ["add", "order"]
    assert order.better
    assert working.question.format.value(order.result) == 100


def test_an_exact_chain_needs_no_other_order() -> None:
    """Where nothing is lost, no other order is looked for."""
    assert {step.rule for step in cp.work("sum", "1", "2", "3").steps} == {"add"}


def test_unquoted_fields_are_joined_by_their_widths() -> None:
    """A shell that splits patterns into fields is understood, however many terms there are."""
    fields = ("01000000", "0001", "01000000", "0010", "01000000", "0011")

    assert cp.work("sum", *fields).result.value == 7


@pytest.mark.parametrize("terms", [(), ("1",)])
def test_fewer_than_two_terms_are_refused(terms: tuple[str, ...]) -> None:
    """A sum has two terms or more."""
    with pytest.raises(cp.EntryError, match="sum takes two or more operands"):
        cp.work("sum", *terms)


@pytest.mark.parametrize(
    ("terms", "order", "why"),
    [
        (("64", "-0.25", "-64"), (1, 3, 2), "the two large terms cancel before a small one"),
        (("8", "0.046875", "0.046875", "0.046875"), (2, 3, 4, 1), "small terms together can grow"),
    ],
)
def test_a_better_order_says_why_it_is_better(
    terms: tuple[str, ...], order: tuple[int, ...], why: str
) -> None:
    """Terms that cancel are not small terms that grow."""
    step = cp.work("sum", *terms).steps[-1]

    assert step.after.terms == order
    assert why in step.detail


def test_the_order_asked_is_no_other_order() -> None:
    """Two terms given the smaller first, one of them lost: no order is nearer, and none is shown."""
    working = cp.work("sum", "0.25", "64")

    assert working.check.error != 0
    assert [step.rule for step in working.steps] == ["add"]
