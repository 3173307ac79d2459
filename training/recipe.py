"""The recipe of the reader: prints, rows written and taken, a network, thresholds; the same from its seed.

    python training/recipe.py WORK [--mnist FOLDER] [--crops FOLDER]

WORK keeps what was made, so that a recipe that was stopped goes on. With --mnist (its four files) the strictness is
chosen on a source that nothing was trained on; with --crops a school's own reviewed crops join what is learned from
(README.md beside this file).
"""

from __future__ import annotations

import argparse
import hashlib
import json
import sys
import time
from functools import partial
from pathlib import Path

import numpy as np
from glyphs import Glyphs, made_glyphs, mnist_glyphs, uci_glyphs
from judged import chosen_thresholds, scored
from learning import Example, learned
from pens import KINDS, MARRED, RICH, USUAL
from rows import Crops, Strip, crops_from, strips_of

from chalkpoint.publishing.papers.folder import set_papers
from chalkpoint.scanning.network import Weights
from chalkpoint.scanning.vision import cv2
from chalkpoint.setting.blueprint import parse_blueprint

SEED = 26
NETWORKS, EPOCHS = 1, 8
ROWS = {"train": 6000, "other": 1500, "strict": 1500, "test": 4000}  # "test" is the benchmark's
SEEDS = {"train": SEED, "other": SEED + 1, "strict": SEED + 2, "test": SEED + 3}
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


def shapes(part: str, mnist: Path | None, draw: np.random.Generator) -> Glyphs:
    """Return in whose shapes a pupil of a part of the data writes."""
    if part == "train":
        return uci_glyphs("train") | (MADE if draw.random() < 0.5 else {})
    if part == "other":
        return uci_glyphs("other")
    assert mnist is not None
    return mnist_glyphs(mnist, part)


MADE = made_glyphs(SEED, 400)


def crops(work: Path, part: str, mnist: Path | None) -> Crops:
    """Return the crops of one part, made once."""
    path = work / f"{part}.npz"
    if not path.exists():
        begun = time.process_time()
        made = crops_from(
            strips(work),
            partial(shapes, part, mnist),
            ROWS[part],
            seed=SEEDS[part],
            shares=RICH if part == "train" else USUAL,
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
    label = np.where(marred, 3, made.truth).astype(np.int64)
    weight = np.sqrt(np.array(USUAL) / np.array(RICH)).astype(np.float32)[made.kind]
    return Example(made.x, made.tone, label, weight / weight.mean())


def with_own(example: Example, folder: Path | None) -> Example:
    """Return the example with a school's reviewed crops (the files `chalkpoint mark --scan` keeps) added."""
    for path in sorted(folder.glob("*.npz")) if folder else ():
        with np.load(path) as kept:
            count = len(kept["label"])
            example = Example(
                np.concatenate([example.x, kept["x"]]),
                np.concatenate([example.tone, kept["tone"]]),
                np.concatenate([example.label, kept["label"].astype(np.int64)]),
                np.concatenate([example.weight, np.full(count, 2, np.float32)]),
            )
    return example


def networks(work: Path, own: Path | None, which: range = range(NETWORKS)) -> list[Weights]:
    """Return the networks, learned once."""
    found = []
    for at in which:
        path = work / f"network{at}.npz"
        if not path.exists():
            begun = time.process_time()
            example = with_own(example_of(crops(work, "train", None)), own)
            last: Weights = {}
            for epoch, loss, last in learned(  # noqa: B007 - the last of them is kept
                example, seed=SEED + at, epochs=EPOCHS
            ):
                spent = time.process_time() - begun
                print(
                    f"network {at}, epoch {epoch}: loss {loss:.4f}, {spent:.0f} s of processor time",
                    flush=True,
                )
            np.savez(path, **{name: value.astype(np.float16) for name, value in last.items()})
        with np.load(path) as kept:
            found.append({name: kept[name].astype(np.float32) for name in kept.files})
    return found


def main() -> None:
    """Make the reader and write it into the package."""
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("work", type=Path)
    told.add_argument("--mnist", type=Path)
    told.add_argument("--crops", type=Path)
    told.add_argument(
        "--network", type=int, help="learn this one alone, so that several may be learned at a time"
    )
    given = told.parse_args()
    given.work.mkdir(parents=True, exist_ok=True)
    cv2.setNumThreads(1)
    if given.network is not None:
        networks(given.work, given.crops, range(given.network, given.network + 1))
        return
    nets = networks(given.work, given.crops)
    np.savez_compressed(
        PACKAGE / "weights.npz",
        **{
            f"{at}.{name}": value.astype(np.float16)
            for at, net in enumerate(nets)
            for name, value in net.items()
        },
    )
    parts = ["other", *(["strict"] if given.mnist else [])]
    judged = {part: scored(nets, crops(given.work, part, given.mnist)) for part in parts}
    chosen = chosen_thresholds(*judged.values())
    table = {
        "weights": hashlib.sha256((PACKAGE / "weights.npz").read_bytes()).hexdigest(),
        "thresholds": chosen,
        "calibrated on": "six writers of UCI's digits and the first of MNIST's test digits, none of them trained on",
    }
    (PACKAGE / "thresholds.json").write_text(json.dumps(table, indent=1) + "\n", encoding="utf-8")
    print(json.dumps(table, indent=1), file=sys.stderr)


if __name__ == "__main__":
    main()
