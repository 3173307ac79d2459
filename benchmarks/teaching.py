"""How fast a lesson is made: slides, handout and board of ten parts, and a spoken video as a whole command.

Run: python benchmarks/teaching.py
"""

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from chalkpoint.publishing.board import board
from chalkpoint.publishing.handout import handout
from chalkpoint.publishing.slides import slides
from chalkpoint.teaching.lessonfile import lesson_from
from chalkpoint.teaching.parts import storyboard

TEN_PARTS = {
    "title": "Taking one reading from another",
    "part": [
        {
            "kind": "explain",
            "title": "Gauges",
            "says": ["The Brackwater gauges keep eight bits.", "Bits may be lost."],
        },
        {"kind": "worked", "question": "subtract 8.875, 3.6875"},
        {"kind": "worked", "question": "add 3.25, 2.75"},
        {"kind": "faded", "question": "subtract 6.5, 1.25"},
        {"kind": "faded", "question": "subtract 6.5, -1.25"},
        {"kind": "try", "question": "add -5.25, 7"},
        {"kind": "mistake", "question": "subtract 8.875, 3.6875", "belief": "invert-only"},
        {"kind": "hinge", "question": "subtract 8.875, 3.6875"},
        {"kind": "try", "question": "encode -4.6"},
        {"kind": "summary", "title": "To take home", "says": ["Match the exponents first."]},
    ],
}
NINETY_SECONDS = 'title = "Reading a gauge"\n[[part]]\nkind = "worked"\nquestion = "decode 10101100 0011"\n'


def seconds(job: Callable[[], object], runs: int = 3) -> float:
    """Return the median time of *job*."""
    taken = []
    for _ in range(runs):
        start = time.perf_counter()
        job()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def spoken_video() -> tuple[float, int]:
    """Return the time of the whole command for a spoken 1080p video, and the narration's own length in ms."""
    with tempfile.TemporaryDirectory() as folder:
        lesson = Path(folder) / "lesson.toml"
        lesson.write_text(NINETY_SECONDS, encoding="utf-8")
        command = [
            sys.executable,
            "-m",
            "chalkpoint",
            "teach",
            str(lesson),
            "--out",
            folder,
            "--video",
            "--speech",
        ]
        taken = seconds(lambda: subprocess.run(command, check=True, capture_output=True))
        import av

        with av.open(str(Path(folder) / "lesson.mp4")) as file:
            return taken, (file.duration or 0) // 1000


def main() -> None:
    """Print the figures."""
    lesson = lesson_from(TEN_PARTS)
    told = storyboard(lesson)
    print(f"slides of ten parts    {seconds(lambda: slides(told)):6.2f} s")
    print(f"handout of ten parts   {seconds(lambda: handout(lesson)):6.2f} s")
    print(f"board of ten parts     {seconds(lambda: board(lesson)):6.2f} s")
    taken, length = spoken_video()
    print(f"spoken 1080p video     {taken:6.2f} s for {length / 1000:.0f} s of narration, whole command")


if __name__ == "__main__":
    main()
