"""What every side of a paper has for a reader to go by: corners, square codes, the name's strip, a pupil's number.

Lengths are in mm from the top left corner of the side.
"""

from __future__ import annotations

from functools import cache

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing.papers.flow import TICK
from chalkpoint.publishing.papers.measures import LEFT, Sheet
from chalkpoint.working.wording.words_papers import BOXES

__all__ = ["codes_of", "landmarks_of", "number_grid"]

EDGE, WEDGE = 8.0, 7.0  # a corner's distance from the edges of the paper, and its size
NUMBER_LEFT, DIGITS_LEFT, DIGIT_PITCH = 112.0, 123.0, 4.6


def codes_of(sheet: Sheet) -> list[dict[str, float]]:
    """Return where the square codes stand: top right, and the same one again bottom left."""
    return [
        {"x": sheet.page[0] - 38, "y": 12.0, "size": 18.0},
        {"x": 20.0, "y": sheet.page[1] - 31, "size": 16.0},
    ]


def landmarks_of(sheet: Sheet) -> JsonObject:
    """Return what papers.json says of every side.

    A square code says the paper's code and the side, as in "TKZV25/1". A corner is a solid triangle, given by its
    points; the last of the four is open.

    >>> from chalkpoint.publishing.papers.measures import sheet_for
    >>> from chalkpoint.setting.asking import Printing
    >>> landmarks_of(sheet_for(Printing(scan=True)))["corners"][0]
    [[8.0, 8.0], [15.0, 8.0], [8.0, 15.0]]
    """
    wide, high = sheet.page
    left, top, right, bottom = EDGE, EDGE, wide - EDGE, high - EDGE
    corners = [
        [[left, top], [left + WEDGE, top], [left, top + WEDGE]],
        [[right - WEDGE, top], [right, top], [right, top + WEDGE]],
        [[left, bottom - WEDGE], [left, bottom], [left + WEDGE, bottom]],
        [[right, bottom - WEDGE], [right, bottom], [right - WEDGE, bottom]],
    ]
    return {
        "width": wide,
        "height": high,
        "scan": sheet.scan,
        "gap": sheet.gap,
        "corners": corners,
        "codes": codes_of(sheet),
        "name": {"x": LEFT, "y": EDGE, "width": NUMBER_LEFT - LEFT - 1, "height": 12.0},
    }


@cache
def number_grid() -> JsonObject:
    """Return the boxes in which a pupil crosses a number of two digits, which stands for the name."""
    xs = [DIGITS_LEFT + at * DIGIT_PITCH for at in range(10)]
    return {
        "x": NUMBER_LEFT,
        "y": 8.6,
        "says": BOXES["number"],
        "digits_y": 12.4,
        "size": TICK,
        "rows": [{"name": "tens", "y": 15.6, "xs": xs}, {"name": "units", "y": 20.6, "xs": xs}],
    }
