"""What is written for the four extreme values of a format."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.rows import mantissa_row
from chalkpoint.working.wording.said import Told
from chalkpoint.working.wording.writer import StepWriter, told
from chalkpoint.working.written import Row

__all__ = ["RangeWriter"]


class RangeWriter(StepWriter):
    """Writes the extremes of a format; a faulty one is told by its belief."""

    format: FloatFormat

    def tell(self, step: Step) -> Told:
        """Return why the pattern is an extreme, and its value."""
        fmt, pattern, says = self.format, step.after, self.method.says if self.method else {}
        starts = ("01.", "10.", -2) if fmt.implied else ("0.1", "1.0", -1)
        return told(
            "extreme",
            ["belief" if step.rule in says else f"extreme.{step.rule}", "extreme.value"],
            belief=says.get(step.rule, ""),
            which=step.rule.capitalize(),
            mantissa=Fraction(pattern.mantissa, 1 << fmt.places),
            exponent=pattern.exponent,
            value=fmt.value(pattern),
            positive=starts[0],
            negative=starts[1],
            least=starts[2],
        )

    def rows(self, step: Step, _: Mapping[str, object]) -> list[Row]:
        """Return the row of the extreme."""
        pattern, weighed = step.after, step.number in {1, 4}
        return [
            mantissa_row("pattern", pattern.mantissa, pattern.exponent, self.format, place_values=weighed)
        ]
