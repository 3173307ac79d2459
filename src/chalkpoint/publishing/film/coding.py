"""Pictures coded as H.264 at a constant rate: changed ones by the coder, repeats by hand, two parts at a time."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from chalkpoint.publishing.film.lettering import HEIGHT, WIDTH
from chalkpoint.publishing.film.skip import Numberer
from chalkpoint.publishing.film.timeline import RATE, Stretch, drawn

if TYPE_CHECKING:
    from chalkpoint.publishing.film.pen import Canvas

__all__ = ["OPTIONS", "Coded", "coded", "prepare"]

WORKERS = 2
BT709 = 1  # the colours of high definition, so that players show the look as it is
KEYS_APART = 2 * RATE  # pictures between two that can be sought, where pictures change at all
OPTIONS = {
    "preset": "ultrafast",
    "crf": "21",
    "threads": "1",
    "tune": "zerolatency",
    "forced-idr": "1",
    "x264-params": "keyint=infinite:scenecut=0:bframes=0",
}


@dataclass(frozen=True, slots=True)
class Coded:
    """One picture of the film: its number, whether it can be sought, its bytes."""

    number: int
    key: bool
    data: bytes


def prepare(stream: Any) -> None:
    """Set a stream or a coder to the film's size and colours."""
    context = getattr(stream, "codec_context", stream)
    stream.width, stream.height, stream.pix_fmt = WIDTH, HEIGHT, "yuv420p"
    context.gop_size, context.max_b_frames = 100_000, 0
    for tag in ("color_range", "color_primaries", "color_trc", "colorspace"):
        setattr(context, tag, BT709)


def coded(
    told: Sequence[Stretch], look: str, *, repeats: bool = True, progress: Callable[[int, int], None]
) -> Iterator[Coded]:
    """Yield every picture of the film, in order.

    repeats  write repeats by hand; otherwise they are coded in full, for a player that needs it
    """
    parts = _parts(told)
    done = [0] * len(parts)

    def advance(part: int) -> Callable[[], None]:
        def step() -> None:
            done[part] += 1
            progress(sum(done), len(told))

        return step

    with ThreadPoolExecutor(WORKERS) as pool:
        made = pool.map(
            lambda at: list(_coded_part(parts[at], look, repeats=repeats, step=advance(at))),
            range(len(parts)),
        )
        for part in made:
            yield from part


def _parts(told: Sequence[Stretch]) -> list[list[Stretch]]:
    """Return the stretches in as many parts as there are workers, about the same work in each."""
    whole = sum(stretch.busy + 2 for stretch in told)
    parts: list[list[Stretch]] = [[]]
    used = 0
    for stretch in told:
        if parts[-1] and used >= whole * len(parts) / WORKERS and len(parts) < WORKERS:
            parts.append([])
        parts[-1].append(stretch)
        used += stretch.busy + 2
    return parts


def _coded_part(
    part: Sequence[Stretch], look: str, *, repeats: bool, step: Callable[[], None]
) -> Iterator[Coded]:
    coder, numberer = _coder(), Numberer(WIDTH, HEIGHT)
    last_key = -KEYS_APART
    for stretch in part:
        end = stretch.first + stretch.count
        shown = list(_with_ends(drawn(stretch, look), end))
        for number, canvas, until in shown:
            key = number == part[0].first or (number == stretch.first and number - last_key >= KEYS_APART)
            last_key = number if key else last_key
            for again in range(number, number + 1 if repeats else until):
                data = _encode(coder, canvas, again, key=key and again == number)
                yield Coded(again, key and again == number, numberer.picture(data))
            for again in range(number + 1, until if repeats else 0):
                yield Coded(again, key=False, data=numberer.repeat())
        step()


def _with_ends(shown: Iterator[tuple[int, Canvas]], end: int) -> Iterator[tuple[int, Canvas, int]]:
    """Yield each picture with the number of the next that differs."""
    held: tuple[int, Canvas] | None = None
    for number, canvas in shown:
        if held:
            yield *held, number
        held = number, canvas
    if held:
        yield *held, end


def _coder() -> Any:
    import av

    file = av.open(io.BytesIO(), "w", format="h264")
    stream = file.add_stream("libx264", rate=RATE, options=OPTIONS)
    prepare(stream)
    return stream


def _encode(coder: Any, canvas: Canvas, number: int, *, key: bool) -> bytes:
    import numpy as np
    from av import VideoFrame
    from av.video.frame import PictureType

    frame = VideoFrame(WIDTH, HEIGHT, "yuv420p")
    for plane, drawn_plane in zip(frame.planes, canvas.planes, strict=True):
        spare = plane.line_size - drawn_plane.shape[1]
        lines: Any = np.pad(drawn_plane, ((0, 0), (0, spare))) if spare else drawn_plane
        plane.update(lines)
    frame.pts, frame.time_base = number, Fraction(1, RATE)
    if key:
        frame.pict_type = PictureType.I
    return b"".join(bytes(packet) for packet in coder.encode(frame))
