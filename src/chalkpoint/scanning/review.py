"""What the teacher looks at, in sheets: like readings together, least sure first; never a mark or an expected bit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.scanning.audit import draw_audit
from chalkpoint.scanning.lines import Ruling, open_rulings, withheld
from chalkpoint.scanning.stack import BLANK, MARRED, READINGS, TICKED, WRITTEN, Place, Stack

__all__ = ["A_SHEET", "Sheet", "every_box", "say", "sheets_of", "waits", "words_for"]

A_SHEET = 90  # boxes
TITLES = {
    "1": "All of these were read as 1",
    "0": "All of these were read as 0",
    BLANK: "Nothing is written in these",
    MARRED: "These could not be read",
    f"{MARRED}-0": "Written over or corrected, and taken for 0",
    f"{MARRED}-1": "Written over or corrected, and taken for 1",
    TICKED: "Are these ticked?",
    WRITTEN: "Type what is written",
}


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """Places that are looked at together.

    name    what it is called in an address and in a file
    kind    "bits", "ticks", "type" or "rule"
    start   what each is taken for unless the teacher says otherwise; "" where each must be said
    """

    name: str
    title: str
    kind: str
    start: str
    places: tuple[Place, ...] = ()
    rulings: tuple[Ruling, ...] = ()

    @property
    def count(self) -> int:
        """How much is on it."""
        return len(self.places) + len(self.rulings)


def sheets_of(stack: Stack) -> list[Sheet]:
    """Return the sheets that wait: rulings on lines first, then boxes in doubt, typing, and what was drawn by lot."""
    held, used = withheld(stack), {page.number for page in stack.used()}
    rulings = open_rulings(stack)
    found = (
        [Sheet("lines", "These lines need a ruling", "rule", "", rulings=tuple(rulings))] if rulings else []
    )
    waiting = [
        place
        for place in stack.places.values()
        if not place.settled and place.page in used and place.id not in held and place.line != "pupil"
    ]
    bits = [place for place in waiting if place.kind in {"bit", "tray"}]
    for reading in (MARRED, f"{MARRED}-1", f"{MARRED}-0", "1", "0", BLANK):
        mine = sorted(
            (place for place in bits if _taken_for(place) == reading),
            key=lambda place: (-place.doubt, place.id),
        )
        start = {MARRED: "?"}.get(reading, reading.removeprefix(f"{MARRED}-"))
        found += _parts(f"read-{reading}", TITLES[reading], "bits", start, mine)
    ticks = [place for place in waiting if place.kind == "tick"]
    found += _parts("ticks", TITLES[TICKED], "ticks", "", ticks)
    empty = [place for place in waiting if place.kind == "free" and place.reading == BLANK]
    found += _parts("nothing", "No words are written in these", "ticks", BLANK, empty)
    typed = sorted(
        (place for place in waiting if place.kind == "free" and place.reading != BLANK),
        key=lambda place: (place.question, place.line, place.bit, stack.page(place.page).code, place.page),
    )
    for question in dict.fromkeys(place.question for place in typed):
        mine = [place for place in typed if place.question == question]
        found += _parts(f"type-{question}", f"{TITLES[WRITTEN]}, question {question}", "type", "", mine)
    if found:
        return found
    draw_audit(stack)
    for number, sheet in enumerate(stack.audits, start=1):
        mine = [stack.places[name] for name in sheet if name in stack.places and not stack.places[name].said]
        for reading in ("1", "0", BLANK):
            like = [place for place in mine if place.reading == reading]
            title = f"Drawn by lot. {TITLES[reading]}"
            found += _parts(f"audit-{number}-{reading}", title, "bits", reading, like)
    return found


def _taken_for(place: Place) -> str:
    """Return the group that a box in doubt is shown in: its reading, and of a marred one its guess."""
    return (
        f"{MARRED}-{place.guess}" if place.reading == MARRED and place.guess in {"0", "1"} else place.reading
    )


def every_box(stack: Stack) -> list[Sheet]:
    """Return sheets of every sure box that nobody has looked at: the second safety, for who wants it."""
    used = {page.number for page in stack.used()}
    left = [
        place
        for place in stack.places.values()
        if place.kind in {"bit", "tray"} and place.sure and not place.said and place.page in used
    ]
    found = []
    for reading in ("1", "0", BLANK):
        mine = sorted(
            (place for place in left if place.reading == reading), key=lambda place: (-place.doubt, place.id)
        )
        found += _parts(f"every-{reading}", f"Every box. {TITLES[reading]}", "bits", reading, mine)
    return found


def _parts(name: str, title: str, kind: str, start: str, places: list[Place]) -> list[Sheet]:
    parts = [places[at : at + A_SHEET] for at in range(0, len(places), A_SHEET)]
    return [Sheet(f"{name}-{at}", title, kind, start, tuple(part)) for at, part in enumerate(parts, start=1)]


def waits(stack: Stack) -> int:
    """Return how many places and lines wait for the teacher, those drawn by lot among them."""
    return sum(sheet.count for sheet in sheets_of(stack))


def words_for(kind: str) -> tuple[str, ...]:
    """Return what may be said of the places on a sheet of a kind; nothing for what is typed or ruled."""
    return {"bits": READINGS, "ticks": (TICKED, BLANK)}.get(kind, ())


def say(stack: Stack, said: Mapping[str, str]) -> None:
    """Take what the teacher says: of a place by its name, of a line by its.

    Raises EntryError for a name that is not there, or a word that cannot be said of it; then nothing is taken.
    """
    offers = {ruling.row: ruling.offers for ruling in open_rulings(stack)}
    for name, word in said.items():
        _check(stack, name, word, offers)
    for name, word in said.items():
        if name in stack.places:
            stack.places[name].said = word
        else:
            stack.rulings[name] = word


def _check(stack: Stack, name: str, word: str, offers: Mapping[str, tuple[str, ...]]) -> None:
    place = stack.places.get(name)
    if place is None:
        if name in stack.rulings or word in offers.get(name, ()):
            return
        if name in offers:
            raise EntryError(f"{word!r} is no ruling on {name}; {near_misses(word, offers[name])}")
        raise EntryError(f"{name!r} is no box or line of this stack; give the file that came with it")
    if place.kind == "free":
        return
    words = words_for("ticks" if place.kind == "tick" else "bits")
    if word not in words:
        raise EntryError(f"{word!r} cannot be said of box {name}; {near_misses(word, words)}")
