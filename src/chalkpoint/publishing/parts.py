"""The parts of a scene: what a working looks like, on a grid of columns, before any medium draws it.

Columns are places of the mantissa. Column 0 is the sign place, just left of the binary point;
fraction places are 1, 2, ...; places left of the point are -1, -2, ... A place keeps its column
through the whole working. The exponent has a grid of its own, its highest bit in column 0; so has a
sign that is a field of its own. Each field stands on one side of the mantissa, the one it is written on.

Everything a medium writes is here as text or as a whole number: none computes a value of its own.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeAlias

__all__ = [
    "Block",
    "Carries",
    "Cell",
    "Check",
    "Held",
    "Item",
    "Left",
    "Names",
    "PlaceValues",
    "Rail",
    "Ruler",
    "Scene",
    "Thread",
    "Threads",
    "Tick",
    "Tray",
    "Weight",
]


@dataclass(frozen=True, slots=True)
class Cell:
    """One digit in its column.

    kind     "kept"; "lost" for a digit that falls into the tray on this row; "held" for one that the tray
             holds since an earlier step; "extra" for an extra sign place that counts; "dropped" for a
             carry that is struck out
    changed  whether it changed in this step
    copied   whether it is a copy of the sign bit, brought in by a shift
    unwritten  whether the format leaves it out: a hidden or an implied bit
    ringed   whether it is ringed: the first wrong bit of what a pupil wrote
    """

    column: int
    digit: str
    kind: str = "kept"
    changed: bool = False
    copied: bool = False
    unwritten: bool = False
    ringed: bool = False


@dataclass(frozen=True, slots=True)
class Tray:
    """Where lost bits are kept: its heavy left wall is on the left edge of column *left*; *width* in columns."""

    left: int
    width: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """A row of bit cells.

    cells          extra sign place, mantissa and tray, in column order without gaps
    point          the wedge stands on the right edge of this column; None where there is no point
    sign           the cell of a sign field of its own, or none
    exponent       cells of the exponent, or none
    exponent_text  the exponent as an integer where it cannot be written in the field, else ""
    exponent_moved whether that integer is another than before this step
    exponent_first whether the exponent stands on the left of the mantissa
    value          the row's value in decimal or, for an infinity and the like, the word; or ""
    note           a note beside the value, such as how the exponent is stored; or ""
    worth          what the digits in its tray are worth, or "" where they are worth nothing; what
                   was added instead where they were *rounded_up*
    soft           kept for comparison, such as "before"
    operator       a plus or minus sign before the sign, or in the column before the first cell, or ""
    words          the row for the ear
    tray           the tray whose walls pass this row, if any
    """

    label: str
    cells: tuple[Cell, ...] = ()
    point: int | None = None
    sign: tuple[Cell, ...] = ()
    exponent: tuple[Cell, ...] = ()
    exponent_text: str = ""
    exponent_moved: bool = False
    exponent_first: bool = False
    value: str = ""
    note: str = ""
    worth: str = ""
    rounded_up: bool = False
    soft: bool = False
    operator: str = ""
    words: str = ""
    tray: Tray | None = None

    @property
    def bits(self) -> str:
        """The digits kept, without an extra sign place."""
        return "".join(cell.digit for cell in self.cells if cell.kind == "kept")

    @property
    def lost(self) -> tuple[Cell, ...]:
        """The digits in its tray."""
        return tuple(cell for cell in self.cells if cell.kind == "lost")

    @property
    def lost_words(self) -> str:
        """The note beside the value: "0.0625 lost", or "0.03125 gained" by rounding up."""
        return f"{self.worth} {'gained' if self.rounded_up else 'lost'}" if self.worth else ""

    @property
    def aside(self) -> str:
        """Everything beside the value."""
        return "; ".join(filter(None, (self.lost_words, self.note)))

    @property
    def has_fields(self) -> bool:
        """Whether anything stands outside the mantissa's grid."""
        return bool(self.sign or self.exponent or self.exponent_text)


@dataclass(frozen=True, slots=True, kw_only=True)
class Carries:
    """Carries, each small above the column it was carried into."""

    label: str
    cells: tuple[Cell, ...]
    tray: Tray | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What the tray holds since an earlier step, on a line of its own above a step's rows: no row here lost it."""

    label: str
    cells: tuple[Cell, ...]
    words: str
    tray: Tray | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Names:
    """What columns are called, above the rows of a step: a hidden place; guard, round and sticky ones."""

    names: tuple[tuple[int, str], ...]
    tray: Tray | None = None


@dataclass(frozen=True, slots=True)
class Thread:
    """One digit's way from the row above to the row below.

    kind  "kept"; "fallen" into the tray; "copied" from the sign
    """

    start: int
    end: int
    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Threads:
    """The ways of all digits between two rows."""

    threads: tuple[Thread, ...]
    tray: Tray | None = None


@dataclass(frozen=True, slots=True)
class Weight:
    """The place value of a column: *top* alone, a stacked fraction *top*/*bottom*, or *top* to a *power*."""

    column: int
    top: str
    bottom: str = ""
    power: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceValues:
    """Place values under a row; *words* is the same in one line.

    exponent_columns  how many columns the exponent has, though only some of a long one are weighed
    """

    label: str
    weights: tuple[Weight, ...]
    exponent: tuple[Weight, ...]
    words: str
    exponent_columns: int = 0
    exponent_first: bool = False
    tray: Tray | None = None


Item: TypeAlias = Rail | Carries | Held | Names | Threads | PlaceValues


@dataclass(frozen=True, slots=True)
class Block:
    """A step: what is said, and what is written.

    tray  the tray whose walls stand when the step ends, if any
    """

    number: int
    rule: str
    title: str
    detail: str
    spoken: str
    items: tuple[Item, ...]
    tray: Tray | None = None

    @property
    def has_exponent(self) -> bool:
        """Whether any row of it has one."""
        return any(isinstance(item, Rail) and (item.exponent or item.exponent_text) for item in self.items)

    @property
    def rows(self) -> list[tuple[Cell, ...]]:
        """The cells of every line that has digits."""
        return [item.cells for item in self.items if isinstance(item, Rail | Carries | Held)]


@dataclass(frozen=True, slots=True)
class Left:
    """Bits left in the tray at the check, on its floor, and what they are worth (or what rounding them up gained)."""

    label: str
    cells: tuple[Cell, ...]
    worth: str
    words: str


@dataclass(frozen=True, slots=True)
class Tick:
    """A pattern on the ruler, *at* ruler steps from its left end."""

    at: int
    named: bool = False


@dataclass(frozen=True, slots=True)
class Ruler:
    """The exact answer and the one worked, on a ruler of the patterns between them.

    steps    length of the ruler, in ruler steps
    ticks    one a step
    exact    where the exact answer stands, in ruler steps from the left end
    worked   the same for the answer worked
    labels   ("exact", its value) and ("worked", its value)
    scale    what one ruler step is, where it is more than a unit in the last place
    words    the ruler in one sentence or two
    """

    steps: int
    ticks: tuple[Tick, ...]
    exact: Fraction
    worked: Fraction
    labels: tuple[tuple[str, str], tuple[str, str]]
    scale: str
    words: str


@dataclass(frozen=True, slots=True)
class Check:
    """The check in decimal.

    left     what the tray still holds
    lines    (label, text) pairs written under each other
    verdict  one plain sentence
    reasons  where the error was made, and how large it is
    """

    number: int
    title: str
    detail: str
    spoken: str
    left: tuple[Left, ...]
    lines: tuple[tuple[str, str], ...]
    ruler: Ruler | None
    verdict: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """A whole working, drawn once.

    title           such as "8.875 − 3.6875 in 8+4"
    method          the method in words, or ""
    notes           how operands were read that could be bits or a decimal, a sentence each
    course          what the class is called, or ""
    format          such as "8+4"
    first, last     the outermost columns used
    places          the last place that the format keeps
    before, after   columns of the exponent's grid left and right of the mantissa; 0 where there is none
    sign            columns of the sign's grid: a plus sign's and the sign's, or none
    sign_inside     whether the sign stands behind the exponent, next to the mantissa
    headings        over the mantissa, the exponent, the decimal values and the tray
    """

    title: str
    method: str
    course: str
    format: str
    first: int
    last: int
    places: int
    before: int
    after: int
    blocks: tuple[Block, ...]
    check: Check
    sign: int = 0
    sign_inside: bool = False
    notes: tuple[str, ...] = ()
    headings: tuple[str, str, str, str] = field(default=("mantissa", "exponent", "decimal", "tray"))

    @property
    def exponent_bits(self) -> int:
        """Columns of the wider exponent."""
        return max(self.before, self.after)

    @property
    def headed(self) -> Block | None:
        """The step over whose rows the fields are named: the first that shows them all."""
        having = [block for block in self.blocks if any(isinstance(item, Rail) for item in block.items)]
        fields = [block for block in having if block.has_exponent]
        return next(iter(fields or having), None)

    @property
    def heading_column(self) -> int:
        """The column over which the mantissa is named: that of its first digit."""
        rails = [item for item in (self.headed.items if self.headed else ()) if isinstance(item, Rail)]
        starts = (cell.column for rail in rails for cell in rail.cells if cell.kind == "kept")
        return next(starts, max(0, self.first))

    @property
    def rails(self) -> list[Rail]:
        """Every rail, top to bottom."""
        return [item for block in self.blocks for item in block.items if isinstance(item, Rail)]

    @property
    def longest_label(self) -> int:
        """Characters of the longest label beside a row."""
        return max((len(rail.label) for rail in self.rails), default=0)

    @property
    def words(self) -> str:
        """The whole working for the ear."""
        said = [f"{block.number}. {block.spoken}" for block in self.blocks]
        return " ".join([*said, f"{self.check.number}. {self.check.spoken}"])
