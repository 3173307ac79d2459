"""Typst source made into PDF, the same bytes every time, with the faces this package brings along.

The bits and words are set in DejaVu Sans, whose 1 has a foot and whose 0 is open; a subset of it stands in
`publishing/fonts`, so that no system font and no network is asked. The compiler's own DejaVu Sans Mono
sets bits inside sentences.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import as_file, files
from threading import Lock
from typing import TYPE_CHECKING, cast

from chalkpoint.numbers.errors import missing_extra

if TYPE_CHECKING:
    from typst import Compiler

__all__ = ["compile_pdf", "library"]

PARTS = ("rails.typ", "working.typ", "lesson.typ")


@cache
def library() -> str:
    """Return our drawing functions, to stand at the head of a typst source."""
    folder = files("chalkpoint.publishing") / "typst"
    return "\n".join((folder / name).read_text(encoding="utf-8") for name in PARTS)


def compile_pdf(source: str) -> bytes:
    """Return *source* (which follows `library()`) as a tagged PDF/UA-1 file.

    Raises EntryError when the print extra is not installed.
    """
    return _compile(source)


def _compile(source: str) -> bytes:
    text = f"{library()}\n{source}".encode()
    with _one_at_a_time:
        made = _compiler().compile(text, format="pdf", pdf_standards="ua-1", timestamp=0, pdf_tags=True)
    return cast("bytes", made)  # one PDF, not one a page


#: The compiler refuses to be called from a second thread while it works for one.
_one_at_a_time = Lock()


@cache
def _compiler() -> Compiler:
    """Return the compiler; made once, since reading the faces takes longer than a page."""
    try:
        from typst import Compiler
    except ImportError as reason:
        raise missing_extra("a PDF", "typst", "print") from reason
    with as_file(files("chalkpoint.publishing") / "fonts") as fonts:
        return Compiler(font_paths=[str(fonts)], ignore_system_fonts=True)
