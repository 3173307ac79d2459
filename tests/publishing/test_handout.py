"""The lesson on paper: what pupils get, what the teacher gets, and the structure of both."""

import io
from functools import cache
from pathlib import Path

import pdfua
import pikepdf
import pypdfium2
import pytest

from chalkpoint.publishing.handout import cover, handout
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


def test_the_handout_shows_worked_bits_and_hides_those_to_be_found() -> None:
    """The worked answer stands there; the answer of the question to try does not."""
    text = letters("handout")
    worked, tried = (brackwater().parts[at].working for at in (1, 2))
    assert worked
    assert tried
    assert tried.pattern != worked.pattern

    assert (worked.result.bits or "").split()[0] in text
    for step in tried.steps[1:]:
        assert step.rows[-1].bits not in text


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
