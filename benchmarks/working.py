"""How fast questions are worked: full Workings, the two carriers side by side, and the whole command.

Run: python benchmarks/working.py
Every ratio is of two figures taken in this one run.
"""

import statistics
import subprocess
import sys
import time
from collections.abc import Callable

import numpy as np

import chalkpoint as cp
from chalkpoint.numbers.formats import parse_format
from chalkpoint.numbers.lanes import Lanes
from chalkpoint.working.methods import method_for
from chalkpoint.working.page import Page
from chalkpoint.working.question import ask
from chalkpoint.working.work import work_question

QUESTIONS = 20_000
COMMAND = [sys.executable, "-m", "chalkpoint", "work", "subtract", "8.875", "3.6875", "--format", "8+4"]


def seconds(job: Callable[[], object], runs: int = 5) -> float:
    """Return the median time of *job*."""
    taken = []
    for _ in range(runs):
        start = time.perf_counter()
        job()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def full_workings() -> float:
    """Return full subtract Workings a second at 8+4: steps, result and check; words are not rendered."""
    rng = np.random.default_rng(7)
    course = cp.Course(format="8+4")
    fmt = course.number_format
    codes = rng.integers(0, 1 << fmt.bits, size=(QUESTIONS, 2)).tolist()
    questions = [ask("subtract", *(format(code, "012b") for code in pair), course=course) for pair in codes]

    def job() -> None:
        for question in questions:
            working = work_question(question)
            assert working.result.outcome
            assert working.check.verdict

    return QUESTIONS / seconds(job)


def carriers() -> tuple[float, float]:
    """Return questions a second one by one and in lanes, at 8+4."""
    fmt, method = parse_format("8+4"), method_for("subtract")
    rng = np.random.default_rng(7)
    columns = [rng.integers(low, high, size=1 << 18).tolist() for low, high in ((-128, 128), (-8, 8)) * 2]
    cases = list(zip(*(column[:QUESTIONS] for column in columns), strict=True))
    lanes = Lanes(1 << 18)
    page = Page(*map(lanes.pack, columns))

    def one_by_one() -> None:
        for case in cases:
            method.finish(Page(*case), fmt)

    together = (1 << 18) / seconds(lambda: method.finish(page, fmt))
    return QUESTIONS / seconds(one_by_one), together


def command(words: list[str]) -> float:
    """Return the median time of a whole command, in milliseconds."""
    return 1000 * seconds(lambda: subprocess.run(words, check=True, capture_output=True), runs=15)


def main() -> None:
    """Print every figure."""
    print(f"full subtract Workings at 8+4    {full_workings():>12,.0f} a second")
    alone, together = carriers()
    print(f"integer carrier                  {alone:>12,.0f} questions a second")
    print(f"in lanes                         {together:>12,.0f} questions a second")
    print(f"                                 {together / alone:>12,.0f} times the integers")
    whole, nothing = command(COMMAND), command([sys.executable, "-c", "pass"])
    print(f"chalkpoint work, whole command   {whole:>12.0f} ms")
    print(
        f"                                 {whole / nothing:>12.1f} times python -c pass ({nothing:.0f} ms)"
    )


if __name__ == "__main__":
    main()
