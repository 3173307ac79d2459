"""How many questions lanes work in one stroke, against one by one and against arrays of another library.

Run: python benchmarks/lanes.py
Every ratio is of two figures of processor time taken in this one run, and every answer is compared.
Bounds: 12, 150 and 10 times one by one; 5 times arrays on all of 8+4.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

import chalkpoint as cp
from chalkpoint.finding.brute import Brute
from chalkpoint.finding.find import find
from chalkpoint.finding.rejection import draw_in_lanes
from chalkpoint.marking.predictions import SCRIPT, Predictions
from chalkpoint.marking.ways import Way, predict, ways_for
from chalkpoint.numbers.lanes import Lanes
from chalkpoint.setting.fairness import judge_all, judge_part_by_part
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.methods import Method
from chalkpoint.working.page import Page
from chalkpoint.working.procedures import right_method

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "tests"))
from arrays import array

COMPARED = 900  # questions worked one by one, of more


def seconds(job: Callable[[], object]) -> float:
    """Return the processor time of *job*."""
    start = time.process_time()
    job()
    return time.process_time() - start


def methods_of(course: cp.Course) -> list[Method]:
    """Return the right method of subtraction, and each belief's."""
    right = right_method("subtract", course)
    held = [belief.method_for("subtract", right) for belief in beliefs_for("subtract")]
    return [right, *(method for method in held if method is not None)]


def against_one_by_one(size: str, count: int) -> str:
    """Work *count* random questions by every method, in lanes and one by one."""
    course = cp.Course(format=size)
    fmt, rng = course.number_format, random.Random(3)
    half, far = 1 << fmt.places, fmt.highest_exponent + 1
    pages = [
        Page(
            rng.randrange(-half, half),
            rng.randrange(-far, far),
            rng.randrange(-half, half),
            rng.randrange(-far, far),
        )
        for _ in range(count)
    ]
    lanes, methods = Lanes(count), methods_of(course)
    page = lanes.gather(pages)
    last: list[Page] = []
    ends: list[list[list[int]]] = []

    def read_back() -> None:
        ends.extend([lanes.unpack(part) for part in (end.total, end.exponent, end.outcome)] for end in last)

    alone: list[list[Any]] = []
    took = seconds(lambda: last.extend(method.finish(page, fmt) for method in methods))
    reading = seconds(read_back)
    each = seconds(
        lambda: alone.extend([method.finish(page, fmt) for page in pages[:COMPARED]] for method in methods)
    )
    each *= count / min(count, COMPARED)
    for (total, exponent, outcome), one_by_one in zip(ends, alone, strict=True):
        seen = [(page.total, page.exponent, page.outcome) for page in one_by_one]
        assert seen == list(zip(total, exponent, outcome, strict=True))[:COMPARED]
    ratios = f"{each / took:.1f} times ({each / (took + reading):.1f} with every answer read back)"
    return f"{len(methods)} methods: {took:.3f} s in lanes, {each:.2f} s one by one: {ratios}"


def against_arrays() -> str:
    """Subtract all 4,194,304 pairs of 8+4, in lanes and in arrays."""
    course = cp.Course()
    fmt, everything = course.number_format, Brute("subtract", course, [])
    method = right_method("subtract", course)
    blocks = [
        (block, everything.case(block.apart, block.lanes.counting(block.start)))
        for block in everything.blocks
    ]
    ends: list[Any] = []
    took = seconds(lambda: ends.extend(method.finish(case.page, fmt) for _, case in blocks))
    taken = 0.0
    for (block, case), end in zip(blocks, ends, strict=True):
        columns = [array(np.array(block.lanes.unpack(part))) for part in case.page]
        last: list[Any] = []
        taken += seconds(lambda c=columns, e=last: e.append(method.finish(Page(*c), fmt)))  # type: ignore[misc]
        assert block.lanes.unpack(end.outcome) == np.broadcast_to(last[0].outcome, block.lanes.count).tolist()
    return f"{took:.3f} s in lanes, {taken:.2f} s in arrays: {taken / took:.1f} times"


def rooms() -> None:
    """Print what the rooms gain: fairness, every way's answers, and a common draw."""
    course = cp.Course()
    questions = [found.question for found in find("subtract").draw(300, 1)]
    ways = ways_for(course, frozenset({"subtract"}))
    predict(questions[0], ways)
    for name, lanes, alone in (
        (
            "fairness of 300 questions",
            lambda: judge_all(questions),
            lambda: [judge_part_by_part(one) for one in questions],
        ),
        (
            f"{len(ways)} ways on 300 questions",
            lambda: list(map(_predictions(questions, ways).answers, questions)),
            lambda: [predict(one, ways) for one in questions],
        ),
    ):
        both: list[Any] = []
        first, second = (seconds(lambda job=job, b=both: b.append(job())) for job in (lanes, alone))  # type: ignore[misc]
        assert both[0] == both[1]
        print(f"{name:38} {first:.3f} s in lanes, {second:.3f} s one by one: {second / first:.1f} times")
    wide = find("subtract", format="24+8", where=["carry-dropped"])
    for count in (10, 1000):
        took = seconds(
            lambda n=count: draw_in_lanes("subtract", wide.course, wide.terms, n, random.Random(1))
        )  # type: ignore[misc]
        print(f"{count:>5} draws of carry-dropped at 24+8      {1e3 * took:.1f} ms")


def _predictions(questions: list[cp.Question], ways: tuple[Way, ...]) -> Predictions:
    """Return what every way writes for *questions*, the few that are worked one by one left behind."""
    predictions = Predictions(questions, ways)
    for question in questions[:SCRIPT]:
        predictions.answers(question)
    return predictions


def main() -> None:
    """Print every figure."""
    for size, count in (("8+4", 900), ("8+4", 20_000), ("24+8", 900)):
        print(f"{count:>6} questions of {size:24} {against_one_by_one(size, count)}")
    print(f"subtract, all pairs of 8+4             {against_arrays()}")
    rooms()


if __name__ == "__main__":
    main()
