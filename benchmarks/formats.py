"""How fast the standard formats are worked. Run: python benchmarks/formats.py."""

from __future__ import annotations

import random
import time

import chalkpoint as cp
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working.question import OPERATIONS, Question

SECONDS = 2.0


def rate_of(operation: str, spelling: str, *, seed: int = 4) -> float:
    """Return workings a second, each with its steps and its check, on random finite operands."""
    course = cp.Course(format=spelling)
    fmt = course.number_format
    draws = random.Random(seed)
    questions = [
        Question(OPERATIONS[operation], course, fmt, (draw(fmt, draws), draw(fmt, draws)), given=(None, None))
        for _ in range(2000)
    ]
    done, start = 0, time.process_time()
    while time.process_time() - start < SECONDS:
        for question in questions[:500]:
            working = cp.work_question(question)
            assert working.steps
            assert working.check.verdict
        done += 500
    return done / (time.process_time() - start)


def draw(fmt: object, draws: random.Random) -> object:
    """Return a random finite pattern, exponents near enough for the operands to meet."""
    if isinstance(fmt, SignMagnitudeFormat):
        exponent = draws.randrange(-20, 20) % (fmt.highest_exponent // 2)
        return Fields(draws.randrange(2), exponent, draws.randrange(1 << fmt.fraction_bits))
    return fmt.read("".join(draws.choice("01") for _ in range(fmt.bits)))  # type: ignore[attr-defined]


def main() -> None:
    """Print the figures."""
    for operation, spelling in (
        ("subtract", "8+4"),
        ("multiply", "8+4"),
        ("add", "binary32"),
        ("multiply", "binary32"),
        ("add", "1+4+3"),
        ("add", "binary64"),
        ("add", "8"),
    ):
        print(f"{operation} {spelling:<10} {rate_of(operation, spelling):>9,.0f} workings a second")


if __name__ == "__main__":
    main()
