"""Courses: the conventions of a class, fixed once and carried by everything made under them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass, fields, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from chalkpoint.numbers.datafiles import JsonObject, load_toml, read_text
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.numbers.named import (
    AnyFormat,
    fixed_format,
    float_format,
    format_called,
    is_school,
    size_format,
)
from chalkpoint.numbers.signed import SignMagnitudeFormat
from chalkpoint.working.choices import CHOICES, allowed_choices, own_choices
from chalkpoint.working.methods import DEFAULT_METHOD, METHODS

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["Course", "read_course"]


@dataclass(frozen=True)
class Course:
    """A class's conventions.

    name       what the class is called, such as "12 Heron"
    format     ``m+e``, or any other spelling of `numbers.named`
    method     the method taught for add and subtract
    accepts    further methods whose answers are right too
    rounding   how a value is brought into the format: "cut", "cut size", "nearest" or "nearest away";
               in formats with a sign and a size "nearest", "nearest away", "toward zero", "up" or "down"
    operands   "normalise first", or "as written": un-normalised operands are aligned as they stand
    zero       exponent of the pattern for zero: "lowest exponent" or "exponent zero"
    underflow  "word", "zero" or "un-normalised" (which makes subnormals, where a format has them)
    overflow   "word", "largest" (the end of the range), "infinity" or "not a number"
    point      decimal mark, "." or ","
    binary_point  "shown" or "hidden" where a pattern stands in a sentence
    exponent   "last" or "first"
    hexadecimal   "hidden" or "shown" beside patterns
    takes      manners of writing an answer that earn full marks here, such as "exponent in decimal"
    refuses    manners that were looked at and earn none; any other waits for the teacher

    Where rounding, underflow or overflow is left open, it is the format's own (`conventions`).

    >>> Course(format="6+4").number_format.mantissa_bits
    6
    """

    name: str = ""
    format: str = "8+4"
    method: str = DEFAULT_METHOD
    accepts: tuple[str, ...] = ()
    rounding: str = ""
    operands: str = "normalise first"
    zero: str = "lowest exponent"
    underflow: str = ""
    overflow: str = ""
    point: str = "."
    binary_point: str = "shown"
    exponent: str = "last"
    hexadecimal: str = "hidden"
    takes: tuple[str, ...] = ()
    refuses: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for key, allowed in ALLOWED.items():
            if getattr(self, key) not in allowed:
                raise EntryError(_refused(key, getattr(self, key), allowed))
        object.__setattr__(self, "accepts", tuple(self.accepts))
        for method in self.accepts:
            if method not in METHODS:
                raise EntryError(_refused("accepts", method, METHODS))
        for key in ("takes", "refuses"):
            object.__setattr__(self, key, _manners(key, getattr(self, key)))
        # The property checks the spelling.
        fmt = self.number_format
        object.__setattr__(self, "format", str(fmt))
        own, choices = own_choices(fmt), allowed_choices(fmt)
        for key in CHOICES:
            if not getattr(self, key):
                object.__setattr__(self, key, own[key])
            elif getattr(self, key) not in choices[key]:
                raise EntryError(_refused_in(key, getattr(self, key), choices[key], self.format))

    @cached_property
    def number_format(self) -> AnyFormat:
        """The format as the course writes it: one of the classes of `numbers.named`."""
        return format_called(
            self.format,
            exponent_first=self.exponent == "first",
            zero_exponent=0 if self.zero == "exponent zero" else None,
        )

    @property
    def float_format(self) -> FloatFormat:
        """The format, of a mantissa and an exponent; TypeError in a course of another family."""
        return float_format(self.number_format)

    @property
    def size_format(self) -> SignMagnitudeFormat:
        """The format, of a sign, an exponent and a size; TypeError in a course of another family."""
        return size_format(self.number_format)

    @property
    def fixed_format(self) -> FixedFormat:
        """The format, of one row of bits; TypeError in a course of another family."""
        return fixed_format(self.number_format)

    def school_format(self, purpose: str) -> FloatFormat:
        """Return the format where it is one of the school's, ``m+e``; *purpose* is done in no other.

        >>> str(Course(format="6+4").school_format("finding questions"))
        '6+4'

        Raises EntryError in any other format.
        """
        if not is_school(self.number_format):
            raise EntryError(
                f"{self.format!r} is not a format for {purpose}, which is done in the school\u2019s m+e formats only: "
                "mantissa and exponent in two\u2019s complement"
            )
        return self.number_format

    def to_dict(self) -> JsonObject:
        """Return the course as JSON keys, in a fixed order."""
        table = asdict(self) | {"accepts": list(self.accepts)}
        for key in ("takes", "refuses"):
            decided = list(table.pop(key))
            table |= {key: decided} if decided else {}
        return table

    def with_(self, **changes: Any) -> Course:
        """Return this course with some keys changed; a key given as None is left alone.

        With the format change those conventions that were the old format's own.

        >>> Course().with_(format="binary16").rounding, Course(rounding="nearest").with_(format="6+4").rounding
        ('nearest', 'nearest')
        """
        changes = {key: value for key, value in changes.items() if value is not None}
        if "format" in changes:
            own = own_choices(self.number_format)
            changes = {key: "" for key in CHOICES if getattr(self, key) == own[key]} | changes
        return replace(self, **changes)


#: Manners of writing an answer that are neither right nor wrong before a teacher has decided.
MANNERS = (
    "exponent in decimal",
    "leading zeros of the exponent left off",
    "trailing zeros left off",
    "zeros added at the end",
    "zeros added in front",
    "sign bit left off",
    "leading zeros left off",
    "fields in the other order",
    "in hexadecimal",
    "value without its pattern",
    "pattern without its value",
)
ALLOWED: dict[str, tuple[str, ...]] = {
    "method": tuple(METHODS),
    "operands": ("normalise first", "as written"),
    "zero": ("lowest exponent", "exponent zero"),
    "point": (".", ","),
    "binary_point": ("shown", "hidden"),
    "exponent": ("last", "first"),
    "hexadecimal": ("hidden", "shown"),
}


EXAMPLES = {
    "accepts": '["negate-then-align"]',
    "takes": '["exponent in decimal"]',
    "refuses": '["exponent in decimal"]',
}


def _manners(key: str, names: tuple[str, ...]) -> tuple[str, ...]:
    for name in names:
        if name not in MANNERS:
            raise EntryError(_refused(key, name, MANNERS))
    return tuple(names)


def _refused(key: str, value: object, allowed: Iterable[str]) -> str:
    return f"{key} = {value!r} is not taken; {near_misses(str(value), allowed)}"


def _refused_in(key: str, value: str, allowed: tuple[str, ...], spelling: str) -> str:
    if key == "rounding" and value.startswith("cut") and "toward zero" in allowed:
        return (
            f"{key} = {value!r} is not taken in {spelling}, where a cut may be toward zero or down; "
            f"give one of: {', '.join(allowed)}"
        )
    return f"{key} = {value!r} is not taken in {spelling}; {near_misses(value, allowed)}"


def read_course(path: str | Path) -> Course:
    """Return the course in the TOML file at *path*.

    Raises FileError when the file cannot be read and EntryError, naming the file and the key, when
    a key or value is not one of a course's.
    """
    import tomllib

    try:
        table = load_toml(read_text(path, "course", "a TOML text file"))
    except tomllib.TOMLDecodeError as reason:
        raise EntryError(f'{path}: {reason}; a course has lines such as format = "8+4"') from reason
    return course_from(table, where=f"{path}: ")


def course_from(table: JsonObject, *, where: str = "") -> Course:
    """Return the course in *table*; *where* opens the sentence of an error."""
    if not isinstance(table, dict):
        raise EntryError(
            f'{where}a course is a table of lines such as format = "8+4", not {str(table)[:40]!r}'
        )
    known = {entry.name for entry in fields(Course)}
    for key, value in table.items():
        if key not in known:
            raise EntryError(f"{where}{key!r} is not a key of a course; {near_misses(key, sorted(known))}")
        wanted = list if key in {"accepts", "takes", "refuses"} else str
        if not isinstance(value, wanted):
            example = EXAMPLES.get(key, '"..."')
            raise EntryError(f"{where}{key} = {value!r} is not taken; write {key} = {example}")
    try:
        return Course(**table)
    except EntryError as reason:
        raise EntryError(f"{where}{reason}") from reason
