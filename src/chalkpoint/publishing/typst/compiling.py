"""Typst source made into PDF, the same bytes every time, with the faces this package brings along.

The bits and words are set in DejaVu Sans, whose 1 has a foot and whose 0 is open; a subset of it stands in
`publishing/fonts`, so that no system font and no network is asked. The compiler's own DejaVu Sans Mono
sets bits inside sentences.
"""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import as_file, files
from threading import Lock
from typing import TYPE_CHECKING, cast

from chalkpoint.numbers.errors import EntryError, missing_extra

if TYPE_CHECKING:
    from typst import Compiler

__all__ = ["compile_pdf", "compile_pictures", "library"]

MOST_UNSHOWN = 200  # kinds of characters that no face here has, in one file
UNSHOWN = re.compile(r'the text `"(.+?)"` could not be displayed', re.DOTALL)
ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")
NO_GLYPH = "\u25a1"  # stands where a pupil wrote what no face here has
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


def compile_pictures(source: str, dots: float) -> list[bytes]:
    """Return *source*'s pages as PNG pictures, *dots* an inch.

    Raises EntryError when the print extra is not installed.
    """
    text = f"{library()}\n{source.translate(_unshown)}".encode()
    with _one_at_a_time:
        made = _compiler().compile(text, format="png", ppi=dots)
    return list(made) if isinstance(made, list) else [cast("bytes", made)]


def _compile(source: str) -> bytes:
    for _ in range(MOST_UNSHOWN):
        text = f"{library()}\n{source.translate(_unshown)}".encode()
        try:
            with _one_at_a_time:
                made = _compiler().compile(
                    text, format="pdf", pdf_standards="ua-1", timestamp=0, pdf_tags=True
                )
        except RuntimeError as reason:  # what the compiler raises
            if not (found := UNSHOWN.search(str(reason))):
                raise
            _unshown.update(dict.fromkeys(map(ord, _named(found[1])), NO_GLYPH))
        else:
            return cast("bytes", made)  # one PDF, not one a page
    raise EntryError(
        f"more than {MOST_UNSHOWN} kinds of characters in it cannot be printed; write in plain letters"
    )


def _named(run: str) -> str:
    r"""Return the characters that the compiler names: some by their number.

    >>> _named("a"), _named("\\u{7}") == chr(7)
    ('a', True)
    """
    return ESCAPED.sub(lambda match: chr(int(match[1], 16)), run)


#: What is printed for characters that no face here has, as they are met; surrogates are no characters at all.
_unshown: dict[int, str] = dict.fromkeys(range(0xD800, 0xE000), NO_GLYPH)

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
