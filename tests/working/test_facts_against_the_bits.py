"""Every fact that a step of adding or subtracting states is found again from the bits, by other means.

The whole of 5+3 has 16,384 normalised pairs; with two operations and seven methods that is 229,376 workings, some
25 seconds of one core. To count the sentences:

    PYTHONPATH=src:tests python tests/working/test_facts_against_the_bits.py
"""

import sys
from collections import Counter
from collections.abc import Iterator

import pytest

from chalkpoint.numbers.formats import Pattern
from chalkpoint.working.course import Course
from chalkpoint.working.methods import METHODS, method_for
from chalkpoint.working.page import Page
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.floating import PatternWriter
from chalkpoint.working.wording.words import WORDS
from chalkpoint.working.work import work_by
from fact_road import Road, pattern

WIDTH, EXPONENT_BITS = 5, 3
COURSE = Course(format=f"{WIDTH}+{EXPONENT_BITS}")
FORMAT = COURSE.number_format
MANTISSAS = [m for m in range(-16, 16) if (m >> 3 & 1) != (m >> 4 & 1)]
EXPONENTS = range(-4, 4)


def pairs(stride: int) -> Iterator[tuple[int, int, int, int]]:
    """Yield every *stride*-th pair of normalised patterns."""
    patterns = [(mantissa, exponent) for mantissa in MANTISSAS for exponent in EXPONENTS]
    for at in range(0, len(patterns) ** 2, stride):
        yield (*patterns[at // len(patterns)], *patterns[at % len(patterns)])


class Walk:
    """One operation by one method: what the package says, and what the bits say."""

    def __init__(self, operation: str, method: str) -> None:
        self.operation, self.name = operation, method
        self.method = method_for(operation, method)
        zero = Pattern(0, -4)
        self.question = Question(OPERATIONS[operation], COURSE, FORMAT, (zero, zero), given=(None, None))
        self.writer = PatternWriter(self.question, self.method)

    def told(
        self, first: int, first_exponent: int, second: int, second_exponent: int
    ) -> list[tuple[str, list[str], dict]]:  # type: ignore[type-arg]
        """Return rule, keys and facts of each step that is written."""
        object.__setattr__(
            self.question, "patterns", (Pattern(first, first_exponent), Pattern(second, second_exponent))
        )
        said: list[tuple[str, list[str], dict[str, object]]] = []
        trail = self.method.trail(Page(first, first_exponent, second, second_exponent), FORMAT)
        for line, before, after in trail:
            if not (line.optional and after == before):
                told = self.writer.tell(Step(len(said) + 1, line.name, before, after, self.writer.write))
                said.append((line.name, [sentence.key for sentence in told.sentences], dict(told.facts)))
        return said

    def check(self, pair: tuple[int, int, int, int]) -> int:
        """Assert that both roads meet; return how many sentences that were."""
        first, first_exponent, second, second_exponent = pair
        road = Road(self.operation, self.name, WIDTH, -4, 3)
        expected = road.worked(pattern(first, WIDTH), first_exponent, pattern(second, WIDTH), second_exponent)
        told = self.told(*pair)
        assert [step[:2] for step in told] == [step[:2] for step in expected], (pair, told, expected)
        for (rule, _, facts), (_, _, found) in zip(told, expected, strict=True):
            stated = {name: facts[name] for name in found}
            assert stated == found, (pair, rule, stated, found)
        return sum(len(keys) for _, keys, _ in told)


@pytest.mark.parametrize("method", list(METHODS))
@pytest.mark.parametrize("operation", ["add", "subtract"])
def test_every_fact_is_in_the_bits(operation: str, method: str) -> None:
    """Sentences and their facts, for every normalised pair of 5+3."""
    walk = Walk(operation, method)

    assert sum(map(walk.check, pairs(1))) > 0


def test_a_false_fact_would_be_noticed() -> None:
    """The second road refuses a working that is said to belong to another pair."""
    walk = Walk("subtract", "align-then-negate")
    walk.told = lambda *pair: Walk.told(walk, -16, 0, 8, 0)  # type: ignore[method-assign]

    with pytest.raises(AssertionError):
        walk.check((12, 0, 8, 0))


@pytest.mark.parametrize("method", list(METHODS))
def test_what_is_written_states_those_facts(method: str) -> None:
    """A working as it is asked for has the same keys, and each sentence the words of its key."""
    walk = Walk("subtract", method)
    for pair in pairs(977):
        told = walk.told(*pair)
        question = Question(
            OPERATIONS["subtract"],
            COURSE.with_(method=method),
            FORMAT,
            (Pattern(*pair[:2]), Pattern(*pair[2:])),
            given=(None, None),
        )
        steps = work_by(question, walk.method).steps
        assert [(step.rule, [said.key for said in step.written.sentences]) for step in steps] == [
            step[:2] for step in told
        ]
        for step, (_, _, facts) in zip(steps, told, strict=True):
            assert dict(step.facts) == facts
            for said in step.written.sentences:
                first = WORDS[said.key].partition("{")[0]
                assert said.text.startswith(first)
                assert said.heard


if __name__ == "__main__":
    counted: Counter[str] = Counter()
    for operation in ("add", "subtract"):
        for name in METHODS:
            counted[name] += sum(map(Walk(operation, name).check, pairs(1)))
    sys.stdout.write(f"{sum(counted.values()):,} sentences {dict(counted)}\n")
