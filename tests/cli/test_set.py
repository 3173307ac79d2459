"""The command `chalkpoint set`, as a teacher types it."""

import json
from pathlib import Path

import pytest

import chalkpoint as cp
from brackwater import WHOLE
from chalkpoint.cli import main


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[object, str, str]:
    """Return the exit code of a command and what it printed, out and error."""
    with pytest.raises(SystemExit) as left:
        main(words)
    printed = capsys.readouterr()
    return left.value.code, printed.out, printed.err


@pytest.fixture
def blueprint(tmp_path: Path) -> Path:
    """A blueprint's file."""
    file = tmp_path / "paper.toml"
    file.write_text(WHOLE, encoding="utf-8")
    return file


def test_papers_are_set_and_written(
    capsys: pytest.CaptureFixture[str], blueprint: Path, tmp_path: Path
) -> None:
    """The command says what it made, how equal it is, and where it is."""
    out = tmp_path / "out"
    code, said, errors = run(
        capsys, "set", str(blueprint), "--variants", "2", "--seed", "7", "--out", str(out)
    )

    assert (code, errors) == (0, "")
    assert said.startswith("Gauge readings: 2 variants of 5 questions, 28 marks each.")
    assert f"Written: {out}, 10 files" in said
    assert json.loads((out / "papers.json").read_text(encoding="utf-8"))["seed"] == 7


def test_the_same_seed_writes_the_same_bytes(
    capsys: pytest.CaptureFixture[str], blueprint: Path, tmp_path: Path
) -> None:
    """Every file of both folders is the same, byte for byte; here of papers that are to be scanned."""
    for name in ("one", "two"):
        run(capsys, "set", str(blueprint), "--scan", "--seed", "3", "--out", str(tmp_path / name))

    files = sorted(path.name for path in (tmp_path / "one").iterdir())
    assert json.loads((tmp_path / "one" / "papers.json").read_text(encoding="utf-8"))["sheet"]["scan"]
    for file in files:
        assert (tmp_path / "one" / file).read_bytes() == (tmp_path / "two" / file).read_bytes()


def test_json_is_one_object_and_nothing_else(capsys: pytest.CaptureFixture[str], blueprint: Path) -> None:
    """The same as the Python face gives."""
    code, said, errors = run(capsys, "set", str(blueprint), "--variants", "2", "--seed", "7", "--json")

    assert (code, errors) == (0, "")
    assert json.loads(said) == cp.set_papers(blueprint, variants=2, seed=7).to_dict()


def test_new_writes_a_blueprint_that_can_be_set(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """And does not write over one."""
    file = tmp_path / "new.toml"

    assert run(capsys, "set", "--new", str(file))[0] == 0
    assert run(capsys, "set", str(file), "--json")[0] == 0
    code, _, errors = run(capsys, "set", "--new", str(file))
    assert code == 2
    assert "is there already" in errors


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ([], "set needs a blueprint"),
        (["none.toml", "--json"], "'none.toml' cannot be read"),
        (["PAPER"], "give --out FOLDER"),
        (["PAPER", "--json", "--variants", "0"], "from 1 to 1000"),
        (["PAPER", "--json", "--variant", "3"], "did you mean --variants"),
        (["PAPER", "--out", "."], "is not empty"),
    ],
)
def test_bad_input_leaves_with_2_and_one_sentence(
    capsys: pytest.CaptureFixture[str],
    blueprint: Path,
    monkeypatch: pytest.MonkeyPatch,
    words: list[str],
    part: str,
) -> None:
    """Nothing on standard output, and no traceback."""
    monkeypatch.chdir(blueprint.parent)
    code, out, errors = run(capsys, "set", *(str(blueprint) if word == "PAPER" else word for word in words))

    assert (code, out) == (2, "")
    assert part in errors
    assert errors.count("\n") == 1
