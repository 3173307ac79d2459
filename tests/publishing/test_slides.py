"""Slides opened again: bits, alternative texts, notes, columns."""

import io
from functools import cache
from typing import Any

import pptx
import pytest
from pptx.util import Pt

from chalkpoint.publishing.frames import frames, together
from chalkpoint.publishing.parts import Rail
from chalkpoint.publishing.slides import slides
from chalkpoint.publishing.stage import BOARD_MEASURES, Stage
from chalkpoint.teaching.lessonfile import lesson_of
from chalkpoint.teaching.parts import storyboard
from chalkpoint.working.work import work
from lessons import one_working, told


@cache
def opened() -> Any:
    """Return the lesson's slides as the library reads them."""
    return pptx.Presentation(io.BytesIO(slides(told())))


@cache
def shown() -> list[Any]:
    """Return the frames the slides were made from."""
    return list(together(frames(told())))


def digits(group: Any) -> list[tuple[int, str]]:
    """Return (left edge, digit) of each cell of a row that holds a digit large enough to be a bit."""
    least = Pt(0.9 * BOARD_MEASURES["digit"] * Stage.of(frame for _, frame in shown()).u / 2)
    return [
        (shape.left, shape.text_frame.text)
        for shape in group.shapes
        if shape.has_text_frame
        and shape.text_frame.text in {"0", "1"}
        and shape.text_frame.paragraphs[0].runs[0].font.size >= least
    ]


def rows(slide: Any) -> list[Any]:
    """Return the groups of rails on *slide*."""
    return [shape for shape in slide.shapes if shape.name.startswith("rail")]


def test_there_is_a_slide_for_each_picture() -> None:
    """One step each; a pause parts the question from its answer."""
    assert len(opened().slides) == len(shown())


def test_the_bits_on_slides_are_the_workings() -> None:
    """Digit for digit, every row that is shown."""
    for slide, (_, frame) in zip(opened().slides, shown(), strict=True):
        rails = [(item, visible) for item, visible in frame.items if isinstance(item, Rail)]
        for group, (rail, visible) in zip(rows(slide), rails, strict=True):
            expected = [cell.digit for cell in (*rail.cells, *rail.exponent)] if visible else []
            assert [digit for _, digit in digits(group)] == expected


def test_every_row_has_its_words() -> None:
    """Each group's alternative text is the row's own sentence."""
    for slide, (_, frame) in zip(opened().slides, shown(), strict=True):
        rails = [(item, visible) for item, visible in frame.items if isinstance(item, Rail)]
        described = [group._element.nvGrpSpPr.cNvPr.get("descr") for group in rows(slide)]  # noqa: SLF001
        assert described == [
            rail.words if visible else f"{rail.label}: not written yet" for rail, visible in rails
        ]
        groups = [shape for shape in slide.shapes if shape.shape_type == 6]
        assert all(group._element.nvGrpSpPr.cNvPr.get("descr") for group in groups)  # noqa: SLF001


def test_every_slide_has_a_title_and_notes() -> None:
    """A reader finds slides by title; the notes hold what is said."""
    for slide, (shots, frame) in zip(opened().slides, shown(), strict=True):
        assert frame.title in slide.shapes.title.text_frame.text
        notes = slide.notes_slide.notes_text_frame.text
        assert all(cue.written.replace("\u00a0", " ") in notes for shot in shots for cue in shot.cues)


def test_columns_line_up_from_slide_to_slide() -> None:
    """The sign place of every row on every slide has one left edge."""
    lefts = set()
    for slide, (_, frame) in zip(opened().slides, shown(), strict=True):
        rails = [item for item, visible in frame.items if isinstance(item, Rail) and visible]
        visible_rows = [group for group in rows(slide) if digits(group)]
        for group, rail in zip(visible_rows, rails, strict=True):
            at = [cell.column for cell in rail.cells].index(0)
            lefts.add(digits(group)[at][0])
    assert len(lefts) == 1


def test_bits_are_large_enough_for_the_back_row() -> None:
    """At least 32 pt in the class's usual format."""
    u = Stage.of(frame for _, frame in shown()).u

    assert BOARD_MEASURES["digit"] * u / 2 >= 32


def test_words_can_be_read_at_the_back() -> None:
    """At least 24 pt, place values and carries too."""
    sizes = {
        run.font.size
        for slide in opened().slides
        for shape in _shapes(slide.shapes)
        if shape.has_text_frame
        for paragraph in shape.text_frame.paragraphs
        for run in paragraph.runs
        if run.text.strip()
    }

    assert min(sizes) >= Pt(24)


def _shapes(shapes: Any) -> Any:
    for shape in shapes:
        yield from _shapes(shape.shapes) if shape.shape_type == 6 else [shape]


def test_same_lesson_same_bytes() -> None:
    """Nothing depends on the clock."""
    assert slides(one_working()) == slides(one_working())


@pytest.mark.parametrize("text", ["a & b", "<b>"])
def test_any_title_can_be_written(text: str) -> None:
    """Signs that mean something in XML stay letters."""
    from dataclasses import replace

    lesson = one_working()
    shot = replace(lesson.shots[0], view=replace(lesson.shots[0].view, title=text))
    made = pptx.Presentation(io.BytesIO(slides(replace(lesson, shots=(shot,)))))

    assert text in made.slides[0].shapes.title.text_frame.text


def test_a_value_of_ten_thousand_digits_has_slides() -> None:
    """10^9999 overflows 24+8: its slides say so, and tell no place of a whole part whose middle is left out."""
    made = slides(storyboard(lesson_of(work("encode", "1e9999", format="24+8"))))
    last = list(pptx.Presentation(io.BytesIO(made)).slides)[-1]

    assert any("Overflow" in shape.text_frame.text for shape in last.shapes if shape.has_text_frame)
