"""Every example that a help shows is run, in its order, in an empty folder."""

from __future__ import annotations

import shlex
import shutil
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from chalkpoint.cli import main
from chalkpoint.cli.commands import COMMANDS
from chalkpoint.cli.records import EXAMPLES
from lessons import BRACKWATER

Type = Callable[[str], str]


@pytest.fixture
def typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Type:
    """What types a command as a shell does, in an empty folder with a data folder of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    for name in ("XDG_DATA_HOME", "XDG_CACHE_HOME", "LOCALAPPDATA", "HOME"):
        monkeypatch.setenv(name, str(tmp_path / "home"))

    def go(line: str) -> str:
        with pytest.raises(SystemExit) as left:
            main(shlex.split(line)[1:])
        said = capsys.readouterr()
        assert (left.value.code, said.err) == (0, ""), said.err
        return said.out

    return go


def test_the_help_says_what_each_command_does(typed: Type) -> None:
    """One sentence each."""
    said = " ".join(typed("chalkpoint --help").replace("\u2502", " ").split())

    assert all(f"{name} {command.does}" in said for name, command in COMMANDS.items())
    assert "records Keep what is kept" in said


@pytest.mark.parametrize(
    ("asked", "examples"),
    [(name, command.examples) for name, command in COMMANDS.items()]
    + [
        ("records" if name == "records" else f"records {name}", examples)
        for name, examples in EXAMPLES.items()
    ],
)
def test_each_help_shows_its_two_examples(typed: Type, asked: str, examples: tuple[str, str]) -> None:
    """Whole, on a line each, so that they can be copied."""
    lines = [line.strip() for line in typed(f"chalkpoint {asked} --help").splitlines()]

    assert all(example in lines for example in examples)
    assert not any("--no-" in line or "--empty-" in line or "[default: ()]" in line for line in lines)


def test_the_examples_of_work_run(typed: Type, tmp_path: Path) -> None:
    """One prints, the other writes."""
    printed, written = map(typed, COMMANDS["work"].examples)

    assert "Truncation error" in printed
    assert written == "Written: working.html\n"
    assert (tmp_path / "working.html").exists()


def test_the_examples_of_find_run(typed: Type) -> None:
    """Both print questions."""
    assert all("normalised pairs" in typed(example) for example in COMMANDS["find"].examples)


def test_the_examples_of_set_run_and_then_those_of_mark(typed: Type, tmp_path: Path) -> None:
    """A blueprint to start from, papers of it, and what a class wrote on them."""
    for example in COMMANDS["set"].examples:
        assert "Written" in typed(example)
    (tmp_path / "answers.csv").write_text("student,variant,1\nFenn,1,0.1010011 0011\n", encoding="utf-8")
    judged, marked = map(typed, COMMANDS["mark"].examples)

    assert "0.1010011 0011" in judged
    assert "marks" in marked


def test_the_examples_of_teach_run(typed: Type, tmp_path: Path) -> None:
    """Each makes what it names."""
    shutil.copy(BRACKWATER, tmp_path / "lesson.toml")
    for example in COMMANDS["teach"].examples:
        typed(example)

    assert {file.name for file in (tmp_path / "lesson").iterdir()} == {"board.html", "script.md"}
    assert {file.name for file in (tmp_path / "words").iterdir()} == {
        "captions.vtt",
        "captions.srt",
        "linear.txt",
    }


def test_the_examples_of_serve_reach_the_server(typed: Type, monkeypatch: pytest.MonkeyPatch) -> None:
    """With what they ask for; the server itself is not begun."""
    from chalkpoint.web import serving

    asked = []
    monkeypatch.setattr(serving, "serve", lambda **how: asked.append((how["port"], how["lan"])))
    for example in COMMANDS["serve"].examples:
        typed(example)

    assert asked == [(8000, False), (8123, True)]


def test_the_examples_of_tab_reach_the_builder(typed: Type, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder and one file; nothing is built."""
    from chalkpoint.web.tab import writing

    asked: list[str] = []
    for name in ("write_folder", "write_one_file"):
        monkeypatch.setattr(writing, name, partial(_written, asked, name))
    for example in COMMANDS["tab"].examples:
        typed(example)

    assert asked == ["write_folder chalkpoint-in-a-tab", "write_one_file chalkpoint.html"]


def _written(asked: list[str], name: str, out: Path, **how: object) -> int:
    asked.append(f"{name} {out}")
    return 0


def test_the_examples_of_records_run(typed: Type, monkeypatch: pytest.MonkeyPatch) -> None:
    """In the order of the help: what is exported can be imported."""
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    monkeypatch.setattr("chalkpoint.cli.records.getpass", lambda _: "a long password")
    for example in (one for two in EXAMPLES.values() for one in two):
        typed(example)
