"""Where the boxes of a paper are, as papers.json tells it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError

__all__ = ["Box", "boxes_in"]


@dataclass(frozen=True, slots=True)
class Box:
    """One place that is written in; lengths in mm from the top left corner of the page.

    line   the line of working it belongs to: "align", "answer", "spare"; "pupil" for the pupil's number
    field  "mantissa", "exponent", "tray"; of a tick what it says: a word, or the line that a spare line is for
    bit    from 1 at the left of its field
    kind   "bit", "carry", "lead" (the extra sign place, which earns nothing), "tray", "tick" or "free"
    """

    page: int
    question: int
    line: str
    field: str
    bit: int
    x: float
    y: float
    width: float
    height: float
    kind: str

    @property
    def is_read(self) -> bool:
        """Whether a bit is expected in it: carries earn nothing, and words and decimals are the teacher's to type."""
        return self.kind in {"bit", "tray"}


COLUMNS = ("page", "question", "line", "field", "bit", "x", "y", "width", "height", "kind")
KINDS = {"carries": "carry", "tray": "tray"}


def boxes_in(paper: JsonObject, table: JsonObject | None) -> dict[int, tuple[Box, ...]]:
    """Return the boxes of a paper of papers.json, by their side of paper.

    >>> boxes_in({"boxes": [[1, 2, "answer", "mantissa", 1, 49, 80, 8, 9]]}, None)[1][0].kind
    'bit'
    """
    columns = (table or {}).get("columns", COLUMNS)
    found = defaultdict(list)
    for row in paper.get("boxes", ()):
        entry = dict(zip(columns, row, strict=False))
        try:
            found_box = Box(
                int(entry["page"]),
                int(entry["question"]),
                str(entry["line"]),
                str(entry["field"]),
                int(entry["bit"]),
                float(entry["x"]),
                float(entry["y"]),
                float(entry["width"]),
                float(entry["height"]),
                str(entry.get("kind") or KINDS.get(str(entry["field"]), "bit")),
            )
        except (KeyError, TypeError, ValueError) as reason:
            raise EntryError(
                f"the box {row!r} of the papers is not taken; give the papers.json of a set"
            ) from reason
        found[found_box.page].append(found_box)
    return {page: tuple(boxes) for page, boxes in found.items()}
