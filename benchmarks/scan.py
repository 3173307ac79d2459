"""Reading of handwritten papers, measured on simulated pages; no figure here is of a real page.

    python benchmarks/scan.py boxes MNIST [ROWS]     wrong, sent and caught, by pen, camera and what happened in a box
    python benchmarks/scan.py sent MNIST PICTURE     the plain boxes that are sent, drawn by lot, as a picture
    python benchmarks/scan.py pages [PAGES]          pages found, processor seconds a page
    python benchmarks/scan.py stack [PAGES]          memory of a scanner's PDF
    python benchmarks/scan.py teacher MNIST [PUPILS] a teacher's time, played through
    python benchmarks/scan.py real FOLDER            a sealed set of real pages (docs/scanning.md says its form)

MNIST is the folder with its four files: no network has seen its digits, and no threshold the last 12,000 of training.
"""

from __future__ import annotations

import csv
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from math import ceil
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "training"))

import numpy as np
import numpy.typing as npt
from cameras import CAPTURES, taken
from glyphs import Glyphs, made_glyphs, mnist_glyphs
from judged import Judged, scored
from pens import BLANK, KINDS, PENS, a_pupil
from recipe import ONE, PRINTS, ROWS, SEED, Given, crops
from sheets import filled

from chalkpoint.publishing.papers.folder import set_papers
from chalkpoint.scanning.audit import audit_of, upper_bound
from chalkpoint.scanning.folder import Folder, packed
from chalkpoint.scanning.lines import BY_BOX, NOT_USED
from chalkpoint.scanning.pages import Flat, flat_page
from chalkpoint.scanning.pictures import sources_in
from chalkpoint.scanning.places import Box
from chalkpoint.scanning.printed import Printed
from chalkpoint.scanning.reader import the_reader
from chalkpoint.scanning.reading import read_stack
from chalkpoint.scanning.review import A_SHEET, say, sheets_of
from chalkpoint.scanning.stack import Place
from chalkpoint.scanning.vision import cv2
from chalkpoint.setting.blueprint import parse_blueprint

Mask = npt.NDArray[np.bool_]
Parts = set[tuple[int, str, str]]
#: A teacher's seconds, put down before anything was counted; nobody was timed. A word that was typed before on its
#: sheet is taken again with an arrow.
SECONDS = {"a look": 0.15, "a click": 1.5, "a sheet": 2.0, "a ruling": 4.0, "a number typed": 6.0}
A_TYPED, A_TAKEN = 6.0, 1.5
PUPILS, SIDES = 30, 4
EMPTY = {"bit": 0.07, "tray": 0.6}  # how often a pupil leaves a line, or its tray, empty; spare lines are
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


def _printed(folder: Path, blueprint: str = PRINTS["scan"]) -> Printed:
    set_papers(parse_blueprint(blueprint), variants=4, seed=SEED, out=folder)
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


def teacher(mnist: Path, pupils: int) -> None:
    """Play a teacher through the papers of so many pupils, filled in MNIST's shapes; print the minutes for a class."""
    cv2.setNumThreads(1)
    spent: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as name:
        printed = _printed(Path(name) / "set", PRINTS["scan"] + ONE + ONE)
        files, truths = _class_of(printed, mnist_glyphs(mnist, "strict"), pupils, Path(name))
        stack = read_stack(sources_in(files), printed)
    numbered = [page for page in stack.pages if any(place.line == "pupil" for place in stack.on(page.number))]
    spent["a number typed"] = sum(not page.pupil for page in numbered)
    for page in stack.used():
        page.pupil = page.pupil or f"{page.number // SIDES}"
    by_lot: Counter[str] = Counter()
    while sheets := sheets_of(stack):
        for sheet in sheets:
            said = {one.row: BY_BOX if BY_BOX in one.offers else NOT_USED for one in sheet.rulings}
            said |= {place.id: _word(place, truths[place.page - 1]) for place in sheet.places}
            kind = by_lot if sheet.name.startswith("audit") else spent
            kind[sheet.name.rpartition("-")[0] or sheet.name] += len(sheet.places) or 1
            kind["a ruling"] += len(sheet.rulings)
            kind["a look"] += len(sheet.places)
            kind["a click"] += sum(said[place.id] != sheet.start for place in sheet.places)
            say(stack, said)
    share = PUPILS * SIDES / len(files)
    for what, met, scale in (("in doubt", spent, share), ("by lot", by_lot, 1.0)):
        counts: dict[str, float] = {one: met[one] for one in SECONDS}
        counts["a sheet"] = (
            sum(ceil(met[one] * scale / A_SHEET) for one in met.keys() - SECONDS.keys()) / scale
        )
        minutes = sum(SECONDS[one] * count for one, count in counts.items()) * scale / 60
        told = ", ".join(
            f"{count * scale:,.0f} times {one}" for one, count in sorted(counts.items()) if count
        )
        print(f"{what}: {minutes:.1f} minutes; {told}")
    print(
        f"{len(files)} sides were played, and what was in doubt is scaled to {PUPILS} pupils with {SIDES} sides"
    )
    print(f"put down first, in seconds: {SECONDS}")
    print(audit_of(stack).sentence)
    bits = [place for place in stack.places.values() if place.kind in {"bit", "tray"}]
    wrong = [one for one in bits if one.sure and one.reading != _word(one, truths[one.page - 1])]
    print(
        f"{len(bits):,} boxes, {1 - np.mean([one.sure for one in bits]):.1%} in doubt, {len(wrong)} wrong and sure"
    )
    every = np.mean([place.sure and not place.said for place in bits]) * len(bits) * share * SECONDS["a look"]
    print(f"every box as well: {every / 60:.0f} minutes more")
    words = sum(place.kind == "free" for place in stack.places.values()) * share
    fresh = round(words * (1 - RIGHT) + words / PUPILS * len(printed.variants))
    minutes = (fresh * A_TYPED + (words - fresh) * A_TAKEN) / 60
    print(
        f"were all {words:.0f} places for words filled, {fresh} typed and the rest taken again: {minutes:.1f} minutes"
    )


def _class_of(
    printed: Printed, glyphs: Glyphs, pupils: int, folder: Path
) -> tuple[list[Path], list[dict[int, str]]]:
    """Write the pictures of a class whose pupils fill most lines, no spare line; return them and the truths."""
    files, truths = [], []
    for pupil in range(1, pupils + 1):
        draw = np.random.default_rng([SEED, 91, pupil])
        hand, capture = a_pupil(draw), str(draw.choice(list(CAPTURES)))
        paper = list(printed.variants)[pupil % len(printed.variants)]
        for code in printed.sides_of(paper):
            parts = dict.fromkeys(
                (box.question, box.line, box.kind) for box in printed.boxes[code] if box.is_read
            )
            empty = {part for part in parts if part[1] == "spare" or draw.random() < EMPTY[part[2]]}

            def says(
                box: Box, draw: np.random.Generator = draw, empty: Parts = empty, number: int = pupil
            ) -> int | None:
                if box.line == "pupil":
                    return int(f"{number:02}"[box.field == "units"] == str(box.bit - 1))
                if box.kind == "tick" or (box.question, box.line, box.kind) in empty:
                    return None
                return int(draw.integers(2))

            side = filled(printed, code, says, pupil=hand, glyphs=glyphs, draw=draw)
            words = {0: "0", 1: "1", BLANK: "blank"}
            truths.append(
                {
                    at: words.get(truth, "?" if side.kinds[at] == "other sign" else "crossed")
                    for at, truth in side.truth.items()
                }
            )
            files.append(folder / f"{len(files):03}.jpg")
            files[-1].write_bytes(packed(taken(side.page, capture, draw, int(draw.integers(4)))))
    return files, truths


def _word(place: Place, truth: dict[int, str]) -> str:
    """Return what the teacher who sees every box as it was meant says of one; words were written nowhere."""
    return truth[place.box] if place.kind in {"bit", "tray"} else "blank"


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
        case ["teacher", mnist, *count]:
            teacher(Path(mnist), int(count[0]) if count else 10)
        case ["real", folder]:
            real(Path(folder))
        case _:
            sys.exit(__doc__)


if __name__ == "__main__":
    main()
