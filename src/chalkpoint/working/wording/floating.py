"""What addition and subtraction write on the board, line by line."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from inspect import unwrap

from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working import facts
from chalkpoint.working.floating import align_size, cut_size_to_width, cut_to_nearest, cut_to_nearest_away
from chalkpoint.working.losing import row_loss
from chalkpoint.working.page import IN_RANGE, OVERFLOW, UNDERFLOW, ZERO, Page
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.adding import add_says, carries_row, inverted_row, negate_says
from chalkpoint.working.wording.pages import PageWriter
from chalkpoint.working.wording.rows import differences, mantissa_row, mark_changes, shifted, speak
from chalkpoint.working.wording.said import Sentence, Told, say
from chalkpoint.working.wording.writer import told
from chalkpoint.working.written import Row

__all__ = ["PatternWriter"]

Facts = Mapping[str, object]
NEAREST = {cut_to_nearest: "cut.nearest", cut_to_nearest_away: "cut.nearest-away"}
TOTALS = {"multiply": "product", "divide": "quotient", "normalise": "mantissa", "negate": "mantissa"}


class PatternWriter(PageWriter):
    """Writes the lines of right working."""

    # === Read ===

    def _read(self, step: Step) -> Told:
        page, fmt = step.after, self.format
        if len(self.question.patterns) == 1:
            (pattern,) = self.question.patterns
            alone = "zero" if page.total == 0 else ("normalised" if fmt.is_normalised(pattern) else "loose")
            return told("read", [f"read.one-{alone}"], mantissa=Fraction(page.total, 1 << fmt.places))
        found = facts.reading(page, fmt.mantissa_bits)
        return told("read", [*self.stored_first(), *self._read_says(found)], found)

    def _read_says(self, found: facts.Reading) -> list[Sentence | str]:
        said: list[Sentence | str] = []
        if found.loose:
            said.append(
                "read.neither" if len(found.loose) == 2 else say("read.loose", operand=found.loose[0])
            )
        elif not found.zeros:
            said.append("read.both")
        said += [say("read.zero", operand=which) for which in found.zeros]
        if not found.zeros:
            said.append("read.exponents")
        elif len(found.zeros) == 1:
            other = "second" if found.zeros == ("first",) else "first"
            said.append(say("read.exponent", operand=other, exponent=getattr(found, f"{other}_exponent")))
        return said

    def _read_rows(self, step: Step, _: Facts) -> list[Row]:
        if len(self.question.patterns) == 1:
            return [self.row("pattern", step.after, "total", place_values=True)]
        first, second = (self.row(name, step.after, which) for name, which in self.operands())
        return [first, second._replace(place_values=True)]

    def _ready(self, step: Step) -> Told:
        before, after = step.before, step.after
        return told(
            "ready",
            ["ready"],
            first_places=before.first_exponent - after.first_exponent,
            second_places=before.second_exponent - after.second_exponent,
        )

    def _ready_rows(self, step: Step, found: Facts) -> list[Row]:
        rows = []
        for name, which in self.operands():
            places = found[f"{which}_places"]
            if isinstance(places, int) and places:
                before = self.row(f"{name} before", step.before, which, soft=True)
                rows += [before, shifted(self.row(f"{name} after", step.after, which), before, -places)]
        return rows

    # === Match the exponents ===

    def _align(self, step: Step) -> Told:
        found = facts.alignment(step, self.format)
        return told("align", self._align_says(found), found, every_place=self.keeps_all)

    def _align_says(self, found: facts.Alignment) -> list[str]:
        if not found.moved:
            return ["align.zero" if found.zero else "align.equal"]
        size = self.method is not None and self.method.rules["align"] is align_size
        nothing = size and found.left == 0
        said = ["align.move"]
        if not nothing:
            said.append(
                "align.copy-extra" if found.beyond else f"align.copy{'' if found.copies == 1 else 's'}"
            )
        if self.keeps_all:
            rounds = self.method is not None and unwrap(self.method.rules["cut"]) in NEAREST
            return [*said, f"align.every-{'rounded' if rounds else 'cut'}"]
        if found.guard:
            said.append("align.guard" if found.guard == 1 else "align.guards")
        if found.worth:
            said.append("align.lost-size" if size and found.sign else "align.lost")
        elif found.lost:
            said.append("align.lost-0s")
        if nothing:
            said.append("align.nothing-left")
        elif not found.guard and found.apart >= self.format.places:
            said.append("align.only-signs-minus" if found.left < 0 else "align.only-signs")
        return said

    def _align_rows(self, step: Step, found: Facts) -> list[Row]:
        before, after, moved = step.before, step.after, str(found["moved"])
        if not moved:
            return [
                mark_changes(self.row(name, after, which), self.row(name, before, which))
                for name, which in self.operands()
            ]
        old = self.row("before", before, moved, soft=True)
        lost, worth = self.lost(step, moved)
        new = self.row("after", after, moved)
        new = shifted(
            new, old, abs(before.first_exponent - before.second_exponent), lost=lost, lost_value=abs(worth)
        )
        rows = [old, new._replace(filled=facts.alignment(step, self.format).copies)]
        if after.extra:  # the other row is written out to the same places
            other = "first" if moved == "second" else "second"
            rows.append(self.row(self.name_of(other), after, other))
        return rows

    def _spare(self, step: Step) -> Told:
        found = facts.spare(step, self.format)
        lost = found.first_worth or found.second_worth
        return told("spare", ["spare", "spare.lost" if lost else "align.lost-0s"], found)

    def _spare_rows(self, step: Step, _: Facts) -> list[Row]:
        rows: list[Row] = []
        for name, which in self.operands():
            before = self.row(f"{name} before", step.before, which, soft=True)
            bits, worth = self.lost(step, which)
            new = self.row(f"{name} after", step.after, which)
            rows += [before, shifted(new, before, 1, lost=bits, lost_value=abs(worth))]
        return rows

    # === Negate and add ===

    def _negate(self, step: Step) -> Told:
        width = self.format.mantissa_bits + step.after.extra
        found = facts.negation(step.before.second, width, self.format.places + step.after.extra)
        taken = self.question.operation.name == "subtract"
        said = negate_says(found, taken_away=taken)
        title = "negate" if taken else "negate.mantissa"
        return told(title, [said[0], "negate.exponent", *said[1:]], found, operand="second")

    def _negate_rows(self, step: Step, found: Facts) -> list[Row]:
        taken = self.question.operation.name == "subtract"
        old = self.row(self.names[1] if taken else "mantissa", step.before, "second", soft=True)
        new = mark_changes(self.row("add one", step.after, "second"), old)
        return [old, speak(inverted_row(old, new.lead)), new]

    def _add(self, step: Step) -> Told:
        found = self.added(step.after)
        return told("add", add_says(found), found)

    def added(self, page: Page) -> facts.Addition:
        """Return the facts of the addition on *page*; a spare place takes no part."""
        spare = int(self.has_spare(page))
        width = self.format.mantissa_bits + page.extra - spare
        return facts.addition(page.first >> spare, page.second >> spare, width)

    def _add_rows(self, step: Step, _: Facts) -> list[Row]:
        page = step.after
        found = self.added(page)
        minus = "\u2212" if self.question.operation.name == "subtract" else ""
        rows = [
            self.row(self.names[0], page, "first"),
            self.row(f"{minus}{self.names[1]}", page, "second")._replace(plus=True),
        ]
        total = self.row("sum", page, "total")
        total = total._replace(changed="1" * len(total.bits))
        if found.carry_out and not (found.extra_place or found.overflowed):
            total = total._replace(lead="1", lead_is="dropped")
        rows.append(total)
        if found.extra_place:
            rows = [row._replace(lead=row.lead or row.bits[0], lead_is="kept") for row in rows]
        return [*carries_row(found, rows[0]), *map(speak, rows)]

    # === Below the line ===

    def _repair(self, step: Step) -> Told:
        found = facts.repair(step, self.format)
        return told("repair", ["repair", "repair.lost" if found.worth else "repair.kept"], found)

    def _repair_rows(self, step: Step, _: Facts) -> list[Row]:
        before = self.row("before", step.before, "total", soft=True)
        bits, worth = self.lost(step, "total")
        bits = "" if self.has_spare(step.after) else bits or "0"
        after = self.row("repaired", step.after, "total", late=True)
        after = shifted(after, before, 1, lost=bits, lost_value=abs(worth))
        return [before, after._replace(filled=0)]  # nothing is copied

    def _normalise(self, step: Step) -> Told:
        found = facts.normalising(step)
        if found.places < 0:
            return told("range.underflow", ["normalise.back"], found, back=-found.places)
        one = found.places == 1
        return told("normalise", ["normalise.one" if one else "normalise.more"], found)

    def _normalise_rows(self, step: Step, found: Facts) -> list[Row]:
        places = step.before.exponent - step.after.exponent
        before = self.row("before", step.before, "total", late=True, soft=True)
        label = "after" if step.before.extra or places < 0 else "answer"
        return [before, shifted(self.row(label, step.after, "total", late=True), before, -places)]

    def _cut(self, step: Step) -> Told:
        found = self.cut_facts(step)
        rule = unwrap(self.method.rules["cut"]) if self.method else None
        title = "cut.round" if rule in NEAREST else "cut"
        if not found.worth:
            return told(title, ["cut.lost-0s"], found)
        if rule in NEAREST:
            return told(title, [NEAREST[rule], "cut.above" if found.worth < 0 else "cut.below"], found)
        return told(
            title, ["cut.size" if rule is cut_size_to_width and found.worth < 0 else "cut.lost"], found
        )

    def cut_facts(self, step: Step) -> facts.Cut:
        """Return what *step* cut from the row below the line."""
        return facts.cut(step, self.format, spare=self.keeps_all)

    def _cut_rows(self, step: Step, _: Facts) -> list[Row]:
        before = self.row("before", step.before, "total", late=True, soft=True)
        bits, worth = self.lost(step, "total")
        after = self.row("answer", step.after, "total")
        after = speak(mark_changes(after, before), lost=bits, lost_value=worth)
        return [before, after._replace(changed=differences(before.bits[: len(after.bits)], after.bits))]

    # === The range ===

    def _range(self, step: Step) -> Told:
        found, outcome = facts.ending(step, self.format), step.after.outcome
        return told(*self._range_says(found, outcome), found, **self.ending_words())

    def ending_words(self) -> dict[str, object]:
        """Return what sentences about the end of a working need beside its facts."""
        fmt = self.format
        return {
            "bits": fmt.exponent_bits,
            "zero_exponent": fmt.zero.exponent,
            "row": TOTALS.get(self.question.operation.name, "sum"),
        }

    def _range_says(self, found: facts.Ending, outcome: int) -> tuple[str, list[str]]:
        over = found.exponent > found.highest
        if over and outcome == IN_RANGE:
            return "range.overflow", [
                "range.past",
                f"range.end-{'negative' if found.negative else 'positive'}",
            ]
        if outcome == OVERFLOW:
            return "range.overflow", ["range.over"]
        if outcome == UNDERFLOW:
            return "range.underflow", ["range.under"]
        if outcome == ZERO and found.zero:
            return "zero", ["range.zero", self.zero_key()]
        if outcome == ZERO and self.question.course.underflow == "zero":
            return "range.underflow", ["range.below", "range.to-zero"]
        return "range.underflow", ["range.kept"]

    def zero_key(self) -> str:
        """Return the sentence for the exponent that zero is written with."""
        return zero_key(self.format)

    def _range_rows(self, step: Step, found: Facts) -> list[Row]:
        before, after, fmt = step.before, step.after, self.format
        if after.outcome in {OVERFLOW, UNDERFLOW}:
            return []
        old = self.row("before", before, "total", soft=True)
        zero = mantissa_row("answer", 0, fmt.zero.exponent, fmt)
        if before.exponent > fmt.highest_exponent and after.outcome == IN_RANGE:
            return [mark_changes(self.row("answer", after, "total"), old)]
        if after.outcome == ZERO and before.total == 0:
            return [zero]
        if after.outcome == ZERO and self.question.course.underflow == "zero":
            return [old, mark_changes(zero, old)]
        bits, worth = self.lost(step, "total")
        new = mantissa_row("answer", after.total, fmt.lowest_exponent, fmt)
        places = fmt.lowest_exponent - before.exponent
        return [old, shifted(new, old, places, lost=bits, lost_value=abs(worth))]

    def lost(self, step: Step, which: str) -> tuple[str, Fraction]:
        """Return the digits that the row *which* lost in *step*, and what they were worth."""
        return row_loss(step, which, self.format.places, spare=self.keeps_all)


def zero_key(fmt: FloatFormat) -> str:
    """Return the sentence for the exponent that zero is written with in *fmt*."""
    exponent, lowest = fmt.zero.exponent, fmt.lowest_exponent
    return "zero.lowest" if exponent == lowest else ("zero.kept" if exponent < lowest else "zero.plain")
