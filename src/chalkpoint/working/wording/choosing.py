"""What choosing a format writes on the board: what each part must hold, the choice, and the trade."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from chalkpoint.working.steps import Step
from chalkpoint.working.wording.rows import mantissa_row
from chalkpoint.working.wording.said import Sentence, Told, say
from chalkpoint.working.wording.writer import StepWriter, told
from chalkpoint.working.written import Row

__all__ = ["ChoiceWriter"]


def facts_of(served: Any) -> dict[str, object]:
    """Return what a format offers beside what is needed of it."""
    return {
        "format": str(served.format),
        "largest": served.largest,
        "most_negative": served.most_negative,
        "coarsest": served.coarsest,
        "smallest": served.smallest,
    }


class ChoiceWriter(StepWriter):
    """Writes the steps of one choice."""

    def line_name(self, step: Step) -> str:
        """Return the name that the methods of *step*'s line have."""
        return step.rule.replace("-", "_")

    def _exponent(self, step: Step) -> Told:
        served = step.after
        need, exponent = served.need, served.format.highest_exponent
        stated = facts_of(served) | {"low": need.lowest, "high": need.highest, "exponent": exponent}
        return told("choose.exponent", ["choose.exponent"], **stated)

    def _exponent_rows(self, step: Step, _: Mapping[str, object]) -> list[Row]:
        fmt = step.after.format
        return [mantissa_row("largest", (1 << fmt.places) - 1, fmt.highest_exponent, fmt)]

    def _mantissa(self, step: Step) -> Told:
        served = step.after
        stated = facts_of(served) | {"bits": served.format.mantissa_bits, "step": served.need.step}
        return told("choose.mantissa", ["choose.mantissa"], **stated)

    def _near_zero(self, step: Step) -> Told:
        served = step.after
        stated = facts_of(served) | {"exponent": served.format.lowest_exponent}
        return told("choose.near-zero", ["choose.near-zero"], **stated)

    def _near_zero_rows(self, step: Step, _: Mapping[str, object]) -> list[Row]:
        fmt = step.after.format
        return [mantissa_row("smallest", 1 << (fmt.places - 1), fmt.lowest_exponent, fmt)]

    def _choice(self, step: Step) -> Told:
        fmt = step.after.format
        return told("choose", ["choose"], format=str(fmt), bits=fmt.bits)

    def _trade(self, step: Step) -> Told:
        said: Sequence[Sentence] = [self._other(served) for served in step.after]
        return told("choose.trade", ["choose.trade", *said])

    def _other(self, served: Any) -> Sentence:
        faults = {"range": served.reaches, "steps": served.fine, "zero": served.near_zero}
        named = "-".join(name for name, good in faults.items() if not good) or "serves"
        return say(f"choose.{named}", None, **facts_of(served))
