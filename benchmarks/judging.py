"""How fast answers are judged and keys are read, in seconds of processor time.

Run: python benchmarks/judging.py, or python benchmarks/judging.py families [format ...]
"""

import random
import statistics
import sys
import time
from collections.abc import Callable

from chalkpoint.finding.familyspace import FamilySpace
from chalkpoint.finding.found import Found
from chalkpoint.marking.courses import Asker, Item
from chalkpoint.marking.judging import accepted_methods, judge_question, sheet_for
from chalkpoint.marking.key import read_key
from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by, right_method
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


FAMILIES = (
    "8",
    "8 unsigned",
    "8 ones-complement",
    "Q5.3",
    "1+4+3",
    "binary16",
    "binary32",
    "8+4",
    "8+4 excess-8",
    "8+4 sign-and-magnitude",
    "1750A-32",
    "C3x-16",
    "C3x-32",
)
EACH = 8  # questions of each operation


def answers_in(spelling: str, rng: random.Random) -> list[tuple[Question, str]]:
    """Return answers in a format: right ones, what beliefs write, and right ones with a bit changed."""
    course, found = Course(format=spelling), []
    family = family_of(course.number_format)
    for operation in ("decode", "encode", "add", "subtract", "multiply", "divide"):
        for number in range(EACH):
            try:
                space = FamilySpace(operation, course)
                question = Found(None, operation, course, space.item(rng.randrange(space.count))).question
                base = right_method(operation, course)
                judge_question(question, {}, "0")  # refused where it has no answer
                right = answer_by(base, question)
            except (EntryError, ValueError):
                continue
            held = [belief.method_for(operation, base, family) for belief in beliefs_for(operation, family)]
            by_belief = answer_by(rng.choice(held) or base, question) if held else right
            at = rng.randrange(len(right))
            altered = right[:at] + {"0": "1", "1": "0"}.get(right[at], right[at]) + right[at + 1 :]
            found.append((question, (right, by_belief, altered)[number % 3]))
    return found


def families(spellings: list[str]) -> None:
    """Print the median of a judgement in each family."""
    print("| format | answers | median, ms | longest, ms |\n| --- | --- | --- | --- |")
    for spelling in spellings or FAMILIES:
        judged = answers_in(spelling, random.Random(spelling))
        each = []
        for question, answer in judged:
            start = time.process_time()
            judge_question(question, {}, answer)
            each.append(1000 * (time.process_time() - start))
        print(f"| {spelling} | {len(each)} | {statistics.median(each):.1f} | {max(each):.1f} |", flush=True)


def main() -> None:
    """Print the figures."""
    if sys.argv[1:2] == ["families"]:
        families(sys.argv[2:])
        return
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
