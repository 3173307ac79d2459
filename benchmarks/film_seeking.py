"""Films sought in two engines: what Chromium shows at a time is held against what PyAV decodes for it.

Run: python benchmarks/film_seeking.py [NUMBER OF FILMS]
Films with and without a tray, of a negation, a normalisation, an error and a pattern read, each with its voice. A line
a film: seconds sought, in how many of them the browser's picture is the decoder's of that very time and of no other
state, and the largest mean difference in grey levels of 255.
"""

import base64
import io
import random
import sys
from pathlib import Path

import av
import numpy as np
from playwright.sync_api import Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from browser import ARGUMENTS, chromium
from chalkpoint.publishing.film.timeline import RATE
from chalkpoint.publishing.recording import spoken
from chalkpoint.publishing.video import video
from chalkpoint.teaching.lessonfile import lesson_of
from chalkpoint.teaching.parts import storyboard
from chalkpoint.working.work import work

SHOW = Path(__file__).with_suffix(".js").read_text(encoding="utf-8")
FILMS = {
    "with a tray": ("subtract", "8.875", "3.6875"),
    "without": ("add", "1.5", "2.5"),
    "negate": ("negate", "01101000 0011"),
    "normalise": ("normalise", "00010110 0010"),
    "error": ("error", "0.1"),
    "decode": ("decode", "01101000 0011"),
}
TIMES = 12  # sought in each, in no order
SIZE = (240, 135)


def sought(page: Page, data: bytes, seconds: list[float]) -> tuple[int, float]:
    """Return at how many of *seconds* the browser's picture is nearest to the one decoded for it, and how far off."""
    found = page.evaluate(SHOW, [base64.b64encode(data).decode(), seconds])
    if found["error"] or not found["played"]:
        raise SystemExit(f"the browser does not play it: {found['error']}")
    wanted = [int(second * RATE) for second in seconds]
    with av.open(io.BytesIO(data), "r") as file:
        small = {
            at: frame.reformat(*SIZE, "gray").to_ndarray().astype(int)
            for at, frame in enumerate(file.decode(video=0))
            if at in set(wanted)
        }
    right, worst = 0, 0.0
    for at, luma in zip(wanted, found["shown"], strict=True):
        drawn = np.array(luma).reshape(SIZE[::-1])
        apart = {number: float(np.abs(drawn - one).mean()) for number, one in small.items()}
        if apart[at] > min(apart.values()) + 0.01:
            print(f"at {at / RATE} s it shows what belongs at {min(apart, key=apart.__getitem__) / RATE} s")
            continue
        right += 1
        worst = max(worst, apart[at])
    return right, worst


def main(films: int) -> None:
    """Print a line for each film."""
    chance = random.Random(7)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=ARGUMENTS)
        for name, asked in list(FILMS.items())[:films]:
            told, sound = spoken(storyboard(lesson_of(work(*asked))))
            data = video(told, sound=sound)
            seconds = [chance.randrange(told.milliseconds // 1000) + 0.02 for _ in range(TIMES)]
            page = browser.new_page()
            right, worst = sought(page, data, seconds)
            page.close()
            print(
                f"{name:12} {told.milliseconds / 1000:5.0f} s, {TIMES} sought: {right} right, at most {worst:.1f} apart"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if sys.argv[1:] else len(FILMS))
