"""Questions drawn by seed where the finder has no traits: other formats, conversions, sums, formats to be chosen.

Their demands are what variants share instead of traits: signs, whether the answer is exact, and the like.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import chain
from random import Random
from typing import Any

from chalkpoint.finding.find import find
from chalkpoint.finding.request import Term
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.families import SIZES, WHOLE
from chalkpoint.numbers.fitting import nearest_patterns
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.named import AnyFormat, AnyPattern, is_school
from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.sources import QuestionKey
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.work import work_question
from chalkpoint.working.working import Working

__all__ = ["demands_of", "draw_plain", "is_plain"]

WITHOUT_TRAITS = ("convert", "sum", "choose-format")
PATIENCE = 2_000  # draws in a row that bring nothing new
FOUND_AT_ONCE = 4  # of those the finder has, since not each makes the demands
LOWEST, HIGHEST = -3, 6  # exponents of the numbers drawn, as far as the format goes
APART = 3  # and how far apart those of two operands are at most
FEW_DIGITS = 6  # of a size, so that its decimal can be written
FARTHEST = 100  # of values to be stored
UNSAID = (
    "overflow",
    "underflow",
    "special-operand",
    "operand-zero",
    "result-zero",
)  # unless they are asked for
STEPS = tuple(Fraction(1, 1 << places) for places in range(5))
ENDS = (8, 10, 12, 16, 20, 24, 30, 40, 50, 60, 80, 100, 120)


def is_plain(asked: BlueprintQuestion) -> bool:
    """Tell whether *asked*'s questions are drawn here.

    >>> from chalkpoint.working.course import Course
    >>> is_plain(BlueprintQuestion("add", Course())), is_plain(BlueprintQuestion("add", Course(format="binary16")))
    (False, True)
    """
    if asked.operation == "range":
        return False
    return asked.operation in WITHOUT_TRAITS or not is_school(asked.course.number_format)


def draw_plain(
    asked: BlueprintQuestion, demands: Iterable[str], n: int, seed: str, terms: Sequence[Term] = ()
) -> Iterator[Question]:
    """Yield up to *n* different questions that make these *demands*, the same for the same *seed*.

    terms  conditions on traits that each of them meets

    >>> from chalkpoint.working.course import Course
    >>> next(draw_plain(BlueprintQuestion("negate", Course(format="8")), ["sign: -"], 1, "1")).values[0] < 0
    True
    """
    wanted, rng = set(demands), Random(seed)
    signed = {demand for demand in wanted if demand.startswith("sign")}
    seen: set[QuestionKey] = set()
    found = since = 0
    at_random = _at_random(asked, rng, lambda: since <= PATIENCE)
    for question in chain(at_random, _found(asked, n, seed)):
        since += 1
        key = (question.patterns, question.value, question.amounts)
        if key in seen or (signed and signs_of(question) not in signed):
            continue
        seen.add(key)
        try:
            working = work_question(question)
        except EntryError:  # no format serves, or no pattern has an opposite
            continue
        fit = is_fit(working) or any(term.trait.name in UNSAID for term in terms)
        if fit and wanted <= set(demands_of(working)) and all(term.meets(working) for term in terms):
            yield question
            found += 1
            since = 0
            if found == n:
                return


def _at_random(asked: BlueprintQuestion, rng: Random, go_on: Callable[[], bool]) -> Iterator[Question]:
    """Yield questions in numbers that are good to write, as long as they bring something new."""
    while go_on():
        yield _drawn(asked, rng)


def _found(asked: BlueprintQuestion, n: int, seed: str) -> Iterator[Question]:
    """Yield what the finder has where such numbers do not do what is asked for, such as a subnormal."""
    if asked.where and asked.operation not in WITHOUT_TRAITS:
        request = find(asked.operation, course=asked.course, where=asked.where)
        for one in request.draw(FOUND_AT_ONCE * n, Random(seed).getrandbits(32)):
            yield one.question


def is_fit(working: Working) -> bool:
    """Tell whether a question goes without saying: an answer within the range, that is more than zero."""
    if working.question.operation.name == "error" and working.check.verdict == "exact":
        return False
    return working.outcome == "in range" and not working.check.special


def demands_of(working: Working) -> tuple[str, ...]:
    """Return what a question demands, the most telling first.

    >>> from chalkpoint.working.work import work
    >>> demands_of(work("add", "2.5", "-1.25", format="binary16"))
    ('signs: + -', 'exact', 'sizes taken away')
    """
    question, check = working.question.about or working.question, working.check
    if question.operation.name == "choose-format":
        return (f"zero is {'in' if question.amounts[0] <= 0 else 'not in'} the range",)
    said = [signs_of(question)]
    said.append("exact" if check.verdict == "exact" else "not exact")
    if question.operation.name == "sum":
        said += (
            ["a term is absorbed"]
            if any(getattr(step.after, "absorbed", False) for step in working.steps)
            else []
        )
    elif question.operation.name in {"add", "subtract"} and question.format.family == SIZES:
        said.append("sizes added" if _alike(question) else "sizes taken away")
    return tuple(said)


def signs_of(question: Question) -> str:
    """Return the signs of the operands, as a demand."""
    signs = " ".join("-" if value < 0 else "+" for value in question.values)
    return f"signs: {signs}" if " " in signs else f"sign: {signs}"


def _alike(question: Question) -> bool:
    first, second = (value < 0 for value in question.values)
    return (first == second) == (question.operation.name == "add")


# === Operands ===


def _drawn(asked: BlueprintQuestion, rng: Random) -> Question:
    kind, course, fmt = OPERATIONS[asked.operation], asked.course, asked.course.number_format
    if asked.operation == "choose-format":
        amounts = _need(rng)
        return Question(
            kind, course, fmt, value=amounts[0], amounts=amounts, names=("first", "second", "term 3")
        )
    if kind.takes == "values":
        return Question(kind, course, fmt, value=_value(fmt, rng, costs=asked.operation == "error"))
    count = (
        asked.terms
        if asked.operation == "sum"
        else 1
        if kind.takes == "pattern and format"
        else kind.operands
    )
    middle = rng.randint(*_exponents(fmt))
    if fmt.family == WHOLE:
        short = asked.operation == "multiply"
        patterns: tuple[AnyPattern, ...] = tuple(
            _row(fmt, rng, short=short or (asked.operation == "divide" and at > 0), alone=count == 1)
            for at in range(count)
        )
    else:
        patterns = tuple(_pattern(fmt, middle, rng) for _ in range(count))
    if asked.operation == "normalise":
        patterns = tuple(_moved(fmt, pattern, rng) for pattern in patterns)
    names = ("first", "second", *(f"term {number}" for number in range(3, count + 1)))
    target = course.with_(format=asked.to) if asked.to else None
    return Question(kind, course, fmt, patterns, given=(None,) * count, names=names, target=target)


def _need(rng: Random) -> tuple[Fraction, Fraction, Fraction]:
    """Return a range and a step that an instrument might have."""
    highest = rng.choice(ENDS)
    lowest = -rng.choice([end for end in ENDS if end <= highest]) if rng.random() < 0.5 else 0
    return Fraction(lowest), Fraction(highest), rng.choice(STEPS)


def _value(fmt: AnyFormat, rng: Random, *, costs: bool) -> Fraction:
    """Return a value to be stored: in fixed point a pattern's own, or near it where storing *costs*; else a decimal."""
    if fmt.family == WHOLE:
        past = Fraction(rng.randrange(100), 100) if costs else Fraction(0)
        return fmt.value(_row(fmt, rng, alone=True)) + past * fmt.unit_value
    far = 1 << min(max(fmt.highest_exponent, 1), FARTHEST.bit_length())
    return Fraction(rng.choice((-1, 1)) * rng.randrange(1, 100 * min(far, FARTHEST)), 100)


def _exponents(fmt: AnyFormat) -> tuple[int, int]:
    """Return the exponents that numbers are drawn with."""
    if fmt.family == WHOLE:
        return 0, 0
    low = max(LOWEST, fmt.lowest_exponent)
    return low, max(low, min(HIGHEST, fmt.highest_exponent - 1))


def _row(fmt: FixedFormat, rng: Random, *, short: bool = False, alone: bool = False) -> str:
    """Return the pattern of a whole number other than zero; a *short* one has half the digits.

    alone  it is the only operand: then it is negative where negatives are what the code is about
    """
    spare = 1 << ((fmt.bits - fmt.places) // 2 if short else 0)
    lowest, highest = -(-fmt.field.lowest // spare), fmt.field.highest // spare
    about = alone and lowest < 0 and fmt.field.kind != "excess"  # in excess every number is written otherwise
    number = rng.randint(lowest, -1 if about else highest)
    return fmt.field.write(number or 1)


def _moved(fmt: Any, pattern: Any, rng: Random) -> Any:
    """Return *pattern* with its digits moved right some places, and its exponent raised by as much."""
    name = "fraction" if fmt.family == SIZES else "mantissa"
    digits = getattr(pattern, name)
    places = rng.randint(1, max(1, (digits & -digits).bit_length() - 1))
    exponent = min(pattern.exponent + places, fmt.highest_exponent)
    return pattern._replace(**{name: digits >> places, "exponent": exponent})


def _pattern(fmt: Any, middle: int, rng: Random) -> Any:
    """Return the pattern of a number other than zero, its exponent near *middle*."""
    low, high = _exponents(fmt)
    exponent = min(max(middle + rng.randint(-APART // 2, APART // 2), low), high)
    digits = min(FEW_DIGITS, fmt.digits if fmt.family == SIZES else fmt.mantissa_bits - 1)
    size = (1 << (digits - 1)) | (1 << rng.randrange(digits - 1)) | rng.getrandbits(digits - 1)
    value = Fraction(rng.choice((-1, 1)) * size) * Fraction(2) ** (exponent - digits + 1)
    return nearest_patterns(value, fmt)[0]
