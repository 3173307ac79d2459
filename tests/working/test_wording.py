"""Every line of every working can be read and heard, and says only what is so."""

from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

import chalkpoint as cp
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.working.methods import METHODS, UNDERFLOWS

CASES = Path(__file__).parent / "cases"
ROUTINE = ["decode", "normalise", "negate", "add", "subtract"]


def wholesome(working: cp.Working) -> None:
    """Assert that every sentence and row of *working* is whole."""
    fmt = working.question.float_format
    for step in working.steps:
        assert step.detail.endswith("."), step.detail
        assert "None" not in step.says + step.spoken
        assert not any(character in step.spoken for character in "\u2212+=×÷/^%"), step.spoken
        for row in step.rows:
            assert set(row.bits + row.lost) <= set("01\u2026")
            assert row.carries or row.spoken.startswith(row.label.replace("\u2212", "minus "))
            assert len(row.changed) in {0, len(row.bits)}
            assert len(row.exponent_changed) in {0, len(row.exponent_bits)}
            if row.exponent_bits:
                assert len(row.exponent_bits) == fmt.exponent_bits
                assert fmt.exponent.read(row.exponent_bits) == row.exponent
    words = working.check_words
    assert words.verdict
    assert all(sentence.endswith(".") for sentence in [words.detail, *words.reasons])
    assert "None" not in f"{words}"


@st.composite
def questions(draw: st.DrawFn) -> cp.Working:
    """Draw a working of any operation on patterns, under any course."""
    operation = draw(st.sampled_from(ROUTINE))
    m, e = draw(st.integers(2, 64)), draw(st.integers(2, 16))
    course = cp.Course(
        format=f"{m}+{e}",
        method=draw(st.sampled_from(list(METHODS))),
        underflow=draw(st.sampled_from(list(UNDERFLOWS))),
        operands=draw(st.sampled_from(["normalise first", "as written"])),
        zero=draw(st.sampled_from(["lowest exponent", "exponent zero"])),
        point=draw(st.sampled_from([".", ","])),
        exponent=draw(st.sampled_from(["last", "first"])),
    )
    patterns = [
        draw(st.integers(0, (1 << m + e) - 1)) for _ in range(2 if operation in {"add", "subtract"} else 1)
    ]
    return cp.work(operation, *(format(pattern, f"0{m + e}b") for pattern in patterns), course=course)


@given(questions())
def test_every_line_can_be_read_and_heard(working: cp.Working) -> None:
    """Any patterns, any format, any course."""
    wholesome(working)


@pytest.mark.parametrize("method", list(METHODS))
def test_exponents_as_far_apart_as_they_go_can_be_read_and_heard(method: str) -> None:
    """A shift of 32,768 places leaves room on the page."""
    wholesome(cp.work("add", "01000000 0" + 15 * "0", "11000000 1" + 15 * "0", format="8+16", method=method))


@given(
    st.sampled_from(["encode", "error"]),
    st.fractions(-200, 200),
    st.sampled_from(list(ROUNDINGS)),
    st.integers(2, 24),
    st.integers(2, 9),
)
@example("encode", -200, "cut size", 8, 4)
def test_every_line_of_storing_can_be_read_and_heard(
    operation: str, value: object, rounding: str, mantissa_bits: int, exponent_bits: int
) -> None:
    """Any value, any rounding, any format."""
    course = cp.Course(format=f"{mantissa_bits}+{exponent_bits}", rounding=rounding)
    wholesome(cp.work(operation, value, course=course))  # type: ignore[arg-type]


@given(st.integers(2, 64), st.integers(2, 16))
def test_every_line_of_a_range_can_be_read_and_heard(mantissa_bits: int, exponent_bits: int) -> None:
    """Any format."""
    wholesome(cp.work("range", format=f"{mantissa_bits}+{exponent_bits}"))


def on_the_board(words: str) -> str:
    """Return all that is written for the question in *words*: operation, operands, then key=value pairs."""
    operation, *rest = words.split()
    operands = [word for word in rest if "=" not in word]
    keys = dict(word.split("=", 1) for word in rest if "=" in word)
    names = tuple(keys.pop("names", "").split(",")) if "names" in keys else ()
    course = cp.Course(**{key: value.replace("_", " ") for key, value in keys.items()})  # type: ignore[arg-type]
    working = cp.work(
        operation, *(operand.replace("|", " ") for operand in operands), course=course, names=names
    )
    lines = [working.title]
    for step in working.steps:
        lines.append(f"{step.number} {step.says}")
        lines += [
            f"    {row.label}: {row.lead}{row.bits} {row.exponent_bits} {row.lost}".rstrip()
            for row in step.rows
        ]
    words_of_check = working.check_words
    lines += [words_of_check.detail, *(f"    {label}: {text}" for label, text in words_of_check.lines)]
    return "\n".join([*lines, words_of_check.verdict, *words_of_check.reasons])


@pytest.mark.parametrize("path", sorted(CASES.glob("*.txt")), ids=lambda path: path.stem)
def test_what_is_written_is_what_was_agreed(path: Path) -> None:
    """Whole cases: a question on the first line, everything written for it below.

    `python tests/working/test_wording.py` writes the files anew, to be read before they are kept.
    """
    question, _, written = path.read_text(encoding="utf-8").partition("\n")

    assert on_the_board(question.removeprefix("# ")) == written.strip()


if __name__ == "__main__":
    for case in sorted(CASES.glob("*.txt")):
        first = case.read_text(encoding="utf-8").splitlines()[0]
        case.write_text(f"{first}\n{on_the_board(first.removeprefix('# '))}\n", encoding="utf-8")
