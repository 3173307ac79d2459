"""What a course may choose about operands and underflow, held against the second road."""

from __future__ import annotations

from itertools import product

import pytest

import chalkpoint as cp
import second_road as road
from second_road import Answer, Number

CALCULATIONS = pytest.mark.parametrize(("operation", "method"), list(product(road.OPERATIONS, road.METHODS)))


def told(operation: str, pair: tuple[Number, Number], course: cp.Course) -> tuple[str, str | None]:
    """Return the outcome and bits of a calculation under a course's method and options."""
    m, e = (int(bits) for bits in course.format.split("+"))
    total = road.total_of(operation, course.method, pair, m, course.operands)
    result = road.finished(total, course.method, m, e)
    if result.outcome == "underflow":
        chosen: dict[str, Answer] = {"word": result, "zero": road.ZERO}
        result = chosen.get(course.underflow) or road.left_un_normalised(total, m, e)
    return result.outcome, road.stored_bits(result, m, e)


def disagreements(operation: str, course: cp.Course) -> list[tuple[str, str]]:
    """Return the pairs of patterns whose outcome or bits are not those the second road gives."""
    m, e = (int(bits) for bits in course.format.split("+"))
    texts = {number: road.bits_of(number, m, e) for number in road.patterns(m, e)}
    found = []
    for first, second in product(texts, repeat=2):
        result = cp.work(operation, texts[first], texts[second], course=course).result
        if (result.outcome, result.bits) != told(operation, (first, second), course):
            found.append((texts[first], texts[second]))
    return found


@CALCULATIONS
def test_operands_aligned_as_written(operation: str, method: str) -> None:
    """Un-normalised operands aligned as they stand, for every pair of 4+2."""
    assert disagreements(operation, cp.Course(format="4+2", method=method, operands="as written")) == []


@pytest.mark.parametrize("underflow", ["zero", "un-normalised"])
@CALCULATIONS
def test_underflow_as_the_course_says(operation: str, method: str, underflow: str) -> None:
    """An underflow flushed to zero, or kept at the lowest exponent, for every pair of 3+2."""
    assert disagreements(operation, cp.Course(format="3+2", method=method, underflow=underflow)) == []


def test_aligning_as_written_changes_some_answers() -> None:
    """0.0011 * 2^2 keeps its exponent and costs the other a bit that normalising first would save."""
    operands = "00011000 0010", "01000001 0001"
    answers = {
        choice: cp.work("add", *operands, course=cp.Course(operands=choice)).result.bits
        for choice in ("normalise first", "as written")
    }

    assert answers == {"normalise first": "01110001 0001", "as written": "01110000 0001"}


def test_exponent_first_turns_the_fields_round() -> None:
    """With the exponent first the same answer is written the other way round."""
    last = cp.work("subtract", "01101000 0011", "01011011 0000").result
    first = cp.work("subtract", "0011 01101000", "0000 01011011", course=cp.Course(exponent="first")).result

    assert last.bits is not None
    assert first.bits == " ".join(reversed(last.bits.split()))
    assert first.value == last.value
