"""What a key of three random questions says of a hidden course, over many seeded trials.

Run: python benchmarks/keys.py [TRIALS]
Printed: trials in which the hidden course was not listed, courses left, and courses left once the
deciding question is answered too.
"""

import random
import statistics
import sys

from chalkpoint.marking.courses import VALUES, Asker, Item
from chalkpoint.marking.key import KeyReading, read_key

TRIALS = 2000
ITEMS = 3
ASKER = Asker(["8+4"])


def pattern(rng: random.Random) -> str:
    """Return a normalised 8+4 pattern."""
    return f"{rng.choice(('01', '10'))}{rng.randrange(64):06b} {rng.randrange(-4, 6) & 15:04b}"


def question(rng: random.Random) -> str:
    """Return a question that a key may hold."""
    operation = rng.choice(["add", "subtract", "subtract", "encode", "decode"])
    if operation == "encode":
        return f"encode {rng.choice(('', '-'))}{rng.randrange(60)}.{rng.randrange(1, 100):02d}"
    return f"{operation} {', '.join(pattern(rng) for _ in range(1 if operation == 'decode' else 2))}"


def answered(text: str, course: dict[str, str]) -> Item | None:
    """Return *text* with its answer under *course*, or None where it has none."""
    answer = ASKER.answer(text, tuple((name, course[name]) for name in Item(text, "").touches))
    return None if answer is None else Item(text, answer.removeprefix("="))


def lists(course: dict[str, str], reading: KeyReading) -> bool:
    """Tell whether *course* is among the courses listed."""
    return any(all(course[name] == value for name, value in choices.items()) for choices in reading.courses)


def main(trials: int) -> None:
    """Print the figures."""
    rng = random.Random(20)
    missed, left, after, undecided = 0, [], [], 0
    for _ in range(trials):
        course = {name: rng.choice(values) for name, values in VALUES.items() if values}
        course |= {"format": "8+4", "order": "last", "hidden": "no"}
        items: list[Item] = []
        while len(items) < ITEMS:
            if item := answered(question(rng), course):
                items.append(item)
        reading = read_key(items)
        missed += not lists(course, reading)
        left.append(len(reading.courses))
        more = answered(reading.deciding, course) if reading.deciding else None
        if more is not None:
            reading = read_key([*items, more])
            missed += not lists(course, reading)
        elif len(reading.courses) > 1:
            undecided += 1
        after.append(len(reading.courses))
        ASKER.answered.clear()
    print(f"{trials} trials of {ITEMS} questions; the hidden course was not listed in {missed}")
    print(f"courses left: median {statistics.median(left)}, most {max(left)}")
    print(f"after the deciding question: median {statistics.median(after)}, most {max(after)}")
    print(f"several left and no question found that parts them: {undecided}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else TRIALS)
