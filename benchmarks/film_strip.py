"""A film strip of a lesson: every state of its page, small, with its time. Usage: film_strip.py LESSON.toml OUT.png."""

from __future__ import annotations

import io
import sys

from PIL import Image, ImageDraw

from chalkpoint.publishing.film.pen import LIGHT
from chalkpoint.publishing.film.stills import pngs, states
from chalkpoint.teaching.lessonfile import read_lesson
from chalkpoint.teaching.parts import storyboard

WIDE, HIGH, ACROSS, WORDS = 320, 180, 5, 16


def main(lesson: str, out: str) -> None:
    """Draw the strip of *lesson* into *out*."""
    told = storyboard(read_lesson(lesson))
    times = [start for start, _ in states(told)]
    down = -(-len(times) // ACROSS)
    strip = Image.new("RGB", (ACROSS * (WIDE + 4), down * (HIGH + WORDS)), "white")
    pen = ImageDraw.Draw(strip)
    for at, (start, picture) in enumerate(zip(times, pngs(told), strict=True)):
        x, y = at % ACROSS * (WIDE + 4), at // ACROSS * (HIGH + WORDS)
        small = Image.open(io.BytesIO(picture)).resize((WIDE, HIGH), Image.Resampling.LANCZOS)
        strip.paste(small, (x, y))
        pen.text((x + 2, y + HIGH + 2), f"{start // 60_000}:{start // 1000 % 60:02}", fill="black")
    strip.quantize(palette=_palette(), dither=Image.Dither.NONE).save(out)


def _palette() -> Image.Image:
    """Return the colours of the light look, each in steps on its way from the paper's."""
    paper, steps = _parts(LIGHT["paper"]), range(8)
    mixed = [
        round(start + (end - start) * step / steps[-1])
        for colour in LIGHT.values()
        for step in steps
        for start, end in zip(paper, _parts(colour), strict=True)
    ]
    palette = Image.new("P", (1, 1))
    palette.putpalette(mixed)
    return palette


def _parts(colour: int) -> tuple[int, ...]:
    return colour >> 16, colour >> 8 & 255, colour & 255


if __name__ == "__main__":
    main(*sys.argv[1:])
