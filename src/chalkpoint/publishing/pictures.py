"""Pages of a PDF as pictures."""

from __future__ import annotations

from collections.abc import Iterator

from chalkpoint.numbers.errors import missing_extra

__all__ = ["pictures"]


def pictures(pdf: bytes) -> Iterator[tuple[int, int, bytes]]:
    """Yield each page as (width, height, pixels): a pt a pixel, four bytes each (blue, green, red, unused).

    Raises EntryError when the video extra is not installed.
    """
    try:
        import pypdfium2
    except ImportError as reason:
        raise missing_extra("a picture of a page", "pypdfium2", "video") from reason
    document = pypdfium2.PdfDocument(pdf)
    try:
        for page in document:
            drawn = page.render(scale=1, prefer_bgrx=True)
            yield drawn.width, drawn.height, bytes(drawn.buffer)
            drawn.close()
            page.close()
    finally:
        document.close()
