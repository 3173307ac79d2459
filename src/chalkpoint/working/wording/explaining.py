"""The points of an explanation in words, one sentence or two each."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.named import float_format
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.said import Told
from chalkpoint.working.wording.writer import StepWriter, told
from chalkpoint.working.working import Working
from chalkpoint.working.written import Written

__all__ = ["writer"]

#: By kind of point, the names of its facts.
FACTS = {
    "stored first": ("name", "given", "kept"),
    "never ends": ("value",),
    "aligned": ("name", "places", "lost"),
    "absorbed": ("name",),
    "cancelled": ("places", "lost"),
    "lost": ("losses",),
    "special": ("word",),
    "more bits": ("bits",),
    "other method": ("method", "other"),
}
EXACT = ("exact",)


def writer(question: Question, working: Working) -> Callable[[Step], Written]:
    """Return what writes one point about *working*."""
    return PointWriter(question, working).write


class PointWriter(StepWriter):
    """Writes the points of one explanation."""

    def __init__(self, question: Question, working: Working) -> None:
        super().__init__(question)
        self.working = working

    def tell(self, step: Step) -> Told:
        """Return one point, with what the check says beside its own facts."""
        point, check, fmt = step.after, self.working.check, self.working.check.format
        facts: JsonObject = dict(zip(FACTS.get(point.kind, EXACT), point.facts, strict=False))
        near = " and ".join(self.value(fmt.value(pattern)) for pattern in check.nearest_patterns)
        facts |= {"format": str(fmt), "near": near, "least": check.unavoidable_error}
        facts["error"] = abs(check.error or Fraction(0))
        kept = "-kept" if facts.get("lost") is False else ""
        if point.kind == "lost":
            facts["losses"] = "; ".join(
                f"{loss.bits} in step {loss.step}, worth {self.value(abs(loss.worth))}"
                for loss in facts["losses"]
            )
        elif point.kind == "more bits":
            facts["has"] = float_format(fmt).mantissa_bits
        elif point.kind == "special":
            facts["word"] = facts["word"].replace("minus ", "\u2212")
        elif point.kind == "other method":
            other = facts.pop("other")
            facts |= {"words": METHODS[facts["method"]].words, "result": other.result.bits or other.outcome}
        elif point.kind == "mantissa overflow" and self.working.outcome == "overflow":
            kept = "-over"
        return told(point.kind, [f"explain.{point.kind}{kept}"], **facts)
