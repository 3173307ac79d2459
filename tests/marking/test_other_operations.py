"""Beliefs traced where a pattern or value is read, stored, normalised or negated, or two multiplied or divided."""

import random
from fractions import Fraction
from typing import Any

import pytest

from chalkpoint.marking.judging import accepted_methods, judge_question, sheet_for
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working.beliefs.belief import SCALING
from chalkpoint.working.beliefs.catalogue import BELIEFS, beliefs_for
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.question import Question, ask

PATTERNS = ("normalise", "negate", "decode")
VALUES = ("encode", "error")
EVERY = (*PATTERNS, *VALUES, *SCALING)
CASES = [(operation, belief.id) for operation in EVERY for belief in beliefs_for(operation)]
ASKED = 60


def some_questions(operation: str, seed: int) -> list[Question]:
    """Return some questions drawn with *seed*."""
    rng = random.Random(seed)
    fmt = Course().float_format
    if operation in PATTERNS:
        patterns = [Pattern(rng.randrange(-128, 128), rng.randrange(-8, 8)) for _ in range(ASKED - 2)]
        patterns += [Pattern(-128, 2), Pattern(-128, 7)]
        return [ask(operation, fmt.write(pattern), course=Course()) for pattern in patterns]
    if operation in SCALING:
        pairs = [[_factor(rng) for _ in range(2)] for _ in range(ASKED - 2)]
        pairs += [[Pattern(-128, 2), Pattern(-128, 1)], [Pattern(-128, 7), Pattern(64, 7)]]
        return [ask(operation, *(fmt.write(one) for one in pair), course=Course()) for pair in pairs]
    values = [Fraction(rng.randrange(-1600, 1600) or 1, rng.choice((8, 16, 100))) for _ in range(ASKED - 2)]
    values += [Fraction(5, 32), Fraction(-1, 100)]
    roundings = ("cut", "cut size", "nearest")
    return [ask(operation, value, course=Course(rounding=rng.choice(roundings))) for value in values]


def _factor(rng: random.Random) -> Pattern:
    """Draw a pattern in normal form."""
    size = rng.randrange(64, 128)
    return Pattern(rng.choice((size, -size - 1)), rng.randrange(-6, 6))


def written(question: Question, method: Method) -> tuple[dict[str, str], str]:
    """Return the lines *method* writes and its answer, as a pupil would write them."""
    sheet: Any = sheet_for(question)
    lines, page = {}, sheet.start
    known = {line.name for line in sheet.lines(method)}
    for line, before, after in method.trail(page, sheet.context):
        if line.name in known - {"read", "range"} and not (line.optional and before == after):
            lines[line.name] = sheet.says(line.name, before, after)
        page = after
    return lines, sheet.says("answer", page, page)


@pytest.mark.parametrize(("operation", "name"), CASES)
def test_a_beliefs_own_working_is_traced_to_it(operation: str, name: str) -> None:
    """Wherever something it writes is not right, the belief is among those named."""
    judged = 0
    for question in some_questions(operation, seed=CASES.index((operation, name))):
        base = accepted_methods(question)[0]
        method = BELIEFS[name].method_for(operation, base)
        if method is None or question.value == 0 == len(question.patterns):
            continue
        lines, answer = written(question, method)
        for some in (lines, {}):
            found = judge_question(question, some, answer)
            if found.verdict == "right elsewhere" or (found.right and found.first_wrong is None):
                continue
            assert name in found.among, (question.operands, some, answer)
            judged += 1
    assert judged or name in SELDOM


# A convention of the same name stands before these, or they need a chosen question.
SELDOM = {
    "exp-wrap-silent",
    "point-after-second-bit",
    "mantissa-whole",
    "phantom-hidden-one",
    "frac-bits-bottom-up",
    # In products and quotients: of operands that are not in normal form, or under another rounding.
    "norm-one-place-only",
    "norm-mantissa-only",
    "norm-exponent-wrong-way",
    "norm-one-too-far",
    "norm-fill-sign",
    "norm-skipped",
    "cuts-when-told-to-round",
    "rounds-when-told-to-cut",
}


@pytest.mark.parametrize("operation", EVERY)
def test_no_right_working_is_judged_wrong(operation: str) -> None:
    """Right lines and right answers, with the lines and without."""
    for question in some_questions(operation, seed=99):
        lines, answer = written(question, accepted_methods(question)[0])
        for some in (lines, {}):
            found = judge_question(question, some, answer)
            assert found.verdict == "right"
            assert found.first_wrong is None
