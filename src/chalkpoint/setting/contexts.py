"""Word problems: the context bank of the Brackwater tide station, and which of it fits a question."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from importlib.resources import files
from random import Random

from chalkpoint.numbers.exact import write_decimal, write_value
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = ["Context", "Story", "contexts_for", "fits_a_context", "tell"]

Bounds = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Context:
    """One use of numbers at the station.

    names     what the operands are called on the rails
    unit      their unit, the answer's too
    places    the instrument's resolution: most digits after the decimal point
    operands  bounds of each operand
    answer    bounds of the exact answer, or None where the operation has no other number
    asks      what the answer is
    wordings  the ways it is told
    exact     whether the instrument must resolve the exact answer too
    units     the units of the operands where they differ from the answer's, else none
    """

    name: str
    operations: tuple[str, ...]
    names: tuple[str, ...]
    unit: str
    places: int
    operands: tuple[Bounds, ...]
    answer: Bounds | None
    asks: str
    wordings: tuple[str, ...]
    exact: bool = True
    units: tuple[str, ...] = ()

    def plausible(self, question: Question) -> bool:
        """Tell whether *question*'s numbers are of a size and resolution the instrument gives."""
        told = all(
            self._resolves(value) and _within(value, bounds)
            for value, bounds in zip(question.values, self.operands, strict=False)
        )
        if not told or self.answer is None:
            return told
        exact = work_question(question).check.exact
        return (self._resolves(exact) or not self.exact) and _within(exact, self.answer)

    def _resolves(self, value: Fraction) -> bool:
        text = write_decimal(value)
        return text is not None and len(text.partition(".")[2]) <= self.places


def _within(value: Fraction, bounds: Bounds) -> bool:
    return bounds[0] <= value <= bounds[1]


@dataclass(frozen=True, slots=True)
class Story:
    """A question told in words.

    context  the context's name
    words    the problem
    names    what the operands are called
    unit     the unit of the numbers
    asks     what the answer is
    """

    context: str
    words: str
    names: tuple[str, ...]
    unit: str
    asks: str


@cache
def bank() -> tuple[Context, ...]:
    """Return every context, in the order of the bank."""
    text = files("chalkpoint.setting").joinpath("contexts.toml").read_text(encoding="utf-8")
    found = []
    for entry in tomllib.loads(text, parse_float=Decimal)["context"]:
        operands = [_bounds(entry[key]) for key in ("first", "second", "value") if key in entry]
        found.append(
            Context(
                entry["name"],
                tuple(entry["operations"]),
                tuple(entry["names"]),
                entry["unit"],
                entry["places"],
                tuple(operands),
                _bounds(entry["answer"]) if "answer" in entry else None,
                entry["asks"],
                tuple(entry["wordings"]),
                entry.get("exact", True),
                tuple(entry.get("units", ())),
            )
        )
    return tuple(found)


def _bounds(pair: list[int | Decimal]) -> Bounds:
    low, high = pair
    return Fraction(low), Fraction(high)


@cache
def contexts_for(operation: str) -> tuple[Context, ...]:
    """Return the contexts of *operation*.

    >>> [context.name for context in contexts_for("add")]
    ['tide and surge', 'warming', 'drift']
    """
    return tuple(context for context in bank() if operation in context.operations)


def fits_a_context(question: Question) -> bool:
    """Tell whether some context takes *question*'s numbers."""
    return any(context.plausible(question) for context in contexts_for(question.operation.name))


def tell(question: Question, rng: Random) -> Story | None:
    """Return *question* as a word problem, context and wording by *rng*; None where no context fits."""
    fitting = [context for context in contexts_for(question.operation.name) if context.plausible(question)]
    if not fitting:
        return None
    context = rng.choice(fitting)
    wording = rng.choice(context.wordings)
    return Story(
        context.name, wording.format(**_numbers(question, context)), context.names, context.unit, context.asks
    )


def _numbers(question: Question, context: Context) -> dict[str, str]:
    """Return what stands for each name in a wording; a space that does not break parts number and unit."""
    point, fmt = question.course.point, question.format
    units = context.units or (context.unit,) * len(question.values)
    shown = [
        f"{write_value(value, point=point)}\u00a0{unit}".rstrip("\u00a0")
        for value, unit in zip(question.values, units, strict=True)
    ]
    keys = ("first", "second") if len(shown) == 2 else ("value",)
    numbers = dict(zip(keys, shown, strict=False))
    if question.patterns:
        numbers["pattern"] = fmt.write(question.patterns[0], point=True)
    return numbers
