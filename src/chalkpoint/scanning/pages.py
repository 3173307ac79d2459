"""A picture read as a page: which side it is, how it lies, the crops of its boxes; or what is the matter with it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from chalkpoint.scanning.bending import straightened
from chalkpoint.scanning.boxes import PER_MM, Crops, Ink, Rectangle, crops_of, even_ink, ink_of, tone_of
from chalkpoint.scanning.codes import Code, codes_in
from chalkpoint.scanning.corners import LEAST_CORNERS, Placed, placed_by_code, placed_without_code
from chalkpoint.scanning.fitting import fitted
from chalkpoint.scanning.printed import Printed, Side
from chalkpoint.scanning.vision import cv2

__all__ = ["LEAST_FIT", "Flat", "Trouble", "flat_page"]

NAME_MARGIN = 1.5  # mm around a name that are masked too
LEAST_FIT = 0.45  # how well a row must fit the print to be read at all; 2 mm off, few rows fit by 0.35
WHITE = 250
NOISE = 0.15  # ink that blurred grain and shadows may leave on clean paper

Grey = npt.NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why a picture is not read.

    what  one sentence, with what to do
    code  the side it seems to be, where a code was read
    """

    what: str
    code: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Flat:
    """A page laid flat, the pupil's name masked.

    picture  grey, PER_MM px/mm
    crops    of every box for a bit, with the blank print; `boxes` are their numbers on the side
    tone     how dark its pen is
    fits     whether each of those boxes was found where the print has it
    added    how much ink (0..1) was added to each other place, by its number: ticks and free writing
    moved    by how many mm to the right and down each place was found from where it was printed
    """

    code: str
    picture: Grey
    crops: Crops
    boxes: tuple[int, ...]
    tone: float
    fits: tuple[bool, ...]
    added: dict[int, float]
    moved: npt.NDArray[np.float64]


def flat_page(picture: Grey, printed: Printed, named: str = "") -> Flat | Trouble:
    """Return the page that *picture* shows, laid flat and masked, or what is the matter.

    named  the side as the teacher names it, for a picture whose codes cannot be read
    """
    codes = codes_in(picture)
    by_text: dict[str, list[Code]] = defaultdict(list)
    for code in codes:
        by_text[code.text].append(code)
    if named:
        if named not in printed:
            return Trouble(
                f"{named} is no side of these papers; give one such as {next(iter(printed.files))}", named
            )
        if others := " and ".join(sorted(by_text.keys() - {named})):
            return Trouble(f"{others} can be read there, and not {named}; leave {named} out", named)
        by_text = {named: by_text.get(named, [])}
    if not by_text:
        return Trouble(
            "no square code can be read; give the picture again with the code that is printed under it"
        )
    if len(by_text) > 1 or any(len(same) > 2 for same in by_text.values()):
        several = " and ".join(sorted(by_text))
        return Trouble(f"several pages are in one picture ({several}); take each by itself", min(by_text))
    ((text, same),) = by_text.items()
    if text not in printed:
        return Trouble(f"the code {text!r} is not of these papers; look whether it is another class's", text)
    side = printed.side(text)
    if len(same) > 1 and not _one_page(same, side):
        return Trouble(f"the side {text} is twice in one picture; take each by itself", text)
    placed = placed_by_code(picture, same, side) if same else placed_without_code(picture, side)
    if placed.matrix is None:
        return Trouble(
            f"{placed.corners} of the four corners of {text} are seen and {LEAST_CORNERS} are needed; "
            "take it again, flat and whole",
            text,
        )
    return _flat(picture, placed, side)


def _one_page(codes: list[Code], side: Side) -> bool:
    """Tell whether two codes are placed like the two of one page, rather than being of two pages."""
    printed = side.codes
    if len(printed) < 2:
        return False
    apart = np.linalg.norm(printed[0].corners.mean(0) - printed[1].corners.mean(0)) / printed[0].side
    seen = np.linalg.norm(codes[0].corners.mean(0) - codes[1].corners.mean(0)) / max(
        one.side for one in codes
    )
    larger, smaller = max(codes, key=lambda one: one.side), min(codes, key=lambda one: one.side)
    ways = [one.corners[1] - one.corners[0] for one in (larger, smaller)]
    turned = ways[0] @ ways[1] / (np.linalg.norm(ways[0]) * np.linalg.norm(ways[1]))
    return bool(0.75 < seen / apart < 1.3 and turned > 0.9)


def _flat(picture: Grey, placed: Placed, side: Side) -> Flat:
    size = side.ink.shape[1], side.ink.shape[0]
    assert placed.matrix is not None  # noqa: S101 - asked for only where it was found
    how = cv2.INTER_AREA | cv2.WARP_INVERSE_MAP
    scale = np.diag([1 / PER_MM, 1 / PER_MM, 1.0])
    flat = cv2.warpPerspective(
        picture, placed.matrix @ scale, size, flags=how, borderMode=cv2.BORDER_REPLICATE
    )
    flat, is_straight = straightened(flat, side)
    flat = masked(flat, side)
    printed = side.shares()
    ink = even_ink(ink_of(flat), printed)
    moved, fit = fitted(ink, side, is_straight=is_straight)
    read = [at for at, box in enumerate(side.boxes) if box.is_read]
    crops = crops_of(ink, printed, [side.rectangles[at] for at in read], moved[read])
    fits = tuple(bool(fit[at] >= LEAST_FIT) for at in read)
    others = {at: box for at, box in enumerate(side.boxes) if box.kind in {"tick", "free"}}
    blank = cv2.dilate(printed, np.ones((5, 5), np.uint8))
    seen = cv2.GaussianBlur(ink, (0, 0), 1.2)
    added = {at: _added(seen, blank, side.rectangles[at], moved[at]) for at in others}
    return Flat(side.code, flat, crops, tuple(read), tone_of(crops), fits, added, moved)


def _added(ink: Ink, printed: Ink, place: Rectangle, moved: npt.NDArray[np.float64]) -> float:
    """Return how much ink is in a place that was not printed there, as a share of what it could hold."""
    x, y, wide, high = place
    inset = min(0.5, high / 8)
    left, right = round((x + inset) * PER_MM), round((x + wide - inset) * PER_MM)
    top, bottom = round((y + inset) * PER_MM), round((y + high - inset) * PER_MM)
    across, down = (round(float(one) * PER_MM) for one in moved)
    seen = ink[max(top + down, 0) : bottom + down, max(left + across, 0) : right + across]
    if seen.shape != (bottom - top, right - left):
        return 1.0
    return float(np.clip(seen - printed[top:bottom, left:right] - NOISE, 0, 1).mean())


def masked(flat: Grey, side: Side) -> Grey:
    """Return the page with the strip in which the pupil's name is written painted over: names are never kept."""
    x, y, wide, high = side.name
    edges = x - NAME_MARGIN, y - NAME_MARGIN, x + wide + NAME_MARGIN, y + high + NAME_MARGIN
    left, top, right, bottom = (max(0, round(edge * PER_MM)) for edge in edges)
    kept = flat.copy()
    kept[top:bottom, left:right] = WHITE
    return kept
