"""Word problems: the context bank of the Brackwater tide station, and which of it fits a question."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from random import Random

from chalkpoint.finding.gauges import Gauge, gauges
from chalkpoint.numbers.exact import write_value
from chalkpoint.working.question import Question

__all__ = ["Context", "Story", "contexts_for", "fits_a_context", "tell"]


@dataclass(frozen=True, slots=True)
class Context:
    """One use of numbers at the station, as it is told.

    gauge     what gives the numbers, and which of them are plausible
    names     what the operands are called on the rails
    asks      what the answer is
    wordings  the ways it is told
    """

    gauge: Gauge
    names: tuple[str, ...]
    asks: str
    wordings: tuple[str, ...]

    @property
    def name(self) -> str:
        """What the context is called."""
        return self.gauge.name


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
    return tuple(
        Context(gauges()[entry["name"]], tuple(entry["names"]), entry["asks"], tuple(entry["wordings"]))
        for entry in tomllib.loads(text)["context"]
    )


@cache
def contexts_for(operation: str) -> tuple[Context, ...]:
    """Return the contexts of *operation*.

    >>> [context.name for context in contexts_for("add")]
    ['tide and surge', 'warming', 'drift']
    """
    return tuple(context for context in bank() if operation in context.gauge.operations)


def fits_a_context(question: Question, own: Context | None = None) -> bool:
    """Tell whether some context takes *question*'s numbers, or a teacher's *own* one does."""
    contexts = contexts_for(question.operation.name) if own is None else (own,)
    return any(context.gauge.plausible(question) for context in contexts)


def tell(question: Question, rng: Random, own: Context | None = None) -> Story | None:
    """Return *question* as a word problem, context and wording by *rng*, or a teacher's *own*; None where none fits."""
    contexts = contexts_for(question.operation.name) if own is None else (own,)
    fitting = [context for context in contexts if context.gauge.plausible(question)]
    if not fitting:
        return None
    context = rng.choice(fitting)
    wording = rng.choice(context.wordings)
    return Story(
        context.name,
        wording.format(**_numbers(question, context)),
        context.names,
        context.gauge.unit,
        context.asks,
    )


def _numbers(question: Question, context: Context) -> dict[str, str]:
    """Return the text for each name in a wording; number and unit are separated by a no-break space."""
    point, fmt = question.course.point, question.format
    units = context.gauge.units or (context.gauge.unit,) * len(question.values)
    shown = [
        f"{write_value(value, point=point)}\u00a0{unit}".rstrip("\u00a0")
        for value, unit in zip(question.values, units, strict=True)
    ]
    keys = ("first", "second") if len(shown) == 2 else ("value",)
    numbers = dict(zip(keys, shown, strict=False))
    if question.patterns:
        numbers["pattern"] = fmt.write(question.patterns[0], point=True)
    return numbers
