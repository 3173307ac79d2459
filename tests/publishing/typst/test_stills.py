"""Frames as pages: the bits on them are the working's, and each can be saved as a picture."""

import pypdfium2

from chalkpoint.publishing.frames import frames
from chalkpoint.publishing.parts import Rail
from chalkpoint.publishing.typst.stills import pngs, stills
from lessons import one_working, told


def test_each_frame_is_a_page_with_the_rows_that_are_shown() -> None:
    """Digit for digit."""
    shown = [frame for _, frame in frames(told())]
    pages = pypdfium2.PdfDocument(stills(shown))

    assert len(pages) == len(shown)
    for page, frame in zip(pages, shown, strict=True):
        text = "".join(page.get_textpage().get_text_range().split())
        rails = [(item, visible) for item, visible in frame.items if isinstance(item, Rail)]
        known = {rail.bits for rail, visible in rails if visible}
        assert all(bits in text for bits in known)


def test_a_page_is_as_large_as_a_video_frame() -> None:
    """1920 by 1080, a pt a pixel."""
    page = pypdfium2.PdfDocument(stills([frames(one_working())[0][1]]))[0]

    assert page.get_size() == (1920, 1080)


def test_pictures_are_png_of_that_size() -> None:
    """For any program that takes pictures."""
    (picture,) = pngs([frames(one_working())[0][1]])

    assert picture.startswith(b"\x89PNG")
    assert (int.from_bytes(picture[16:20], "big"), int.from_bytes(picture[20:24], "big")) == (1920, 1080)
