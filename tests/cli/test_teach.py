"""The command `chalkpoint teach`, as a teacher types it."""

import json
from pathlib import Path

import pytest

from chalkpoint.cli import main
from chalkpoint.teaching.lessonfile import read_lesson
from chalkpoint.teaching.parts import storyboard
from lessons import BRACKWATER

USUAL = {
    "board.html",
    "captions.srt",
    "captions.vtt",
    "cover.pdf",
    "handout.pdf",
    "script.md",
    "sheet.html",
    "sheet.papers.json",
    "slides.pptx",
}


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[object, str, str]:
    """Return the exit code of a command and what it printed, out and error."""
    with pytest.raises(SystemExit) as left:
        main(words)
    printed = capsys.readouterr()
    return left.value.code, printed.out, printed.err


def test_everything_but_the_video_is_made(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Each file is named as it is written."""
    out = tmp_path / "lesson"
    code, printed, _ = run(capsys, "teach", str(BRACKWATER), "--out", str(out))

    assert code == 0
    assert {file.name for file in out.iterdir()} == USUAL
    assert all(name in printed for name in USUAL)


def test_new_writes_a_lesson_that_can_be_made(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """And does not write over one; without a lesson, or a folder, the refusal says what to give."""
    file = tmp_path / "lesson.toml"

    assert run(capsys, "teach", "--new", str(file))[0] == 0
    assert run(capsys, "teach", str(file), "--out", str(tmp_path / "made"), "--script")[0] == 0
    assert (tmp_path / "made" / "script.md").exists()
    for words in (["--new", str(file)], [str(file)], []):
        code, _, errors = run(capsys, "teach", *words)
        assert code == 2
        assert ("is there already" if words[:1] == ["--new"] else "--new FILE writes a lesson") in errors


def test_only_what_is_asked_for_is_made(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """One option, one medium."""
    run(capsys, "teach", str(BRACKWATER), "--out", str(tmp_path), "--script")

    assert [file.name for file in tmp_path.iterdir()] == ["script.md"]


def test_stills_and_linear_text_are_made_on_request(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """A picture for each change, and text for Braille."""
    lesson = tmp_path / "lesson.toml"
    lesson.write_text('[[part]]\nkind = "worked"\nquestion = "decode 01101000 0011"\n', encoding="utf-8")
    out = tmp_path / "out"
    run(capsys, "teach", str(lesson), "--out", str(out), "--stills", "--linear")
    names = sorted(file.name for file in out.iterdir())
    shots = storyboard(read_lesson(lesson)).shots

    assert names[0] == "linear.txt"
    assert names[1:] == [f"still-{number:03}.png" for number in range(1, len(names))]
    assert len(names) > len(shots)


def test_a_changed_script_is_used(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The teacher's own words are captioned."""
    run(capsys, "teach", str(BRACKWATER), "--out", str(tmp_path), "--script")
    mine = tmp_path / "script.md"
    text = mine.read_text(encoding="utf-8").replace(
        "Match the exponents first.", "Exponents come first, Herons."
    )
    mine.write_text(text, encoding="utf-8")

    run(capsys, "teach", str(BRACKWATER), "--out", str(tmp_path), "--captions", "--narration", str(mine))

    assert "Exponents come first, Herons." in " ".join(
        (tmp_path / "captions.vtt").read_text(encoding="utf-8").split()
    )


def test_what_a_pupil_saves_is_marked(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The sheet's own paper and a table of answers: the right line gets its mark, the belief is named."""
    run(capsys, "teach", str(BRACKWATER), "--out", str(tmp_path), "--sheet")
    answers = tmp_path / "answers.csv"
    answers.write_text(
        "student,variant,question,line,written\nheron-04,1,3,align,0.0011 101\nheron-04,1,3,negate,1.1100 010\n",
        encoding="utf-8",
    )

    code, out, error = run(
        capsys,
        "mark",
        str(tmp_path / "sheet.papers.json"),
        str(answers),
        "--out",
        str(tmp_path / "marks"),
        "--json",
    )

    assert (code, error) == (0, "")
    (student,) = json.loads(out)["students"]
    points = {point["rule"]: point for point in student["questions"][2]["points"]}
    assert points["align"]["status"] == "right"
    assert "invert-only" in str(points["negate"]) + str(student["beliefs"])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["no-such.toml"], "no-such.toml"),
        ([str(BRACKWATER), "--look", "green"], "give light or dark"),
        ([str(BRACKWATER), "--narration", "no-script.md"], "no-script.md"),
        ([str(BRACKWATER), "--bord"], "did you mean --board"),
    ],
)
def test_bad_input_leaves_nothing_behind(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, words: list[str], said: str
) -> None:
    """One sentence, exit code 2, no folder made."""
    out = tmp_path / "lesson"
    code, _, error = run(capsys, "teach", *words, "--out", str(out))

    assert code == 2
    assert said in error
    assert len(error.strip().splitlines()) == 1
    assert not out.exists()


def test_one_question_becomes_slides_paper_and_video(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """The options of `work`."""
    files = {
        name: tmp_path / f"w.{ending}"
        for name, ending in (("pdf", "pdf"), ("slides", "pptx"), ("video", "mp4"))
    }
    options = [word for name, file in files.items() for word in (f"--{name}", str(file))]

    code, printed, _ = run(capsys, "work", "decode", "01101000 0011", *options)

    assert code == 0
    assert all(str(file) in printed and file.stat().st_size > 1000 for file in files.values())
