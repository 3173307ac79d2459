"""A stack as it was read: its pages, what every place on them is read as, and what the teacher says of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass, field

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError

__all__ = ["BLANK", "MARRED", "READINGS", "SCHEMA", "Page", "Place", "Stack"]

SCHEMA = "chalkpoint.stack/1"
BLANK, MARRED, WRITTEN, TICKED = "blank", "marred", "written", "ticked"
#: What the teacher may say of a box for a bit; "crossed" counts as blank, "?" cannot be read.
READINGS = ("0", "1", BLANK, "crossed", "?")


@dataclass(slots=True)
class Page:
    """A picture of the stack.

    number   from 1, in the order handed in
    source   where it came from: "stack.pdf, page 3"
    code     the side it shows, "" where that is not known
    pupil    whose it is, as a code; "" where that is not known
    trouble  why nothing is read from it, in one sentence; "" where it was read
    named    the side as the teacher names it, where its codes cannot be read
    dropped  whether the teacher sets it aside: a second picture of the same side
    width, height  in mm, of a page that was read
    """

    number: int
    source: str
    code: str = ""
    pupil: str = ""
    trouble: str = ""
    named: str = ""
    dropped: bool = False
    width: float = 0.0
    height: float = 0.0

    @property
    def paper(self) -> str:
        """The code of its paper, without the side."""
        return self.code.partition("/")[0]

    @property
    def side(self) -> int:
        """Which side it is; 0 where that is not known."""
        number = self.code.partition("/")[2]
        return int(number) if number.isdecimal() else 0


@dataclass(slots=True)
class Place:
    """What one place on a page is read as.

    page     the number of its page in the stack
    box      its number on the side
    kind     "bit", "tray", "tick" or "free"
    x, y, width, height  where it is on the page that was kept, in mm
    reading  "0", "1", "blank" or "marred" of a bit; "ticked", "blank" or "marred" of a tick; "written" or "blank"
    doubt    from 0 to 1
    sure     whether the reading may be taken without the teacher
    said     what the teacher says it is; "" where nothing was said
    guess    what a marred bit is taken for on the teacher's sheet: "0", "1" or "?"; nothing is marked from it
    """

    page: int
    box: int
    question: int
    line: str
    field: str
    bit: int
    kind: str
    x: float
    y: float
    width: float
    height: float
    reading: str
    doubt: float
    sure: bool
    said: str = ""
    guess: str = ""

    @property
    def id(self) -> str:
        """What it is called in a file of readings: "3.17" is box 17 of the third page."""
        return f"{self.page}.{self.box}"

    @property
    def row(self) -> str:
        """What its line of working is called."""
        return f"{self.page}.{self.question}.{self.line}"

    @property
    def settled(self) -> bool:
        """Whether it may be used: sure, or said by the teacher."""
        return bool(self.said) or self.sure

    @property
    def value(self) -> str:
        """What it is taken for."""
        return self.said or self.reading


@dataclass(slots=True)
class Stack:
    """Everything read from a stack, and everything the teacher said of it.

    title    of the papers
    sides    of each paper, by its code, the sides on which anything is written that is read
    variants of each paper, by its code
    rulings  what the teacher says of a whole line, by its name: which line a spare one is for, that it is crossed out
    audits   the boxes of each sheet drawn by lot, by their names
    in_order whether the teacher says that each pupil's sides lie together, in order
    """

    title: str
    sides: dict[str, list[str]] = field(default_factory=dict)
    variants: dict[str, int] = field(default_factory=dict)
    pages: list[Page] = field(default_factory=list)
    places: dict[str, Place] = field(default_factory=dict)
    rulings: dict[str, str] = field(default_factory=dict)
    audits: list[list[str]] = field(default_factory=list)
    in_order: bool = False

    def page(self, number: int) -> Page:
        """Return the page with this number."""
        return self.pages[number - 1]

    def used(self) -> Iterator[Page]:
        """Yield the pages that are read and not set aside."""
        return (page for page in self.pages if page.code and not page.trouble and not page.dropped)

    def on(self, number: int) -> list[Place]:
        """Return the places on one page."""
        return [place for place in self.places.values() if place.page == number]

    def rows(self) -> dict[str, list[Place]]:
        """Return the places of each line of working of the pages that are used, by its name."""
        used = {page.number for page in self.used()}
        found: dict[str, list[Place]] = {}
        for place in self.places.values():
            if place.page in used and place.line != "pupil":
                found.setdefault(place.row, []).append(place)
        return found

    def to_dict(self) -> JsonObject:
        """Return the stack as chalkpoint.stack/1."""
        names = list(Place.__dataclass_fields__)
        return {
            "schema": SCHEMA,
            "title": self.title,
            "sides": self.sides,
            "variants": self.variants,
            "pages": [asdict(page) for page in self.pages],
            "columns": names,
            "places": [[getattr(place, name) for name in names] for place in self.places.values()],
            "rulings": self.rulings,
            "audits": self.audits,
            "in_order": self.in_order,
        }

    @classmethod
    def from_dict(cls, table: object) -> Stack:
        """Return the stack in a chalkpoint.stack/1 object.

        Raises EntryError for anything else.
        """
        if not isinstance(table, dict) or table.get("schema") != SCHEMA:
            raise EntryError(f'not a stack that was read; the object needs "schema": "{SCHEMA}"')
        try:
            places = [Place(**dict(zip(table["columns"], row, strict=True))) for row in table["places"]]
            return cls(
                table["title"],
                {paper: list(sides) for paper, sides in table["sides"].items()},
                dict(table["variants"]),
                [Page(**page) for page in table["pages"]],
                {place.id: place for place in places},
                dict(table["rulings"]),
                [list(sheet) for sheet in table["audits"]],
                bool(table["in_order"]),
            )
        except (KeyError, TypeError, ValueError) as reason:
            raise EntryError(f"the stack that was read is damaged ({reason}); read it again") from reason
