"""The question whose answer would decide between courses."""

from __future__ import annotations

import random
from collections.abc import Iterator

from chalkpoint.marking.courses import Asker, Choices, Item
from chalkpoint.working.question import OPERATIONS

__all__ = ["deciding_question"]

CANDIDATES = 36
LOOSE = 4  # questions with an operand that is not normalised
NO_ANSWER = "no answer"


def deciding_question(
    items: list[Item], courses: list[Choices], opened: tuple[str, ...], asker: Asker, *, seed: int
) -> tuple[str, dict[str, list[int]]]:
    """Return the question that parts *courses* best among some drawn with *seed*, and its answers.

    Its answers do not depend on the choices *opened*: whatever those are, one of them is the answer.
    """
    rng = random.Random(seed)
    tried = [(text, _answers(text, courses, asker)) for text in _questions(items, asker, rng)]
    ranked = sorted(tried, key=lambda pair: sum(len(group) ** 2 for group in pair[1].values()))
    for text, answers in ranked:
        if len(answers) > 1 and NO_ANSWER not in answers and _steady(text, answers, courses, opened, asker):
            return text, answers
    return "", {}


def _answers(text: str, courses: list[Choices], asker: Asker) -> dict[str, list[int]]:
    """Return the answers to *text*, each with the numbers of the courses that give it."""
    answers: dict[str, list[int]] = {}
    for number, choices in enumerate(courses):
        answers.setdefault(_answer_by(text, choices, asker) or NO_ANSWER, []).append(number)
    return answers


def _steady(
    text: str, answers: dict[str, list[int]], courses: list[Choices], opened: tuple[str, ...], asker: Asker
) -> bool:
    """Tell whether every answer stays the same whatever the open choices are."""
    touched = [name for name in Item(text, "").touches if name in opened]
    for answer, numbers in answers.items():
        for number in numbers:
            for more in asker.combinations(touched):
                if _answer_by(text, courses[number] + more, asker) not in {answer, None}:
                    return False
    return True


def _answer_by(text: str, choices: Choices, asker: Asker) -> str | None:
    touches = Item(text, "").touches
    chosen = dict(choices)
    return asker.answer(text, tuple((name, chosen[name]) for name in touches if name in chosen))


def _questions(items: list[Item], asker: Asker, rng: random.Random) -> Iterator[str]:
    """Yield questions like those of the key, on patterns as long as the key's, and some on rare cases."""
    sizes = sorted(set().union(*(item.sizes() for item in items)), key=len, reverse=True)
    if not sizes:
        return
    size = sizes[0]
    yield from _rare_cases(size, rng)
    operations = list(dict.fromkeys(item.operation for item in items if item.operation != "error"))
    operations += [name for name in ("subtract", "decode", "encode") if name not in operations]
    for number in range(CANDIDATES):
        operation = operations[number % len(operations)]
        if operation == "encode":
            yield f"encode {rng.choice(('', '-'))}{rng.randrange(1, 60)}.{rng.randrange(1, 100):02d}"
            continue
        count = OPERATIONS[operation].operands
        yield f"{operation} {', '.join(_pattern(size, rng) for _ in range(count))}"


def _rare_cases(size: tuple[int, ...], rng: random.Random) -> Iterator[str]:
    """Yield questions on what random ones seldom touch: zero, loose operands, an underflow, -2^j, a tie, a tail."""
    number = _pattern(size, rng)
    yield f"subtract {number}, {number}"
    yield from ("encode -4", "encode -0.1", "encode 0.7")
    for width in dict.fromkeys(size):  # whichever field is the mantissa: one digit past it, a tie
        yield f"encode {(8 << (width - 1)) + 8}/{1 << (width - 1)}"
    if len(size) == 2:
        lowest = "1".ljust(size[1], "0")
        mantissa = "01".ljust(size[0] - 1, "0")
        yield f"subtract {mantissa}1 {lowest}, {mantissa}0 {lowest}"
        yield f"add {mantissa.replace('1', '0')}1 {'1'.rjust(size[1], '0')}, {number}"
        loose = f"00{''.join(rng.choice('01') for _ in range(size[0] - 2))}"
        for _ in range(LOOSE):
            yield f"add {loose} {rng.choice(('10', '11')).rjust(size[1], '0')}, {_pattern(size, rng)}"


def _pattern(size: tuple[int, ...], rng: random.Random) -> str:
    """Return a pattern with fields of these sizes, normalised in its first, its second near zero."""
    total = sum(size)
    first = size[0]
    sign = rng.choice("01")
    digits = sign + ("1" if sign == "0" else "0") + "".join(rng.choice("01") for _ in range(total - 2))
    if len(size) == 2:
        second = format(rng.choice((0, 1, 2, 3, -1, -2)) & ((1 << size[1]) - 1), f"0{size[1]}b")
        digits = digits[:first] + second
        return f"{digits[:first]} {digits[first:]}"
    return digits
