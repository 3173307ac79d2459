"""How fast papers are set: run `python benchmarks/setting.py`.

The whole command is timed from its start, on a blueprint of eight questions: choosing, mark schemes,
one PDF a variant and one of all, key, sheets and report. Bounds: 30 variants in 5 s, 300 in 40 s.
Processor time stands beside the clock's, which on a shared machine says more; so does the most memory held.
The finder's diagrams are kept on disk, so a second run is the usual one; the first is timed as well.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

BLUEPRINT = """
title = "Gauge readings"
[course]
name = "12 Heron"
format = "8+4"
accepts = ["negate-then-align"]
[[question]]
operation = "decode"
where = ["sign-pattern = -"]
[[question]]
operation = "encode"
[[question]]
operation = "normalise"
[[question]]
operation = "add"
where = ["align-shift = 1", "mantissa-overflow"]
context = true
[[question]]
operation = "add"
where = ["align-shift >= 2", "carry-dropped"]
[[question]]
operation = "subtract"
where = ["align-shift = 2"]
count = 2
[[question]]
operation = "error"
context = true
"""
BOUNDS = {30: 5, 300: 40}  # variants: seconds
MEGABYTE = 1024 if sys.platform != "darwin" else 1024 * 1024  # in units of ru_maxrss


def set_papers(folder: Path, variants: int, name: str) -> tuple[float, float, float]:
    """Run the command once; return seconds by the clock, seconds of processor, and megabytes."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    began = time.perf_counter()
    words = ["set", str(folder / "paper.toml"), "--variants", str(variants), "--seed", "7"]
    subprocess.run(
        [sys.executable, "-m", "chalkpoint", *words, "--out", str(folder / name)],
        check=True,
        stdout=subprocess.DEVNULL,
        env=os.environ | {"XDG_CACHE_HOME": str(folder / "cache")},
    )
    clock = time.perf_counter() - began
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    processor = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return clock, processor, after.ru_maxrss / MEGABYTE


def main() -> None:
    """Print a line for the first run, and one for each bound."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "paper.toml").write_text(BLUEPRINT, encoding="utf-8")
        print("                              clock   processor   memory   bound")
        report("30 variants, nothing kept", set_papers(folder, 30, "first"), BOUNDS[30])
        for variants, bound in BOUNDS.items():
            report(f"{variants} variants", set_papers(folder, variants, f"v{variants}"), bound)


def report(what: str, measured: tuple[float, float, float], bound: int) -> None:
    """Print one measurement."""
    clock, processor, memory = measured
    print(f"{what:<27} {clock:6.1f} s  {processor:7.1f} s  {memory:5.0f} MB  {bound:4d} s")


if __name__ == "__main__":
    main()
