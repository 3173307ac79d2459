"""What was entered in a form: texts and files, each within its limits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from starlette.requests import Request

from chalkpoint.numbers.errors import EntryError

__all__ = ["ARCHIVE", "MOST_ARCHIVED", "MOST_UPLOADED", "STACK", "Form", "Upload", "read_form"]

LONGEST = 200_000  # characters of one entry: a sheet of answers pasted for a large class
MOST_FIELDS = 500
MOST_FILES = 4
STACK = "stack"  # entries that bring in the pages of a stack: a scanner's PDF, or many photographs
MOST_PAGES = 300
MOST_UPLOADED = 8_000_000  # bytes of a file
ARCHIVE = "archive"  # the entry that brings in everything that was carried away
MOST_ARCHIVED = 100_000_000  # bytes of that file


@dataclass(frozen=True, slots=True)
class Upload:
    """A file as it came: its name, for its ending only, and its bytes."""

    name: str
    data: bytes

    @property
    def ending(self) -> str:
        """The ending of the name, in small letters, with its dot.

        >>> Upload("Answers.XLSX", b"").ending
        '.xlsx'
        """
        _, dot, ending = self.name.rpartition(".")
        return f".{ending.lower()}" if dot else ""


@dataclass(frozen=True, slots=True)
class Form:
    """The entries of a form or of an address, by name, in their order.

    >>> form = Form({"operation": ["add"], "operand": ["1.5", " 2.5 "]})
    >>> form.text("operation"), form.texts("operand"), form.text("format", "8+4"), form.has("course")
    ('add', ['1.5', '2.5'], '8+4', False)
    """

    entries: Mapping[str, Sequence[str]] = field(default_factory=dict)
    files: Mapping[str, Upload] = field(default_factory=dict)

    def has(self, name: str) -> bool:
        """Tell whether there is an entry of that name, empty or not."""
        return name in self.entries

    def text(self, name: str, default: str = "") -> str:
        """Return the last entry of that name without the blanks around it, or *default* where it is empty."""
        return next((text for text in reversed(self.texts(name)) if text), default)

    def texts(self, name: str) -> list[str]:
        """Return every entry of that name, without the blanks around them."""
        return [text.strip() for text in self.entries.get(name, ())]

    def number(self, name: str, default: int, *, least: int, most: int, what: str = "") -> int:
        """Return a whole number from *least* to *most*; a refusal calls it *what*, or else by its name.

        >>> Form({"variants": ["30"]}).number("variants", 1, least=1, most=300)
        30
        """
        text = self.text(name, str(default))
        try:
            number = int(text)
        except ValueError:
            number = least - 1
        if not least <= number <= most:
            raise EntryError(
                f"{what or name} {text!r} is not taken; give a whole number from {least} to {most}"
            )
        return number

    def one_of(self, name: str, known: Iterable[str], default: str = "") -> str:
        """Return an entry that must be one of *known*."""
        names = list(known)
        text = self.text(name, default)
        if text not in names:
            raise EntryError(f"{name} {text!r} is not taken; give one of: {', '.join(names)}")
        return text


async def read_form(request: Request) -> Form:
    """Return the entries of *request*: those of its address, and of its form if it is one.

    Raises EntryError for entries beyond the limits.
    """
    entries: dict[str, list[str]] = {}
    for name, value in request.query_params.multi_items():
        entries.setdefault(name, []).append(value)
    files: dict[str, Upload] = {}
    if request.method == "POST":
        async with request.form(
            max_files=MOST_PAGES if request.url.path.endswith(f"/{STACK}") else MOST_FILES,
            max_fields=MOST_FIELDS,
            max_part_size=LONGEST * 4,
        ) as form:
            for name, sent in form.multi_items():
                if isinstance(sent, str):
                    entries.setdefault(name, []).append(sent)
                elif sent.filename:
                    files[f"{name} {len(files)}" if name == STACK else name] = Upload(
                        sent.filename, await sent.read(_most(name) + 1)
                    )
    _check(entries, files)
    return Form(entries, files)


def _check(entries: Mapping[str, Sequence[str]], files: Mapping[str, Upload]) -> None:
    for name, values in entries.items():
        for value in values:
            if len(value) > LONGEST:
                raise EntryError(f"{name} is {len(value):,} characters long; up to {LONGEST:,} are read")
            if "\x00" in value:
                raise EntryError(f"{name} holds a character that is no text; type it again")
    for name, upload in files.items():
        if len(upload.data) > _most(name):
            raise EntryError(
                f"{name}: the file is larger than {_most(name) // 1_000_000} MB; give a smaller one"
            )


def _most(name: str) -> int:
    """Return how many bytes a file may have."""
    return MOST_ARCHIVED if name.partition(" ")[0] in {ARCHIVE, STACK} else MOST_UPLOADED
