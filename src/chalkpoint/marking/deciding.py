"""The question whose answer would decide between courses."""

from __future__ import annotations

import random
from collections.abc import Iterator

from chalkpoint.marking.courses import Asker, Choices, Item
from chalkpoint.working.question import OPERATIONS

__all__ = ["deciding_question"]

CANDIDATES = 40


def deciding_question(
    items: list[Item], courses: list[Choices], asker: Asker, *, seed: int
) -> tuple[str, dict[str, list[int]]]:
    """Return the question that parts *courses* best among some drawn with *seed*, and its answers."""
    rng = random.Random(seed)
    best, parted, cost = "", {}, len(courses) ** 2
    for text in _questions(items, asker, rng):
        answers: dict[str, list[int]] = {}
        for number, choices in enumerate(courses):
            answer = _answer_by(text, choices, asker)
            answers.setdefault(answer or "no answer", []).append(number)
        size = sum(len(group) ** 2 for group in answers.values())
        if size < cost and "no answer" not in answers:
            best, parted, cost = text, answers, size
    return best, parted


def _answer_by(text: str, choices: Choices, asker: Asker) -> str | None:
    touches = Item(text, "").touches
    return asker.answer(text, tuple(pair for pair in choices if pair[0] in touches))


def _questions(items: list[Item], asker: Asker, rng: random.Random) -> Iterator[str]:
    """Yield questions like those of the key, and a reading, on patterns as long as the key's."""
    sizes = sorted(set().union(*(item.sizes() for item in items)), key=len, reverse=True)
    if not sizes:
        return
    operations = list(dict.fromkeys(item.operation for item in items if item.operation != "error"))
    operations += [name for name in ("subtract", "decode", "encode") if name not in operations]
    for number in range(CANDIDATES):
        operation = operations[number % len(operations)]
        if operation == "encode":
            yield f"encode {rng.choice(('', '-'))}{rng.randrange(1, 60)}.{rng.randrange(1, 100):02d}"
            continue
        count = OPERATIONS[operation].operands
        yield f"{operation} {', '.join(_pattern(sizes[0], rng) for _ in range(count))}"


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
