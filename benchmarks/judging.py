"""How fast answers are judged and keys are read, in seconds of processor time.

Run: python benchmarks/judging.py
"""

import random
import statistics
import time
from collections.abc import Callable

from chalkpoint.marking.courses import Asker, Item
from chalkpoint.marking.judging import accepted_methods, judge_question, sheet_for
from chalkpoint.marking.key import read_key
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question, ask

COURSE = Course(format="8+4")
JUDGED = 300
KEYS = 5
RUNS = 3


def pattern(rng: random.Random) -> str:
    """Return a normalised 8+4 pattern."""
    return f"{rng.choice(('01', '10'))}{rng.randrange(64):06b} {rng.randrange(-4, 6) & 15:04b}"


def seconds(job: Callable[[], object]) -> float:
    """Return the median processor time of *job*."""
    taken = []
    for _ in range(RUNS):
        start = time.process_time()
        job()
        taken.append(time.process_time() - start)
    return statistics.median(taken)


def cases(rng: random.Random) -> list[tuple[Question, dict[str, str], str]]:
    """Return questions with the whole working of a belief picked at random."""
    found = []
    for _ in range(JUDGED):
        question = ask("subtract", pattern(rng), pattern(rng), course=COURSE)
        sheet, base = sheet_for(question), accepted_methods(question)[0]
        method = rng.choice(beliefs_for("subtract")).method_for("subtract", base) or base
        lines, page = {}, sheet.start
        for line, before, after in method.trail(page, question.format):
            if line.name not in {"read", "range"} and not (line.optional and before == after):
                lines[line.name] = sheet.says(line.name, before, after)
            page = after
        found.append((question, lines, sheet.says("answer", page, page)))
    return found


def key(rng: random.Random, count: int) -> list[Item]:
    """Return a key of *count* items, right under the house's own course."""
    asker = Asker(["8+4"])
    items: list[Item] = []
    while len(items) < count:
        operation = rng.choice(["add", "subtract", "encode", "decode", "normalise"])
        if operation == "encode":
            text = f"encode {rng.randrange(1, 60)}.{rng.randrange(1, 100):02d}"
        else:
            two = operation in {"add", "subtract"}
            text = f"{operation} {', '.join(pattern(rng) for _ in range(2 if two else 1))}"
        touched = Item(text, "").touches
        answer = asker.answer(text, tuple((name, asker.values[name][0]) for name in touched))
        if answer is not None:
            items.append(Item(text, answer.removeprefix("=")))
    return items


def main() -> None:
    """Print the figures."""
    rng = random.Random(7)
    judged = cases(rng)
    for words, pick in (("with every line", lambda lines: lines), ("the answer alone", lambda lines: {})):
        each = [
            seconds(lambda case=case, pick=pick: judge_question(case[0], pick(case[1]), case[2]))  # type: ignore[misc]
            for case in judged
        ]
        print(
            f"one judgement, {words}: median {statistics.median(each) * 1000:.1f} ms, longest {max(each) * 1000:.1f} ms"
        )
    for count in (3, 10):
        keys = [key(rng, count) for _ in range(KEYS)]
        each = [seconds(lambda items=items: read_key(items)) for items in keys]  # type: ignore[misc]
        print(f"a key of {count}: median {statistics.median(each):.2f} s, longest {max(each):.2f} s")


if __name__ == "__main__":
    main()
