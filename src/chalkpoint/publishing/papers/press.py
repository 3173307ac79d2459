"""The press: many typst sources made into PDF files, by processes of their own where they are many.

What the compiler remembers of one file it keeps until its process ends; so a class's papers are split up
among processes, which bounds the memory and uses every processor. A process is handed its sources as
JSON on its standard input, and writes the files itself.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from pathlib import Path
from typing import NamedTuple, TypeAlias

from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.publishing.typst.compiling import compile_pdf

__all__ = ["Job", "press"]

Told: TypeAlias = Callable[[int], None]

FEW = 2_000_000  # characters of source that are pressed here, without starting a process
A_LOAD = 1_500_000  # characters of source for one process; a longer source has a process to itself


class Job(NamedTuple):
    """A file to be made: where, and of which typst source (which follows the library of `compiling`)."""

    path: Path
    source: str


def press(
    jobs: Sequence[Job], done: Told = lambda files: None, meanwhile: Callable[[], None] = lambda: None
) -> None:
    """Make every job's file; *done* is told how many more files there are.

    meanwhile  what else there is to do here: done while the processes work, or first where there are none

    Raises the error of the first job that fails, once the others have ended.
    """
    if sum(len(job.source) for job in jobs) <= FEW or not sys.executable:
        meanwhile()
        for job in jobs:
            job.path.write_bytes(compile_pdf(job.source))
            done(1)
        return
    with ThreadPoolExecutor(max_workers=max(1, os.cpu_count() or 1)) as pool:
        waiting = {pool.submit(_in_a_process, load): len(load) for load in loads(jobs)}
        meanwhile()
        for finished in as_completed(waiting):
            finished.result()
            done(waiting[finished])


def loads(jobs: Sequence[Job]) -> Iterator[list[Job]]:
    """Yield the jobs in loads for one process each, the longest sources first.

    >>> [len(load) for load in loads([Job(Path("a"), "x" * 700_000)] * 5)]
    [2, 2, 1]
    """
    load: list[Job] = []
    size = 0
    for job in sorted(jobs, key=lambda job: -len(job.source)):
        if load and size + len(job.source) > A_LOAD:
            yield load
            load, size = [], 0
        load.append(job)
        size += len(job.source)
    if load:
        yield load


def _in_a_process(load: list[Job]) -> None:
    handed = json.dumps([(str(job.path), job.source) for job in load])
    ended = subprocess.run(
        [sys.executable, "-m", "chalkpoint.publishing.papers.press"],
        input=handed,
        capture_output=True,
        encoding="utf-8",
        check=False,
        env=os.environ | {"PYTHONPATH": os.pathsep.join(filter(None, sys.path)), "PYTHONUTF8": "1"},
    )
    if ended.returncode:
        said = ended.stderr.strip().splitlines()
        raise ChalkpointError(
            f"a file could not be printed: {said[-1] if said else 'the process ended early'}"
        )


def main() -> None:
    """Make the files whose paths and sources stand on the standard input."""
    for path, source in json.load(sys.stdin):
        Path(path).write_bytes(compile_pdf(source))


if __name__ == "__main__":
    main()
