"""Courses: read from TOML, checked key by key."""

from pathlib import Path

import pytest

import chalkpoint as cp


def write(folder: Path, text: str) -> Path:
    """Return a course file holding *text*."""
    path = folder / "course.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_course_is_read_whole(tmp_path: Path) -> None:
    """Every key of the file is in the course."""
    course = cp.read_course(
        write(
            tmp_path,
            'name = "12 Heron"\nformat = "6 + 4"\nmethod = "one-guard-bit"\naccepts = ["negate-then-align"]\n'
            'rounding = "cut size"\nzero = "exponent zero"\npoint = ","\nexponent = "first"\n',
        )
    )

    assert (course.name, course.format, course.accepts) == ("12 Heron", "6+4", ("negate-then-align",))
    assert course.float_format.exponent_first
    assert course.float_format.zero.exponent == 0
    assert cp.work("encode", "-5,25", course=course).result.bits == "0011 101011"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('formt = "8+4"', "'formt' is not a key of a course; did you mean format?"),
        ('method = "one-gard-bit"', "method = 'one-gard-bit' is not taken; did you mean one-guard-bit?"),
        (
            'rounding = "up"',
            "rounding = 'up' is not taken in 8+4; give one of: cut, cut size, nearest, nearest away",
        ),
        (
            'accepts = "one-guard-bit"',
            "accepts = 'one-guard-bit' is not taken; write accepts = [\"negate-then-align\"]",
        ),
        ('accepts = ["guard"]', "accepts = 'guard' is not taken; give one of: align-then-negate"),
        ("format = 8", 'format = 8 is not taken; write format = "..."'),
        ('format = "8+"', "'8+' is not a format; write one such as 8+4, 1+4+3, binary16, 8"),
        ("format = ", 'a course has lines such as format = "8+4"'),
    ],
)
def test_a_wrong_key_or_value_is_named_with_its_file(tmp_path: Path, text: str, said: str) -> None:
    """The sentence names the file, the key, the value, and what is accepted."""
    with pytest.raises(cp.EntryError) as refusal:
        cp.read_course(write(tmp_path, text))

    assert said in str(refusal.value)
    assert "course.toml: " in str(refusal.value)


def test_a_course_that_cannot_be_read_is_said_so(tmp_path: Path) -> None:
    """A missing file, a folder and a file that is no text are refused."""
    binary = tmp_path / "picture.toml"
    binary.write_bytes(b"\xff\xfe\x00")
    for path in (tmp_path / "none.toml", tmp_path, binary):
        with pytest.raises(cp.FileError, match="cannot be read"):
            cp.read_course(path)


def test_a_course_goes_to_json_and_back() -> None:
    """The keys of the JSON are those of the file."""
    course = cp.Course(name="12 Heron", accepts=("one-guard-bit",))

    assert cp.Course(**course.to_dict()) == course
