"""Pages in pictures: turned, two in one, torn, of another class, cornerless; each is said, and none is guessed."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest

from chalkpoint.numbers.errors import FileError
from chalkpoint.scanning.bending import straightened
from chalkpoint.scanning.boxes import PER_MM, ink_of
from chalkpoint.scanning.fitting import fitted
from chalkpoint.scanning.pages import LEAST_FIT, Flat, Trouble, flat_page
from chalkpoint.scanning.pictures import sources_in
from chalkpoint.scanning.printed import Printed
from chalkpoint.scanning.pupils import matters_of, number_on, tell_apart
from chalkpoint.scanning.stack import Page, Place, Stack
from chalkpoint.scanning.vision import cv2
from stacks import Class, blank, torn

Grey = npt.NDArray[np.uint8]
MM = 8  # px


def first(heron: Class) -> str:
    """Return the code of a side."""
    return next(iter(heron.printed.files))


def troubled(picture: Grey, printed: Printed) -> Trouble:
    """Return what is the matter with a picture."""
    found = flat_page(picture, printed)
    assert isinstance(found, Trouble)
    return found


@pytest.mark.parametrize("turns", range(4))
def test_a_page_lies_right_however_it_was_turned(heron: Class, turns: int) -> None:
    """The same crops come of it, to what turning itself does to a picture."""
    code = first(heron)
    found = flat_page(np.ascontiguousarray(np.rot90(blank(heron.printed, code), turns)), heron.printed)
    assert isinstance(found, Flat)
    assert found.code == code
    assert all(found.fits)
    apart = abs(found.crops[:, 0].astype(int) - found.crops[:, 1]).mean()
    assert apart < 12


def test_the_name_is_masked_before_anything_is_kept(heron: Class) -> None:
    """Whatever is written over the strip with the name is not in the picture that comes out."""
    code = first(heron)
    picture = blank(heron.printed, code)
    x, y, wide, high = (round(one * MM) for one in heron.printed.name)
    picture[y : y + high, x : x + wide] = 0
    found = flat_page(picture, heron.printed)
    assert isinstance(found, Flat)
    left, top, right, bottom = (round(one * PER_MM / MM) for one in (x, y, x + wide, y + high))
    assert found.picture[top:bottom, left:right].min() > 200


def test_two_pages_in_one_picture_are_said(heron: Class) -> None:
    """Of two sides, and of the same side twice."""
    one, other = list(heron.printed.files)[:2]
    both = np.hstack([blank(heron.printed, one), blank(heron.printed, other)])
    assert "several pages are in one picture" in troubled(both, heron.printed).what
    twice = np.hstack([blank(heron.printed, one), blank(heron.printed, one)])
    assert "in one picture" in troubled(twice, heron.printed).what


def test_a_page_of_another_class_is_said(heron: Class) -> None:
    """Its code is in no paper of this set."""
    code = first(heron)
    others = Printed({}, {"AAAAAA/1": (Path(), 0)}, {}, heron.printed.name)
    found = troubled(blank(heron.printed, code), others)
    assert found == Trouble(
        f"the code {code!r} is not of these papers; look whether it is another class's", code
    )


def test_a_torn_code_is_typed_and_the_page_is_read(heron: Class) -> None:
    """Without a code nothing is guessed; named by the teacher the page is found by its corners, turned or not."""
    code = first(heron)
    picture = torn(heron.printed, code)
    assert troubled(picture, heron.printed).what.startswith("no square code can be read")

    turned = np.ascontiguousarray(np.rot90(picture, 1))
    found = flat_page(turned, heron.printed, code)
    assert isinstance(found, Flat)
    assert all(found.fits)
    wrong = flat_page(turned, heron.printed, "AAAAAA/9")
    assert isinstance(wrong, Trouble)
    assert wrong.what.startswith("AAAAAA/9 is no side of these papers")


def test_a_code_that_can_be_read_is_not_overruled(heron: Class) -> None:
    """Named as another side, a page whose code is legible is refused: its boxes may lie just where the other's do."""
    shown, other, *_ = sorted(heron.printed.files)
    picture = blank(heron.printed, shown)
    assert isinstance(flat_page(picture, heron.printed, shown), Flat)

    refused = flat_page(picture, heron.printed, other)
    assert isinstance(refused, Trouble)
    assert refused.what == f"{shown} can be read there, and not {other}; leave {other} out"


def test_fewer_than_three_corners_are_said(heron: Class) -> None:
    """Two corners covered by thumbs: it is to be taken again."""
    picture = blank(heron.printed, first(heron))
    size = 18 * MM
    picture[-size:, :size] = picture[-size:, -size:] = 128
    found = troubled(picture, heron.printed)
    assert "corners" in found.what
    assert "3 are needed" in found.what


def test_three_corners_are_enough(heron: Class) -> None:
    """One thumb is no harm: the code stands in for the fourth."""
    picture = blank(heron.printed, first(heron))
    picture[-18 * MM :, -18 * MM :] = 128
    found = flat_page(picture, heron.printed)
    assert isinstance(found, Flat)
    assert all(found.fits)


def test_what_is_no_picture_is_refused_by_name(tmp_path: Path) -> None:
    """A text file, and a folder with none."""
    (tmp_path / "note.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(FileError, match="neither a PDF nor a photograph"):
        sources_in([tmp_path / "note.txt"])
    with pytest.raises(FileError, match="holds no PDF and no photograph"):
        sources_in([tmp_path])
    (tmp_path / "a.pdf").write_bytes(b"%PDF-1.7 torn")
    with pytest.raises(FileError, match="no PDF that can be opened"):
        sources_in([tmp_path])
    cv2.imwrite(str(tmp_path / "b.png"), np.zeros((4, 4), np.uint8))
    assert [str(one) for one in sources_in([tmp_path / "b.png"])] == ["b.png"]


def pages(*given: tuple[str, str]) -> Stack:
    """Return a stack of pages (side, pupil)."""
    sides = {paper: [f"{paper}/1", f"{paper}/2"] for paper in ("AAAAAA", "BBBBBB")}
    return Stack(
        "",
        sides,
        pages=[Page(at, f"{at}.jpg", code, pupil) for at, (code, pupil) in enumerate(given, start=1)],
    )


def test_a_paper_of_a_pupils_own_says_whose_it_is() -> None:
    """Where each side is there once; where one is there twice, nobody is guessed."""
    own = pages(("AAAAAA/2", ""), ("AAAAAA/1", ""), ("BBBBBB/1", ""), ("BBBBBB/1", ""))
    tell_apart(own)
    assert [page.pupil for page in own.pages] == ["AAAAAA", "AAAAAA", "", ""]
    whose = [matter.what for matter in matters_of(own)]
    assert whose == ["whose the side BBBBBB/1 is cannot be known; write the pupil's code"] * 2


def test_sides_that_lie_in_order_make_scripts() -> None:
    """Only where the teacher says so: a script begins where a side does not follow."""
    stack = pages(("AAAAAA/1", ""), ("AAAAAA/2", ""), ("AAAAAA/1", ""), ("BBBBBB/1", ""), ("BBBBBB/2", ""))
    stack.in_order = True
    tell_apart(stack)
    assert [page.pupil for page in stack.pages] == [
        "script 1",
        "script 1",
        "script 2",
        "script 3",
        "script 3",
    ]
    assert [matter.what for matter in matters_of(stack)] == [
        "the side AAAAAA/2 of script 2 is missing; scan it, or script 2 is left out"
    ]


def test_missing_twice_and_mixed_sides_are_said() -> None:
    """Each in a sentence; a page set aside is no more there."""
    stack = pages(("AAAAAA/1", "07"), ("AAAAAA/1", "07"), ("AAAAAA/2", "07"), ("BBBBBB/1", "08"))
    said = [matter.what for matter in matters_of(stack)]
    assert said[0] == "07 has the side AAAAAA/1 on pages 1 and 2; set aside all but one"
    assert said[-1] == "the side BBBBBB/2 of 08 is missing; scan it, or 08 is left out"
    stack.page(2).dropped = True
    assert len(matters_of(stack)) == 1
    stack.page(4).pupil = "07"
    assert "has pages of the papers AAAAAA and BBBBBB" in matters_of(stack)[0].what


@pytest.mark.parametrize(
    ("tens", "units", "number"),
    [
        ("b", "h", "17"),
        ("b", "", ""),
        ("bc", "h", ""),
        ("b", "h?", ""),
        ("", "", ""),
        ("?", "?", "99"),
        ("b", "?", ""),
        ("?", "h?", ""),
    ],
)
def test_a_number_is_read_from_its_crosses_or_not_at_all(tens: str, units: str, number: str) -> None:
    """One cross in each row ("a" is 0); none, two or one in doubt is nobody's number; all faint alike is one."""
    rows = [("tens", tens), ("units", units)]
    places = [tick(row, name, at, crossed) for row, (name, crossed) in enumerate(rows) for at in range(10)]
    assert number_on(places) == number


def tick(row: int, name: str, at: int, crossed: str) -> Place:
    """Return a box of a pupil's number: crossed, in doubt where *crossed* ends in a question mark, or empty."""
    digit = "abcdefghij"[at]
    reading = "ticked" if digit in crossed else "marred" if "?" in crossed and at == 9 else "blank"
    return Place(1, 10 * row + at, 0, "pupil", name, at + 1, "tick", 0, 0, 4, 4, reading, 0, sure=True)


def test_a_row_is_not_taken_for_another_that_looks_the_same(heron: Class) -> None:
    """The digits of a pupil's number lie close under each other: a heavy cross in one moves neither onto the other."""
    side = heron.printed.side(first(heron))
    ink = side.shares().copy()
    number = [at for at, box in enumerate(side.boxes) if box.line == "pupil"]
    crossed = next(at for at in number if side.boxes[at].field == "units" and side.boxes[at].bit == 5)
    x, y, wide, high = side.rectangles[crossed]
    ends = [(round(one[0] * PER_MM), round(one[1] * PER_MM)) for one in ((x, y), (x + wide, y + high))]
    cv2.rectangle(ink, *ends, 1.0, -1)
    moved, fit = fitted(ink, side, is_straight=False)
    assert abs(moved[number]).max() < 0.2
    assert fit[number].min() > 0.8


def test_a_page_that_waves_is_straightened_by_its_own_print(heron: Class) -> None:
    """Print up to 3 mm from where it belongs comes back to within 0.4 mm; a page that lies flat is left alone."""
    side = heron.printed.side(first(heron))
    page = 255 - side.ink
    high, wide = page.shape
    rows, columns = np.mgrid[0:high, 0:wide].astype(np.float32)
    corner = 10 * PER_MM  # by the corners it was laid flat, so there it does not wave
    wave = 3 * PER_MM * np.sin(2 * np.pi * (columns - corner) / (wide - 2 * corner))
    bent = cv2.remap(page, columns, (rows + wave).astype(np.float32), cv2.INTER_LINEAR)
    boxes = [at for at, box in enumerate(side.boxes) if box.is_read]
    before, _ = fitted(ink_of(bent), side, is_straight=False)
    assert abs(before[boxes]).max() > 1.2
    straight, is_straight = straightened(bent, side)
    after, fit = fitted(ink_of(straight), side, is_straight=is_straight)
    assert is_straight
    assert abs(after[boxes]).max() < 0.4
    assert fit[boxes].min() > LEAST_FIT
    assert straightened(page, side)[0] is page


def test_boxes_that_are_not_where_they_were_printed_do_not_fit(heron: Class) -> None:
    """A page laid flat 3 mm off, and one without print, must not be read as if all were well."""
    side = heron.printed.side(first(heron))
    boxes = [at for at, box in enumerate(side.boxes) if box.is_read]
    off = np.roll(side.shares(), (round(2.5 * PER_MM), round(2.5 * PER_MM)), (0, 1))
    for ink in (off, np.zeros_like(off)):
        _, fit = fitted(ink, side, is_straight=True)
        assert fit[boxes].max() < LEAST_FIT
    assert not straightened(np.full(off.shape, 255, np.uint8), side)[1]
