"""Slides in a real program: where its own type puts each text, once, with awkward workings."""

import io
import shutil
import subprocess
from pathlib import Path

import pptx
import pypdfium2
import pytest
from pypdfium2 import raw

from chalkpoint.publishing.slides import slides
from chalkpoint.teaching.lessonfile import lesson_of
from chalkpoint.teaching.parts import storyboard
from columns import Box, overlaps
from columns_cases import WORKINGS
from columns_slides import slide_marks

SOFFICE = shutil.which("soffice")
SHOWN = ("long names", "24+8", "-1.0 taken away")
WIDE = 1920  # px, of a slide


@pytest.fixture(scope="module")
def rendered(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[bytes, Path]]:
    """The slides of each working, and the PDF that the program makes of them, all in one run of it."""
    folder = tmp_path_factory.mktemp("slides")
    made = {name: slides(storyboard(lesson_of(WORKINGS[name]))) for name in SHOWN}
    files = [folder / f"{at}.pptx" for at in range(len(SHOWN))]
    for file, name in zip(files, SHOWN, strict=True):
        file.write_bytes(made[name])
    run = [
        str(SOFFICE),
        f"-env:UserInstallation={folder.as_uri()}/profile",
        "--headless",
        "--convert-to",
        "pdf",
    ]
    subprocess.run(
        [*run, "--outdir", str(folder), *map(str, files)], check=False, capture_output=True, timeout=120
    )
    if not all(file.with_suffix(".pdf").exists() for file in files):
        pytest.skip("this machine has no program that shows slides")
    return {name: (made[name], file.with_suffix(".pdf")) for name, file in zip(SHOWN, files, strict=True)}


def characters(page: pypdfium2.PdfPage) -> list[Box]:
    """Return the boxes of a page's characters, in px of the slide, y up."""
    text, scale = page.get_textpage(), WIDE / page.get_width()
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
def test_text_stands_where_the_file_says(name: str, rendered: dict[str, tuple[bytes, Path]]) -> None:
    """Each digit in the middle of its cell; no text over another, none outside its slide."""
    made, file = rendered[name]
    document = pypdfium2.PdfDocument(file)
    shown = pptx.Presentation(io.BytesIO(made)).slides
    digits = 0
    assert len(document) == len(shown)
    for slide, page in zip(shown, document, strict=True):
        boxes = characters(page)
        high = page.get_height() * WIDE / page.get_width()
        assert overlaps(boxes) == []
        assert all(
            box.left >= 0 and box.right <= WIDE and box.bottom >= 0 and box.top <= high for box in boxes
        )
        stands = {(box.text, round((box.left + box.right) / 2)) for box in boxes}
        for mark in (mark for row in slide_marks(slide) for mark in row if len(mark.digit) == 1):
            assert any((mark.digit, round(mark.x) + off) in stands for off in range(-3, 4)), mark
            digits += 1
    document.close()
    assert digits > 50
