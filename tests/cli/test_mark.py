"""The command `chalkpoint mark`, as a teacher types it."""

import json
from pathlib import Path

import pytest

from chalkpoint.cli import main

QUESTION = ["mark", "--question", "subtract 010111 0011, 010100 0001", "--format", "6+4"]


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[object, str, str]:
    """Return the exit code of a command and what it printed, out and error."""
    with pytest.raises(SystemExit) as left:
        main(words)
    printed = capsys.readouterr()
    return left.value.code, printed.out, printed.err


def test_an_answer_is_judged(capsys: pytest.CaptureFixture[str]) -> None:
    """The verdict and each line are printed."""
    code, out, err = run(capsys, *QUESTION, "--line", "align=000101", "--answer", "010010 0011")
    assert (code, err) == (0, "")
    assert "The answer is right." in out


def test_lines_may_be_several(capsys: pytest.CaptureFixture[str]) -> None:
    """And JSON is one object."""
    words = ["--line", "align=000101", "--line", "negate=111010", "--answer", "010001 0011", "--json"]
    code, out, _ = run(capsys, *QUESTION, *words)
    form = json.loads(out)
    assert code == 0
    assert form["first_wrong"] == "negate"
    assert form["points"][1]["among"] == ["invert-only"]


def test_a_negative_value_is_an_answer(capsys: pytest.CaptureFixture[str]) -> None:
    """It is no option."""
    _, out, _ = run(capsys, "mark", "--question", "decode 1.0110000 0010", "--answer", "-2.5")
    assert "The answer is right." in out


def test_a_page_is_written(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """To the file named."""
    file = tmp_path / "judged.html"
    _, out, _ = run(capsys, *QUESTION, "--answer", "010010 0011", "--html", str(file))
    assert out == f"Written: {file}\n"
    assert "The answer is right." in file.read_text(encoding="utf-8")


def test_a_key_is_read(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The courses that reproduce it are listed."""
    file = tmp_path / "key.csv"
    file.write_text(
        'question,answer\n"subtract 01101000 0011, 01011011 0000",01011100 0011\n', encoding="utf-8"
    )
    _, out, _ = run(capsys, "mark", "--key", str(file))
    assert "method: negate-then-align" in out
    _, out, _ = run(capsys, "mark", "--key", str(file), "--json")
    assert json.loads(out)["schema"] == "chalkpoint.key/1"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["mark"], "mark needs papers and answers, or --question, or --key"),
        ([*QUESTION, "--line", "000101"], "write its name and what was written: align=000101"),
        ([*QUESTION, "--line", "aling=000101"], "did you mean align"),
        (["mark", "--question", "substract 1, 2"], "did you mean subtract"),
        (
            ["mark", "subtract", "8.875", "3.6875"],
            "'3.6875' is a word too many; such as chalkpoint mark --question",
        ),
        (["mark", "encode", "-2.5", "--answer", "1"], "give that with --question"),
        (["mark", "--key", "nowhere.csv"], "give a CSV file"),
        (["mark", "--key", "nowhere.csv", "--answer", "1"], "leave out --line and --answer"),
        (["mark", "--question", "explain subtract 6.5, 1.25", "--answer", "6"], "is not an operation"),
    ],
)
def test_bad_input_is_refused_in_one_sentence(
    capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    """Exit code 2 and nothing on standard output."""
    code, out, err = run(capsys, *words)
    assert (code, out) == (2, "")
    assert said in err
    assert err.count("\n") == 1
