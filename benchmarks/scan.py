"""Reading of handwritten papers, measured on simulated pages; no figure here is of a real page.

    python benchmarks/scan.py boxes MNIST [ROWS]     wrong, sent and caught, by pen, camera and what happened in a box
    python benchmarks/scan.py sent MNIST PICTURE     the plain boxes that are sent, drawn by lot, as a picture
    python benchmarks/scan.py pages [PAGES]          pages found, processor seconds a page
    python benchmarks/scan.py stack [PAGES]          memory of a scanner's PDF
    python benchmarks/scan.py teacher MNIST          a teacher's time, played through
    python benchmarks/scan.py real FOLDER            a sealed set of real pages (docs/scanning.md says its form)

MNIST is the folder with its four files: neither networks nor thresholds have seen its training digits.
"""

from __future__ import annotations

import csv
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "training"))

import numpy as np
import numpy.typing as npt
from cameras import CAPTURES, taken
from glyphs import made_glyphs
from judged import Judged, scored
from pens import KINDS, PENS, a_pupil
from recipe import PRINTS, ROWS, SEED, Given, crops
from sheets import filled

from chalkpoint.publishing.papers.folder import set_papers
from chalkpoint.scanning.audit import DRAWN
from chalkpoint.scanning.bounds import upper_bound
from chalkpoint.scanning.folder import Folder
from chalkpoint.scanning.pages import Flat, flat_page
from chalkpoint.scanning.pictures import sources_in
from chalkpoint.scanning.printed import Printed
from chalkpoint.scanning.reader import the_reader
from chalkpoint.scanning.reading import read_stack
from chalkpoint.scanning.review import A_SHEET
from chalkpoint.scanning.vision import cv2
from chalkpoint.setting.blueprint import parse_blueprint

Mask = npt.NDArray[np.bool_]
#: A teacher's seconds, put down before anything was counted; nobody was timed. A word that was typed before on its
#: sheet is taken again with an arrow.
A_LOOK, A_CLICK, A_TURN, A_TYPED, A_TAKEN, A_RULING = 0.15, 1.5, 2.0, 6.0, 1.5, 4.0
PUPILS, SIDES = 30, 4
RIGHT = 0.7  # of the decimals of one place on one paper, how many are alike


def judged_boxes(mnist: Path, rows: int | None = None) -> tuple[Judged, Mask]:
    """Return the boxes of the foreign source as the package reads them, and which it sends."""
    work = Path(tempfile.gettempdir()) / f"chalkpoint-scan-{rows or ROWS['test']}"
    work.mkdir(exist_ok=True)
    cv2.setNumThreads(1)
    made = crops(Given(work, mnist=mnist, rows=rows), "test")
    reader = the_reader()
    judged = scored(reader.networks, made)
    return judged, judged.doubts.over(reader.thresholds) | (judged.doubts.marred > 0.5)


def boxes(mnist: Path, rows: int | None) -> None:
    """Print how boxes of the foreign source are read at the thresholds of the package."""
    judged, sent = judged_boxes(mnist, rows)
    made = judged.crops
    whole = np.ones(len(sent), bool)
    print(f"{len(sent):,} boxes of pupils whose digits are MNIST's; none was learned from")
    _say("plain boxes", judged, sent, judged.plain)
    _say("plain, not sent", judged, sent, judged.plain & ~sent)
    _say("marred boxes", judged, sent, ~judged.plain)
    for name, values, which in (
        ("kind", KINDS, made.kind),
        ("truth", ("0", "1", "blank"), made.truth),
        ("camera", tuple(CAPTURES), made.capture),
        ("pen", tuple(PENS), made.pen),
    ):
        print(f"by {name}:")
        for at, value in enumerate(values):
            _say(f"  {value}", judged, sent, (which == at) & (whole if name == "kind" else judged.plain))


def pictured(mnist: Path, path: Path) -> None:
    """Write a picture of plain boxes that are sent, 20 a row, drawn by lot."""
    judged, sent = judged_boxes(mnist)
    which = np.flatnonzero(sent & judged.plain)
    chosen = np.random.default_rng(SEED).permutation(which)[: len(which) // 20 * 20][:240]
    rows = [np.hstack([255 - judged.crops.x[at, 0] for at in row]) for row in chosen.reshape(-1, 20)]
    cv2.imwrite(str(path), np.vstack(rows))


def _say(what: str, judged: Judged, sent: Mask, which: Mask) -> None:
    count = int(which.sum())
    if not count:
        return
    wrong = int((judged.wrong & ~sent & which).sum())
    bound = upper_bound(wrong, count)
    print(
        f"{what:20} {count:7,}: {sent[which].mean():6.2%} sent, {wrong} wrong and not sent: "
        f"{wrong / count * 1e4:.1f} in 10,000, at most {bound * 1e4:.1f} with 95 in 100 certainty"
    )


def _printed(folder: Path, variants: int = 4) -> Printed:
    set_papers(parse_blueprint(PRINTS["scan"]), variants=variants, seed=SEED, out=folder)
    return Printed.beside(folder / "papers.json")


def _taken(printed: Printed, count: int) -> Iterator[tuple[str, str, npt.NDArray[np.uint8]]]:
    """Yield filled pages: which side, how it was taken, and the picture."""
    glyphs = made_glyphs(SEED + 1, 60)
    codes, captures = list(printed.files), list(CAPTURES)
    for at in range(count):
        draw = np.random.default_rng([SEED, 77, at])
        code, capture = codes[at % len(codes)], captures[at % len(captures)]
        side = filled(
            printed,
            code,
            lambda box, draw=draw: int(draw.integers(2)),
            pupil=a_pupil(draw),
            glyphs=glyphs,
            draw=draw,
        )
        yield code, capture, taken(side.page, capture, draw, int(draw.integers(4)))


def pages(count: int) -> None:
    """Print how many pages are found, how many are taken for another, and the processor seconds each takes."""
    cv2.setNumThreads(1)
    reader = the_reader()
    found: dict[str, list[bool]] = {}
    seconds, others, unfit = [], 0, 0
    with tempfile.TemporaryDirectory() as folder:
        printed = _printed(Path(folder) / "set")
        for code in printed.files:
            printed.side(code)
        for code, capture, picture in _taken(printed, count):
            begun = time.process_time()
            flat = flat_page(picture, printed)
            is_read = isinstance(flat, Flat)
            if isinstance(flat, Flat):
                reader.read(flat.crops, flat.tone)
                others += flat.code != code
                unfit += sum(not fits for fits in flat.fits)
            seconds.append(time.process_time() - begun)
            found.setdefault(capture, []).append(is_read)
    read = sum(map(sum, found.values()))
    print(
        f"{read} of {count} pages found, {others} taken for another; {unfit} boxes not where the print has them"
    )
    for capture, which in found.items():
        print(f"  {capture:12} {sum(which)} of {len(which)}")
    print(f"{np.mean(seconds):.2f} s of processor time a page, at most {max(seconds):.2f}")


def stack(count: int) -> None:
    """Print the memory that reading a scanner's PDF of *count* pages takes, in a process of its own."""
    from PIL import Image

    cv2.setNumThreads(1)
    with tempfile.TemporaryDirectory() as folder:
        printed = _printed(Path(folder) / "set")
        pictures = [
            Image.fromarray(picture)
            for _, capture, picture in _taken(printed, 12)
            if not CAPTURES[capture].is_phone
        ]
        path = Path(folder) / "stack.pdf"
        pictures[0].save(
            path, save_all=True, append_images=(pictures * count)[1:count], resolution=200, quality=75
        )
        words = [sys.executable, __file__, "read", str(path), str(Path(folder) / "set" / "papers.json")]
        subprocess.run(words, check=True)


def read(path: Path, papers: Path) -> None:
    """Read a stack as the command does; print the memory that the process took before and at most."""
    cv2.setNumThreads(1)
    before = _most_memory()
    begun = time.process_time()
    found = read_stack(sources_in([path]), Printed.beside(papers), keep=Folder(path.parent / "read").keep)
    print(
        f"{sum(1 for _ in found.used())} of {len(found.pages)} pages read in "
        f"{time.process_time() - begun:.0f} s of processor time; "
        f"{_most_memory():.0f} MB at most, {before:.0f} MB before"
    )


def _most_memory() -> float:
    """Return the most memory that this process has had, in MB, as Linux tells it."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM"))


def teacher(mnist: Path) -> None:
    """Print the minutes that a class takes a teacher, from what is sent of simulated rows."""
    judged, sent = judged_boxes(mnist)
    with tempfile.TemporaryDirectory() as folder:
        printed = _printed(Path(folder) / "set")
    a_side = np.mean([sum(box.is_read for box in side) for side in printed.boxes.values()])
    words = np.mean([sum(box.kind == "free" for box in side) for side in printed.boxes.values()])
    total, typed, ruled = (round(PUPILS * SIDES * one) for one in (a_side, words, 0.25))
    looked, clicked = (
        round(total * sent.mean()),
        round(total * (sent & (judged.wrong | (judged.doubts.marred > 0.5))).mean()),
    )
    turns = -(-looked // A_SHEET) + -(-DRAWN // A_SHEET)
    seconds = (looked + DRAWN) * A_LOOK + clicked * A_CLICK + turns * A_TURN
    fresh = round(typed * (1 - RIGHT) + words * SIDES * len(printed.variants))
    words_seconds = fresh * A_TYPED + max(typed - fresh, 0) * A_TAKEN
    print(
        f"put down first, in seconds: {A_LOOK} to look at a box in a montage, {A_CLICK} a click, {A_TURN} a sheet, "
        f"{A_TYPED} a decimal typed, {A_TAKEN} one taken again, {A_RULING} a ruling"
    )
    print(
        f"{PUPILS} pupils, {SIDES} sides: {total:,} boxes, {looked:,} looked at, {clicked:,} clicked, {DRAWN} by lot, "
        f"{turns} sheets: {seconds / 60:.1f} minutes"
    )
    print(
        f"{typed} decimals and signs, {fresh} of them typed: {words_seconds / 60:.1f} minutes; "
        f"{ruled} rulings: {ruled * A_RULING / 60:.1f}"
    )
    print(f"every box as well: {(total - looked - DRAWN) * A_LOOK / 60:.0f} minutes more")


def real(folder: Path) -> None:
    """Print how a sealed set of real pages is read: pages, papers.json with its print, and labels.csv."""
    printed = Printed.beside(folder / "papers.json")
    read = read_stack(sources_in([folder / "pages"]), printed)
    with (folder / "labels.csv").open(encoding="utf-8", newline="") as file:
        labels = {(row["source"], int(row["box"])): row for row in csv.DictReader(file)}
    counts = {"boxes": 0, "sent": 0, "wrong and not sent": 0, "disputed": 0}
    for place in read.places.values():
        row = labels.get((read.page(place.page).source, place.box))
        if row is None or place.kind not in {"bit", "tray"}:
            continue
        votes = [row["first"], row["second"], row["third"]]
        truth = max(votes, key=votes.count)
        if votes.count(truth) < 2:
            counts["disputed"] += 1
            continue
        counts["boxes"] += 1
        counts["sent"] += not place.sure
        counts["wrong and not sent"] += place.sure and place.reading != truth
    print(f"{sum(1 for _ in read.used())} of {len(read.pages)} pages found")
    print(counts)
    if counts["boxes"]:
        bound = upper_bound(counts["wrong and not sent"], counts["boxes"])
        print(f"at most {bound * 1e4:.1f} in 10,000 wrong and not sent, with 95 in 100 certainty")


def main() -> None:
    """Measure what is asked for."""
    match sys.argv[1:]:
        case ["boxes", mnist, *rows]:
            boxes(Path(mnist), int(rows[0]) if rows else None)
        case ["sent", mnist, picture]:
            pictured(Path(mnist), Path(picture))
        case ["pages", *count]:
            pages(int(count[0]) if count else 60)
        case ["stack", *count]:
            stack(int(count[0]) if count else 120)
        case ["read", path, papers]:
            read(Path(path), Path(papers))
        case ["teacher", mnist]:
            teacher(Path(mnist))
        case ["real", folder]:
            real(Path(folder))
        case _:
            sys.exit(__doc__)


if __name__ == "__main__":
    main()
