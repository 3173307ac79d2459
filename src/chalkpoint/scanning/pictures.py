"""The pictures of a stack, one at a time: pages of a PDF, or photographs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pypdfium2

from chalkpoint.numbers.errors import FileError
from chalkpoint.scanning.printed import rendered
from chalkpoint.scanning.vision import cv2

__all__ = ["PHOTOGRAPHS", "Source", "sources_in"]

PHOTOGRAPHS = (".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".bmp")
PER_MM = 200 / 25.4  # a stack is read at 200 dpi, whatever it was scanned at
MOST_PIXELS = 60_000_000  # of one picture
LONGEST = 420.0  # mm, of a page that is read: A3


@dataclass(frozen=True, slots=True)
class Source:
    """One picture: a file, and which page of it."""

    path: Path
    page: int = 0
    name: str = ""

    def __str__(self) -> str:
        name = self.name or self.path.name
        return f"{name}, page {self.page + 1}" if _is_pdf(self.path) else name

    def picture(self) -> npt.NDArray[np.uint8] | None:
        """Return it in grey, the right way up where the file says so; None where it is no picture that can be read."""
        if _is_pdf(self.path):
            with pypdfium2.PdfDocument(self.path) as document:
                longest = max(document[self.page].get_size()) / 72 * 25.4
                return rendered(document, self.page, PER_MM * min(1.0, LONGEST / max(longest, 1.0)))
        content = np.frombuffer(self.path.read_bytes(), np.uint8)
        try:
            found = cv2.imdecode(content, cv2.IMREAD_GRAYSCALE) if len(content) else None
        except cv2.error:
            return None
        return None if found is None or found.size > MOST_PIXELS else np.asarray(found)


def sources_in(paths: Sequence[Path]) -> list[Source]:
    """Return the pictures in files and folders of files, in order.

    Raises FileError for a file that is neither a PDF nor a photograph, or cannot be read.
    """
    return [source for path in paths for source in _sources(path)]


def _sources(path: Path) -> Iterator[Source]:
    if path.is_dir():
        inside = sorted(one for one in path.iterdir() if one.suffix.lower() in (*PHOTOGRAPHS, ".pdf"))
        if not inside:
            raise FileError(f"the folder {str(path)!r} holds no PDF and no photograph; give one that does")
        for one in inside:
            yield from _sources(one)
    elif not path.is_file():
        raise FileError(f"{str(path)!r} does not exist; give the scanner's PDF, or photographs")
    elif _is_pdf(path):
        try:
            with pypdfium2.PdfDocument(path) as document:
                count = len(document)
        except pypdfium2.PdfiumError as reason:
            raise FileError(
                f"{str(path)!r} is no PDF that can be opened ({reason}); scan it again"
            ) from reason
        yield from (Source(path, page) for page in range(count))
    elif path.suffix.lower() in PHOTOGRAPHS:
        yield Source(path)
    else:
        kinds = ", ".join(PHOTOGRAPHS)
        raise FileError(f"{str(path)!r} is neither a PDF nor a photograph ({kinds}); give one of these")


def _is_pdf(path: Path) -> bool:
    return path.suffix.lower() == ".pdf"
