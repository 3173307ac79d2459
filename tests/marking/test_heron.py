"""Class 12 Heron: 28 pupils and ten questions, each mark given by hand first, and compared one by one."""

import tomllib
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from chalkpoint.marking.marks import mark_question
from chalkpoint.setting.papers import Asked
from heron import one_question


def table(name: str) -> list[dict[str, Any]]:
    """Return the questions of a table of answers with their marks."""
    text = (Path(__file__).parent / "heron" / name).read_text(encoding="utf-8")
    return list(tomllib.loads(text)["question"])


TABLE = table("class.toml")
SEVERE = [
    pytest.param(entry, script, id=f"{entry['ask'][0]}-{at}-{number}")
    for at, entry in enumerate(
        [
            *table("severe.toml"),
            *table("severe_more.toml"),
            *table("other_families.toml"),
            *table("untidy.toml"),
            *table("as_written.toml"),
            *table("by_thumb.toml"),
            *table("other_codes.toml"),
        ],
        start=1,
    )
    for number, script in enumerate(entry["scripts"], start=1)
]
BOTH_TOTALS = [
    pytest.param(entry, script, id=f"{entry['ask'][0]}-{at}-{number}")
    for at, entry in enumerate([*table("tray.toml"), *table("hexadecimal.toml")], start=1)
    for number, script in enumerate(entry["scripts"], start=1)
]
PUPILS = [f"H{number:02}" for number in range(1, 29)]
NOT_WRITTEN = {"marks", "lenient", "messy", "why"}


def scripts() -> Iterator[tuple[int, str, dict[str, Any]]]:
    """Yield (question, pupil, what is written and given); who is not listed wrote what the key says."""
    for number, entry in enumerate(TABLE, start=1):
        for pupil in PUPILS:
            yield number, pupil, entry.get(pupil, entry["key"] | {"marks": entry["of"], "why": "as the key"})


def value(bits: str) -> Fraction:
    """Return the value of a pattern in 8+4, by its place values."""
    mantissa, exponent = bits.replace(".", "").split()
    whole = int(mantissa, 2) - 256 * (mantissa[0] == "1")
    power = int(exponent, 2) - 16 * (exponent[0] == "1")
    return Fraction(whole, 128) * Fraction(2) ** power


def test_the_class_is_as_large_and_as_messy_as_it_should_be() -> None:
    """At least 100 answers are not as the key, 60 of them messy, each with its reason."""
    listed = [entry[pupil] for entry in TABLE for pupil in PUPILS if pupil in entry]
    assert len(TABLE) == 10
    assert len(listed) >= 100
    assert sum(one.get("messy", False) for one in listed) >= 60
    assert all(one["why"] and one["marks"] <= one.get("lenient", one["marks"]) for one in listed)


@pytest.mark.parametrize(
    ("number", "right"),
    [(2, "-21/4"), (3, "-7/16"), (4, "21/4"), (5, "5/4"), (6, "6"), (7, "-55/8"), (8, "53/32"), (9, "73/16")],
)
def test_the_key_is_right(number: int, right: str) -> None:
    """By place values, apart from the package's own arithmetic: subtraction and division cut what they lose."""
    assert value(TABLE[number - 1]["key"]["answer"]) == Fraction(right)


@pytest.mark.parametrize(("number", "pupil", "script"), list(scripts()), ids=lambda one: str(one)[:6])
def test_no_mark_differs_in_silence(number: int, pupil: str, script: dict[str, Any]) -> None:
    """The mark is the one given by hand, or it waits for the teacher with both totals."""
    compare(one_question(*TABLE[number - 1]["ask"], name="12 Heron"), script)


@pytest.mark.parametrize(("entry", "script"), SEVERE)
def test_no_severe_teacher_overturns_a_mark(entry: dict[str, Any], script: dict[str, Any]) -> None:
    """Every type of question, wide formats too, each mark given before it was marked here."""
    asked = one_question(*entry["ask"], format=entry["format"])
    assert asked.marks == entry["of"]
    compare(asked, script)


@pytest.mark.parametrize(("entry", "script"), BOTH_TOTALS)
def test_both_totals_are_those_given_by_hand(entry: dict[str, Any], script: dict[str, Any]) -> None:
    """What is plain does not wait, and what waits has the two totals that the two rulings give."""
    course = {key: value for key, value in entry.items() if key not in {"ask", "of", "scripts"}}
    asked = one_question(*entry["ask"], **course)
    assert asked.marks == entry["of"]
    marked = mark_question(asked, written_in(script))
    assert (marked.marks, marked.most) == (script["marks"], script.get("lenient", script["marks"])), script[
        "why"
    ]


def written_in(script: dict[str, Any]) -> dict[str, str]:
    """Return what a script says, by line."""
    return {line: text for line, text in script.items() if line not in NOT_WRITTEN}


def compare(asked: Asked, script: dict[str, Any]) -> None:
    """Hold the mark given by hand against the mark, or both totals where it waits."""
    marked = mark_question(asked, written_in(script))
    strict, lenient = script["marks"], script.get("lenient", script["marks"])
    if not marked.waiting:
        assert (marked.marks, marked.marks) == (strict, lenient), script["why"]
    else:
        assert {strict, lenient} <= {marked.marks, marked.most}, script["why"]
