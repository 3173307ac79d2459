"""Where a command's output goes: files written whole or not at all, and a terminal as it is."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter, Token

from chalkpoint.numbers.errors import FileError

__all__ = [
    "WholeNumber",
    "colour_wanted",
    "print_text",
    "show_progress",
    "start_file",
    "terminal_width",
    "write_file",
]

USUAL_WIDTH = 80


def whole_number(_: Any, tokens: Sequence[Token]) -> int:
    """Return the whole number that was typed; 2.9 is none, and is not rounded to one."""
    typed = tokens[0].value
    try:
        return int(typed)
    except ValueError:
        raise ValueError(f"{typed!r} is not a whole number; write digits only, such as 30") from None


WholeNumber = Annotated[int, Parameter(converter=whole_number)]


def start_file(path: Path, text: str) -> None:
    """Write *text*, to be changed by the teacher, to a new file at *path*, and say so.

    Raises FileError where a file is there already.
    """
    if path.exists():
        raise FileError(f"{str(path)!r} is there already; give another name")
    write_file(path, text)
    print(f"Written: {path}")


def write_file(path: Path, content: str | bytes) -> None:
    """Write *content* to *path* whole or not at all.

    Raises FileError when the folder is missing or the file cannot be written.
    """
    import tempfile

    data = content.encode() if isinstance(content, str) else content
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}-")
    except OSError as reason:
        raise FileError(_refusal(path, reason)) from reason
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except OSError as reason:
        Path(name).unlink(missing_ok=True)
        raise FileError(_refusal(path, reason)) from reason


def _refusal(path: Path, reason: OSError) -> str:
    return f"{str(path)!r} cannot be written ({reason.strerror}); give a file in a folder you may write to"


def print_text(text: str, plain: Callable[[], str]) -> None:
    """Print *text*, or what *plain* returns where the terminal has no letters for it."""
    try:
        text.encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        text = plain()
    print(text)


def colour_wanted() -> bool:
    """Tell whether colour may be added: a terminal, and NO_COLOR not set."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def show_progress(what: str) -> Callable[[int, int], None]:
    """Return what counts on standard error, where that is a terminal: "picture 3 of 40"."""

    def show(done: int, of: int) -> None:
        if sys.stderr.isatty():
            print(f"\r{what} {done} of {of}", end="\n" if done == of else "", file=sys.stderr, flush=True)

    return show


def terminal_width() -> int:
    """Return the terminal's width in columns, 80 where there is none."""
    if not sys.stdout.isatty():
        return USUAL_WIDTH
    import shutil

    return shutil.get_terminal_size((USUAL_WIDTH, 24)).columns
