"""Every slide proved: where each digit of a lesson's slides stands, over every family and awkward inputs."""

import io

import pptx
import pytest

from chalkpoint.publishing.frames import frames, together
from chalkpoint.publishing.slides import slides
from chalkpoint.teaching.lessonfile import lesson_of
from chalkpoint.teaching.parts import storyboard
from columns import Line, check_columns, expected, overlaps
from columns_cases import CASES, WORKINGS
from columns_slides import slide_boxes, slide_marks, slide_weights
from columns_weights import check_weights

#: Shown otherwise in a lesson than as rows of one working.
OTHERWISE = {"choose"}


def left_out_of(lines: list[Line]) -> list[Line]:
    """Return the rows of a step that a class is shown: of more than fifteen the first eight and the last five."""
    rails = [line for line in lines if line.kind == "rail"]
    hidden = rails[8:-5] if len(rails) > 15 else []
    return [line for line in lines if not any(line is one for one in hidden)]


@pytest.mark.parametrize("name", [name for name in CASES if name not in OTHERWISE])
def test_every_digit_on_slides_stands_in_its_column(name: str) -> None:
    """All rows of a step on its last slide, each place at one x all through; headings and sentences apart."""
    working = WORKINGS[name]
    told = storyboard(lesson_of(working))
    made = pptx.Presentation(io.BytesIO(slides(told))).slides
    shown = [frame for _, frame in together(frames(told))]
    last = {frame.at: slide for slide, frame in zip(made, shown, strict=True) if frame.strip}
    steps = [left_out_of(lines) for lines in expected(working)]
    seen = [marks for at in range(len(steps)) for marks in slide_marks(last[at]) if marks]
    weights = [weight for at in range(len(steps)) for weight in slide_weights(last[at])]

    assert check_columns(steps, seen, least=12)
    assert check_weights(weights, steps, seen, 2.0) == len(weights)
    for slide in made:
        boxes = slide_boxes(slide)
        assert overlaps(boxes) == []
        assert min(box.left for box in boxes) >= 0
        assert max(box.right for box in boxes) <= 1920
        assert max(box.top for box in boxes) <= 1080
