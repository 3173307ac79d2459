"""A school's own writing to learn from: the crops of the boxes that a teacher looked at, without names or codes.

    python training/own.py READ PAPERS.JSON OUT

READ is the folder that `chalkpoint mark --scan` keeps; OUT gets a file that `recipe.py --crops OUT` learns from.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from chalkpoint.scanning.bending import straightened
from chalkpoint.scanning.boxes import crops_of, even_ink, ink_of, tone_of
from chalkpoint.scanning.fitting import fitted
from chalkpoint.scanning.folder import Folder
from chalkpoint.scanning.printed import Printed
from chalkpoint.scanning.vision import cv2

LABELS = {"0": 0, "1": 1, "blank": 2, "crossed": 5, "?": 5}  # those of `reader`


def own_crops(read: Path, papers: Path, out: Path) -> int:
    """Write the crops that were looked at; return how many."""
    kept, printed = Folder(read), Printed.beside(papers)
    stack = kept.load()
    crops, tones, labels = [], [], []
    for page in stack.used():
        said = [place for place in stack.on(page.number) if place.said and place.kind in {"bit", "tray"}]
        if not said:
            continue
        side = printed.side(page.code)
        shares = side.shares()
        picture = cv2.imread(str(kept.picture(page.number)), cv2.IMREAD_GRAYSCALE)
        picture, is_straight = straightened(np.asarray(picture, np.uint8), side)
        ink = even_ink(ink_of(picture), shares)
        moved, _ = fitted(ink, side, is_straight=is_straight)
        read_boxes = [at for at, box in enumerate(side.boxes) if box.is_read]
        tone = tone_of(crops_of(ink, shares, [side.rectangles[at] for at in read_boxes], moved[read_boxes]))
        mine = [place.box for place in said]
        crops.append(crops_of(ink, shares, [side.rectangles[at] for at in mine], moved[mine]))
        tones += [tone] * len(mine)
        labels += [LABELS[place.said] for place in said]
    out.mkdir(parents=True, exist_ok=True)
    if labels:
        np.savez(
            out / f"{read.name}.npz",
            x=np.concatenate(crops),
            tone=np.array(tones, np.float32),
            label=np.array(labels, np.int64),
        )
    return len(labels)


if __name__ == "__main__":
    if len(sys.argv) != 4:
        sys.exit(__doc__)
    print(f"{own_crops(*map(Path, sys.argv[1:]))} boxes that were looked at")
