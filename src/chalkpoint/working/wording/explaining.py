"""The points of an explanation in words, one sentence or two each."""

from __future__ import annotations

from collections.abc import Mapping

from chalkpoint.working.steps import Step
from chalkpoint.working.wording.said import Told, say
from chalkpoint.working.wording.writer import StepWriter, told

__all__ = ["PointWriter"]


class PointWriter(StepWriter):
    """Writes the points of one explanation."""

    def tell(self, step: Step) -> Told:
        """Return one point."""
        kind, facts, losses = step.after
        said = [say(key_of(kind, facts), **facts)]
        said += [say("explain.loss", title=title, lost=lost, worth=worth) for title, lost, worth in losses]
        return told(kind, said, **facts)


def key_of(kind: str, facts: Mapping[str, object]) -> str:
    """Return the key of what is said of a point."""
    which = {
        "exact": "-stored" if facts.get("stored") else "",
        "aligned": "" if facts.get("lost") else "-kept",
        "cancelled": "" if facts.get("lost") else "-kept",
        "mantissa overflow": "-over" if facts.get("over") else "",
        "no pattern": "-halfway" if "other" in facts else "",
        "overflow": "-lost" if facts.get("lost") else "-whole" if facts.get("whole") else "",
        "underflow": "-lost" if facts.get("lost") else "",
    }
    return f"explain.{kind}{which.get(kind, '')}"
