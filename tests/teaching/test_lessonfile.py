"""Lessons read from a file: what is taken, and what each refusal says."""

from pathlib import Path
from typing import Any

import pytest

from chalkpoint.numbers.errors import EntryError, FileError
from chalkpoint.teaching.lesson import KINDS
from chalkpoint.teaching.lessonfile import lesson_from, read_lesson
from lessons import brackwater


def lesson(*parts: dict[str, Any], **keys: Any) -> dict[str, Any]:
    """Return the table of a lesson with these parts."""
    return {"title": "Gauges", "part": list(parts), **keys}


def test_every_kind_of_part_is_read() -> None:
    """The lesson has each kind once, in order; the two that stand for themselves are read apart from it."""
    apart = {"next", "split"}
    assert [part.kind for part in brackwater().parts] == [kind for kind in KINDS if kind not in apart]
    for kind in apart:
        alone = lesson_from(lesson({"kind": kind, "question": "subtract 8.875, 3.6875"}))
        assert [part.kind for part in alone.parts] == [kind]


def test_a_course_beside_the_lesson_is_used(tmp_path: Path) -> None:
    """The course's file is looked for in the lesson's folder."""
    (tmp_path / "course.toml").write_text('name = "12 Heron"\nformat = "6+4"\n', encoding="utf-8")
    file = tmp_path / "lesson.toml"
    file.write_text(
        'course = "course.toml"\n[[part]]\nkind = "worked"\nquestion = "subtract 010111 0011, 010100 0001"\n',
        encoding="utf-8",
    )

    read = read_lesson(file)

    assert read.course.name == "12 Heron"
    assert read.workings[0].result.bits == "010010 0011"


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ({"title": "x"}, "a lesson needs at least one part"),
        (lesson({"kind": "wokred"}), "x.toml: part 1: kind = 'wokred' is not taken; did you mean worked?"),
        (lesson({"kind": "worked"}), "part 1: a part of kind 'worked' needs a question"),
        (lesson({"kind": "explain"}), "needs sentences; write says"),
        (lesson({"kind": "try", "question": "add 1, 2", "puase": 3}), "'puase' is not a key here; did you mean pause?"),
        (lesson({"kind": "try", "question": "add 1, 2", "pause": "3"}), "pause = '3' is not taken; write pause = 60"),
        (lesson({"kind": "try", "question": "add 1, 2", "pause": -1}), "pause = -1 is not taken; give 0 to 3600"),
        (lesson({"kind": "try", "question": "ad 1, 2"}), "'ad' is not an operation; did you mean add?"),
        (lesson({"kind": "try", "question": "add 1"}), "add takes two operands"),
        (lesson({"kind": "try", "question": "add 1, 2", "find": ["x"]}), "question and find are both given"),
        (lesson({"kind": "mistake", "question": "decode 01000000 0001"}), "wrong working is known for add and"),
        (lesson({"kind": "mistake", "question": "add 1, 2", "belief": "no-such"}), "'no-such' is not a belief"),
        (lesson({"kind": "mistake", "question": "add 1, 2", "belief": "invert-only"}), "gives the right answer"),
        (lesson({"kind": "hinge", "question": "add 1, 2", "beliefs": ["invert-only"]}), "a hinge question needs 3"),
        (lesson({"kind": "faded", "question": "add 1, 2", "blanks": ["negate"]}), "'negate' is not a step of"),
        (lesson({"kind": "worked", "question": "add 1, 2"}, pace=400), "pace = 400 is not taken; give 80 to 150"),
        (lesson({"kind": "worked", "question": "add 1, 2"}, format="eight and four"), "x.toml: "),
    ],
)  # fmt: skip
def test_refusals_name_the_place_and_what_is_taken(table: dict[str, Any], said: str) -> None:
    """One sentence: file, part, key, value and what would do."""
    with pytest.raises(EntryError) as refused:
        lesson_from(table, where="x.toml: ")

    assert str(refused.value).startswith("x.toml: ")
    assert said in str(refused.value)


def test_a_missing_file_is_refused() -> None:
    """The name and the reason are given."""
    with pytest.raises(FileError, match=r"no-such\.toml"):
        read_lesson("no-such.toml")


def test_a_lesson_may_hold_its_course(tmp_path: Path) -> None:
    """A table of the lesson's own is a course, checked like a file of one."""
    path = tmp_path / "lesson.toml"
    parts = '[[part]]\nkind = "worked"\nquestion = "add 1.5, 2.5"\n'
    path.write_text(f'[course]\nname = "12 Heron"\nformat = "6+4"\n{parts}', encoding="utf-8")

    assert read_lesson(path).course.name == "12 Heron"

    path.write_text(f'[course]\nformt = "6+4"\n{parts}', encoding="utf-8")
    with pytest.raises(EntryError, match="'formt' is not a key of a course; did you mean format"):
        read_lesson(path)


def test_a_request_met_again_is_answered_with_the_next_question() -> None:
    """Two parts that ask for the same traits show different questions."""
    asked = {"kind": "try", "find": ["align-shift = 2"], "parallels": 0}

    read = lesson_from(lesson(asked, asked))

    one, other = (working.question.shown for working in read.workings)
    assert one != other


def test_parallels_come_with_a_found_question() -> None:
    """Twenty, where there are as many."""
    read = lesson_from(lesson({"kind": "worked", "find": ["align-shift = 2"]}))

    assert len(read.parts[0].parallels) == 20


def test_the_packages_own_finder_answers() -> None:
    """The traits asked for hold for the question and for each parallel."""
    read = lesson_from(lesson({"kind": "worked", "find": ["align-shift = 2", "lost-ones >= 1"]}))

    for working in (*read.workings, *read.parts[0].parallels):
        (_, first), (_, second) = working.question.patterns
        assert abs(first - second) == 2
        assert working.losses
    assert len(read.parts[0].parallels) == 20


def test_a_contradiction_is_told() -> None:
    """Where no question has all traits, those that exclude each other are named."""
    asked = {"kind": "try", "operation": "add", "find": ["equal-exponents", "lost-ones >= 1"]}

    with pytest.raises(EntryError, match="equal-exponents; lost-ones >= 1"):
        lesson_from(lesson(asked))
