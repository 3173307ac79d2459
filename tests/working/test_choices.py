"""What a course may choose in each family of formats."""

from __future__ import annotations

from pathlib import Path

import pytest

import chalkpoint as cp
from chalkpoint.numbers.listed import list_formats
from chalkpoint.numbers.named import format_called
from chalkpoint.working.choices import CHOICES, allowed_choices, own_choices


@pytest.mark.parametrize("spelling", [entry.spelling for entry in list_formats()])
def test_a_format_allows_its_own_choices(spelling: str) -> None:
    """What a format does where the course says nothing is one of the things a course may say."""
    fmt = format_called(spelling)
    own, allowed = own_choices(fmt), allowed_choices(fmt)

    assert [key for key in CHOICES if own[key] not in allowed[key]] == []
    course = cp.Course(format=spelling)
    assert {key: getattr(course, key) for key in CHOICES} == own


@pytest.mark.parametrize("spelling", [entry.spelling for entry in list_formats()])
def test_every_choice_works(spelling: str) -> None:
    """Under each rounding, underflow and overflow that a format allows, a sum and a product are worked."""
    allowed = allowed_choices(format_called(spelling))
    for key in CHOICES:
        for choice in allowed[key]:
            course = cp.Course(format=spelling).with_(**{key: choice})
            if "excess" in spelling and "+" not in spelling:
                assert cp.work("encode", "0.3", course=course).steps
            elif "+" in spelling or spelling[:1] in "bEC1":
                assert cp.work("multiply", "0.5", "1.5", course=course).check.verdict


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        (
            'format = "binary16"\nrounding = "cut"',
            "where a cut may be toward zero or down; give one of: nearest",
        ),
        ('format = "binary16"\nrounding = "nearst"', "did you mean nearest"),
        ('format = "E4M3"\noverflow = "infinity"', "overflow = 'infinity' is not taken in E4M3"),
        (
            'format = "8+4"\noverflow = "infinity"',
            "overflow = 'infinity' is not taken in 8+4; give one of: word, largest",
        ),
        ('format = "C3x-32"\nunderflow = "un-normalised"', "is not taken in C3x-32; give one of: word, zero"),
        ('hexadecimal = "yes"', "hexadecimal = 'yes' is not taken; give one of: hidden, shown"),
    ],
)
def test_a_choice_that_a_format_has_not_is_refused(tmp_path: Path, keys: str, said: str) -> None:
    """The sentence names the file, the key, the format, and what may be chosen."""
    file = tmp_path / "course.toml"
    file.write_text(keys, encoding="utf-8")
    with pytest.raises(cp.EntryError) as refusal:
        cp.read_course(file)
    assert said in str(refusal.value)
    assert "course.toml" in str(refusal.value)


def test_a_course_keeps_what_it_chose_when_its_format_changes() -> None:
    """Only those conventions change with the format that were the old format's own."""
    course = cp.Course(format="8+4", rounding="nearest")

    assert course.with_(format="binary32").rounding == "nearest"
    assert cp.Course(format="binary32").with_(format="8+4").rounding == "cut"
    with pytest.raises(cp.EntryError, match="rounding = 'cut size' is not taken in binary32"):
        cp.Course(rounding="cut size").with_(format="binary32")


def test_a_course_may_show_patterns_in_hexadecimal() -> None:
    """The check then says each pattern in both ways."""
    shown = cp.work("encode", "0.1", course=cp.Course(format="binary32", hexadecimal="shown"))

    assert "(0x3DCCCCCD)" in shown.check_words.detail
    assert shown.result.hexadecimal == "0x3DCCCCCD"
