"""What every sentence of every operation states, judged by code of the tests' own from the operands' bits.

A sentence is a key and its facts. Every key of the catalogue is met here or in the walk of
`test_facts_against_the_bits.py`, which proves its own; each that is met here has a test of truth (`truths_steps.py`,
`truths_values.py`, `truths_ending.py`), or is an instruction that states nothing of the question.
"""

import sys
from collections import Counter
from collections.abc import Container, Iterator
from fractions import Fraction
from itertools import product
from pathlib import Path

import pytest

import chalkpoint as cp
from aimed import AIMED
from asked import asked
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import value_or_none
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.procedures import right_method
from chalkpoint.working.question import ask
from chalkpoint.working.wording.words import WORDS
from chalkpoint.working.work import work_by, work_question
from sentence_case import Case, Facts, implied_value, own_value, patterns
from truths_ending import ENDING
from truths_steps import STEPS
from truths_values import VALUES

TRUTHS = STEPS | VALUES | ENDING

#: What is to be done, or what any book says: true of every question in which it is said.
INSTRUCTIONS = {
    "product.sizes",  # Multiply the sizes, a row for each 1
    "quotient.how",  # Take the divisor away in the highest place where it goes
    "choose.trade",  # Range is paid for with precision, bit for bit
}
#: Made by nothing but the title of the check, or by a method of a teacher's own.
ELSEWHERE = {
    "check": "the title of the check",
    "align.guards": "a method with more guard bits than one: tests/test_extending.py",
}
#: A belief, its question, and the sentence that a faulty working of it has.
BELIEVED = [
    ("faulty.exponent", "leading-zeros-dropped", "decode 01100|011 --format 5+3"),
    ("faulty.value", "exp-base-ten", "decode 01100|011 --format 5+3"),
    ("faulty.mantissa", "mantissa-whole", "decode 01100|011 --format 5+3"),
    ("faulty.size", "hidden-one-missing", "decode 0|0111|101 --format 1+4+3"),
    ("verdict.out", "frac-digits-as-integer", "encode 1/64 --format 5+3 --underflow un-normalised"),
    ("verdict.not", "scientific-exponent", "encode 1/64 --format 5+3 --underflow un-normalised"),
    ("verdict.right", "leading-zeros-dropped", "decode 01100|011 --format 5+3"),
    ("store.unnormalised", "set-sign-bit", "encode 1/64 --format 5+3 --underflow un-normalised"),
]

PAIRS = [
    ("4+3", ("add", "subtract", "multiply", "divide"), 5, {}),
    ("5+3", ("multiply", "divide"), 7, {"rounding": "nearest"}),
    ("5+3", ("multiply", "divide"), 11, {"rounding": "cut size", "underflow": "zero"}),
    ("1+4+3", ("add", "subtract", "multiply", "divide"), 7, {}),
    ("1+3+2", ("add", "subtract", "multiply", "divide"), 1, {"rounding": "down"}),
    ("4", ("add", "subtract", "multiply", "divide"), 1, {}),
    ("4 unsigned", ("add", "subtract", "multiply", "divide"), 1, {}),
    ("Q3.2", ("add", "subtract", "multiply", "divide"), 1, {}),
    ("Q3.2", ("multiply",), 1, {"rounding": "nearest"}),
    ("4 ones-complement", ("add", "subtract"), 1, {}),
    ("4 sign-and-magnitude", ("add", "subtract"), 1, {}),
    ("4 excess-7", ("add", "subtract"), 1, {}),
]
ONES = [
    ("5+4", ("decode", "normalise", "negate"), 1),
    ("1+4+3", ("decode",), 1),
    ("6", ("decode", "negate"), 1),
    ("6 unsigned", ("decode",), 1),
    ("Q3.3", ("decode", "negate"), 1),
    ("5 sign-and-magnitude", ("decode", "negate"), 1),
    ("5 excess-15", ("decode", "negate"), 1),
    ("5 ones-complement", ("decode", "negate"), 1),
    ("C3x-16", ("decode", "negate", "normalise"), 4099),
]
RANGES = ["5+4", "1+4+3", "6", "Q3.3", "C3x-16", "binary16"]
NUMBERS = [Fraction(number, part) for number in range(-40, 41, 5) for part in (1, 4, 7, 32)]
STORED = ["5+4", "1+4+3", "6", "Q3.3", "6 unsigned", "1+3+2", "6 excess-31", "6 ones-complement"]


def cases() -> Iterator[Case]:
    """Yield workings of every operation on patterns or values, in every family."""
    for spelling, operations, stride, options in PAIRS:
        course = cp.Course(format=spelling, **options)  # type: ignore[arg-type]
        some = patterns(spelling, stride)
        for first, second in product(some, some[:: max(1, len(some) // 8) | 1]):
            for operation in operations:
                yield from case(operation, (first, second), course)
    for spelling, operations, stride in ONES:
        for bits, operation in product(patterns(spelling, stride), operations):
            yield from case(operation, (bits,), cp.Course(format=spelling))
    for spelling in RANGES:
        yield Case(cp.work("range", format=spelling), (Fraction(0),), ("00",))
    for spelling, x in product(STORED, NUMBERS):
        sized = spelling.startswith("1+")
        for rounding in ("nearest", "toward zero", "down") if sized else ("cut", "cut size", "nearest"):
            yield from case("error", (str(x),), cp.Course(format=spelling, rounding=rounding))


def case(operation: str, operands: tuple[str, ...], course: cp.Course) -> Iterator[Case]:
    """Yield the case of one question, unless it has no answer."""
    try:
        working = work_question(ask(operation, *operands, course=course))
    except EntryError:
        return
    if operation == "error":
        yield Case(working, (Fraction(operands[0]),), ())
    else:
        implied = course.format == "C3x-16"
        values = (
            implied_value(*bits.split()) if implied else own_value(bits, course.format) for bits in operands
        )
        yield Case(working, tuple(values), operands)


def about(working: cp.Working) -> Case:
    """Return the case of a working that was asked for as it is typed."""
    question = working.question.about or working.question
    if question.operation.takes == "values":
        return Case(working, question.amounts or (question.value,), ())
    values = [value_or_none(question.format, pattern) or Fraction(0) for pattern in question.patterns]
    for at, value in question.past_range.items():  # as it was asked: it has no pattern
        values[at] = value
    return Case(working, tuple(values), tuple(map(question.format.write, question.patterns)))


def believed(belief: str, line: str) -> Case:
    """Return the case of a question that a holder of *belief* works."""
    question = asked(line).question
    base = right_method(question.operation.name, question.course)
    method = BELIEFS[belief].method_for(question.operation.name, base, family_of(question.format))
    return about(work_by(question, method))


def judge_all(one: Case, judged: Counter[str], only: Container[str] = WORDS) -> set[str]:
    """Assert that every sentence of a working is true, or those whose key is in *only*; return the keys."""
    sentences = [said for step in one.working.steps for said in step.written.sentences]
    sentences += one.working.check_words.sentences
    for said in sentences:
        if said.key in only:
            judge(said.key, dict(said.facts), one, judged)
    return {said.key for said in sentences}


WALKED = {
    key
    for key in WORDS
    if f'"{key}"' in Path(__file__).parents[1].joinpath("fact_road.py").read_text("utf-8")
}


def test_every_sentence_is_true() -> None:
    """Some 103,000 sentences of every family, each judged by its facts, and every key of the catalogue among them."""
    judged: Counter[str] = Counter()
    for one in cases():
        judge_all(one, judged)
    for key, line in AIMED.items():
        assert key in judge_all(about(asked(line)), judged), line
    for key, belief, line in BELIEVED:
        assert key in judge_all(believed(belief, line), judged, only={"belief", key}), line

    assert sum(judged.values()) > 100_000
    sentences = {key for key in WORDS if not key.startswith("title.")}
    assert sentences == {*judged, *WALKED, *ELSEWHERE}
    assert sentences - WALKED == ({*TRUTHS} - WALKED) | INSTRUCTIONS | {*ELSEWHERE}


def judge(key: str, facts: Facts, one: Case, judged: Counter[str]) -> None:
    """Assert that a sentence is true of its working."""
    truth = TRUTHS.get(key)
    if truth is None:
        assert key in WALKED | INSTRUCTIONS, key
    else:
        assert truth(facts, one), (key, facts, one.working, one.bits)
    judged[key] += 1


@pytest.mark.parametrize(
    ("key", "facts"),
    [
        ("scale.right", {"power": 2, "places": 3}),
        ("whole.fits", {"needed": 9, "bits": 8}),
        ("cut.lost-0s", {"worth": 1, "lost": "01"}),
    ],
)
def test_a_false_sentence_is_found_out(key: str, facts: Facts) -> None:
    """The tests of truth can fail."""
    working = cp.work("decode", "0100 0001", format="4+4")

    with pytest.raises(AssertionError):
        judge(key, facts, Case(working, (Fraction(1),), ("0100 0001",)), Counter())


if __name__ == "__main__":
    counted: Counter[str] = Counter()
    every = list(cases())
    for one in every:
        judge_all(one, counted)
    sys.stdout.write(f"{sum(counted.values()):,} sentences of {len(every):,} workings\n")
