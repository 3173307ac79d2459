"""Questions: operands as a teacher types them, and every refusal in one sentence."""

from fractions import Fraction

import pytest

import chalkpoint as cp
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working.question import ask


@pytest.mark.parametrize(
    "entries",
    [
        ("010111 0011", "010100 0001"),
        ("010111", "0011", "010100", "0001"),
        ("0101110011", "0101000001"),
        ("0.10111 0011", "0.10100_0001"),
        ("010111 0011", "010100", "0001"),
        ("23/4", "1.25"),
        ("5", "3/4", "1", "1/4"),
        ("5.75", "1", "1/4"),
    ],
)
def test_every_way_of_typing_two_operands(entries: tuple[str, ...]) -> None:
    """Fields parted or joined, bits or values, all give one question."""
    question = ask("subtract", *entries, course=cp.Course(format="6+4"))

    assert question.operands == ["010111 0011", "010100 0001"]


def test_a_short_run_of_bits_may_be_a_decimal() -> None:
    """110 is a hundred and ten; 0110100011 has the wrong length for 8+4."""
    assert ask("add", "110", "1", course=cp.Course()).values[0] == 110
    with pytest.raises(cp.EntryError, match="has 10 bits; 8\\+4 takes 8"):
        ask("add", "0110100011", "1", course=cp.Course())


def test_with_the_exponent_first_fields_are_read_in_that_order() -> None:
    """A course fixes where the exponent stands."""
    question = ask("decode", "0011", "01101000", course=cp.Course(exponent="first"))

    assert question.patterns == (Pattern(104, 3),)


def test_a_value_that_is_stored_inexactly_is_remembered() -> None:
    """The working can say what storing an operand cost."""
    question = ask("add", "4.6", "1.5", course=cp.Course())

    assert question.given == (Fraction(23, 5), Fraction(3, 2))
    assert question.values[0] == Fraction(73, 16)
    assert "it is 0.0375 off before the working starts" in cp.work("add", "4.6", "1.5").steps[0].detail


@pytest.mark.parametrize(
    ("operation", "entries", "said"),
    [
        ("substract", ("1", "2"), "'substract' is not an operation; did you mean subtract?"),
        ("add", ("1",), "add takes two operands, such as add '00000111 0001' 1.5; got 1 (1)"),
        ("add", ("1", "2", "3"), "add takes two operands, such as add '00000111 0001' 1.5; got 3 (1, 2, 3)"),
        ("range", ("6+4", "8+4"), "range takes a format or nothing; got 2 (6+4, 8+4)"),
        ("encode", (), "encode takes one operand, such as encode 5.25; got none"),
        ("encode", ("five",), "'five' as value is not a number; write one such as -5.25, -79/128 or 1 3/8"),
        ("decode", ("01101000 011",), "'011' as exponent has 3 bits; this format has 4, such as 0101"),
        (
            "decode",
            ("0110lo00 0011",),
            "'0110lo00' as mantissa: character 5 is 'l'; write 0 or 1, such as 01010101",
        ),
        (
            "sum",
            ("200", "1"),
            "200 needs the exponent 8; 8+4 holds exponents from -8 to 7: "
            "choose a value nearer to 1 or more exponent bits",
        ),
    ],
)
def test_a_refusal_is_one_sentence(operation: str, entries: tuple[str, ...], said: str) -> None:
    """The value, the rule, and what is accepted."""
    with pytest.raises(cp.EntryError) as refusal:
        ask(operation, *entries, course=cp.Course())

    assert str(refusal.value) == said
