"""Simulated classes in every family of formats: is who holds a belief named, and is nobody accused.

A diagnosing paper of eight questions, as `chalkpoint set` makes it, for each family and each part of the work; every
belief that shows on two of its questions or more is held by some pupils; 8% of their answers are slips. Who holds
what another book teaches (every answer of the paper is right there) is nobody to be named, and counted apart.

    python benchmarks/family_classes.py [--holders 10] [--innocents 60] [--seeds 101 ...] [--why] [--bare] [format ...]

Conversions and sums are answered as papers ask for them: with the value in between, with every total. --bare leaves
those out. --why prints, below the table, whom a holder was taken for and why others were not named.
"""

from __future__ import annotations

import argparse
import random
from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

from chalkpoint.marking.answer import read_answer
from chalkpoint.marking.asking import other_courses
from chalkpoint.marking.chains import number_written, result_line
from chalkpoint.marking.chances import Item
from chalkpoint.marking.diagnosis import Diagnoser, Diagnosis
from chalkpoint.marking.judging import judge_question
from chalkpoint.marking.observed import observe, observe_answer
from chalkpoint.marking.ways import Way, is_workable, operations_in
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.setter import set_papers
from chalkpoint.working.chained import MADE_OF_PARTS, Word, part_asked, parts_asked
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

Written = dict[str, str]  # by line

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
    "converting": ("convert", "sum"),
    "choosing": ("choose-format",),
}
TARGET = "10+6"  # of conversions
QUESTIONS, SLIPS = 8, 0.08
SEEDS = (101,)  # a paper each
MISSING = 3  # holders of each belief put to a catalogue without it
SHOWS = 2  # on fewer questions than this a belief cannot be named
KINDS = {"digit": 0.5, "exchanged": 0.15, "length": 0.1, "other": 0.25}


def paper(spelling: str, operations: tuple[str, ...], seed: int) -> list[Question]:
    """Return the questions of one diagnosing paper."""
    into = {"convert": f'to = "{TARGET}"\n'}
    asked = "".join(f'[[question]]\noperation = "{name}"\n{into.get(name, "")}' for name in operations)
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

    def __init__(self, questions: list[Question], left_out: str = "", *, bare: bool = False) -> None:
        self.questions, self.bare = questions, bare
        course = questions[0].course
        operations = frozenset[str]().union(*map(operations_in, questions))
        others = other_courses(course, questions)
        self.diagnoser = Diagnoser(course, operations, frozenset({left_out} - {""}), others=others)

    def shows(self, number: int) -> int:
        """Return on how many questions way *number* writes something else than the right way."""
        return sum(
            any(item.by(number) != item.right for item in self.asked(question, number))
            for question in self.questions
        )

    def taught_elsewhere(self, number: int) -> bool:
        """Tell whether another right way writes all that way *number* writes."""
        items = [item for question in self.questions for item in self.asked(question, number)]
        return any(
            not way.beliefs and all(item.by(other) == item.by(number) for item in items)
            for other, way in self.numbered()
        )

    def asked(self, question: Question, number: int) -> list[Item]:
        """Return what way *number* answers: the question, or each part of it from that way's own result before."""
        return [item for _, item, _ in self.steps(question, number)]

    def steps(
        self, question: Question, number: int, slipped: Callable[[int, Item, str], str] | None = None
    ) -> Iterator[tuple[str, Item, str]]:
        """Yield the lines on which way *number* writes a result, with what is asked there and what is written."""
        item = self.diagnoser.item(question)
        chained = question.operation.name in MADE_OF_PARTS and not self.bare
        carried: Any = None
        for stage in range(parts_asked(question) if chained else 1):
            line, asked = "answer", question
            if chained:
                line, asked = result_line(question, stage), part_asked(question, stage, carried)
            if not is_workable(asked):  # zero stored: nobody has a way of their own
                yield line, item, work_question(asked).result.bits
                return
            part = self.diagnoser.item(asked)
            text = slipped(stage, part, part.by(number)) if slipped else part.by(number)
            yield line, part, text
            if not chained:
                return
            reading = read_answer(asked, text).reading
            carried = number_written(asked, reading) if reading else None
            if not isinstance(carried, Word) and carried is not None:
                continue
            if (
                line != "answer" and carried
            ):  # a word ends it, and digits too many: nobody can go on from those
                yield "answer", item, carried.word
            return

    def written(self, rng: random.Random, number: int) -> list[Written]:
        """Return what a pupil writes who works by way *number*, and slips."""
        return [self._line_by_line(rng, question, number) for question in self.questions]

    def _line_by_line(self, rng: random.Random, question: Question, number: int) -> Written:
        """Return what is written for *question*, with one slip in it or none: from there on all follows."""
        chained = question.operation.name in MADE_OF_PARTS and not self.bare
        at = rng.randrange(parts_asked(question) if chained else 1) if rng.random() < SLIPS else -1

        def slipped(stage: int, item: Item, text: str) -> str:
            return slip(rng, text, sorted(item.wrong)) if stage == at else text

        return {line: text for line, _, text in self.steps(question, number, slipped)}

    def diagnosed(self, answers: list[Written]) -> Diagnosis:
        """Return the diagnosis of a pupil who wrote *answers*."""
        seen = []
        for at, (question, written) in enumerate(zip(self.questions, answers, strict=True), start=1):
            if set(written) == {"answer"}:
                seen += observe_answer(self.diagnoser, at, question, written["answer"])
                continue
            lines = {line: text for line, text in written.items() if line != "answer"}
            marks = judge_question(question, lines, written.get("answer", "")).marks
            seen += observe(self.diagnoser, at, question, written, marks)
        return self.diagnoser.diagnose_with_chances(seen)[0]

    def named(self, answers: list[Written]) -> frozenset[str]:
        """Return every belief named of a pupil who wrote *answers*."""
        return frozenset(belief for finding in self.diagnosed(answers).named for belief in finding.among)

    def numbered(self) -> Iterator[tuple[int, Way]]:
        """Yield each way with its number."""
        return iter(enumerate(self.diagnoser.ways))


def measure(
    room: Room, rng: random.Random, holders: int, innocents: int
) -> tuple[Counter[str], Counter[str]]:
    """Return how the pupils of one room are told, and whom holders were taken for or why they were not named."""
    counts: Counter[str] = Counter()
    why: Counter[str] = Counter()
    rights = [number for number, way in room.numbered() if not way.beliefs]
    for number, way in room.numbered():
        if len(way.beliefs) != 1 or way.method:
            continue
        (belief,) = way.beliefs
        if room.shows(number) < SHOWS:
            counts["seldom"] += 1
            continue
        if room.taught_elsewhere(number):
            counts["elsewhere"] += 1
            counts["elsewhere named"] += sum(
                belief in room.named(room.written(rng, number)) for _ in range(holders)
            )
            continue
        counts["beliefs"] += 1
        for _ in range(holders):
            told, said = score(room.diagnosed(room.written(rng, number)), belief)
            counts[told] += 1
            why[f"{belief}: {said}"] += told != "named"
        if MISSING:
            missing = Room(room.questions, belief, bare=room.bare)
            for _ in range(MISSING):
                counts["left out"] += 1
                told, said = score(missing.diagnosed(room.written(rng, number)), belief)
                counts["taken for another"] += told == "wrong"
                why[f"{belief}, left out of the catalogue: {said}"] += told == "wrong"
    for _ in range(innocents):
        counts["innocents"] += 1
        number = rng.choice(rights)
        named = room.named(room.written(rng, number))
        counts["accused"] += bool(named)
        why[
            f"{room.diagnoser.ways[number].method or 'right'}, innocent: named {', '.join(sorted(named))}"
        ] += bool(named)
    return counts, +why


def score(told: Diagnosis, belief: str) -> tuple[str, str]:
    """Return how a holder of *belief* is told, and for whom they are taken or why they are not named."""
    named = [one for finding in told.named for one in finding.among]
    if belief in named:
        return "named", ""
    if named:
        return "wrong", f"taken for {', '.join(named)}"
    reason = next((finding.why for finding in told.findings if belief in finding.among), "not thought likely")
    return "withheld", reason


def main() -> None:
    """Print the table, a line a family and part of the work."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("formats", nargs="*", default=FORMATS)
    parser.add_argument("--holders", type=int, default=10, help="holders of each belief a paper")
    parser.add_argument("--innocents", type=int, default=60, help="pupils a paper who are right")
    parser.add_argument("--seeds", type=int, nargs="+", default=SEEDS, help="a paper each")
    parser.add_argument("--topics", nargs="+", choices=TOPICS, default=TOPICS, help="parts of the work")
    parser.add_argument("--bare", action="store_true", help="conversions and sums by their answers alone")
    parser.add_argument("--why", action="store_true", help="whom holders were taken for, and why not named")
    options = parser.parse_args()
    total: Counter[str] = Counter()
    reasons: list[str] = []
    print(
        "| format | asked | beliefs | shown too seldom | taught elsewhere | of those named | holders | named | wrong "
        "| withheld | left out | taken for another | innocents | accused |"
    )
    print("| --- " * 14 + "|")
    for spelling in options.formats:
        for topic in options.topics:
            counts: Counter[str] = Counter()
            why: Counter[str] = Counter()
            for seed in options.seeds:
                rng = random.Random(
                    f"{spelling} {topic}" if seed == SEEDS[0] else f"{spelling} {topic} {seed}"
                )
                try:
                    room = Room(paper(spelling, TOPICS[topic], seed), bare=options.bare)
                except ValueError:
                    continue
                more, said = measure(room, rng, options.holders, options.innocents)
                counts += more
                why += said
            if counts:
                total += counts
                print(row(spelling, topic, counts), flush=True)
                reasons += [f"{spelling}, {topic}: {text} ({times})" for text, times in why.most_common()]
    print(row("all", "", total))
    if options.why:
        print("", *reasons, sep="\n")


def row(spelling: str, topic: str, counts: Counter[str]) -> str:
    """Return one line of the table."""
    sat = counts["named"] + counts["wrong"] + counts["withheld"]
    shares = [f"{100 * counts[told] / sat:.1f}%" if sat else "-" for told in ("named", "wrong", "withheld")]
    cells = [
        spelling,
        topic,
        counts["beliefs"],
        counts["seldom"],
        counts["elsewhere"],
        counts["elsewhere named"],
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
