"""The command `chalkpoint work`, as a teacher types it."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from chalkpoint.cli import main

QUESTION = ["work", "subtract", "8.875", "3.6875", "--format", "8+4"]


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[object, str, str]:
    """Return the exit code of a command and what it printed, out and error."""
    with pytest.raises(SystemExit) as left:
        main(words)
    printed = capsys.readouterr()
    return left.value.code, printed.out, printed.err


def test_a_question_is_worked_on_the_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    """The steps, the check and the verdict are printed."""
    code, out, err = run(capsys, *QUESTION)

    assert (code, err) == (0, "")
    assert "2 Match the exponents" in out
    assert "Truncation error: 0.0625" in out


@pytest.mark.parametrize(
    ("words", "bits"),
    [
        (["encode", "-5.25"], "10101100 0011"),
        (["encode", "-79/128"], "10110001 0000"),
        (["encode", "-1", "3/8"], "10101000 0001"),
        (["encode", "\u22125.25"], "10101100 0011"),
        (["subtract", "010111", "0011", "010100", "0001", "--format", "6+4"], "010010 0011"),
        (["subtract", "--format", "6+4", "010111 0011", "010100 0001"], "010010 0011"),
        (["subtract", "8.875", "3.6875", "--method", "one-guard-bit"], "01010011 0011"),
        (["negate", "01010000", "0011"], "10110000 0011"),
    ],
)
def test_operands_as_they_are_typed(capsys: pytest.CaptureFixture[str], words: list[str], bits: str) -> None:
    """A leading minus needs no quoting, fields of one pattern may be parted, options may stand anywhere."""
    code, out, _ = run(capsys, "work", *words, "--json")

    assert code == 0
    assert json.loads(out)["result"]["bits"] == bits


def test_json_is_one_object_with_the_promised_keys(capsys: pytest.CaptureFixture[str]) -> None:
    """Names and keys are promises."""
    _, out, _ = run(capsys, *QUESTION, "--json")
    told = json.loads(out)

    assert told["schema"] == "chalkpoint.working/1"
    assert set(told) >= {"schema", "question", "method", "steps", "result", "check"}
    assert set(told["question"]) >= {"operation", "format", "operands", "course"}
    assert set(told["steps"][0]["rows"][0]) >= {"label", "bits", "exponent", "lost"}
    assert told["result"] == {"outcome": "in range", "bits": "01010100 0011", "value": "21/4"}
    assert told["check"] == {
        "exact": "83/16",
        "nearest": ["01010011 0011"],
        "by_rule": "01010011 0011",
        "verdict": "truncation error",
        "error": "-1/16",
        "unavoidable_error": "0",
        "relative_error": "1/83",
        "error_ulps": "1",
    }


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["wrok"], "'wrok' is not a command; did you mean work?"),
        (["work", "substract", "1", "2"], "'substract' is not an operation; did you mean subtract?"),
        (
            ["work", "add", "1", "2", "--fromat", "8+4"],
            "'--fromat' is not an option; did you mean --format or --formats?",
        ),
        (
            ["work", "add", "1", "2", "--method", "gard"],
            "method = 'gard' is not taken; give one of: align-then-negate",
        ),
        (
            ["work", "add", "1", "2", "--format", "8+"],
            "'8+' is not a format; write one such as 8+4, 1+4+3, binary16, 8",
        ),
        (["work", "add", "1", "2", "--format"], "--format needs a value; see chalkpoint work --help"),
        (["work", "encode", "5,25"], "'5,25' as value has a decimal comma"),
        (["work", "add", "1", "2", "--course", "none.toml"], "the course 'none.toml' cannot be read"),
        (
            ["records", "export", "all.jsonl", "too"],
            "'too' is a word too many; see chalkpoint records export --help",
        ),
        (["work"], "operation needs a value; see chalkpoint work --help"),
    ],
)
def test_bad_input_leaves_with_2_and_one_sentence(
    capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    """Nothing is printed but the sentence: the value, the rule, and what would be accepted."""
    code, out, err = run(capsys, *words)

    assert (code, out) == (2, "")
    assert err.startswith(f"chalkpoint: {said}")
    assert err.count("\n") == 1


def test_pages_and_drawings_are_written_and_said_so(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Both files are written whole."""
    page, drawing = tmp_path / "working.html", tmp_path / "working.svg"
    code, out, _ = run(capsys, *QUESTION, "--html", str(page), "--svg", str(drawing))

    assert code == 0
    assert out.splitlines() == [f"Written: {page}", f"Written: {drawing}"]
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert "<svg" in drawing.read_text(encoding="utf-8")


def test_a_file_that_cannot_be_written_leaves_nothing_behind(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """A missing folder and a folder in the file's place are refused in a sentence."""
    for target in (tmp_path / "none" / "working.html", tmp_path):
        code, _, err = run(capsys, *QUESTION, "--html", str(target))

        assert code == 2
        assert "cannot be written" in err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("setting", "encoding"), [({}, "utf-8"), ({"PYTHONIOENCODING": "ascii"}, "ascii")])
def test_a_terminal_without_the_letters_gets_plain_text(setting: dict[str, str], encoding: str) -> None:
    """The whole command, in a shell whose terminal has Unicode or has not."""
    told = subprocess.run(
        [sys.executable, "-m", "chalkpoint", *QUESTION],
        check=True,
        capture_output=True,
        env={**os.environ, "PYTHONUTF8": "0", "PYTHONIOENCODING": "utf-8", **setting},
    ).stdout.decode(encoding)

    assert "Truncation error: 0.0625" in told
    assert ("\u25b4" in told) == (encoding == "utf-8")


def test_the_formats_are_listed_school_ones_first(capsys: pytest.CaptureFixture[str]) -> None:
    """In groups, the military and signal processors' in one of their own, no line past 80 columns."""
    code, out, err = run(capsys, "work", "--formats")
    headings = [line for line in out.splitlines() if line and not line.startswith(" ")]

    assert (code, err) == (0, "")
    assert headings[0] == "School floating point"
    assert headings[-1] == "Military and signal processors"
    assert all(len(line) <= 80 for line in out.splitlines())


def test_every_listed_format_is_one_that_is_taken(capsys: pytest.CaptureFixture[str]) -> None:
    """The list as JSON: what it spells can be given to --format."""
    _, out, _ = run(capsys, "work", "--formats", "--json")
    told = json.loads(out)

    assert told["schema"] == "chalkpoint.formats/1"
    assert {"binary32", "1750A-48", "8+4", "Q5.3"} <= {one["spelling"] for one in told["formats"]}
    for one in told["formats"]:
        assert run(capsys, "work", "encode", "1", "--format", one["spelling"], "--json")[0] == 0


def test_the_list_of_formats_works_no_question(capsys: pytest.CaptureFixture[str]) -> None:
    """An operation beside it is refused, so that nothing typed is passed over."""
    code, out, err = run(capsys, "work", "add", "1", "2", "--formats")

    assert (code, out) == (2, "")
    assert err == "chalkpoint: --formats lists the formats and works nothing; leave out 'add'\n"


def test_patterns_in_hexadecimal_too(capsys: pytest.CaptureFixture[str]) -> None:
    """In the sentences and in the JSON, where it is asked for."""
    asked = ["work", "encode", "0.1", "--format", "binary16"]

    assert "0 01011 1001100110 (0x2E66)" in run(capsys, *asked, "--hexadecimal")[1]
    assert json.loads(run(capsys, *asked, "--hexadecimal", "--json")[1])["result"]["hexadecimal"] == "0x2E66"
    assert "0x" not in run(capsys, *asked)[1]


def test_help_and_version(capsys: pytest.CaptureFixture[str]) -> None:
    """Both are there, and leave with 0."""
    assert "work" in run(capsys, "--help")[1]
    assert "--method" in run(capsys, "work", "--help")[1]
    assert run(capsys, "--version")[0] == 0
