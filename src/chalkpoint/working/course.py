"""Courses: the conventions of a class, fixed once and carried by everything made under them."""

from __future__ import annotations

import tomllib
from dataclasses import asdict, dataclass, fields, replace
from functools import cached_property
from pathlib import Path
from typing import Any

from chalkpoint.numbers.errors import EntryError, FileError, near_misses
from chalkpoint.numbers.formats import FloatFormat, parse_format
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.working.methods import DEFAULT_METHOD, METHODS, UNDERFLOWS

__all__ = ["Course", "read_course"]


@dataclass(frozen=True)
class Course:
    """A class's conventions.

    name       what the class is called, such as "12 Heron"
    format     ``m+e``
    method     the method taught for add and subtract
    accepts    further methods whose answers are right too
    rounding   how a value is stored: "cut", "cut size", "nearest" or "nearest away"
    operands   "normalise first", or "as written": un-normalised operands are aligned as they stand
    zero       exponent of the pattern for zero: "lowest exponent" or "exponent zero"
    underflow  "word", "zero" or "un-normalised"
    point      decimal mark, "." or ","
    binary_point  "shown" or "hidden" where a pattern stands in a sentence
    exponent   "last" or "first"

    >>> Course(format="6+4").number_format.mantissa_bits
    6
    """

    name: str = ""
    format: str = "8+4"
    method: str = DEFAULT_METHOD
    accepts: tuple[str, ...] = ()
    rounding: str = "cut"
    operands: str = "normalise first"
    zero: str = "lowest exponent"
    underflow: str = "word"
    point: str = "."
    binary_point: str = "shown"
    exponent: str = "last"

    def __post_init__(self) -> None:
        for key, allowed in ALLOWED.items():
            if getattr(self, key) not in allowed:
                raise EntryError(_refused(key, getattr(self, key), allowed))
        object.__setattr__(self, "accepts", tuple(self.accepts))
        for method in self.accepts:
            if method not in METHODS:
                raise EntryError(_refused("accepts", method, METHODS))
        # Asking for the format also checks its spelling.
        object.__setattr__(self, "format", str(self.number_format))

    @cached_property
    def number_format(self) -> FloatFormat:
        """The format as the course writes it."""
        return parse_format(
            self.format,
            exponent_first=self.exponent == "first",
            zero_exponent=0 if self.zero == "exponent zero" else None,
        )

    def to_dict(self) -> dict[str, Any]:
        """Return the course as JSON keys, in a fixed order."""
        return asdict(self) | {"accepts": list(self.accepts)}

    def with_(self, **changes: Any) -> Course:
        """Return this course with some keys changed; a key given as None is left alone."""
        return replace(self, **{key: value for key, value in changes.items() if value is not None})


ALLOWED: dict[str, tuple[str, ...]] = {
    "method": tuple(METHODS),
    "rounding": tuple(ROUNDINGS),
    "operands": ("normalise first", "as written"),
    "zero": ("lowest exponent", "exponent zero"),
    "underflow": tuple(UNDERFLOWS),
    "point": (".", ","),
    "binary_point": ("shown", "hidden"),
    "exponent": ("last", "first"),
}


def _refused(key: str, value: object, allowed: Any) -> str:
    return f"{key} = {value!r} is not taken; {near_misses(str(value), allowed)}"


def read_course(path: str | Path) -> Course:
    """Return the course in the TOML file at *path*.

    Raises FileError when the file cannot be read and EntryError, naming the file and the key, when
    a key or value is not one of a course's.
    """
    try:
        text = Path(path).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as reason:
        raise FileError(
            f"the course {str(path)!r} cannot be read ({_why(reason)}); give a TOML text file"
        ) from reason
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as reason:
        raise EntryError(f'{path}: {reason}; a course has lines such as format = "8+4"') from reason
    return course_from(table, where=f"{path}: ")


def course_from(table: dict[str, Any], *, where: str = "") -> Course:
    """Return the course in *table*; *where* opens the sentence of an error."""
    known = {entry.name for entry in fields(Course)}
    for key, value in table.items():
        if key not in known:
            raise EntryError(f"{where}{key!r} is not a key of a course; {near_misses(key, sorted(known))}")
        wanted = list if key == "accepts" else str
        if not isinstance(value, wanted):
            example = '["negate-then-align"]' if key == "accepts" else '"..."'
            raise EntryError(f"{where}{key} = {value!r} is not taken; write {key} = {example}")
    try:
        return Course(**table)
    except EntryError as reason:
        raise EntryError(f"{where}{reason}") from reason


def _why(reason: Exception) -> str:
    return getattr(reason, "strerror", None) or "not text in UTF-8"
