"""How fast films are made: a spoken 1080p lesson of a question, and one of ten minutes, each as a whole command.

Run: python benchmarks/film.py [minutes]
Wall time and processor time are both told: on a machine that does other work, only the second says much.
"""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import av

from chalkpoint.publishing.film.timeline import RATE, stretches
from chalkpoint.publishing.recording import spoken, told_in
from chalkpoint.teaching.lessonfile import read_lesson

ONE = ["subtract 8.875, 3.6875"]
MANY = ["subtract 8.875, 3.6875", "add 6.5, 5.25", "multiply 2.3, -1.7", "subtract 6.5, -1.25"]


def lesson(questions: list[str]) -> str:
    """Return a lesson file that works these questions."""
    parts = [f'[[part]]\nkind = "worked"\nquestion = "{question}"\n' for question in questions]
    return 'title = "Readings"\n' + "".join(parts)


def measured(text: str, *options: str) -> None:
    """Make a film of the lesson *text* and print its length, its motion and what it took."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "lesson.toml").write_text(text, encoding="utf-8")
        command = [sys.executable, "-m", "chalkpoint", "teach", str(folder / "lesson.toml"), "--out", name]
        empty = {**os.environ, "CHALKPOINT_CACHE": str(folder / "cache")}  # no phrase is kept from before
        before, start = os.times(), time.perf_counter()
        subprocess.run(
            [*command, "--video", "--speech", *options], check=True, capture_output=True, env=empty
        )
        after, wall = os.times(), time.perf_counter() - start
        busy = after.children_user + after.children_system - before.children_user - before.children_system
        with av.open(str(folder / "lesson.mp4")) as file:
            long = (file.duration or 0) / 1_000_000
        size = (folder / "lesson.mp4").stat().st_size / 1_000_000
        told, _ = spoken(told_in(read_lesson(folder / "lesson.toml"), speech=True))
    moving = sum(stretch.busy for stretch in stretches(told)) / RATE
    print(
        f"{long:6.0f} s of film, {moving:.0f} s of it in motion, {size:.1f} MB: {busy:.1f} s of processor, {wall:.1f} s"
    )


def main() -> None:
    """Print the figures."""
    minutes = int(sys.argv[1]) if sys.argv[1:] else 10
    measured(lesson(ONE))
    measured(lesson(ONE), "--length", "105s")
    measured(lesson((MANY * minutes)[: max(1, round(minutes / 2.6))]))


if __name__ == "__main__":
    main()
