"""Diagnosis: which way of working a pupil's answers speak for, and when that may be said.

A belief is named only if everything asked in `naming.py` holds. A blank is not observed and says
nothing; one answer never names anything; nor does a mark.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import reduce
from math import exp, log
from operator import or_
from typing import TypeAlias

from chalkpoint.marking.chances import AGAINST, Item, Model, Seen, bits_of, holders_in, priors
from chalkpoint.marking.naming import Evidence, Finding, findings
from chalkpoint.marking.predictions import Predictions
from chalkpoint.marking.ways import Way, ways_for
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question

__all__ = ["Diagnoser", "Diagnosis", "Lines", "observed_logs"]

AT_RANDOM = 0.02  # of slips on a line: the share that is any one wrong row


def observed_logs(seen: Seen) -> list[float]:
    """Return the logarithm of how likely *seen* is under each way, and last under none of them."""
    if seen.answer and not seen.lines:
        return seen.item.logs(seen.answer)
    logs = [*seen.item.logs(seen.answer)] if seen.answer else [0.0] * (len(seen.item.ways) + 1)
    for line, status, beliefs in seen.lines:
        if status != "recovered" and not (line == "answer" and seen.answer):
            _count(seen, logs, status, frozenset(beliefs))
    return logs


def _count(seen: Seen, logs: list[float], status: str, beliefs: frozenset[str]) -> None:
    """Add what one line says: *beliefs* give it, or are those that it speaks against."""
    model = seen.item.model
    kept, slipped = log(1 - model.slip), log(model.slip * AT_RANDOM)
    right = status in {"right", "follow-through", AGAINST}
    for_most, for_holders = (kept, slipped) if right else (slipped, kept)
    holders = holders_in(seen.item.ways)
    touched = reduce(or_, (holders.get(belief, 0) for belief in beliefs), 0)
    held = {number: logs[number] + for_holders for number in bits_of(touched)}
    logs[:-1] = [value + for_most for value in logs[:-1]]
    for number, value in held.items():
        logs[number] = value
    logs[-1] += log(model.right_alone if right else (1 - model.right_alone) * AT_RANDOM)


Lines: TypeAlias = tuple[tuple[str, str, tuple[str, ...]], ...]

KEPT_ITEMS = 1024  # questions whose answers under every way are kept


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What a pupil's answers say.

    right        probability that nothing but slips is wrong
    methods      other right methods, by name, with the probability that the pupil works so
    unexplained  probability that no way here explains the answers
    findings     beliefs the answers speak for, the likeliest first; `named` where it may be said
    untested     beliefs that would have written the right answer everywhere: nothing is known of them
    clear        beliefs that could have shown and did not
    strays       numbers of the questions whose wrong answer the likeliest way does not give
    next_questions  questions that would decide, best first; empty where nothing waits to be decided
    contrary     by other method, numbers of the questions whose answer does not bear it out
    """

    right: float
    methods: dict[str, float]
    unexplained: float
    findings: tuple[Finding, ...]
    untested: tuple[str, ...]
    clear: tuple[str, ...]
    strays: tuple[int, ...]
    next_questions: tuple[Question, ...] = ()
    contrary: dict[str, tuple[int, ...]] = field(default_factory=dict)

    @property
    def named(self) -> tuple[Finding, ...]:
        """The findings that may be said."""
        return tuple(finding for finding in self.findings if finding.named)

    @property
    def undecided(self) -> bool:
        """Whether a belief is likely and not yet to be named."""
        return any(not finding.named for finding in self.findings)

    def to_dict(self) -> JsonObject:
        """Return the part of a student's entry in chalkpoint.marks/1 that this is."""
        return {
            "beliefs": [finding.to_dict() for finding in self.findings],
            "methods": {name: round(chance, 3) for name, chance in self.methods.items()},
            "contrary": {name: list(numbers) for name, numbers in self.contrary.items()},
            "unexplained": round(self.unexplained, 3),
            "next_questions": [
                {
                    "operation": question.operation.name,
                    "operands": question.operands,
                    "format": question.course.format,
                }
                for question in self.next_questions
            ],
        }


@dataclass(eq=False)
class Diagnoser:
    """Diagnoses under one course; what every way answers to a question is worked out once and kept.

    operations  the operations asked about: beliefs that act in none of them are not thought of
    left_out    beliefs left out of the catalogue (to measure what happens when one is missing)
    pairs       whether two beliefs at once are thought of (needless where every answer is right)
    others      courses of other formats asked about, whose methods and beliefs are thought of too
    """

    course: Course
    operations: frozenset[str] = frozenset({"add", "subtract"})
    left_out: frozenset[str] = frozenset()
    model: Model = field(default_factory=Model)
    pairs: bool = True
    others: frozenset[Course] = frozenset()

    def __post_init__(self) -> None:
        self.ways: tuple[Way, ...] = ways_for(
            self.course, self.operations, self.left_out, pairs=self.pairs, others=self.others
        )
        self.priors = priors(self.ways, self.model)
        self._numbers = {way: number for number, way in enumerate(self.ways)}
        self._items: dict[tuple[str, ...], Item] = {}
        self._expected: tuple[Question, ...] = ()
        self._predictions = Predictions((), self.ways)

    def expect(self, questions: tuple[Question, ...], wider: Diagnoser | None = None) -> None:
        """Make ready for answers to *questions*, those of a whole set: they are worked together.

        wider  a diagnoser that expects them too, and thinks of pairs of beliefs after all that this one thinks of
        """
        if questions is not self._expected:
            self._expected = questions
            self._predictions = wider._predictions if wider else Predictions(questions, self.ways)  # noqa: SLF001 - its own kind

    def item(self, question: Question, part: str = "") -> Item:
        """Return *question* with every way's answer, or with one *part* of it."""
        key = (question.operation.name, str(question.format), *question.operands, part)
        if key not in self._items:
            if len(self._items) >= KEPT_ITEMS:  # the oldest makes room: memory does not grow
                del self._items[next(iter(self._items))]
            given = None if part else self._predictions.answers_of_first(len(self.ways), question)
            self._items[key] = Item(question, self.ways, self.model, part, given or {})
        return self._items[key]

    def posterior(self, seen: Sequence[Seen]) -> list[float]:
        """Return the probability of each way, and last that none explains the answers."""
        columns = [self.priors, *(observed_logs(one) for one in seen)]
        logs = list(map(sum, zip(*columns, strict=True)))
        most = max(logs)
        shares = [exp(value - most) for value in logs]
        total = sum(shares)
        return [share / total for share in shares]

    def see(self, number: int, question: Question, answer: str, lines: Lines = ()) -> Seen:
        """Return one answer as it is observed; *lines* are those judged (line, status, beliefs)."""
        return Seen(number, self.item(question), answer, lines)

    def diagnose(self, answers: Sequence[tuple[int, Question, str]]) -> Diagnosis:
        """Return what *answers* say: each a question's number, the question and what is written.

        An empty answer is a blank and is left out.
        """
        return self.diagnose_with_chances([self.see(*one) for one in answers])[0]

    def diagnose_with_chances(self, answers: Sequence[Seen]) -> tuple[Diagnosis, list[float]]:
        """Return the diagnosis, and the probability of each way."""
        seen = [one for one in answers if one.answer or one.lines]
        chances = self.posterior(seen)
        return self.conclude(chances, seen), chances

    def conclude(self, chances: Sequence[float], seen: Sequence[Seen]) -> Diagnosis:
        """Return what may be said when the ways have these *chances* after the answers *seen*."""
        evidence = Evidence(self.ways, self._numbers, chances, tuple(seen))
        found = findings(evidence)
        return Diagnosis(
            chances[0],
            evidence.methods(),
            chances[-1],
            found,
            *evidence.untested_and_clear(found),
            evidence.strays(),
            contrary=evidence.contrary(),
        )
