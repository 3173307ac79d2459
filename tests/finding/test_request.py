"""Reading requests: every form, and one clear sentence for what cannot be taken."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from asking import term
from chalkpoint.finding.find import find
from chalkpoint.numbers.errors import EntryError


@pytest.mark.parametrize(
    ("text", "bounds", "negated", "written"),
    [
        ("lost-ones >= 2", ((">=", 2),), False, "lost-ones >= 2"),
        ("  lost-ones>=2 ", ((">=", 2),), False, "lost-ones >= 2"),
        ("lost-ones = 2..4", ((">=", 2), ("<=", 4)), False, "lost-ones = 2..4"),
        ("shifted-operand = second", (("=", 2),), False, "shifted-operand = second"),
        ("shifted-operand != none", (("!=", 0),), False, "shifted-operand != none"),
        ("sign-pattern = -+", (("=", 2),), False, "sign-pattern = -+"),
        ("carry-dropped", (("=", 1),), False, "carry-dropped"),
        ("carry-dropped = no", (("=", 0),), False, "carry-dropped = no"),
        ("not carry-dropped", (("=", 1),), True, "not carry-dropped"),
        ("exposes:invert-only", (("=", 1),), False, "exposes:invert-only"),
        ("error-ulps < 1/2", (("<", Fraction(1, 2)),), False, "error-ulps < 1/2"),
    ],
)
def test_every_form_is_read(
    text: str,
    bounds: tuple[tuple[str, Fraction | int], ...],
    negated: bool,
    written: str,
) -> None:
    """A condition is read into comparisons, and written back evenly."""
    read = term(text, "subtract")
    assert (read.bounds, read.negated, read.text) == (bounds, negated, written)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("lost-one >= 2", "'lost-one' is not a trait of subtract; did you mean lost-ones"),
        ("exposes:invert-onl", "'invert-onl' is not a belief about subtract; did you mean invert-only"),
        ("exposed:invert-only", "did you mean exposes"),
        (
            "shifted-operand = third",
            "'third' is no value of shifted-operand; give one of: none, first, second",
        ),
        ("shifted-operand >= first", "write shifted-operand = none or first or second"),
        ("lost-ones", "'lost-ones' lacks a value; write lost-ones with"),
        ("lost-ones >= many", "'many' is no value of lost-ones"),
        ("lost-ones = 2.5", "it is a whole number from 0"),
        ("lost-ones >= -1", "it is a whole number from 0"),
        ("carry-dropped >= 2", "write carry-dropped, or not carry-dropped"),
        ("lost ones >= 2", "is not a condition; did you mean 'lost-ones >= 2'?"),
        ("not carry droped", "is not a condition; did you mean carry-dropped"),
        ("xyz of nothing", "is not a condition; write a trait such as"),
        ("ambiguous:invert-only", "names 1 beliefs; write ambiguous:align-skip,align-left"),
    ],
)
def test_what_cannot_be_taken_is_refused_in_one_sentence(text: str, said: str) -> None:
    """A misspelt trait, an impossible value and an unknown belief are refused with what would do."""
    with pytest.raises(EntryError) as refused:
        find("subtract", format="5+3", where=[text])
    assert said in str(refused.value)
    assert "\n" not in str(refused.value)


def test_other_refusals_name_what_would_do() -> None:
    """Operations, spaces, numbers and tables that cannot be had are refused in one sentence."""
    refusals: dict[str, Callable[[], object]] = {
        "'substract' is not an operation to find questions of; did you mean subtract": lambda: find(
            "substract"
        ),
        "'every' is not a space": lambda: find("add", space="every"),
        "numbered from 0 to": lambda: find("add", format="4+3")[1 << 40],
        "ask for 1 or more": lambda: find("add", format="4+3").draw(0),
        "a table has one trait or two; got 3": lambda: find("add").table("sparse", "sparse", "sparse"),
        "error-ulps has no list of values": lambda: find("add", format="4+3").table("error-ulps"),
    }
    for said, ask in refusals.items():
        with pytest.raises(EntryError) as refused:
            ask()
        assert said in str(refused.value)


def test_negation_holds_exactly_where_its_trait_does_not() -> None:
    """A trait and its negation share out all questions, also where the trait is undefined."""
    for text in ("carry-dropped", "lost-ones >= 2", "error-ulps >= 1", "sign-pattern = ++"):
        with_it, without = (
            find("subtract", format="5+3", where=[condition]).count for condition in (text, f"not {text}")
        )
        assert with_it + without == 1 << 14
