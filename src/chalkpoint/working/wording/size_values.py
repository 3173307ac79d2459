"""What reading, storing and changing numbers of sign, exponent and size writes on the board."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.named import value_or_none
from chalkpoint.working.methods import Method
from chalkpoint.working.question import Question
from chalkpoint.working.speech import say_bits
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.reading import excess_facts, exponent_facts, fixed_point_row
from chalkpoint.working.wording.said import Told
from chalkpoint.working.wording.size_arithmetic import rounding_key
from chalkpoint.working.wording.size_rows import (
    fields_row,
    pack_says,
    past_end,
    says_size,
    size_row,
    speak_size,
)
from chalkpoint.working.wording.storing import Digits
from chalkpoint.working.wording.writer import StepWriter, absolute_error, relative_error, told
from chalkpoint.working.written import Row

__all__ = ["SizeValueWriter"]

Facts = Mapping[str, object]


class SizeValueWriter(StepWriter):
    """Writes the steps of one question; a method of it for each line."""

    faulty_titles: Mapping[str, str] = {
        "exponent": "exponent",
        "size": "read.size",
        "round": "round",
        "pack": "write.fields",
        "negate": "negate.faulty",
    }

    def __init__(self, question: Question, method: Method | None = None) -> None:
        super().__init__(question, method)
        self.sized = question.size_format
        stems = {"decode": "read_", "encode": "store_", "error": "store_"}
        self.stem = stems.get(question.operation.name, "")

    # === What a belief writes ===

    def faulty_says(self, step: Step) -> Sequence[str]:
        """Return the key of what a faulty rule came to."""
        if step.rule == "exponent":
            return ["faulty.exponent"]
        return ["faulty.size"] if step.rule in {"size", "round"} else []

    def faulty_facts(self, step: Step) -> Facts:
        """Return what a faulty rule came to."""
        page = step.after
        if not self.faulty_says(step):
            return {}
        return {"exponent": page.exponent, "size": says_size(page.size, self.sized.places)}

    def faulty_rows(self, step: Step) -> Sequence[Row]:
        """Return the row a faulty rule left."""
        if step.rule in {"negate", "normalise"}:
            return [fields_row("answer", step.after, self.sized)]
        if step.rule in {"exponent", "size", "round", "scale"} or step.after.pattern is None:
            return []
        return [fields_row("answer", step.after.pattern, self.sized)]

    # === Reading ===

    def _read_sign(self, step: Step) -> Told:
        (pattern,) = self.question.patterns
        return told("read.sign", ["sign.minus" if pattern.sign else "sign.plus"], sign=pattern.sign)

    def _read_sign_rows(self, step: Step, _: Facts) -> list[Row]:
        (pattern,) = self.question.patterns
        return [fields_row("pattern", pattern, self.sized, place_values=True)]

    def _read_special(self, step: Step) -> Told:
        (pattern,) = self.question.patterns
        if self.sized.kind(pattern) == "infinity":
            return told("special", ["special.infinity"])
        return told("special", ["special.one-nan" if self.sized.specials == "one nan" else "special.nan"])

    def _read_exponent(self, step: Step) -> Told:
        fmt, page = self.sized, step.after
        code = fmt.exponent.write(page.stored)
        if fmt.exponent.kind != "excess":
            key, read = exponent_facts(code, page.exponent, self.value(page.exponent))
            return told("exponent", [key], **read)
        if page.exponent != page.stored:
            return told(
                "exponent", ["exponent.subnormal"], excess=fmt.exponent.excess, exponent=page.exponent
            )
        return told("exponent", ["exponent.excess"], **excess_facts(code, fmt.exponent.excess))

    def _read_size(self, step: Step) -> Told:
        fmt, page = self.sized, step.after
        stated = {"size": says_size(page.size, fmt.places), "value": Fraction(page.size, 1 << fmt.places)}
        if page.size == 0:
            return told("read.size", ["size.none"], **stated)
        if not fmt.hidden:
            return told("read.size", ["size.all"], **stated)
        return told(
            "read.size", ["size.hidden" if page.size >> fmt.fraction_bits else "size.subnormal"], **stated
        )

    def _read_size_rows(self, step: Step, _: Facts) -> list[Row]:
        page = step.after
        return [size_row("size", page.sign, page.size, page.exponent, self.sized)] if page.size else []

    def _read_scale(self, step: Step) -> Told:
        page, fmt = step.after, self.sized
        if page.size == 0:
            return told("scale", ["scale.minus-nothing" if page.sign else "scale.nothing"], value=page.value)
        said = ["scale.minus" if page.sign else "scale.plus"]
        if page.exponent:
            said.append("scale.point-right" if page.exponent > 0 else "scale.point-left")
        size = Fraction(page.size, 1 << fmt.places)
        return told(
            "scale", said, size=size, power=page.exponent, value=page.value, places=abs(page.exponent)
        )

    def _read_scale_rows(self, step: Step, _: Facts) -> list[Row]:
        page = step.after
        return [fixed_point_row("in binary", page.value, sized=True)] if page.size else []

    # === Storing ===

    def _store_zero(self, step: Step) -> Told:
        return told("zero", ["store.size-zero"])

    def _store_zero_rows(self, step: Step, _: Facts) -> list[Row]:
        return [fields_row("answer", step.after.pattern, self.sized)]

    def _store_sign(self, step: Step) -> Told:
        sign = step.after.sign
        return told("write.sign", ["store.negative" if sign else "store.positive"], sign=sign)

    def _store_digits(self, step: Step) -> Told:
        page = step.after
        said = ["size.fixed", *([] if page.ends else ["size.endless-more"])]
        return told("size", said, size=abs(page.value), places=page.places)

    def _store_digits_rows(self, step: Step, _: Facts) -> list[Row]:
        page: Digits = step.after
        number, places = page.number, page.places
        bits = shorten(to_bits(number, max(number.bit_length(), places + 1))) + (
            "" if page.ends else "\u2026"
        )
        places = min(places, len(bits) - 1) + (0 if page.ends else 1)
        return [Row(label="size", bits=bits, places=places, spoken=f"size: {say_bits(bits, places)}")]

    def _store_point(self, step: Step) -> Told:
        page, fmt = step.after, self.sized
        exponent = page.exponent
        unit = Fraction(2) ** (exponent + (0 if fmt.point_first else 1))
        way = "none" if not exponent else ("left" if exponent > 0 else "right")
        said = "store.subnormal" if abs(page.value) < unit / 2 else f"store.size-{way}"
        which = "before" if fmt.point_first else "behind"
        return told("point", [said], which=which, places=abs(exponent), exponent=exponent)

    def _store_round(self, step: Step) -> Told:
        before, after, fmt = step.before, step.after, self.sized
        kept, lost = self._cut(before)
        grew = bool(after.carried or after.size > kept)
        (row,) = self._store_round_rows(step, {})
        stated = {"digits": fmt.digits, "lost": lost, "worth": row.lost_value, "grew": grew}
        if not row.lost_value:
            return told("fit.digits", ["store.all-fit"], **stated)
        said = [rounding_key(self.question.course.rounding), "store.grows" if grew else "store.stays"]
        return told("round.digits", [*said, *(["store.carried"] if after.carried else [])], **stated)

    def _store_round_rows(self, step: Step, _: Facts) -> list[Row]:
        before, after = step.before, step.after
        lost = self._cut(before)[1]
        row = size_row("rounded", before.sign, after.size, after.exponent, self.sized)
        missed = abs(after.value) - abs(row.value or 0)
        return [speak_size(row._replace(lost=lost))._replace(lost_value=missed)]

    def _cut(self, page: Digits) -> tuple[int, str]:
        """Return the digits that fit, as a number, and those past them."""
        past = page.places - (self.sized.places - page.exponent)
        if past <= 0:
            return page.number << -past, "" if page.ends else "\u2026"
        return page.number >> past, shorten(to_bits(page.number, past)) + ("" if page.ends else "\u2026")

    def _store_pack(self, step: Step) -> Told:
        page, fmt = step.after, self.sized
        if page.pattern is None:
            bound = fmt.highest_exponent if page.outcome == "overflow" else fmt.lowest_exponent
            return told(
                f"range.{page.outcome}",
                ["store.word"],
                exponent=page.exponent,
                bound=bound,
                word=page.outcome,
            )
        if not fmt.holds(page.size, page.exponent) and page.exponent >= fmt.highest_exponent:
            return told("range.overflow", ["store.past-largest"], written=past_end(page.pattern, fmt))
        said, stated = pack_says(page.pattern, page.size, page.exponent, fmt)
        return told("write.fields", said, **stated)

    def _store_pack_rows(self, step: Step, _: Facts) -> list[Row]:
        pattern = step.after.pattern
        return [] if pattern is None else [fields_row("answer", pattern, self.sized)]

    def _store_absolute(self, step: Step) -> Told:
        return absolute_error(step.after.value, self.sized.value(step.after.pattern))

    def _store_relative(self, step: Step) -> Told:
        exact = step.after.value
        return relative_error(exact, abs(exact - self.sized.value(step.after.pattern)))

    # === Range, sign and normal form ===

    def _extreme(self, step: Step) -> Told:
        pattern, fmt = step.after, self.sized
        if self.method and step.rule in self.method.says:
            return told(
                "extreme", ["belief"], which=step.rule.capitalize(), belief=self.method.says[step.rule]
            )
        nan = "-nan" if step.rule == "largest positive" and fmt.specials == "one nan" else ""
        return told(
            "extreme",
            [f"size.{step.rule}{nan}", "size.minus-value" if pattern.sign else "size.value"],
            which=step.rule.capitalize(),
            exponent=fmt.true_exponent(pattern.exponent),
            size=says_size(fmt.size(pattern.exponent, pattern.fraction), fmt.places),
            value=fmt.value(pattern),
        )

    def _extreme_rows(self, step: Step, _: Facts) -> list[Row]:
        return [fields_row("pattern", step.after, self.sized)]

    def _negate(self, step: Step) -> Told:
        return told("flip", ["change.sign"])

    def _negate_rows(self, step: Step, _: Facts) -> list[Row]:
        return [
            fields_row("before", step.before, self.sized, soft=True),
            fields_row("answer", step.after, self.sized),
        ]

    def _normalise(self, step: Step) -> Told:
        fmt, places = self.sized, step.before.exponent - step.after.exponent
        starts = bool(fmt.size(step.after.exponent, step.after.fraction) >> (fmt.digits - 1))
        if value_or_none(fmt, step.after) == 0:
            key = "zero"
        elif places:
            key = "normalise" if starts else "stops"
        else:
            key = "normalised" if starts else "lowest"
        return told("normalise", [f"change.{key}"], places=places)

    def _normalise_rows(self, step: Step, found: Facts) -> list[Row]:
        old, new = self._negate_rows(step, found)
        return [old, new._replace(moved=step.after.exponent - step.before.exponent)]
