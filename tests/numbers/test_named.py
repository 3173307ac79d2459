"""One spelling for each format, and what is said to what is none."""

from __future__ import annotations

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.numbers.listed import list_formats
from chalkpoint.numbers.named import FORMATS, format_called
from chalkpoint.numbers.signed import SignMagnitudeFormat


@pytest.mark.parametrize("spelling", [entry.spelling for entry in list_formats()])
def test_each_listed_format_is_spelt_as_it_is_listed(spelling: str) -> None:
    """A format of the list can be asked for, and calls itself what the list does."""
    assert str(format_called(spelling)) == spelling


@pytest.mark.parametrize(
    ("written", "spelling"),
    [
        ("1+8+23", "binary32"),
        ("1+5+2", "E5M2"),
        ("1+4+3 one-nan", "E4M3"),
        ("1+4+3 excess-7", "1+4+3"),
        ("BINARY64", "binary64"),
        ("1750a-48", "1750A-48"),
        (" 8 + 4 ", "8+4"),
        ("q5.3", "Q5.3"),
        ("Q8.0", "8"),
        ("8 ones' complement", "8 ones-complement"),
        ("8-bit one\u2019s complement", "8 ones-complement"),
        ("8 bits Unsigned", "8 unsigned"),
        ("8 two's complement", "8"),
        ("8-bit 2's complement", "8"),
        ("8 sign & magnitude", "8 sign-and-magnitude"),
        ("8 signed magnitude", "8 sign-and-magnitude"),
        ("8 excess 128", "8 excess-128"),
        ("8+4 bias 8", "8+4 excess-8"),
        ("8+4 twos complement", "8+4"),
        ("1+4+3 two's complement", "1+4+3 twos-complement"),
        ("1+3+4 point-first excess-4 stored-one", "1+3+4 excess-4 stored-one point-first"),
    ],
)
def test_other_writings_come_to_the_one_spelling(written: str, spelling: str) -> None:
    """Order, case, spaces and defaults written out make no second spelling."""
    assert str(format_called(written)) == spelling
    assert format_called(written) == format_called(spelling)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("", "'' is not a format; write one such as 8+4"),
        ("binary23", "did you mean binary32"),
        ("2+4+3", "'2+4+3' has 2 sign bits; write 1+exponent+fraction, such as 1+4+3"),
        ("1+1+3", "'1+1+3' has 1 exponent bits; formats here have 2 to 16"),
        ("1+4+0", "'1+4+0' has 0 fraction bits; formats here have 1 to 128"),
        ("8+4 excess-16", "excess 16 leaves 4 bits no number 0; give 0 to 15"),
        ("8+4 hidden-one", "'hidden-one' says nothing about such a format"),
        ("1+4+3 no-subnormal", "did you mean no-subnormals"),
        ("1+4+3 unsigned", "'unsigned' says nothing about such a format"),
        ("1", "'1' has 1 whole bits; formats here have 2 to 128"),
        ("300", "'300' has 300 whole bits; formats here have 2 to 128"),
        ("1+4", "'1+4' is outside the sizes taken here"),
        ("8 4", "'4' says nothing about such a format"),
    ],
)
def test_what_is_no_format_is_refused_with_what_is(written: str, said: str) -> None:
    """One sentence names the entry, the rule, and what would be taken."""
    with pytest.raises(EntryError) as refusal:
        format_called(written)
    assert said in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_the_list_has_school_formats_first_and_machines_in_a_group_of_their_own() -> None:
    """Groups follow each other unmixed, the school's first and the machines' last."""
    groups = list(dict.fromkeys(entry.group for entry in list_formats()))

    assert groups[0] == "school floating point"
    assert groups[-1] == "military and signal processors"
    assert [entry.group for entry in list_formats()] == sorted(
        (entry.group for entry in list_formats()), key=groups.index
    )


def test_every_named_format_is_listed() -> None:
    """Whatever has a name stands in the list."""
    assert set(FORMATS) <= {entry.spelling for entry in list_formats()}


def test_three_families() -> None:
    """A spelling leads to one of three classes."""
    found = [type(format_called(spelling)) for spelling in ("8+4 excess-8", "8+4 sign-and-magnitude", "8")]

    assert found == [FloatFormat, SignMagnitudeFormat, FixedFormat]
