"""What choosing a format writes on the board: what each part must hold, the choice, and the trade."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from chalkpoint.numbers.exact import write_value
from chalkpoint.working.question import Question
from chalkpoint.working.speech import for_ear
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.rows import mantissa_row, plural
from chalkpoint.working.written import Row, Written

__all__ = ["writer"]


def writer(question: Question) -> Callable[[Step], Written]:
    """Return what writes a step of choosing a format."""
    return Writer(question).write


class Writer:
    """Writes the steps of one choice."""

    def __init__(self, question: Question) -> None:
        self.point = question.course.point

    def write(self, step: Step) -> Written:
        """Return *step* as it stands on the board."""
        lines: dict[str, Callable[[Any], tuple[str, str, list[Row]]]] = {
            "exponent": self._exponent,
            "mantissa": self._mantissa,
            "near-zero": self._near_zero,
            "choice": self._choice,
            "trade": self._trade,
        }
        title, detail, rows = lines[step.rule](step.after)
        ear = for_ear(detail, point=self.point).rstrip(".")
        return Written(
            title, detail, f"{'. '.join([title, ear, *(row.spoken for row in rows)])}.", tuple(rows)
        )

    def value(self, x: Fraction | int) -> str:
        """Return *x* as the course writes it."""
        return write_value(Fraction(x), point=self.point)

    def _exponent(self, served: Any) -> tuple[str, str, list[Row]]:
        fmt = served.format
        detail = (
            f"The values run from {self.value(served.need.lowest)} "
            f"to {self.value(served.need.highest)}. With the highest "
            f"exponent, {self.value(fmt.highest_exponent)}, the format reaches from {self.value(served.most_negative)} "
            f"to {self.value(served.largest)}."
        )
        largest = mantissa_row("largest", (1 << fmt.places) - 1, fmt.highest_exponent, fmt)
        return "Range: the exponent", detail, [largest]

    def _mantissa(self, served: Any) -> tuple[str, str, list[Row]]:
        fmt = served.format
        detail = (
            f"Neighbours lie furthest apart at the ends of the range. With {fmt.mantissa_bits} mantissa bits they are "
            f"{self.value(served.coarsest)} apart there, and {self.value(served.need.step)} is allowed."
        )
        return "Precision: the mantissa", detail, []

    def _near_zero(self, served: Any) -> tuple[str, str, list[Row]]:
        fmt = served.format
        detail = (
            f"The smallest positive number, with the lowest exponent {self.value(fmt.lowest_exponent)}, is "
            f"{self.value(served.smallest)}: no further from zero than the step allowed."
        )
        smallest = mantissa_row("smallest", 1 << (fmt.places - 1), fmt.lowest_exponent, fmt)
        return "Near zero: the exponent again", detail, [smallest]

    def _choice(self, served: Any) -> tuple[str, str, list[Row]]:
        fmt = served.format
        return "Choose", f"{fmt} serves, with {plural(fmt.bits, 'bit')}; no format of fewer bits does.", []

    def _trade(self, others: Any) -> tuple[str, str, list[Row]]:
        said = [f"{other.format}: {self._why(other)}." for other in others]
        return "The trade", " ".join(["Range is paid for with precision, bit for bit.", *said]), []

    def _why(self, served: Any) -> str:
        faults = []
        if not served.reaches:
            faults.append(
                f"reaches only from {self.value(served.most_negative)} to {self.value(served.largest)}"
            )
        if not served.fine:
            faults.append(f"leaves steps of {self.value(served.coarsest)}")
        if not served.near_zero:
            faults.append(f"comes no nearer to zero than {self.value(served.smallest)}")
        return " and ".join(faults) if faults else f"serves too, in steps of {self.value(served.coarsest)}"
