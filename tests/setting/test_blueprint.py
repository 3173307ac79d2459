"""Blueprints: what is read, and what is said of a line that cannot be."""

from pathlib import Path

import pytest

from chalkpoint.numbers.errors import EntryError, FileError
from chalkpoint.setting.asking import ASKED_KEYS, BLUEPRINT_KEYS, PRINT_KEYS
from chalkpoint.setting.blueprint import STARTING, parse_blueprint, read_blueprint
from chalkpoint.setting.validation import OF_ONE

PLAIN = 'title = "Levels"\n[[question]]\noperation = "subtract"\n'


def refusal(text: str) -> str:
    """Return the sentence a blueprint is refused with."""
    with pytest.raises(EntryError) as refused:
        parse_blueprint(text, source="levels.toml")
    return str(refused.value)


def test_the_starting_blueprint_can_be_read() -> None:
    """What --new writes is a blueprint as it stands."""
    blueprint = parse_blueprint(STARTING)

    assert [asked.operation for asked in blueprint.questions] == ["decode", "add", "subtract"]
    assert blueprint.course.name == "12 Heron"


def test_every_key_stands_in_the_starting_blueprint_or_has_a_default() -> None:
    """A teacher meets the keys of the head and of printing in the file that --new writes."""
    named = {*BLUEPRINT_KEYS, *PRINT_KEYS} - {"most"}

    assert [key for key in sorted(named) if f"\n{key} = " not in STARTING] == []


def test_what_is_left_out_has_its_usual_value() -> None:
    """One title and one question are enough."""
    blueprint = parse_blueprint(PLAIN)

    assert (blueprint.purpose, blueprint.methods, blueprint.accidental) == ("paper", "same answer", "refuse")
    assert blueprint.printing.paper == "A4"
    assert blueprint.questions[0].count == 1


@pytest.mark.parametrize(
    ("text", "line", "parts"),
    [
        ('titel = "Levels"\n', 1, ["'titel'", "did you mean title?"]),
        ('title = "Levels"\npurpose = "test"\n', 2, ['purpose = "test"', '"paper" or "practice"']),
        ("title = 7\n", 1, ["title = 7", "text in quotes"]),
        ('title = "L"\n[print]\ntext = "huge"\n', 3, ['text = "huge"', '"usual" or "large"']),
        ('title = "L"\n[print]\nfont = "x"\n', 3, ["'font'", "[print]"]),
        (f"{PLAIN}marks = 9\n", 4, ["marks = 9", "1 to 6"]),
        (f"{PLAIN}marks = 0\n", 4, ["marks = 0", "from 1 to 20"]),
        (f"{PLAIN}count = true\n", 4, ["count = true", "whole number"]),
        (f"{PLAIN}context = 1\n", 4, ["context = 1", "true or false"]),
        (f'{PLAIN}where = ["lost-one >= 2"]\n', 4, ["'lost-one'", "did you mean lost-ones"]),
        (f'{PLAIN}where = ["lost-ones"]\n', 4, ["lacks a value"]),
        (f'{PLAIN}kind = "essay"\n', 4, ['kind = "essay"', '"work" or "faded" or "mistake"']),
        ('title = "L"\n[[question]]\noperation = "substract"\n', 3, ["substract", "did you mean subtract?"]),
        ('title = "L"\n[[question]]\nmarks = 2\n', 2, ["needs an operation"]),
        (f'{PLAIN}[[question]]\noperation = "add"\ncount = 99\n', 6, ["count = 99", "from 1 to 40"]),
        (
            'title = "L"\n[course]\nformat = "8+4"\nmethod = "align"\n',
            4,
            ["method = 'align'", "negate-then-align"],
        ),
        (
            'title = "L"\n[course]\nmethod = "one-guard-bit"\n[[question]]\noperation = "add"\nkind = "faded"\n',
            6,
            ['kind = "faded" shows lines in boxes', "one-guard-bit writes more digits"],
        ),
        ('title = "L"\ncourse = 3\n', 2, ["course = 3", 'course = "course.toml"']),
        ('title = "L"\n', 1, ["needs a question", "[[question]]"]),
        ('purpose = "paper"\n', 1, ["needs a title"]),
        ('title = "L"\nprint = "A4"\n', 2, ["print is a table"]),
        ('title = "L"\nquestion = "add"\n', 2, ["[[question]]"]),
    ],
)
def test_an_error_names_the_line_the_key_and_what_is_accepted(text: str, line: int, parts: list[str]) -> None:
    """One sentence: the file, the line, the key with its value, and what would do."""
    said = refusal(text)

    assert said.startswith(f"levels.toml, line {line}: ")
    assert [part for part in parts if part not in said] == []
    assert "\n" not in said


def test_broken_toml_is_answered_in_one_sentence() -> None:
    """A quote that is not closed is said to be where it is."""
    said = refusal('title = "Levels\n')

    assert "levels.toml" in said
    assert "line 1" in said
    assert "Traceback" not in said


def test_each_question_key_has_an_example_that_is_taken() -> None:
    """What an error offers is itself accepted."""
    for key, accepted in ASKED_KEYS.items():
        example = "" if key in {"operation", *OF_ONE} else accepted.example
        if key in {"unit", "step", "between", "answer"}:  # which belong to a story
            example = f"{example}\n{ASKED_KEYS['story'].example}"
        assert parse_blueprint(f"{PLAIN}{example}\n").questions[0].operation == "subtract"


def test_a_course_file_is_looked_for_beside_the_blueprint(tmp_path: Path) -> None:
    """A course named in a blueprint stands in the same folder."""
    (tmp_path / "course.toml").write_text('name = "12 Heron"\nformat = "6+4"\n', encoding="utf-8")
    (tmp_path / "paper.toml").write_text(f'course = "course.toml"\n{PLAIN}', encoding="utf-8")

    assert read_blueprint(tmp_path / "paper.toml").course.format == "6+4"


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    """The file's name and what to give instead are said."""
    with pytest.raises(FileError, match=r"none\.toml.*cannot be read.*give a TOML text file"):
        read_blueprint(tmp_path / "none.toml")
