"""Several papers joined into one history a pupil: marks, and beliefs that came, stayed and went.

A belief is *standing* where the last two sittings that could show it agree; where they differ it is
*new* or *gone*. Beliefs of pupils are often unstable within days (VanLehn 1982), so one sitting is
never made to speak for another.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from chalkpoint.numbers.datafiles import JsonMapping, JsonObject, read_json
from chalkpoint.numbers.errors import EntryError

__all__ = ["SCHEMA", "History", "Sitting", "histories", "read_marks"]

SCHEMA = "chalkpoint.marks/1"


@dataclass(frozen=True, slots=True)
class Sitting:
    """One paper of one pupil.

    beliefs  the beliefs named, each with those it was named among
    seen     beliefs that an answer spoke for without being named
    """

    paper: str
    marks: int
    of: int
    beliefs: tuple[tuple[str, ...], ...]
    seen: tuple[str, ...] = ()


@dataclass(slots=True)
class History:
    """A pupil's papers, in the order sat."""

    student: str
    sittings: list[Sitting] = field(default_factory=list)

    def standing(self) -> dict[str, str]:
        """Return each belief ever named, and whether it is "standing", "new" or "gone".

        >>> history = History("Odo", [Sitting("one", 5, 9, (("invert-only",),)), Sitting("two", 9, 9, ())])
        >>> history.standing()
        {'invert-only': 'gone'}
        """
        named = [frozenset(name for among in sitting.beliefs for name in among) for sitting in self.sittings]
        found = {}
        for belief in sorted(frozenset().union(*named)):
            now = bool(named) and belief in named[-1]
            before = len(named) > 1 and belief in named[-2]
            found[belief] = ("standing" if before else "new") if now else "gone"
        return found

    def to_dict(self) -> JsonObject:
        """Return the history as plain data."""
        return {
            "student": self.student,
            "sittings": [
                {
                    "paper": sitting.paper,
                    "marks": sitting.marks,
                    "of": sitting.of,
                    "beliefs": [list(among) for among in sitting.beliefs],
                }
                for sitting in self.sittings
            ],
            "beliefs": self.standing(),
        }


def histories(marked: Iterable[JsonMapping]) -> dict[str, History]:
    """Return each pupil's history, from chalkpoint.marks/1 objects in the order the papers were sat.

    A pupil who handed nothing in has no sitting of that paper.
    """
    found: dict[str, History] = {}
    for number, paper in enumerate(marked, start=1):
        for entry in paper["students"]:
            history = found.setdefault(entry["student"], History(entry["student"]))
            if not entry.get("absent"):
                history.sittings.append(_sitting(paper.get("title") or f"paper {number}", entry))
    return found


def _sitting(paper: str, entry: JsonMapping) -> Sitting:
    named = tuple(tuple(belief["among"]) for belief in entry["beliefs"] if belief["named"])
    seen = tuple(belief["misconception"] for belief in entry["beliefs"] if not belief["named"])
    return Sitting(paper, entry["marks"], entry["of"], named, seen)


def read_marks(path: str | Path) -> JsonObject:
    """Return the marks in the JSON file at *path*.

    Raises FileError when it cannot be read, EntryError when it is not chalkpoint.marks/1.
    """
    table = read_json(path, "marks", "a marks.json")
    if not isinstance(table, dict) or table.get("schema") != SCHEMA:
        raise EntryError(f'{path}: not marks; the object needs "schema": "{SCHEMA}"')
    return table
