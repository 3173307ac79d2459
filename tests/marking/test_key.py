"""Keys read for the course they were made under."""

import random
from pathlib import Path

import pytest

from chalkpoint.marking.courses import VALUES, Asker, Choices
from chalkpoint.marking.key import Item, KeyReading, read_key
from chalkpoint.marking.keyfile import read_key_file
from chalkpoint.numbers.errors import EntryError, FileError

TRIALS = 10


def pattern(rng: random.Random) -> str:
    """Return a normalised 8+4 pattern with an exponent near zero."""
    mantissa = rng.choice(("01", "10")) + format(rng.randrange(64), "06b")
    return f"{mantissa} {rng.randrange(-4, 6) & 15:04b}"


def question(rng: random.Random) -> str:
    """Return a question that a key may hold."""
    operation = rng.choice(["add", "subtract", "subtract", "encode", "decode"])
    if operation == "encode":
        return f"encode {rng.choice(('', '-'))}{rng.randrange(60)}.{rng.randrange(1, 100):02d}"
    return f"{operation} {', '.join(pattern(rng) for _ in range(1 if operation == 'decode' else 2))}"


def hidden_course(rng: random.Random) -> dict[str, str]:
    """Return a course of which only its key is shown."""
    return {name: rng.choice(values) for name, values in VALUES.items() if values} | {
        "format": "8+4",
        "order": "last",
        "hidden": "no",
    }


def answered(text: str, course: dict[str, str], asker: Asker) -> str | None:
    """Return the answer to *text* under *course*."""
    choices: Choices = tuple((name, course[name]) for name in Item(text, "").touches)
    answer = asker.answer(text, choices)
    return None if answer is None else answer.removeprefix("=")


def key_of(course: dict[str, str], rng: random.Random, count: int = 3) -> list[Item]:
    """Return a key of *count* random questions worked under *course*."""
    asker = Asker(["8+4"])
    items: list[Item] = []
    while len(items) < count:
        text = question(rng)
        answer = answered(text, course, asker)
        if answer is not None:
            items.append(Item(text, answer))
    return items


def among(course: dict[str, str], reading: KeyReading) -> list[int]:
    """Return the numbers of the listed courses that *course* is one of."""
    return [
        number
        for number, choices in enumerate(reading.courses)
        if all(course[name] == value for name, value in choices.items())
    ]


def test_the_course_of_a_key_is_always_listed() -> None:
    """From three random questions; and the deciding question leaves it listed and others out."""
    rng = random.Random(20)
    for _ in range(TRIALS):
        course = hidden_course(rng)
        items = key_of(course, rng)
        reading = read_key(items)
        assert not reading.unexplained
        assert not reading.apart
        assert among(course, reading)
        if reading.deciding:
            answer = answered(reading.deciding, course, Asker(["8+4"]))
            assert answer is not None
            after = read_key([*items, Item(reading.deciding, answer)])
            assert among(course, after)
            kept = next(group for said, group in reading.answers.items() if said.removeprefix("=") == answer)
            assert len(kept) < len(reading.courses)


def test_the_format_is_read_off_unparted_patterns() -> None:
    """Twelve digits run together may be parted in several ways; two answers leave one."""
    reading = read_key([Item("decode 011000000011", "6"), Item("decode 101100001110", "-0.15625")])
    assert {course["format"] for course in reading.courses} == {"8+4"}


def test_an_item_no_course_explains_is_named() -> None:
    """A slip in a printed key does not hide the rest."""
    good = Item("subtract 01101000 0011, 01010000 0001", "01010100 0011")
    slip = Item("subtract 01101000 0011, 01010000 0001", "01111111 0011")
    reading = read_key([good, slip])
    assert reading.unexplained == [slip]
    assert reading.courses


def test_an_item_that_does_not_go_with_the_others_stands_apart() -> None:
    """Two keys in one: the odd item out is named."""
    cut = [Item("encode 4.6", "01001001 0011"), Item("encode 5.3", "01010100 0011")]
    rounded = Item("encode 4.7", "01001011 0011")  # nearest; cut gives 01001011 too
    odd = Item("encode -0.1", "10011001 1101")
    reading = read_key([*cut, rounded, odd], format="8+4")
    assert reading.courses
    assert not reading.unexplained


def test_lines_of_working_tell_methods_apart() -> None:
    """Both orders give this answer; the line written decides."""
    text, answer = "subtract 01101000 0011, 01010000 0001", "01010100 0011"
    assert "method" in read_key([Item(text, answer)]).open
    shown = read_key([Item(text, answer, {"negate": "1.1101100", "add": "0.1010100"})])
    assert {course["method"] for course in shown.courses} >= {"align-then-negate", "one-guard-bit"}
    assert "spare-place-first" not in {course["method"] for course in shown.courses}


def test_a_key_in_a_file(tmp_path: Path) -> None:
    """Columns beside question and answer are lines of working."""
    file = tmp_path / "key.csv"
    file.write_text('question,answer,align\n"add 4.5, 1.25",01011100 0011,0.0010100\n,,\n', encoding="utf-8")
    assert read_key_file(file) == [Item("add 4.5, 1.25", "01011100 0011", {"align": "0.0010100"})]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("question,align\n", "no column 'answer'"),
        ("question,answer\n,\n", "no row has a question and an answer"),
    ],
)
def test_a_file_that_is_no_key_is_refused(tmp_path: Path, text: str, said: str) -> None:
    """The sentence says what is missing."""
    file = tmp_path / "key.csv"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(EntryError, match=said):
        read_key_file(file)


def test_a_missing_file_is_refused() -> None:
    """The sentence says what to give."""
    with pytest.raises(FileError, match="give a CSV file"):
        read_key_file("nowhere.csv")


def test_an_operation_a_key_cannot_hold_is_refused() -> None:
    """The sentence lists those it can."""
    with pytest.raises(EntryError, match="write one of"):
        read_key([Item("range", "x")])
