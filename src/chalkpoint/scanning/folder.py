"""A stack kept in a folder: what was read, the pages with the names masked, and the teacher's files, both ways."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

import numpy as np
import numpy.typing as npt
from markupsafe import Markup

from chalkpoint.numbers.datafiles import load_json
from chalkpoint.numbers.errors import EntryError, FileError
from chalkpoint.scanning.audit import audit_of
from chalkpoint.scanning.review import Sheet, every_box, say, sheets_of
from chalkpoint.scanning.showing import Shown, crop_svg, shown_in
from chalkpoint.scanning.stack import BLANK, Page, Stack
from chalkpoint.scanning.vision import cv2

__all__ = ["PAGES", "REVIEW", "Folder", "as_said", "packed", "readings_in", "review_csv"]

STACK, PAGES, REVIEW, MONTAGE = "stack.json", "pages.csv", "review.csv", "review.html"
PAGE_HEADS = ("page", "source", "side", "pupil", "set aside", "trouble")
NOTHING = "-"  # typed for a place in which nothing is written
QUALITY = 82


def packed(picture: npt.NDArray[np.uint8]) -> bytes:
    """Return a page as it is kept: JPEG, some 200 kB."""
    return cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, QUALITY])[1].tobytes()


@dataclass(frozen=True, slots=True)
class Folder:
    """The folder of one stack.

    every  whether the teacher looks at every box in the end
    """

    path: Path
    every: bool = False

    def sheets(self, stack: Stack) -> list[Sheet]:
        """Return what waits."""
        return sheets_of(stack) or (every_box(stack) if self.every else [])

    @property
    def begun(self) -> bool:
        """Whether a stack was read into it."""
        return (self.path / STACK).is_file()

    def picture(self, number: int) -> Path:
        """Return where the picture of a page is."""
        return self.path / "pages" / f"{number:03}.jpg"

    def keep(self, number: int, picture: npt.NDArray[np.uint8]) -> None:
        """Keep a page that was laid flat and masked."""
        self.picture(number).parent.mkdir(parents=True, exist_ok=True)
        self.picture(number).write_bytes(packed(picture))

    def load(self) -> Stack:
        """Return the stack that was read."""
        try:
            return Stack.from_dict(load_json((self.path / STACK).read_text(encoding="utf-8")))
        except (OSError, json.JSONDecodeError) as reason:
            raise FileError(
                f"{str(self.path / STACK)!r} cannot be read; take the folder away and read the stack again"
            ) from reason

    def save(self, stack: Stack) -> None:
        """Write the stack and the files for the teacher: the pages, what waits, and a page to look at it."""
        try:
            self.path.mkdir(parents=True, exist_ok=True)
            sheets = self.sheets(stack)
            (self.path / STACK).write_text(
                json.dumps(stack.to_dict(), separators=(",", ":")), encoding="utf-8"
            )
            (self.path / PAGES).write_text(pages_csv(stack), encoding="utf-8", newline="")
            (self.path / REVIEW).write_text(review_csv(stack, sheets), encoding="utf-8", newline="")
            (self.path / MONTAGE).write_text(self._montage(stack, sheets), encoding="utf-8")
        except OSError as reason:
            raise FileError(
                f"{str(self.path)!r} cannot be written ({reason.strerror}); give a place you may write to"
            ) from reason

    def take(self, stack: Stack) -> list[Page]:
        """Take what the teacher wrote into the files; return the pages whose sides the teacher named."""
        named = _take_pages(stack, _rows(self.path / PAGES))
        say(stack, readings_in(_rows(self.path / REVIEW)))
        return named

    def _montage(self, stack: Stack, sheets: list[Sheet]) -> str:
        from jinja2 import Environment

        def crop(one: Shown, scale: float) -> Markup:
            picture = self.picture(one.page).relative_to(self.path).as_posix()
            return Markup(crop_svg(one.box, picture, stack.page(one.page), scale))  # noqa: S704 - numbers and our own name

        here = files("chalkpoint.scanning") / "page"
        template = Environment(autoescape=True).from_string(
            (here / "review.html.jinja").read_text(encoding="utf-8")
        )
        shown = [
            {
                "kind": one.kind,
                "title": one.title,
                "count": one.count,
                "start": one.start,
                "shown": shown_in(one, stack),
            }
            for one in sheets
        ]
        return template.render(
            title=stack.title,
            audit=audit_of(stack).sentence,
            sheets=shown,
            crop=crop,
            script=Markup((here / "montage.js").read_text(encoding="utf-8")),  # noqa: S704 - our own
            kept=Markup(json.dumps(f"{stack.title} {len(stack.places)}").replace("<", "\\u003c")),  # noqa: S704
        )


def pages_csv(stack: Stack) -> str:
    """Return the pages as a table to fill in: the side of one whose code cannot be read, and whose each is."""
    rows = [
        (
            page.number,
            page.source,
            page.named or page.code,
            page.pupil,
            "yes" if page.dropped else "",
            page.trouble,
        )
        for page in stack.pages
    ]
    return _csv(PAGE_HEADS, rows)


def review_csv(stack: Stack, sheets: list[Sheet]) -> str:
    """Return everything that waits as a table to fill in: its name, where it is, how it was read, and what it is."""
    rows = [
        (one.id, one.where, one.start, " or ".join(one.offers), "")
        for sheet in sheets
        for one in shown_in(sheet, stack)
    ]
    return _csv(("name", "where", "read as", "choose", "yours"), rows)


def _csv(heads: tuple[str, ...], rows: Sequence[tuple[object, ...]]) -> str:
    kept = io.StringIO(newline="")
    writer = csv.writer(kept)
    writer.writerow(heads)
    writer.writerows(rows)
    return kept.getvalue()


def _rows(path: Path) -> list[dict[str, str]]:
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            return [{key: value or "" for key, value in row.items() if key} for row in csv.DictReader(file)]
    except FileNotFoundError:
        return []
    except (OSError, UnicodeDecodeError, csv.Error) as reason:
        raise FileError(f"{str(path)!r} cannot be read ({reason}); write it as a CSV in UTF-8") from reason


def readings_in(rows: list[dict[str, str]]) -> Mapping[str, str]:
    """Return what the teacher says in the rows of a review, by name; "-" is nothing written."""
    return as_said({row.get("name", ""): row.get("yours", "").strip() for row in rows})


def as_said(entries: Mapping[str, str]) -> dict[str, str]:
    """Return what the teacher says by name, without what was left open; "-" is nothing written."""
    return {name: BLANK if word == NOTHING else word for name, word in entries.items() if name and word}


def _take_pages(stack: Stack, rows: list[dict[str, str]]) -> list[Page]:
    named = []
    for row in rows:
        number = row.get("page", "")
        if not number.isdecimal() or not 1 <= int(number) <= len(stack.pages):
            raise EntryError(
                f"{PAGES} has a page {number!r}; the stack has the pages 1 to {len(stack.pages)}"
            )
        page = stack.page(int(number))
        page.dropped = bool(row.get("set aside", "").strip())
        page.pupil = row.get("pupil", "").strip()
        side = row.get("side", "").strip().replace(" ", "")
        if side and side != (page.named or page.code):
            page.named = side
            named.append(page)
    return named
