"""Fifty requests in words, written before any rule: what each became."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from chalkpoint.finding.sentences import read_sentence
from chalkpoint.numbers.errors import EntryError

KEPT = tomllib.loads(Path(__file__).with_name("sentences.toml").read_text("utf-8"))
SENTENCES, MORE = KEPT["sentence"], KEPT["more"]


def understood(sentence: dict[str, Any]) -> str:
    """Return "" where a sentence became what it must, and otherwise what it became."""
    read = read_sentence(sentence["say"])
    right = (
        read.operation == sentence["operation"]
        and read.format == sentence.get("format", "")
        and list(read.where) == sentence["where"]
        and [list(other.instead) for other in read.others] == sentence.get("also", [])
        and list(read.unused) == sentence.get("unused", [])
    )
    return "" if right else f"{sentence['say']}: {read}"


def test_at_least_45_of_50_are_understood_whole() -> None:
    """Operation, format, conditions, other readings and unused words, all as they must be."""
    wrong = [said for sentence in SENTENCES if (said := understood(sentence))]
    assert len(SENTENCES) == 50
    assert len(wrong) <= 5, "\n".join(wrong)


@pytest.mark.parametrize("sentence", SENTENCES, ids=lambda sentence: sentence["say"])
def test_nothing_is_wrong_in_silence(sentence: dict[str, Any]) -> None:
    """What was not understood whole has words named as not used."""
    assert not understood(sentence) or read_sentence(sentence["say"]).unused


def test_more_sentences_are_understood_whole() -> None:
    """Operation and conditions as they must be, and no word left over; what else they may mean is offered beside."""
    read = {sentence["say"]: read_sentence(sentence["say"]) for sentence in MORE}
    assert len(read) == 70
    for sentence in MORE:
        one = read[sentence["say"]]
        assert (one.operation, list(one.where), one.unused) == (sentence["operation"], sentence["where"], ())


@pytest.mark.parametrize("sentence", KEPT["family"], ids=lambda sentence: sentence["say"])
def test_requests_in_other_families(sentence: dict[str, Any]) -> None:
    """The format is read as people name it, and its words mean what they mean there."""
    read = read_sentence(sentence["say"])
    assert (read.operation, read.format, list(read.where), read.unused) == (
        sentence["operation"],
        sentence["format"],
        sentence["where"],
        (),
    )


def test_what_no_phrase_says_is_named() -> None:
    """Neither "or" nor a word of a trait that the operation lacks is passed over."""
    assert read_sentence("subtract with lost 1s or a purple cow").unused == ("or", "purple", "cow")
    assert read_sentence("decode with two 1s lost").where == ()
    assert "lost" in read_sentence("decode with two 1s lost").unused


@pytest.mark.parametrize("sentence", KEPT["named"], ids=lambda sentence: sentence["say"])
def test_words_without_a_condition_are_named(sentence: dict[str, Any]) -> None:
    """A wish that no condition can hold is never passed over."""
    assert list(read_sentence(sentence["say"]).unused) == sentence["unused"]


def test_two_operations_are_refused() -> None:
    """One request is about one operation."""
    with pytest.raises(EntryError, match="add and subtract are both named"):
        read_sentence("add or subtract")


@pytest.mark.parametrize(
    ("say", "where"),
    [
        ("subtract a positive number from a negative number", ("sign-pattern = -+",)),
        ("an addition where the mantissa does not overflow", ("not mantissa-overflow",)),
        ("a subtraction where the second number is negative", ("sign-pattern != ++", "sign-pattern != -+")),
        ("a subtraction, first operand positive", ("sign-pattern != -+", "sign-pattern != --")),
        ("a subtraction with a carry out of the sign bit that must be thrown away", ("carry-dropped",)),
        ("an addition without a carry out of the sign bit", ("not carry-dropped",)),
        ("an addition with a carry which is ignored", ("carry-dropped",)),
        (
            "an addition where a 1 falls off the end and the answer is therefore wrong",
            ("lost-ones >= 1", "not exact-result"),
        ),
        ("a subtraction of minus one", ("subtrahend-minus-one",)),
        ("an addition where one operand is -1.0", ("operand-minus-one",)),
        ("a multiplication whose product must be normalised once", ("norm-shift = 1",)),
        ("an addition so that nothing has to be shifted", ("equal-exponents",)),
        ("an addition where no more than two 1s are lost", ("lost-ones <= 2",)),
        ("a subtraction where the answer isn't exact", ("not exact-result",)),
        ("subtract where the first number is not shifted", ("not shifted-operand = first",)),
    ],
)
def test_not_and_order_are_heard(say: str, where: tuple[str, ...]) -> None:
    """A small word that turns a request round is never lost."""
    read = read_sentence(say)
    assert (read.where, read.unused) == (where, ())
