"""Slides in a real program: where its own type puts each text, once, with awkward workings."""

import io
import os
import shutil
import subprocess
from dataclasses import dataclass

import pptx
import pypdfium2
import pytest
from pptx.slide import Slide
from pypdfium2 import raw

from chalkpoint.publishing.pptxdeck import Deck
from chalkpoint.publishing.slides import add_slides
from chalkpoint.publishing.stage import HEIGHT, WIDTH
from chalkpoint.teaching.lessonfile import lesson_of
from chalkpoint.teaching.parts import storyboard
from columns import Box, overlaps
from columns_cases import WORKINGS
from columns_slides import slide_marks

SOFFICE = shutil.which("soffice")
USUAL = (
    "-1.0 taken away",
    "two losses",
    "long names",
    "24+8",
    "binary32",
    "64+16",
    "Q5.3",
    "C3x-16",
    "divide 8",
)
#: With EVERY_DECK=1 those of every case, which takes ten times as long.
SHOWN = tuple(name for name in WORKINGS if name != "choose") if os.environ.get("EVERY_DECK") else USUAL


@dataclass
class Shown:
    """A slide, and the boxes of its characters as the program shows them, in px, y up."""

    slide: Slide
    boxes: list[Box]


@pytest.fixture(scope="module")
def rendered(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Shown]]:
    """The slides of each working: all in one deck, which the program opens once."""
    folder = tmp_path_factory.mktemp("slides")
    deck, counts = Deck("Awkward workings", WIDTH, HEIGHT), {}
    for name in SHOWN:
        before = len(deck)
        add_slides(deck, storyboard(lesson_of(WORKINGS[name])))
        counts[name] = len(deck) - before
    made, file = deck.saved(), folder / "all.pptx"
    file.write_bytes(made)
    run = [
        str(SOFFICE),
        f"-env:UserInstallation={folder.as_uri()}/profile",
        "--headless",
        "--convert-to",
        "pdf",
    ]
    subprocess.run([*run, "--outdir", str(folder), str(file)], check=False, capture_output=True, timeout=240)
    if not file.with_suffix(".pdf").exists():
        pytest.skip("this machine has no program that shows slides")
    document = pypdfium2.PdfDocument(file.with_suffix(".pdf"))
    slides = list(pptx.Presentation(io.BytesIO(made)).slides)
    assert len(document) == len(slides) == sum(counts.values())
    shown = iter([Shown(slide, characters(page)) for slide, page in zip(slides, document, strict=True)])
    document.close()
    return {name: [next(shown) for _ in range(count)] for name, count in counts.items()}


def characters(page: pypdfium2.PdfPage) -> list[Box]:
    """Return the boxes of a page's characters, in px of the slide, y up."""
    text, scale = page.get_textpage(), WIDTH / page.get_width()
    found = []
    for at in range(text.count_chars()):
        character = chr(raw.FPDFText_GetUnicode(text, at))
        left, bottom, right, top = (side * scale for side in text.get_charbox(at))
        if character.strip() and right > left:
            size = raw.FPDFText_GetFontSize(text, at) * scale
            found.append(Box(character, left, bottom, right, top, size))
    return found


@pytest.mark.skipif(SOFFICE is None, reason="no program that shows slides")
@pytest.mark.parametrize("name", SHOWN)
def test_text_stands_where_the_file_says(name: str, rendered: dict[str, list[Shown]]) -> None:
    """Each digit in the middle of its cell; no text over another, none outside its slide, none blank."""
    digits = 0
    for shown in rendered[name]:
        assert shown.boxes
        assert overlaps(shown.boxes) == []
        assert min(box.left for box in shown.boxes) >= 0
        assert max(box.right for box in shown.boxes) <= WIDTH
        assert min(box.bottom for box in shown.boxes) >= 0
        assert max(box.top for box in shown.boxes) <= HEIGHT
        stands = {(box.text, round((box.left + box.right) / 2)) for box in shown.boxes}
        for mark in (mark for row in slide_marks(shown.slide) for mark in row if len(mark.digit) == 1):
            assert any((mark.digit, round(mark.x) + off) in stands for off in range(-3, 4)), mark
            digits += 1
    assert digits > 8
