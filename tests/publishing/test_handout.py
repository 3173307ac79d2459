"""The lesson on paper: what pupils get, what the teacher gets, and the structure of both."""

import io
from dataclasses import replace
from functools import cache
from pathlib import Path

import pdfua
import pikepdf
import pypdfium2
import pytest

from chalkpoint.publishing.handout import cover, handout
from chalkpoint.teaching.lessonfile import lesson_from
from lessons import brackwater, told


@cache
def printed() -> dict[str, bytes]:
    """Return both papers."""
    return {"handout": handout(brackwater()), "cover": cover(brackwater(), told())}


def letters(name: str) -> str:
    """Return the text of a paper without spaces."""
    pages = pypdfium2.PdfDocument(printed()[name])
    return "".join("".join(page.get_textpage().get_text_range().split()) for page in pages)


@pytest.mark.parametrize("name", ["handout", "cover"])
def test_the_checker_finds_nothing(name: str, tmp_path: Path) -> None:
    """The rules of PDF/UA-1 that the checker knows are kept."""
    file = tmp_path / "lesson.pdf"
    file.write_bytes(printed()[name])

    assert [str(finding) for finding in pdfua.validate(str(file)).findings] == []


@pytest.mark.parametrize("name", ["handout", "cover"])
def test_the_title_is_the_lessons(name: str) -> None:
    """And the language is set."""
    with pikepdf.open(io.BytesIO(printed()[name])) as file:
        assert str(file.docinfo["/Title"]) == brackwater().title
        assert str(file.Root["/Lang"]) == "en-GB"


def test_a_worked_question_is_shown_whole() -> None:
    """Every row of the example stands on the handout."""
    working = brackwater().parts[1].working
    assert working

    assert [
        row.bits for step in working.steps for row in step.rows if row.bits not in letters("handout")
    ] == []


def test_a_question_to_try_shows_no_line_of_its_working() -> None:
    """The rails are there, empty but for the question's own bits."""
    tried = brackwater().parts[2]
    pages = pypdfium2.PdfDocument(handout(replace(brackwater(), parts=(tried,))))
    text = "".join("".join(page.get_textpage().get_text_range().split()) for page in pages)
    assert tried.working

    asked = [row.bits for row in tried.working.steps[0].rows]
    assert all(bits in text for bits in asked)
    written = [row.bits for step in tried.working.steps[1:] for row in step.rows if row.bits not in asked]
    assert [bits for bits in written if bits in text] == []


def test_the_handout_keeps_the_hinge_open() -> None:
    """Four answers, none marked."""
    text = letters("handout")

    assert all(choice.answer.replace(" ", "") in text for choice in brackwater().parts[5].choices)
    assert "right)" not in text


def test_the_cover_says_every_word() -> None:
    """Whoever reads it aloud has taught the lesson."""
    text = letters("cover")
    said = ["".join(cue.written.split()) for shot in told().shots for cue in shot.cues if not cue.silent]

    assert [sentence for sentence in said if sentence not in text] == []


def test_same_lesson_same_bytes() -> None:
    """Nothing depends on the clock."""
    assert printed()["handout"] == handout(brackwater())


@pytest.mark.parametrize("question", ["subtract 8.875, 3.6875", "subtract 0.126953125, 0.5"])
def test_rows_to_fill_have_a_tray_and_a_line_for_carries(
    question: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Digits that move may fall into it; a sum has its line of carries, whether or not there are any.

    Of the working nothing stands on it but the question's own digits, in the tray neither.
    """
    monkeypatch.setattr("chalkpoint.publishing.handout.compile_pdf", str.encode)
    lesson = lesson_from({"part": [{"kind": "try", "question": question}]})
    drawn = handout(lesson).decode()
    working = lesson.parts[0].working
    assert working

    asked = "".join(row.bits + row.exponent_bits for row in working.steps[0].rows)
    assert [drawn.count(f'"digit": "{digit}"') for digit in "01"] == [asked.count(digit) for digit in "01"]
    assert '"carries"' in drawn
    assert drawn.count('"kind": "lost"') % 4 == 0  # a shift by two or three has a tray of four
    assert '"kind": "lost"' in drawn


def test_a_row_to_choose_is_asked_for_as_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """What comes next is a row of the working; it is no answer."""
    monkeypatch.setattr("chalkpoint.publishing.handout.compile_pdf", str.encode)
    drawn = handout(lesson_from({"part": [{"kind": "next", "question": "subtract 8.875, 3.6875"}]})).decode()

    assert "Which of these four rows comes next?" in drawn
    assert "four answers" not in drawn
