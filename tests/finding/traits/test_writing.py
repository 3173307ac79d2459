"""How long a solution is and whether its numbers could be measured, against counts and bounds written again."""

from fractions import Fraction
from itertools import product
from typing import Any

import pytest

import chalkpoint as cp
from asking import normalised
from chalkpoint.finding.find import find
from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.course import Course

FORMAT = Course(format="5+3").float_format


def written(working: cp.Working) -> str:
    """Return everything that is written in a solution, in a row."""
    rows = [row for step in working.steps for row in step.rows if not row.soft]
    digits = [row.bits + row.exponent_bits + row.lost for row in rows]
    values = [*working.question.values, working.check.exact]
    return "".join([*digits, *map(text, values)])


def text(value: Fraction) -> str:
    """Return a decimal, as short as it can be."""
    sign = "-" if value < 0 else ""
    whole, rest = divmod(abs(value), 1)
    digits = ""
    while rest:
        digit, rest = divmod(rest * 10, 1)
        digits += str(digit)
    return f"{sign}{whole}" + (f".{digits}" if digits else "")


def test_digits_to_write_are_what_stands_on_the_page() -> None:
    """Subtractions of 5+3 with two shifts are found by the length of what is written."""
    where = ["align-shift = 2", "carry-dropped", "exact-result"]
    every = find("subtract", format="5+3", where=where)
    short = find("subtract", format="5+3", where=[*where, "digits-to-write <= 70"])
    assert short.exact
    found = {short[number].given for number in range(short.count)}
    assert 0 < len(found) < every.count
    for question in (every[number] for number in range(0, every.count, 5)):
        assert (question.given in found) == (len(written(question.work())) <= 70), question


def test_digits_to_write_of_one_operand() -> None:
    """Normalising 0.0011 with exponent 1 writes two rows of eight digits and 0.375 twice."""
    found = find("normalise", format="5+3", where=["digits-to-write = 26"])

    assert any(question.operands == ["00011 001"] for question in found.draw(found.count))


PLAUSIBLE: dict[tuple[str, str], tuple[Any, ...]] = {
    # first operand, second operand, answer, places
    ("subtract", "wave-correction"): ((0, 12), (0, 3), (0, 12), 6),
    ("subtract", "cooling"): ((-8, 32), (-16, 24), (-24, 40), 4),
    ("add", "drift"): ((-2, 9), (Fraction(-1, 2), Fraction(1, 2)), (-3, 10), 8),
}


@pytest.mark.parametrize(("operation", "gauge"), PLAUSIBLE)
def test_plausible_numbers_are_within_range_and_resolution(operation: str, gauge: str) -> None:
    """In 5+3 the questions found are those whose three numbers a gauge gives, by fractions."""
    *bounds, places = PLAUSIBLE[operation, gauge]
    found = find(operation, format="5+3", where=[f"plausible-in-context = {gauge}"])
    wanted = set()
    for first, second in product(normalised(FORMAT), repeat=2):
        one, other = FORMAT.value(first), FORMAT.value(second)
        values = (one, other, one - other if operation == "subtract" else one + other)
        if all(
            low <= value <= high and (value * 10**places).denominator == 1
            for value, (low, high) in zip(values, bounds, strict=True)
        ):
            wanted.add((first, second))

    assert found.exact
    assert {found[number].given for number in range(found.count)} == wanted


def test_any_gauge_is_one_of_them() -> None:
    """What is plausible for some gauge is what is plausible for the first, the second or the third."""
    table = find("add", format="4+3").table("plausible-in-context").counts
    others = [f"not plausible-in-context = {gauge}" for gauge in ("tide-and-surge", "warming", "drift")]
    assert find("add", format="4+3", where=["plausible-in-context = any", *others]).count == 0
    none = find("add", format="4+3", where=["not plausible-in-context = any"]).count

    assert table["any",] + none == 64**2
    assert find("add", format="4+3", where=others).count == none
    assert find("add", format="4+3", where=["plausible-in-context != drift"]).count == 64**2 - table["drift",]


def test_a_gauge_of_another_operation_is_refused_with_near_misses() -> None:
    """A drift is added, and never taken away."""
    with pytest.raises(EntryError, match="'drift' is no value of plausible-in-context"):
        find("subtract", format="5+3", where=["plausible-in-context = drift"])


def test_many_questions_give_an_estimate_that_says_so() -> None:
    """In 8+4 the plausible ones are drawn and filtered; with few left they are counted, and numbered."""
    drawn = find("subtract", format="8+4", where=["plausible-in-context = any"])
    few = find("subtract", format="8+4", where=["plausible-in-context = any", "sparse <= 4"])

    assert (drawn.exact, few.exact) == (False, True)
    assert drawn.interval is not None
    assert drawn.interval[0] < drawn.count < drawn.interval[1]
    assert few[few.count - 1].question.patterns == few[few.count - 1].given
    assert few.simplest(1)[0].number is not None


def test_a_table_of_too_many_questions_is_refused() -> None:
    """A table looks at every question, so it is made of few."""
    with pytest.raises(EntryError, match="too many; ask for 65,536 at most"):
        find("subtract", format="8+4").table("plausible-in-context")
