"""Between any two formats: read in one, stored in the other."""

from __future__ import annotations

import pytest

import chalkpoint as cp
from chalkpoint.numbers.listed import list_formats

SPELLINGS = [entry.spelling for entry in list_formats()]


@pytest.mark.parametrize("source", SPELLINGS)
def test_between_any_two_formats(source: str) -> None:
    """1.5 goes from every format to every other, and arrives as that format stores it."""
    for target in SPELLINGS:
        working = cp.work("convert", "1.5", target, format=source)
        stored = working.question.format.value(working.question.patterns[0])
        assert working.result.value == cp.work("encode", stored, format=target).result.value
        assert working.result_format == target
        assert working.check.exact == stored
        assert all(step.says and step.spoken for step in working.steps)
        assert len({step.rule for step in working.steps}) == len(working.steps)


@pytest.mark.parametrize(
    ("source", "value", "target", "wanted"),
    [
        ("8+4", "-5.25", "Q5.3", "11010110"),
        ("Q5.3", "-5.25", "8+4", "10101100 0011"),
        ("Q5.3", "-2.625", "8+4", "10101100 0010"),
        ("8+4", "-2.625", "Q5.3", "11101011"),
    ],
)
def test_the_examples_of_fixed_to_float_and_back(source: str, value: str, target: str, wanted: str) -> None:
    """The step models' examples, both ways."""
    assert cp.work("convert", value, target, format=source).result.bits == wanted


@pytest.mark.parametrize(("word", "sign"), [("infinity", ""), ("infinity", "-"), ("nan", "")])
def test_special_values_go_where_there_is_a_pattern_for_them(word: str, sign: str) -> None:
    """An infinity stays one, and NaN stays NaN; elsewhere the answer is the word."""
    kept = cp.work("convert", f"{sign}{word}", "binary32", format="binary16")
    lost = cp.work("convert", f"{sign}{word}", "8+4", format="binary16")

    assert kept.result.outcome == lost.result.outcome == {"infinity": "infinity", "nan": "not a number"}[word]
    assert kept.result.bits is not None
    assert lost.result.bits is None
    assert lost.steps[-1].spoken


def test_what_the_storing_loses_is_traced_to_its_step() -> None:
    """The loss carries the number of the step in the whole working."""
    working = cp.work("convert", "0x3E21", "E4M3", format="binary16")
    (loss,) = working.losses

    assert working.steps[loss.step - 1].rule == "store-round"
    assert loss.worth == working.check.error


def test_the_target_is_asked_for() -> None:
    """Without a format behind the operand one sentence says what is missing."""
    with pytest.raises(cp.EntryError, match="convert takes an operand and the format to bring it into"):
        cp.work("convert", "1.5")
