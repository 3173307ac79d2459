"""`chalkpoint find` as it is typed."""

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Give what runs the command and returns its exit code and both outputs."""
    monkeypatch.setenv("CHALKPOINT_CACHE", str(tmp_path))
    monkeypatch.setenv("PYTHONPATH", "src")

    def command(*words: str) -> tuple[int, str, str]:
        done = subprocess.run(
            [sys.executable, "-m", "chalkpoint", "find", *words],
            capture_output=True,
            encoding="utf-8",
            check=False,
        )
        return done.returncode, done.stdout, done.stderr

    return command


def test_json_has_the_promised_keys(run: Run) -> None:
    """--json prints one object, its counts and numbers as strings."""
    code, out, err = run(
        "subtract", "--format", "8+4", "--where", "align-shift = 2", "--draw", "2", "--seed", "7", "--json"
    )
    answer = json.loads(out)
    assert (code, err) == (0, "")
    assert answer["schema"] == "chalkpoint.find/1"
    assert {
        key: answer[key]
        for key in ("operation", "format", "where", "space", "of", "count", "exact", "contradiction")
    } == {
        "operation": "subtract",
        "format": "8+4",
        "where": ["align-shift = 2"],
        "space": "normalised pairs",
        "of": "4194304",
        "count": "458752",
        "exact": True,
        "contradiction": None,
    }
    assert [set(question) for question in answer["questions"]] == [{"number", "operands", "result"}] * 2
    again = run(
        "subtract", "--format", "8+4", "--where", "align-shift = 2", "--draw", "2", "--seed", "7", "--json"
    )
    assert again[1] == out


def test_none_exists_is_an_answer(run: Run) -> None:
    """A request that nothing meets leaves with 0, says why, and names what comes nearest."""
    code, out, _ = run("add", "--format", "6+4", "--where", "equal-exponents", "--where", "lost-ones >= 1")
    assert code == 0
    assert "None of the 262,144 normalised pairs in 6+4 meets this request." in out
    assert "equal-exponents and lost-ones >= 1 exclude each other" in out
    assert "without equal-exponents: " in out


def test_the_question_of_a_number_is_printed(run: Run) -> None:
    """--number prints the question that draws and the simplest give that number."""
    _, out, _ = run("subtract", "--format", "6+4", "--where", "carry-dropped", "--simplest", "1", "--json")
    (simplest,) = json.loads(out)["questions"]
    _, out, _ = run(
        "subtract", "--format", "6+4", "--where", "carry-dropped", "--number", simplest["number"], "--json"
    )
    assert json.loads(out)["questions"] == [simplest]


def test_a_table_is_printed(run: Run) -> None:
    """--table prints one row a combination."""
    code, out, _ = run("subtract", "--format", "5+3", "--table", "shifted-operand,carry-dropped")
    assert code == 0
    assert out.splitlines()[1].split() == ["shifted-operand", "carry-dropped", "questions"]
    assert len(out.splitlines()) == 8


def test_traits_are_listed_with_counts(run: Run) -> None:
    """--traits lists every trait with a sentence, values, source and counts."""
    code, out, _ = run("subtract", "--format", "4+3", "--traits", "--json")
    listed = {entry["trait"]: entry for entry in json.loads(out)["traits"]}
    assert code == 0
    assert listed["carry-dropped"]["counts"][0]["where"] == "carry-dropped"
    assert len(listed["exposes:X"]["counts"]) > 30
    assert all(entry["sentence"] and entry["source"] and entry["values"] for entry in listed.values())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["subtract", "--where", "lost-one >= 2"], "did you mean lost-ones"),
        (["subtract", "--count", "--draw", "2"], "cannot be asked for together"),
        (["substract"], "did you mean subtract"),
        (["subtract", "--format", "banana"], "is not a format; write one such as"),
        (["subtract", "--format", "9+"], "is not a format; write one such as 8+4"),
        (["subtract", "--number", "99999999"], "is no number of a question here"),
    ],
)
def test_bad_input_leaves_with_2_and_one_sentence(run: Run, words: list[str], said: str) -> None:
    """What cannot be taken is said in one sentence on standard error, and nothing is printed."""
    code, out, err = run(*words)
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert said in err


def test_a_sentence_is_read_aloud_before_its_answer(run: Run) -> None:
    """The conditions, what else a phrase may mean and the words not used come first, then the usual answer."""
    code, out, err = run("--say", "a tidy 6+4 subtraction that loses a 1", "--count")
    assert (code, err) == (0, "")
    assert out.splitlines()[:3] == [
        "Understood as: subtract, lost-ones >= 1",
        "'loses a 1' could also mean: lost-ones = 1",
        "Not used: 'tidy'",
    ]
    assert (
        out.splitlines()[3:]
        == run("subtract", "--format", "6+4", "--where", "lost-ones >= 1", "--count")[1].splitlines()
    )


def test_a_sentence_without_an_operation_asks_for_one(run: Run) -> None:
    """None is guessed."""
    code, _, err = run("--say", "two 1s are lost")
    assert code == 2
    assert "names no operation" in err
