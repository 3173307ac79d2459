"""Simulated classes in every family of formats: is who holds a belief named, and is nobody accused.

A diagnosing paper of eight questions, as `chalkpoint set` makes it, for each family and each part of the work; every
belief that shows on two of its questions or more is held by some pupils; 8% of their answers are slips.

    python benchmarks/family_classes.py [holders a belief] [innocents a paper] [format ...]
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Iterator

from chalkpoint.marking.diagnosis import Diagnoser
from chalkpoint.marking.observed import observe_answer
from chalkpoint.marking.ways import Way
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.setter import set_papers
from chalkpoint.working.question import Question

FORMATS = (
    "8",
    "Q5.3",
    "8 unsigned",
    "8 ones-complement",
    "8 sign-and-magnitude",
    "8 excess-128",
    "1+4+3",
    "binary16",
    "8+4 sign-and-magnitude",
    "8+4 excess-8",
)
TOPICS = {
    "reading": ("decode",),
    "writing": ("encode",),
    "adding": ("add", "subtract"),
    "multiplying": ("multiply", "divide"),
}
QUESTIONS, SLIPS = 8, 0.08
MISSING = 3  # holders of each belief put to a catalogue without it
SHOWS = 2  # on fewer questions than this a belief cannot be named
KINDS = {"digit": 0.5, "exchanged": 0.15, "length": 0.1, "other": 0.25}


def paper(spelling: str, operations: tuple[str, ...], seed: int) -> list[Question]:
    """Return the questions of one diagnosing paper."""
    asked = "".join(f'[[question]]\noperation = "{name}"\n' for name in operations)
    text = (
        f'title = "Gauge"\npurpose = "diagnose"\nmost = {QUESTIONS}\n[course]\nformat = "{spelling}"\n{asked}'
    )
    made = set_papers(parse_blueprint(text), variants=1, seed=seed)
    return [item.question for item in made.papers[0].questions]


def slip(rng: random.Random, written: str, others: list[str]) -> str:
    """Return *written* with a slip in it."""
    (kind,) = rng.choices(list(KINDS), weights=list(KINDS.values()))
    digits = [at for at, sign in enumerate(written) if sign.isdigit()]
    if kind == "other" and others:
        return rng.choice(others)
    if not digits:
        return rng.choice(others) if others else written
    at = rng.choice(digits)
    if kind == "length":
        return written[:at] + written[at + 1 :] or written
    if kind == "exchanged" and at + 1 < len(written):
        return written[:at] + written[at + 1] + written[at] + written[at + 2 :]
    another = "10"[int(written[at])] if written[at] in "01" else str((int(written[at]) + 1) % 10)
    return written[:at] + another + written[at + 1 :]


class Room:
    """One paper and what its diagnoser makes of pupils who sit it."""

    def __init__(self, questions: list[Question], left_out: str = "") -> None:
        self.questions = questions
        course = questions[0].course
        operations = frozenset(question.operation.name for question in questions)
        self.diagnoser = Diagnoser(course, operations, frozenset({left_out} - {""}))
        self.items = [self.diagnoser.item(question) for question in questions]

    def shows(self, number: int) -> int:
        """Return on how many questions way *number* writes something else than the right way."""
        return sum(item.by(number) != item.right for item in self.items)

    def written(self, rng: random.Random, number: int) -> list[str]:
        """Return what a pupil writes who works by way *number*, and slips."""
        return [
            slip(rng, item.by(number), sorted(item.wrong)) if rng.random() < SLIPS else item.by(number)
            for item in self.items
        ]

    def named(self, answers: list[str]) -> frozenset[str]:
        """Return every belief named of a pupil who wrote *answers*."""
        seen = []
        for at, (question, written) in enumerate(zip(self.questions, answers, strict=True), start=1):
            seen += observe_answer(self.diagnoser, at, question, written)
        return frozenset(
            belief
            for finding in self.diagnoser.diagnose_with_chances(seen)[0].named
            for belief in finding.among
        )

    def numbered(self) -> Iterator[tuple[int, Way]]:
        """Yield each way with its number."""
        return iter(enumerate(self.diagnoser.ways))


def measure(room: Room, rng: random.Random, holders: int, innocents: int) -> Counter[str]:
    """Return how the pupils of one room are told."""
    counts: Counter[str] = Counter()
    rights = [number for number, way in room.numbered() if not way.beliefs]
    for number, way in room.numbered():
        if len(way.beliefs) != 1 or way.method:
            continue
        if room.shows(number) < SHOWS:
            counts["seldom"] += 1
            continue
        counts["beliefs"] += 1
        for _ in range(holders):
            answers = room.written(rng, number)
            named = room.named(answers)
            told = "named" if way.beliefs[0] in named else "wrong" if named else "withheld"
            counts[told] += 1
        if MISSING:
            missing = Room(room.questions, way.beliefs[0])
            for _ in range(MISSING):
                counts["left out"] += 1
                counts["taken for another"] += bool(missing.named(room.written(rng, number)))
    for _ in range(innocents):
        counts["innocents"] += 1
        counts["accused"] += bool(room.named(room.written(rng, rng.choice(rights))))
    return counts


def main() -> None:
    """Print the table, a line a family and part of the work."""
    numbers = [int(given) for given in sys.argv[1:3]]
    holders, innocents = numbers if len(numbers) == 2 else (10, 60)
    total: Counter[str] = Counter()
    print(
        "| format | asked | beliefs | of which too seldom | holders | named | wrong | withheld "
        "| left out | taken for another | innocents | accused |"
    )
    print("| --- " * 12 + "|")
    for spelling in sys.argv[3:] or FORMATS:
        for topic, operations in TOPICS.items():
            rng = random.Random(f"{spelling} {topic}")
            try:
                room = Room(paper(spelling, operations, 101))
            except ValueError:
                continue
            counts = measure(room, rng, holders, innocents)
            total += counts
            print(row(spelling, topic, counts), flush=True)
    print(row("all", "", total))


def row(spelling: str, topic: str, counts: Counter[str]) -> str:
    """Return one line of the table."""
    sat = counts["named"] + counts["wrong"] + counts["withheld"]
    shares = [f"{100 * counts[told] / sat:.1f}%" if sat else "-" for told in ("named", "wrong", "withheld")]
    cells = [
        spelling,
        topic,
        counts["beliefs"],
        counts["seldom"],
        sat,
        *shares,
        counts["left out"],
        counts["taken for another"],
        counts["innocents"],
        counts["accused"],
    ]
    return "| " + " | ".join(map(str, cells)) + " |"


if __name__ == "__main__":
    main()
