"""What addition and subtraction write on the board, line by line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from inspect import unwrap

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.carriers import fits
from chalkpoint.working.floating import (
    align_size,
    cut_size_to_width,
    cut_to_nearest,
    cut_to_nearest_away,
    keep_all_places,
)
from chalkpoint.working.methods import Method
from chalkpoint.working.page import IN_RANGE, OVERFLOW, UNDERFLOW, ZERO, Page
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.pages import PageWriter
from chalkpoint.working.wording.rows import (
    differences,
    mantissa_row,
    mark_changes,
    past_range,
    plural,
    shifted,
    speak,
)
from chalkpoint.working.written import Row, Written

__all__ = ["writer"]


def writer(question: Question, method: Method) -> Callable[[Step], Written]:
    """Return what writes a step of *question* worked by *method*."""
    return Writer(question, method).write


class Writer(PageWriter):
    """Writes the lines of right working; a method of it for each line."""

    def _read(self, step: Step) -> tuple[str, str, list[Row]]:
        page = step.after
        if len(self.question.patterns) == 1:
            return self._read_one(page)
        rows = [
            self.row(self.names[0], page, "first"),
            replace(self.row(self.names[1], page, "second"), place_values=True),
        ]
        return "Read", " ".join(self._read_sentences(page)), rows

    def _read_one(self, page: Page) -> tuple[str, str, list[Row]]:
        row = replace(self.row("pattern", page, "total"), place_values=True)
        if page.total == 0:
            detail = "The mantissa is all 0s, so this is zero."
        elif self.format.is_normalised(self.question.patterns[0]):
            detail = "The first two bits differ, so it is normalised."
        else:
            detail = "The first two bits are alike, so it is not normalised."
        return "Read", detail, [row]

    def _read_sentences(self, page: Page) -> list[str]:
        said = []
        for name, value, given in zip(self.names, self.question.values, self.question.given, strict=True):
            if given is not None and given != value:
                said.append(
                    f"The {name}, {self.value(given)}, is stored as {self.value(value)}: "
                    f"{self.value(abs(given - value))} is gone before the working starts."
                )
        zeros = [
            name
            for name, mantissa in zip(self.names, (page.first, page.second), strict=True)
            if mantissa == 0
        ]
        loose = [
            name
            for name, pattern in zip(self.names, self.question.patterns, strict=True)
            if not self.format.is_normalised(pattern)
        ]
        if loose:
            which = "Neither is" if len(loose) == 2 else f"The {loose[0]} is not"
            said.append(f"{which} normalised: the first two bits are alike.")
        elif not zeros:
            said.append("Both are normalised: the first two bits differ.")
        said += [f"The {name} is zero: its mantissa is all 0s." for name in zeros]
        said.append(
            f"The exponents are {self.value(page.first_exponent)} and {self.value(page.second_exponent)}."
        )
        return said

    def _ready(self, step: Step) -> tuple[str, str, list[Row]]:
        rows = []
        for name, which in zip(self.names, ("first", "second"), strict=True):
            exponent = f"{which}_exponent"
            moved = getattr(step.before, exponent) - getattr(step.after, exponent)
            if moved:
                before = self.row(f"{name} before", step.before, which, soft=True)
                rows += [before, shifted(self.row(f"{name} after", step.after, which), before, -moved)]
        detail = (
            "Move the digits left until the first two differ, and take the number of places from the exponent. "
            "0s come in on the right, so the value has not changed."
        )
        return "Normalise the operands", detail, rows

    def _align(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after = step.before, step.after
        apart = before.first_exponent - before.second_exponent
        zero_first, zero_second = before.first == 0, before.second == 0
        title = "Match the exponents"
        if zero_first or zero_second:
            name = self.names[0] if zero_first else self.names[1]
            detail = f"The {name} is zero, so its exponent means nothing: it takes the other\u2019s and nothing moves."
            return title, detail, self._still_rows(step)
        if apart == 0:
            return title, "The exponents are equal, so nothing moves.", self._still_rows(step)
        which, other = ("second", "first") if apart > 0 else ("first", "second")
        old = self.row("before", before, which, soft=True)
        bits, worth = self._lost(step, which)
        new = shifted(self.row("after", after, which), old, abs(apart), lost=bits, lost_value=abs(worth))
        rows = [old, new]
        if after.extra:  # the other row is written out to the same places
            rows.append(self.row(self.name_of(other), after, other))
        return title, " ".join(self._align_sentences(step, which, bits, cost=worth != 0)), rows

    def name_of(self, which: str) -> str:
        """Return what the operand *which* is called."""
        return self.names[0] if which == "first" else self.names[1]

    def _align_sentences(self, step: Step, which: str, lost: str, *, cost: bool) -> list[str]:
        exponents = sorted((step.before.first_exponent, step.before.second_exponent))
        low, high = (self.value(Fraction(exponent)) for exponent in exponents)
        apart = exponents[1] - exponents[0]
        said = [
            f"{high} \u2212 {f'({low})' if exponents[0] < 0 else low} = {apart}, so move the "
            f"{self.name_of(which)}\u2019s digits right {plural(apart, 'place')}.",
            f"Copy the sign bit into the new place{'s' if apart > 1 else ''}.",
            *self._tray_sentences(lost, cost=cost, kept=bool(step.after.extra)),
        ]
        if not step.after.extra and apart >= self.format.places:
            left = "minus one unit in the last place" if getattr(step.after, which) < 0 else "nothing"
            said.append(f"So far a shift leaves only copies of the sign bit, worth {left}.")
        return said

    def _tray_sentences(self, lost: str, *, cost: bool, kept: bool) -> list[str]:
        """Return what becomes of the digits that pass the last place; *cost* says whether that costs anything."""
        if self.method.rules.get("places") is keep_all_places:
            return ["Every digit is kept: the cut comes at the end."]
        said = ["One guard bit is kept past the last place."] if kept else []
        if cost and self.method.rules["align"] is align_size:
            said.append("What passes the last place is cut from the size, so the number moves toward zero.")
        elif cost:
            said.append("What passes the last place falls into the tray.")
        elif lost:
            said.append("Only 0s pass the last place, so nothing is lost.")
        return said

    def _still_rows(self, step: Step) -> list[Row]:
        rows = []
        for name, which in zip(self.names, ("first", "second"), strict=True):
            rows.append(mark_changes(self.row(name, step.after, which), self.row(name, step.before, which)))
        return rows

    def _spare(self, step: Step) -> tuple[str, str, list[Row]]:
        rows: list[Row] = []
        for name, which in zip(self.names, ("first", "second"), strict=True):
            before = self.row(f"{name} before", step.before, which, soft=True)
            bits, worth = self._lost(step, which)
            new = self.row(f"{name} after", step.after, which)
            rows += [before, shifted(new, before, 1, lost=bits, lost_value=abs(worth))]
        detail = (
            "Move both right one place more and raise the exponent by 1, so that the sum is sure to fit. "
            "What passes the last place falls into the tray."
        )
        return "Make a spare place", detail, rows

    def _negate(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after = step.before, step.after
        taken_away = self.question.operation.name == "subtract"
        name = self.names[1] if taken_away else "mantissa"
        old = self.row(name, before, "second")
        width = self.format.mantissa_bits + after.extra
        new = self.row("add one", after, "second")
        inverted = speak(replace(self._inverted(old), label="invert", soft=True))
        said = [
            f"{'Taking away is adding the opposite: invert' if taken_away else 'Invert'} every bit, "
            "then add one in the last place.",
            "The exponent is left alone.",
        ]
        if before.second == 0:
            said.append("Zero is its own opposite: the carry runs out on the left.")
        new = mark_changes(new, old)
        if not fits(after.second, width):
            new = speak(replace(new, lead="0", lead_is="kept"))
            inverted = speak(replace(inverted, lead="0", lead_is="kept"))
            said.append(
                f"\u22121.0 has no opposite in {width} bits, so one extra sign place is written: +1.0 needs it."
            )
        return f"Negate the {name}", " ".join(said), [inverted, new]

    def _inverted(self, row: Row) -> Row:
        turned = row.bits.translate(str.maketrans("01", "10"))
        return replace(row, bits=turned, exponent=None, exponent_bits="", value=None)

    def _add(self, step: Step) -> tuple[str, str, list[Row]]:
        page = step.after
        spare = 1 if self._has_spare(page) else 0
        width = self.format.mantissa_bits + page.extra - spare
        first, second, total = (number >> spare for number in (page.first, page.second, page.total))
        carried = to_bits(first ^ second ^ total, width)  # a carry into a column is what makes its sum differ
        columns = (1 << width) - 1
        carry_out = ((first & columns) + (second & columns)) >> width
        carries = [Row(label="carries", carries=shorten(carried).replace("0", " "))] if "1" in carried else []
        rows = [
            *carries,
            self.row(self.names[0], page, "first"),
            replace(self._addend(page), plus=True),
            self._sum_row(page, carry_out),
        ]
        return "Add", " ".join(self._add_sentences(page, carried, carry_out)), rows

    def _addend(self, page: Page) -> Row:
        minus = "\u2212" if self.question.operation.name == "subtract" else ""
        row = self.row(f"{minus}{self.names[1]}", page, "second")
        if not fits(page.second, self.format.mantissa_bits + page.extra):
            return speak(replace(row, lead="0", lead_is="kept"))
        return row

    def _sum_row(self, page: Page, carry_out: int) -> Row:
        row = self.row("sum", page, "total")
        row = replace(row, changed="1" * len(row.bits))
        if page.overflowed:
            row = replace(row, lead="1" if page.total < 0 else "0", lead_is="kept")
        elif carry_out:
            row = replace(row, lead="1", lead_is="dropped")
        return speak(row)

    def _add_sentences(self, page: Page, carried: str, carry_out: int) -> list[str]:
        said = ["Carries stand above their columns." if "1" in carried else "No column carries."]
        extra_place = not fits(page.second, self.format.mantissa_bits + page.extra)
        if extra_place:
            said.append("The extra sign place takes part like any other.")
        if page.overflowed:
            said.append(
                "The extra sign place differs from the sign bit, so the sum does not fit the mantissa: "
                "mantissa overflow."
            )
        elif carry_out:
            said.append("The carry out of the sign place is dropped.")
            said.append(
                "A positive and a negative cannot overflow."
                if (page.first < 0) != (page.second < 0)
                else "The sum of two negatives is negative here, so it fits."
            )
        elif extra_place:
            said.append("It agrees with the sign bit, so the sum fits the mantissa.")
        return said

    def _repair(self, step: Step) -> tuple[str, str, list[Row]]:
        sign = "1" if step.before.total < 0 else "0"
        before = speak(
            replace(self.row("before", step.before, "total", soft=True), lead=sign, lead_is="kept")
        )
        bits, worth = self._lost(step, "total")
        if self._has_spare(step.after):
            bits = ""
        elif not bits:
            bits = "0"
        after = self.row("repaired", step.after, "total", late=True)
        after = replace(
            shifted(after, before, 1, lost=bits, lost_value=abs(worth)), filled=0
        )  # nothing is copied
        detail = (
            f"Move everything right one place behind its true sign, {sign}, and raise the exponent by 1. "
            + ("A 1 falls into the tray." if worth else "Nothing is lost.")
        )
        return "Repair the overflow", detail, [before, after]

    def _normalise(self, step: Step) -> tuple[str, str, list[Row]]:
        places = step.before.exponent - step.after.exponent
        before = self.row("before", step.before, "total", late=True, soft=True)
        if places < 0:
            return self._brought_back(step, before)
        label = "after" if step.before.extra else "answer"
        after = shifted(self.row(label, step.after, "total", late=True), before, -places)
        zeros = "A 0 comes" if places == 1 else "0s come"
        alike = "two" if places == 1 else str(places + 1)
        detail = (
            f"The first {alike} bits are alike, so move the digits left {plural(places, 'place')} "
            f"and take {places} from the exponent. {zeros} in on the right."
        )
        return "Normalise", detail, [before, after]

    def _brought_back(self, step: Step, before: Row) -> tuple[str, str, list[Row]]:
        """Return the line on which a course that keeps to the lowest exponent moves the digits back to it."""
        places = step.after.exponent - step.before.exponent
        after = shifted(self.row("after", step.after, "total", late=True), before, places)
        lowest = self.value(Fraction(self.format.lowest_exponent))
        detail = (
            f"The exponent cannot go below {lowest}: an underflow. This course leaves the answer un-normalised: "
            f"move the digits right {plural(places, 'place')} and add {places} to the exponent. None is cut yet."
        )
        return "Underflow", detail, [before, after]

    def _cut(self, step: Step) -> tuple[str, str, list[Row]]:
        before = self.row("before", step.before, "total", late=True, soft=True)
        bits, worth = self._lost(step, "total")
        after = self.row("answer", step.after, "total")
        after = speak(replace(mark_changes(after, before), lost=bits, lost_value=worth))
        after = replace(after, changed=differences(before.bits[: len(after.bits)], after.bits))
        width, rule = self.format.mantissa_bits, unwrap(self.method.rules["cut"])
        nearest = rule in {cut_to_nearest, cut_to_nearest_away}
        title = f"{'Round' if nearest else 'Cut'} to {width} bits"
        if not worth:
            detail = f"Keep the first {width} bits: only 0s are cut, so nothing is lost."
        elif nearest:
            which = "above" if worth < 0 else "below"
            tie = "to the pattern that ends in 0" if rule is cut_to_nearest else "away from zero"
            detail = f"Keep {width} bits, rounded to the nearest; a tie goes {tie}. This time that is the one {which}."
        elif rule is cut_size_to_width and worth < 0:
            detail = f"Keep {width} bits. The number is negative: cut its size, so that it moves toward zero."
        else:
            detail = f"Keep the first {width} bits. The rest fall into the tray."
        return title, detail, [before, after]

    def _range(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after, fmt = step.before, step.after, self.format
        if before.exponent > fmt.highest_exponent and after.outcome == IN_RANGE:
            row = mark_changes(self.row("answer", after, "total"), self.row("before", before, "total"))
            end = "most negative" if after.total < 0 else "largest"
            detail = (
                f"The exponent would be {self.value(Fraction(before.exponent))}, past the highest, "
                f"{self.value(Fraction(fmt.highest_exponent))}. This format then writes its {end} number."
            )
            return "Overflow", detail, [row]
        if after.outcome == OVERFLOW:
            return "Overflow", past_range(before.exponent, fmt), []
        if after.outcome == UNDERFLOW:
            return "Underflow", past_range(before.exponent, fmt), []
        if after.outcome == ZERO and before.total == 0:
            row = mantissa_row("answer", 0, fmt.zero.exponent, fmt)
            detail = (
                "Every bit of the sum is 0. Zero has no normal form; it is written with the "
                f"{'lowest exponent' if fmt.zero.exponent == fmt.lowest_exponent else 'exponent 0'}."
            )
            return "Zero", detail, [row]
        return self._underflow_kept(step)

    def _underflow_kept(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after, fmt = step.before, step.after, self.format
        old = self.row("before", before, "total", soft=True)
        if after.outcome == ZERO and self.question.course.underflow == "zero":
            new = mark_changes(mantissa_row("answer", 0, fmt.zero.exponent, fmt), old)
            detail = (
                f"The exponent would be {self.value(Fraction(before.exponent))}, below the lowest, "
                f"{self.value(Fraction(fmt.lowest_exponent))}: an underflow. This course writes zero."
            )
            return "Underflow", detail, [old, new]
        bits, worth = self._lost(step, "total")
        exponent = fmt.lowest_exponent
        new = mantissa_row("answer", after.total, exponent, fmt)
        new = shifted(new, old, exponent - before.exponent, lost=bits, lost_value=abs(worth))
        detail = (
            f"The exponent cannot go below {self.value(Fraction(exponent))}: an underflow. "
            "This course moves the digits back to the right and leaves the answer un-normalised."
        )
        return "Underflow", detail, [old, new]
