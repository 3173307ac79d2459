"""The blank print: each side of the papers as it left the printer, and where its boxes are."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pypdfium2

from chalkpoint.numbers.datafiles import JsonObject, read_json
from chalkpoint.numbers.errors import EntryError, FileError
from chalkpoint.scanning.boxes import PER_MM, Ink, Rectangle
from chalkpoint.scanning.codes import Code, codes_in
from chalkpoint.scanning.places import Box, boxes_in
from chalkpoint.scanning.vision import cv2

__all__ = ["Printed", "Side", "rendered"]

POINTS_A_MM = 72 / 25.4
KEPT = 6  # sides kept at a time
NAME: Rectangle = (18.0, 8.0, 146.0, 15.0)  # where papers.json does not say it


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """One side as it was printed.

    code    what its square codes say, such as "TKZV25/2"
    ink     what is printed, at PER_MM px/mm
    codes   its square codes, with their corners in mm
    boxes   what is written in, in order
    name    where the pupil's name is written
    """

    code: str
    ink: npt.NDArray[np.uint8]
    codes: tuple[Code, ...]
    boxes: tuple[Box, ...]
    name: Rectangle

    @property
    def size(self) -> tuple[float, float]:
        """Width and height in mm."""
        return self.ink.shape[1] / PER_MM, self.ink.shape[0] / PER_MM

    def shares(self) -> Ink:
        """Return the ink as shares of black."""
        return self.ink.astype(np.float32) / np.float32(255)

    @property
    def rows(self) -> list[list[int]]:
        """The boxes that are side by side, by their numbers; carries and free writing are none."""
        found = defaultdict(list)
        for at, box in enumerate(self.boxes):
            if box.is_read or box.kind == "tick":
                found[box.y].append(at)
        return list(found.values())

    @property
    def rectangles(self) -> list[Rectangle]:
        """The boxes' places alone: all of a box that the reader may know."""
        return [(box.x, box.y, box.width, box.height) for box in self.boxes]


@dataclass(eq=False)
class Printed:
    """All sides of a set: of papers.json and the printed papers beside it."""

    boxes: dict[str, tuple[Box, ...]]
    files: dict[str, tuple[Path, int]]
    variants: dict[str, int]
    name: Rectangle
    kept: dict[str, Side] = field(default_factory=dict)

    @classmethod
    def beside(cls, papers: Path) -> Printed:
        """Return the sides of the set whose papers.json is *papers*.

        Raises FileError where a printed paper is missing, EntryError where the file says nothing of boxes.
        """
        return cls.of(_table(papers), papers.parent)

    @classmethod
    def of(cls, table: JsonObject, folder: Path) -> Printed:
        """Return the sides of the papers in *table*, whose printed papers are in *folder*."""
        boxes: dict[str, tuple[Box, ...]] = {}
        files: dict[str, tuple[Path, int]] = {}
        variants: dict[str, int] = {}
        for entry in table["papers"]:
            variants[entry["code"]] = int(entry["variant"])
            path = _paper(folder, variants[entry["code"]])
            with pypdfium2.PdfDocument(path) as document:
                sides = len(document)
            found = boxes_in(entry, table.get("boxes"))
            for number in range(1, sides + 1):
                code = f"{entry['code']}/{number}"
                boxes[code] = found.get(number, ())
                files[code] = path, number - 1
        name = table.get("sheet", {}).get("name")
        place = tuple(float(name[side]) for side in ("x", "y", "width", "height")) if name else NAME
        return cls(boxes, files, variants, (place[0], place[1], place[2], place[3]))

    def __contains__(self, code: str) -> bool:
        return code in self.files

    def sides_of(self, paper: str) -> list[str]:
        """Return the codes of all sides of the paper whose code is *paper*."""
        return [code for code in self.files if code.partition("/")[0] == paper]

    def written_on(self, paper: str) -> list[str]:
        """Return the codes of the sides of a paper on which anything is written that is read."""
        return [code for code in self.sides_of(paper) if any(box.line != "pupil" for box in self.boxes[code])]

    def side(self, code: str) -> Side:
        """Return one side, drawn when it is first asked for; the latest few are kept."""
        if code not in self.kept:
            while len(self.kept) >= KEPT:
                del self.kept[next(iter(self.kept))]
            self.kept[code] = self._drawn(code)
        return self.kept[code]

    def _drawn(self, code: str) -> Side:
        path, number = self.files[code]
        with pypdfium2.PdfDocument(path) as document:
            fine = rendered(document, number, 2 * PER_MM)
        found = [one.scaled(1 / (2 * PER_MM)) for one in codes_in(fine)]
        if not found or any(one.text != code for one in found):
            raise EntryError(
                f"{path} has no side {code}: it is not the print of these papers; "
                "give the papers.json of the set that was printed"
            )
        grey = cv2.resize(fine, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
        ink = np.clip(1 - grey.astype(np.float32) / np.median(grey), 0, 1)
        ink[ink < 0.08] = 0
        return Side(code, (ink * 255).astype(np.uint8), tuple(found), self.boxes[code], self.name)


def rendered(document: pypdfium2.PdfDocument, number: int, per_mm: float) -> npt.NDArray[np.uint8]:
    """Return a page of a PDF as a grey picture of *per_mm* px/mm."""
    page = document[number]
    try:
        picture = page.render(scale=per_mm / POINTS_A_MM, grayscale=True).to_numpy()
        return np.ascontiguousarray(picture.reshape(picture.shape[:2]))
    finally:
        page.close()


def _table(papers: Path) -> JsonObject:
    table = read_json(papers, "papers", "the papers.json of a set")
    if not isinstance(table, dict) or "boxes" not in table:
        raise EntryError(
            f"{papers} does not say where its boxes are; set the papers again with this release, then print them"
        )
    return table


def _paper(folder: Path, variant: int) -> Path:
    for path in sorted(folder.glob("paper-*.pdf")):
        number = path.stem.removeprefix("paper-")
        if number.isdecimal() and int(number) == variant:
            return path
    raise FileError(
        f"paper-{variant}.pdf is not beside the papers in {str(folder)!r}; "
        "the blank print is needed to read what was written on it"
    )
