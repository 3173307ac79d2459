"""What reading, storing and negating whole and fixed-point numbers writes on the board."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from chalkpoint.numbers.bits import with_point
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.exact import is_dyadic
from chalkpoint.working.steps import Step
from chalkpoint.working.whole_values import WholeStorePage
from chalkpoint.working.wording.byhand import digits_row
from chalkpoint.working.wording.heading import format_said
from chalkpoint.working.wording.reading import excess_facts, weights_sum
from chalkpoint.working.wording.rows import differences
from chalkpoint.working.wording.said import Told
from chalkpoint.working.wording.whole import Facts, WholeWriter
from chalkpoint.working.wording.whole_fit import size_digits, written_before_cut
from chalkpoint.working.wording.writer import absolute_error, relative_error, told
from chalkpoint.working.written import Row

__all__ = ["WholeValueWriter"]

OPPOSITES = {
    "two's complement": "opposite.invert",
    "sign and magnitude": "opposite.sign",
    "ones' complement": "opposite.ones",
    "unsigned": "opposite.zero",
}
CODED = {"sign and magnitude": "code.sign", "ones' complement": "code.ones"}


class WholeValueWriter(WholeWriter):
    """Writes the steps of one question; a method of it for each line."""

    faulty_titles: Mapping[str, str] = {
        "weigh": "weigh",
        "scale": "point",
        "size": "size",
        "code": "code",
    }

    def faulty_rows(self, step: Step) -> Sequence[Row]:
        """Return the rows a faulty rule left."""
        if step.rule == "weigh":
            (bits,) = self.question.patterns
            return [self.row("pattern", bits, step.after.number)]
        if step.rule == "scale":
            return []
        if step.rule == "size":
            return [size_digits(step.after.value, self.fixed).row()]
        return [self.row("answer", step.after.pattern)]

    # === Reading ===

    def _weigh(self, step: Step) -> Told:
        (bits,) = self.question.patterns
        kind, top, number = self.fixed.field.kind, Fraction(1 << (len(bits) - 1)), step.after.number
        turned = bits.translate(str.maketrans("01", "10"))
        stated: dict[str, object] = {"bits": bits, "number": number, "top": -top}
        if kind == "excess":
            said = ["weigh.excess"]
            stated |= excess_facts(bits, self.fixed.field.excess)
        elif kind == "sign and magnitude":
            said = ["weigh.plus" if bits[0] == "0" else "weigh.minus" if number else "weigh.minus-zero"]
            stated["weights"] = weights_sum("0" + bits[1:], top)
        elif kind == "ones' complement" and bits[0] == "0":
            said = ["weigh.plus"]
            stated["weights"] = weights_sum(bits, top)
        elif kind == "ones' complement":
            said = ["weigh.ones" if number else "weigh.ones-zero"]
            stated |= {"turned": turned, "size": abs(number)}
        else:
            weights = weights_sum("0" + bits, 2 * top) if self.unsigned else weights_sum(bits, top)
            alone = weights == self.value(number)
            said = [f"weigh.{'unsigned' if self.unsigned else 'signed'}{'-alone' if alone else ''}"]
            stated["weights"] = weights
        return told("weigh", said, **stated)

    def _weigh_rows(self, step: Step, _: Facts) -> list[Row]:
        (bits,) = self.question.patterns
        weighed = self.fixed.field.kind != "sign and magnitude"
        return [self.row("pattern", bits, step.after.number, place_values=weighed)]

    def _scale(self, step: Step) -> Told:
        places, number = self.fixed.places, step.after.number
        unit = 1 << places
        return told(
            "point", ["point.fixed"], places=places, number=number, unit=unit, value=Fraction(number, unit)
        )

    # === Storing ===

    def _size(self, step: Step) -> Told:
        size = abs(step.before.value)
        return told("size", ["size.whole", *([] if is_dyadic(size) else ["size.endless"])], size=size)

    def _size_rows(self, step: Step, _: Facts) -> list[Row]:
        return [size_digits(step.before.value, self.fixed).row()]

    def _fit(self, step: Step) -> Told:
        fmt, x, rounding = self.fixed, step.before.value, self.question.course.rounding
        kept, excess = step.after.number * fmt.unit_value, fmt.field.excess * fmt.unit_value
        stated: dict[str, object] = {"places": fmt.places, "asked": x, "excess": excess, "raised": x + excess}
        pattern = written_before_cut(x, fmt, rounding)
        if pattern is None:
            of_size = "-of-size" if rounding == "cut" and fmt.field.writes_size else ""
            said = [f"fit.{rounding.replace(' ', '-')}{of_size}"]
            lost = size_digits(x, fmt).lost
            return told("fits", said, lost=lost, missed=abs(x) - abs(kept), **stated)
        if pattern.label == "with excess":
            said = ["fit.with-excess", "fit.cut"]
        else:
            said = ["fit.negative" if pattern.ends else "fit.negative-endless", "fit.cut"]
        return told("fits", said, lost=pattern.lost, missed=x - kept, **stated)

    def _fit_rows(self, step: Step, found: Facts) -> list[Row]:
        fmt, x, number = self.fixed, step.before.value, step.after.number
        pattern = written_before_cut(x, fmt, self.question.course.rounding)
        marks: JsonObject = {"lost": found["lost"], "lost_value": found["missed"]}
        if pattern is None:
            width = max(abs(number).bit_length(), fmt.places + 1)
            return [digits_row("kept", abs(number), width, fmt.places, valued=True, **marks)]
        digits = pattern.number >> pattern.past
        kept = digits_row("kept", digits, pattern.width - pattern.past, fmt.places, **marks)
        return [pattern.row()._replace(soft=True), kept._replace(value=number * fmt.unit_value)]

    def _code(self, step: Step) -> Told:
        fmt, number, field = self.fixed, step.after.number, self.fixed.field
        stated = {"bits": fmt.bits, "number": number, "excess": field.excess, "code": number + field.excess}
        if field.holds(number):
            return told("code", self._code_says(step.before), **stated)
        ends = {
            "format": format_said(fmt),
            "low": fmt.unit_value * field.lowest,
            "high": fmt.unit_value * field.highest,
        }
        written = "code.none" if step.after.pattern is None else "code.end"
        return told("range.overflow", ["code.past", written], **stated, **ends)

    def _code_says(self, page: WholeStorePage) -> list[str]:
        number, kind, bits = page.number, self.fixed.field.kind, self.fixed.bits
        pattern = (
            None if page.exact else written_before_cut(page.value, self.fixed, self.question.course.rounding)
        )
        if pattern:
            fill = "code.fill" if pattern.label == "with excess" else "code.fill-sign"
            return [fill if pattern.width - pattern.past < bits else "code.full"]
        if kind == "excess":
            return ["code.excess"]
        filled = [] if abs(number).bit_length() >= bits else ["code.fill"]
        if number >= 0:
            return [*(filled or ["code.full"]), *(["code.nothing"] if page.value < 0 else [])]
        return [*filled, CODED.get(kind, "code.twos")]

    def _code_rows(self, step: Step, _: Facts) -> list[Row]:
        number, pattern = step.after.number, step.after.pattern
        if pattern is None:
            return []
        if not self.fixed.field.holds(number):
            return [self.row("answer", pattern)]
        return [self.row("answer", pattern, number, place_values=True)]

    def _absolute(self, step: Step) -> Told:
        return absolute_error(step.after.value, self.format.value(step.after.pattern))

    def _relative(self, step: Step) -> Told:
        exact = step.after.value
        return relative_error(exact, abs(exact - self.format.value(step.after.pattern)))

    # === Changing the sign, and the range ===

    def wrong_opposite(self, step: Step) -> bool:
        """Tell whether a belief's rule wrote the opposite."""
        if self.method is None or "negate" not in self.method.says or step.after is None:
            return False
        return not self.is_opposite(step)

    def is_opposite(self, step: Step) -> bool:
        """Tell whether the row written is the opposite of the row before."""
        return self.fixed.value(step.after) == -self.fixed.value(step.before)

    def _opposite(self, step: Step) -> Told:
        before, after, kind = step.before, step.after, self.fixed.field.kind
        if self.method and self.wrong_opposite(step):
            return told("negate.faulty", ["belief"], belief=self.method.says["negate"])
        if after is None:
            shown = with_point(before, self.fixed.places)
            return told("negate.faulty", ["opposite.none"], pattern=shown, bits=self.fixed.bits)
        if not self.is_opposite(step):
            shown = with_point(before, self.fixed.places)
            return told("negate.faulty", ["opposite.end"], pattern=shown, bits=self.fixed.bits)
        return told("negate.faulty", [OPPOSITES.get(kind, "opposite.excess")], pattern=before)

    def _opposite_rows(self, step: Step, _: Facts) -> list[Row]:
        before, after = step.before, step.after
        old = self.row("pattern", before, soft=True)
        if after is None:
            return [old]
        new = self.row("answer", after, changed=differences(before, after))
        if self.is_opposite(step) and self.fixed.field.kind == "two's complement":
            return [old, self.row("invert", before.translate(str.maketrans("01", "10"))), new]
        return [old, new]

    def _extreme(self, step: Step) -> Told:
        pattern = step.after
        shown, value = with_point(pattern, self.fixed.places), self.fixed.value(pattern)
        says = self.method.says if self.method else {}
        reason = "belief" if step.rule in says else "extreme.whole"
        return told(
            "extreme",
            [reason],
            belief=says.get(step.rule, ""),
            which=step.rule.capitalize(),
            bits=shown,
            value=value,
        )

    def _extreme_rows(self, step: Step, _: Facts) -> list[Row]:
        return [self.row("pattern", step.after)._replace(value=self.fixed.value(step.after))]
