"""Gauges: what the instruments of the Brackwater tide station give, and so which numbers are plausible there."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from importlib.resources import files

from chalkpoint.numbers.exact import write_decimal
from chalkpoint.working.procedures import exact_answer
from chalkpoint.working.question import Question

__all__ = ["Gauge", "gauges", "gauges_for"]

Bounds = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Gauge:
    """One use of numbers at the station.

    unit      the unit of its numbers, the answer's too
    places    its resolution: most digits after the decimal point
    operands  bounds of each operand
    answer    bounds of the exact answer, or None where the operation has no other number
    exact     whether the instrument must resolve the exact answer too
    units     the units of the operands where they differ from the answer's, else none
    step      what every number is a multiple of, where that is known: a rain gauge that tips each 0.2 mm
    """

    name: str
    operations: tuple[str, ...]
    unit: str
    places: int
    operands: tuple[Bounds, ...]
    answer: Bounds | None
    exact: bool = True
    units: tuple[str, ...] = ()
    step: Fraction | None = None

    @property
    def word(self) -> str:
        """Its name as a request writes it, in one word."""
        return self.name.replace(" ", "-")

    def plausible(self, question: Question) -> bool:
        """Tell whether *question*'s numbers are of a size and resolution the instrument gives."""
        if question.operation.name not in self.operations:
            return False
        told = all(
            self._resolves(value) and _within(value, bounds)
            for value, bounds in zip(question.values, self.operands, strict=False)
        )
        if not told or self.answer is None:
            return told
        exact = exact_answer(question)
        return (self._resolves(exact) or not self.exact) and _within(exact, self.answer)

    def _resolves(self, value: Fraction) -> bool:
        if self.step is not None and value % self.step:
            return False
        text = write_decimal(value)
        return text is not None and len(text.partition(".")[2]) <= self.places


def _within(value: Fraction, bounds: Bounds) -> bool:
    return bounds[0] <= value <= bounds[1]


@cache
def gauges() -> dict[str, Gauge]:
    """Return every gauge by name, in the order of the file.

    >>> gauges()["drift"].operands[1]
    (Fraction(-1, 2), Fraction(1, 2))
    """
    text = files("chalkpoint.finding").joinpath("gauges.toml").read_text(encoding="utf-8")
    entries = tomllib.loads(text, parse_float=Decimal)["gauge"]
    return {
        entry["name"]: Gauge(
            entry["name"],
            tuple(entry["operations"]),
            entry["unit"],
            entry["places"],
            tuple(_bounds(entry[key]) for key in ("first", "second", "value") if key in entry),
            _bounds(entry["answer"]) if "answer" in entry else None,
            entry.get("exact", True),
            tuple(entry.get("units", ())),
        )
        for entry in entries
    }


def _bounds(pair: list[int | Decimal]) -> Bounds:
    low, high = pair
    return Fraction(low), Fraction(high)


@cache
def gauges_for(operation: str) -> tuple[Gauge, ...]:
    """Return the gauges whose numbers *operation* is asked of.

    >>> [gauge.word for gauge in gauges_for("add")]
    ['tide-and-surge', 'warming', 'drift']
    """
    return tuple(gauge for gauge in gauges().values() if operation in gauge.operations)
