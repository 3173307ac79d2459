"""The recipe of the reader: prints, rows written and taken, a network, thresholds; the same from its seed.

    python training/recipe.py WORK [--uci FOLDER] [--mnist FOLDER] [--own FOLDER]

WORK keeps what was made, so that a recipe that was stopped goes on. With --uci (two tables) more writers are learned
from; with --mnist (its four files) the strictness is chosen on a source that nothing was trained on; with --own a
school's own reviewed crops join what is learned from (README.md beside this file).
"""

from __future__ import annotations

import argparse
import hashlib
import json
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from glyphs import Glyphs, made_glyphs, mnist_glyphs, uci_glyphs
from judged import chosen_thresholds, scored
from learning import Example, learned, together
from pens import BLANK, KINDS, MARRED, RICH, USUAL
from rows import Crops, Strip, crops_from, strips_of

from chalkpoint.publishing.papers.folder import set_papers
from chalkpoint.scanning.network import Weights
from chalkpoint.scanning.reader import NAMES
from chalkpoint.scanning.vision import cv2
from chalkpoint.setting.blueprint import parse_blueprint

SEED = 26
NETWORKS, EPOCHS, FIRST = 1, 24, SEED + 1  # FIRST is the seed of the first network
TRAIN = ("train", "more")  # in parts, so that two may be made at a time
ROWS = {
    "train": 5000,
    "more": 5000,
    "other": 3000,
    "strict": 8000,
    "seen": 15000,
    "test": 10000,
}
SEEDS = {
    "train": SEED,
    "other": SEED + 1,
    "strict": SEED + 2,
    "more": SEED + 4,
    "seen": SEED + 5,
    "test": SEED + 6,
}
SKIPPED = {"test": 2600}  # rows of its seed that were looked at while the thresholds were looser
PACKAGE = Path(__file__).parents[1] / "src" / "chalkpoint" / "scanning"
COURSE = """
[course]
name = "12 Heron"
format = "{format}"
"""
SUMS = """
[[question]]
operation = "add"
[[question]]
operation = "subtract"
[[question]]
operation = "encode"
"""
ONE = '[[question]]\noperation = "encode"\n'
SCAN, LARGE = "[print]\nscan = true\n", '[print]\nscan = true\ntext = "large"\n'
PRINTS = {
    "usual": 'title = "Gauge readings"' + COURSE.format(format="8+4") + SUMS,
    "wide": 'title = "Mast readings"' + COURSE.format(format="10+6") + SUMS,
    "large": 'title = "Buoy readings"' + COURSE.format(format="6+4") + '[print]\ntext = "large"\n' + SUMS,
    "sizes": 'title = "Log readings"' + COURSE.format(format="E4M3") + ONE,
    "scan": 'title = "Gauge readings"' + COURSE.format(format="8+4") + SCAN + SUMS,
    "scanwide": 'title = "Mast readings"' + COURSE.format(format="10+6") + SCAN + SUMS,
    "scanlarge": 'title = "Buoy readings"' + COURSE.format(format="6+4") + LARGE + SUMS,
    "scansizes": 'title = "Log readings"' + COURSE.format(format="E4M3") + SCAN + ONE,
}


@dataclass(frozen=True, slots=True)
class Given:
    """What the recipe is told; main() says what each is."""

    work: Path
    uci: Path | None = None
    mnist: Path | None = None
    own: Path | None = None
    networks: int = NETWORKS
    epochs: int = EPOCHS
    rows: int | None = None
    out: Path = PACKAGE
    part: str | None = None
    network: int | None = None
    check: bool = False


def strips(work: Path) -> list[Strip]:
    """Return the rows of every print, set once."""
    found = []
    for name, text in PRINTS.items():
        folder = work / "prints" / name
        folder.parent.mkdir(parents=True, exist_ok=True)
        if not folder.exists():
            set_papers(parse_blueprint(text), seed=SEED, out=folder)
        found += strips_of(folder / "papers.json") * (3 if "scan" in name else 1)
    return found


def shapes(part: str, given: Given, draw: np.random.Generator) -> Glyphs:
    """Return in whose shapes a pupil of a part of the data writes."""
    if part == "other":
        return uci_glyphs("other")
    if part not in TRAIN:
        assert given.mnist is not None
        return mnist_glyphs(given.mnist, part)
    theirs = uci_glyphs("train", given.uci)
    if given.uci and draw.random() < 0.5:
        theirs = uci_glyphs("pen", given.uci)
    return theirs | (MADE if draw.random() < 0.3 else {})


MADE = made_glyphs(SEED, 1000)


def crops(given: Given, part: str) -> Crops:
    """Return the crops of one part, made once."""
    path = given.work / f"{part}.npz"
    if not path.exists():
        begun = time.process_time()
        made = crops_from(
            strips(given.work),
            partial(shapes, part, given),
            given.rows or ROWS[part],
            seed=SEEDS[part],
            first=SKIPPED.get(part, 0),
            shares=RICH if part in TRAIN else USUAL,
        )
        made.save(path)
        print(
            f"{part}: {len(made.x)} crops in {time.process_time() - begun:.0f} s of processor time",
            flush=True,
        )
    return Crops.load(path)


def example_of(made: Crops) -> Example:
    """Return what is learned from: kinds that are rarer in a class weigh less, half way on a log scale."""
    marred = np.isin(made.kind, [KINDS.index(kind) for kind in MARRED])
    label = np.where(marred, len(NAMES) + np.minimum(made.truth, BLANK), made.truth).astype(np.int64)
    weight = np.sqrt(np.array(USUAL) / np.array(RICH)).astype(np.float32)[made.kind]
    return Example(made.x, made.tone, label, weight / weight.mean())


def own_example(folder: Path) -> Iterator[Example]:
    """Yield a school's reviewed crops (the files that own.py writes), which count double."""
    for path in sorted(folder.glob("*.npz")):
        with np.load(path) as kept:
            labels = kept["label"].astype(np.int64)
            yield Example(kept["x"], kept["tone"], labels, np.full(len(labels), 2, np.float32))


def network(given: Given, at: int) -> Weights:
    """Return the network of this number, learned once."""
    path = given.work / f"network{at}.npz"
    if not path.exists():
        parts = [example_of(crops(given, part)) for part in TRAIN]
        example = together([*parts, *(own_example(given.own) if given.own else ())])
        last = learned(example, seed=FIRST + at, epochs=given.epochs)
        halves: dict[str, Any] = {name: value.astype(np.float16) for name, value in last.items()}
        np.savez(path, **halves)
    with np.load(path) as kept:
        return {name: kept[name].astype(np.float32) for name in kept.files}


def thresholds(given: Given, nets: list[Weights]) -> dict[str, list[float]]:
    """Return the thresholds found on writers that no network learned from."""
    parts = ["other", *(["strict", "seen"] if given.mnist else [])]
    return chosen_thresholds(*(scored(nets, crops(given, part)) for part in parts))


def main() -> None:
    """Make the reader and write it into the package."""
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("work", type=Path)
    told.add_argument("--uci", type=Path)
    told.add_argument("--mnist", type=Path)
    told.add_argument("--own", type=Path)
    told.add_argument("--networks", type=int, default=NETWORKS)
    told.add_argument("--epochs", type=int, default=EPOCHS)
    told.add_argument("--rows", type=int, help="of each part, for a short trial")
    told.add_argument(
        "--check", action="store_true", help="make a short trial twice; both must be alike to the byte"
    )
    told.add_argument("--out", type=Path, default=PACKAGE)
    told.add_argument("--part", choices=ROWS, help="make this part of the data alone")
    told.add_argument("--network", type=int, help="learn this network alone")
    given = Given(**vars(told.parse_args()))
    given.work.mkdir(parents=True, exist_ok=True)
    given.out.mkdir(parents=True, exist_ok=True)
    cv2.setNumThreads(1)
    if given.check:
        check(given)
    elif given.part is not None:
        crops(given, given.part)
    elif given.network is not None:
        network(given, given.network)
    else:
        make(given)


def make(given: Given) -> None:
    """Learn the networks, find their thresholds, and write both."""
    nets = [network(given, at) for at in range(given.networks)]
    weights = given.out / "weights.npz"
    halves: dict[str, Any] = {
        f"{at}.{name}": value.astype(np.float16) for at, net in enumerate(nets) for name, value in net.items()
    }
    np.savez_compressed(weights, **halves)
    table = {
        "weights": hashlib.sha256(weights.read_bytes()).hexdigest(),
        "thresholds": thresholds(given, nets),
        "calibrated on": "six writers of UCI's digits and 42,000 of MNIST's, none of them trained on",
    }
    text = json.dumps(table, indent=1)
    (given.out / "thresholds.json").write_text(text + "\n", encoding="utf-8")
    print(text, file=sys.stderr)


def check(given: Given) -> None:
    """Make a short trial twice, in a process of its own each time; say whether the two are alike to the byte."""
    made = []
    for trial in (given.work / "once", given.work / "again"):
        words = [trial, "--rows", 60, "--epochs", 2, "--networks", 1, "--out", trial / "out"]
        words += ["--uci", given.uci] if given.uci else []
        subprocess.run([sys.executable, __file__, *map(str, words)], check=True)  # noqa: S603 - this recipe
        made.append([(trial / "out" / name).read_bytes() for name in ("weights.npz", "thresholds.json")])
    alike = made[0] == made[1]
    print(
        f"weights {hashlib.sha256(made[0][0]).hexdigest()}: {'the same' if alike else 'NOT the same'} twice"
    )
    sys.exit(not alike)


if __name__ == "__main__":
    main()
