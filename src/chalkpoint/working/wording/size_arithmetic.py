"""What arithmetic on numbers of sign, exponent and size writes on the board."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from chalkpoint.numbers.bits import scaled, to_bits
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working.methods import Method
from chalkpoint.working.page import INFINITY, NOT_A_NUMBER, OVERFLOW, UNDERFLOW
from chalkpoint.working.question import Question
from chalkpoint.working.sizes import TO_INFINITY, TO_NAN, SizePage
from chalkpoint.working.speech import for_ear
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.heading import bracketed
from chalkpoint.working.wording.rows import differences, plural
from chalkpoint.working.wording.size_rows import (
    fields_row,
    says_packed,
    says_past_end,
    says_size,
    size_row,
    speak_size,
    stored_code,
)
from chalkpoint.working.written import Row, Written

__all__ = ["ROUNDING_WORDS", "writer"]

ROUNDING_WORDS = {
    "nearest": "to the nearest; a tie goes to the size that ends in 0",
    "nearest away": "to the nearest; a tie goes to the larger size",
    "toward zero": "toward zero: cut the size",
    "up": "up, toward plus infinity: a positive size grows, a negative one is cut",
    "down": "down, toward minus infinity: a negative size grows, a positive one is cut",
}


TITLES = {"exponents": "Add the exponents", "pack": "Pack"}


def writer(question: Question, method: Method) -> Callable[[Step], Written]:
    """Return what writes a step of *question*, worked by *method*."""
    return Writer(question, method).write


class Writer:
    """Writes the steps of one question; a method of it for each line."""

    def __init__(self, question: Question, method: Method) -> None:
        self.question = question
        self.method = method
        self.format: SignMagnitudeFormat = question.format
        self.names = question.names

    def write(self, step: Step) -> Written:
        """Return *step* as it stands on the board."""
        line = self._faulty if self._is_faulty(step) else getattr(self, f"_{step.rule}")
        title, detail, rows = line(step)
        ear = for_ear(detail, point=self.question.course.point).rstrip(".")
        spoken = ". ".join([title, ear, *(row.spoken for row in rows if row.spoken)])
        return Written(title, detail, f"{spoken}.", tuple(rows))

    def value(self, x: Fraction | int) -> str:
        """Return *x* as the course writes it."""
        return write_value(Fraction(x), point=self.question.course.point)

    # === What a belief writes ===

    def _is_faulty(self, step: Step) -> bool:
        """Tell whether a faulty rule wrote *step*."""
        if step.rule not in self.method.says:
            return False
        (line,) = (line for line in self.method.lines if line.name == step.rule)
        return self.method.departs(line, step.before, step.after, self.format)

    def _faulty(self, step: Step) -> tuple[str, str, list[Row]]:
        """Return what stands beside a line that a faulty rule wrote: its sentence, and what it came to."""
        page, says, rows = step.after, self.method.says[step.rule], []
        if step.rule == "exponents":
            says += f" The exponent is then {self.value(page.exponent)}."
        else:
            rows = [fields_row("answer", Fields(page.sign, page.stored, page.fraction), self.format)]
        return TITLES[step.rule], says, rows

    # === Rows ===

    def operand_row(self, page: SizePage, which: str, label: str = "") -> Row:
        """Return the row of one operand's size."""
        name = self.names[0 if which == "first" else 1]
        sign, size, exponent = (getattr(page, f"{which}{part}") for part in ("_sign", "", "_exponent"))
        return size_row(label or name, sign, size, exponent, self.format, extra=page.extra)

    def total_row(self, label: str, page: SizePage, *, width: int = 0) -> Row:
        """Return the row below the line; a quotient's last place only says whether the digits go on."""
        total, extra = page.total, page.extra
        divides = self.question.operation.name == "divide" and extra > 0
        if divides:
            total, extra = total >> 1, extra - 1
        row = size_row(label, page.sign, total, page.exponent, self.format, extra=extra, width=width)
        row = replace(row, beyond="GRS"[: len(row.beyond)] if self._adds else "")
        if divides and page.total & 1:
            row = replace(row, bits=f"{row.bits}\u2026", places=row.places + 1, value=None, unwritten="")
        return speak_size(row)

    @property
    def _adds(self) -> bool:
        return self.question.operation.name in {"add", "subtract"}

    # === Lines ===

    def _unpack(self, step: Step) -> tuple[str, str, list[Row]]:
        page, fmt = step.after, self.format
        rows, said = [], []
        for name, pattern in zip(self.names, self.question.patterns, strict=True):
            rows.append(fields_row(name, pattern, fmt))
            said.append(f"The {name}: {self._unpacked(pattern)}.")
        kinds = [fmt.kind(pattern) for pattern in self.question.patterns]
        for which, kind in zip(("first", "second"), kinds, strict=True):
            if kind not in {"infinity", "not a number"}:
                rows.append(self.operand_row(page, which))
        return "Unpack", " ".join([*self._stored_sentences(), *said]), rows

    def _stored_sentences(self) -> list[str]:
        said = []
        for name, pattern, given in zip(self.names, self.question.patterns, self.question.given, strict=True):
            if given is not None and given != self.format.value(pattern):
                kept = self.format.value(pattern)
                said.append(
                    f"The {name}, {self.value(given)}, is stored as {self.value(kept)}: "
                    f"{self.value(abs(given - kept))} is gone before the working starts."
                )
        return said

    def _unpacked(self, pattern: Fields) -> str:
        fmt = self.format
        kind = fmt.kind(pattern)
        if kind in {"infinity", "not a number"}:
            return (
                f"the exponent is all 1s, so this is {kind}" if kind == "infinity" else "this is not a number"
            )
        if kind == "zero":
            return "every bit after the sign is 0, so this is zero"
        size = fmt.size(pattern.exponent, pattern.fraction)
        exponent = fmt.true_exponent(pattern.exponent)
        digits = says_size(size, fmt.places)
        code = stored_code(pattern.exponent, fmt)
        if fmt.exponent.kind != "excess":
            return f"the exponent is {self.value(exponent)} and the size {digits}"
        excess = fmt.exponent.excess
        if fmt.hidden and fmt.subnormals and kind == "subnormal":
            return (
                "the stored exponent is 0, so no one is hidden and the exponent "
                f"counts as 1 \u2212 {excess}: {digits} × 2^{self.value(exponent)}"
            )
        restored = "with its hidden 1 the size is" if fmt.hidden else "the size is"
        return f"{code} \u2212 {excess} = {self.value(exponent)}, and {restored} {digits}"

    def _special(self, step: Step) -> tuple[str, str, list[Row]]:
        page = step.after
        shown = self.question.shown
        sign = self.question.operation.sign
        sum_text = f"{shown[0]} {sign} {bracketed(shown[1])}"
        if page.special == TO_NAN:
            return "Special values", f"{sum_text} is not a number: it has no answer.", []
        if page.special == TO_INFINITY and self.format.infinity is None:
            return "Special values", f"{sum_text} is not a number here: {self.format} has no infinity.", []
        if page.special == TO_INFINITY:
            word = "\u2212infinity" if page.sign else "infinity"
            why = (
                "dividing by zero"
                if page.second == 0 and self.question.operation.name == "divide"
                else "an infinity"
            )
            return "Special values", f"{sum_text}: {why} makes it {word}.", []
        return "Special values", f"{sum_text}: a number over infinity is zero.", []

    def _flip(self, step: Step) -> tuple[str, str, list[Row]]:
        sign = step.after.second_sign
        detail = (
            f"Taking away is adding the opposite: the {self.names[1]}\u2019s "
            f"sign bit becomes {sign}, nothing else changes."
        )
        return "Change the sign", detail, []

    def _ready(self, step: Step) -> tuple[str, str, list[Row]]:
        rows = []
        for which in ("first", "second"):
            if getattr(step.before, which) != getattr(step.after, which):
                name = self.names[0 if which == "first" else 1]
                rows += [
                    replace(self.operand_row(step.before, which, f"{name} before"), soft=True),
                    self.operand_row(step.after, which, f"{name} after"),
                ]
        detail = "Move the digits left until the first is 1, and take the number of places from the exponent."
        return "Normalise the operands", detail, rows

    def _align(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after = step.before, step.after
        apart = before.first_exponent - before.second_exponent
        rows = [self.operand_row(after, "first"), self.operand_row(after, "second")]
        title = "Match the exponents"
        if apart == 0 or before.first == 0 or before.second == 0:
            why = "The exponents are equal" if apart == 0 else "One operand is zero"
            return (
                title,
                f"{why}, so nothing moves. Three more places are written: guard, round and sticky.",
                rows,
            )
        which = 1 if apart > 0 else 0
        moved = abs(apart)
        number = "second" if which else "first"
        old = replace(self.operand_row(before, number, "before"), soft=True)
        new = speak_size(
            replace(
                rows[which],
                moved=moved,
                filled=min(moved, len(rows[which].bits)),
                changed="1" * len(rows[which].bits),
            )
        )
        exponents = sorted((before.first_exponent, before.second_exponent))
        low = bracketed(self.value(exponents[0]))
        size = getattr(before, number)
        said = [
            f"{self.value(exponents[1])} \u2212 {low} = {moved}, so move the {self.names[which]}\u2019s size right "
            f"{plural(moved, 'place')}, into guard, round and sticky places.",
        ]
        if (size << 3) & ((1 << moved) - 1):
            said.append("A 1 passes the last of them, so the sticky place is 1.")
        return title, " ".join(said), [rows[1 - which], old, new]

    def _combine(self, step: Step) -> tuple[str, str, list[Row]]:
        page = step.after
        rows = [self.operand_row(page, "first"), replace(self.operand_row(page, "second"), plus=True)]
        alike = page.first_sign == page.second_sign
        rows.append(self.total_row("sum" if alike else "difference", page))
        if alike:
            said = "The signs are alike: add the sizes and keep the sign."
        elif page.total == 0:
            sign = "\u22120" if page.sign else "+0"
            said = f"The signs differ and the sizes are equal: the difference is {sign}."
        else:
            smaller = self.names[1 if page.first > page.second else 0]
            said = (
                f"The signs differ: take the smaller size, the {smaller}\u2019s, "
                "from the larger, and keep the larger one\u2019s sign."
            )
        return "Combine", said, rows

    def _sign(self, step: Step) -> tuple[str, str, list[Row]]:
        page = step.after
        word = (
            "alike, so the answer is positive" if page.sign == 0 else "different, so the answer is negative"
        )
        return "Sign", f"The signs are {word}: sign bit {page.sign}.", []

    def _exponents(self, step: Step) -> tuple[str, str, list[Row]]:
        page, fmt = step.after, self.format
        divides = self.question.operation.name == "divide"
        first, second = self.value(page.first_exponent), bracketed(self.value(page.second_exponent))
        sign = "\u2212" if divides else "+"
        detail = f"{first} {sign} {second} = {self.value(page.exponent)}."
        if fmt.exponent.kind == "excess":
            excess = fmt.exponent.excess
            codes = [exponent + excess for exponent in (page.first_exponent, page.second_exponent)]
            undone = "+" if divides else "\u2212"
            detail += (
                f" With the stored exponents: {codes[0]} {sign} {codes[1]} {undone} {excess} = "
                f"{self.value(page.exponent + excess)}."
            )
        return ("Subtract the exponents" if divides else "Add the exponents"), detail, []

    def _product(self, step: Step) -> tuple[str, str, list[Row]]:
        page, places = step.after, self.format.places
        detail = (
            f"{says_size(page.first, places)} × {says_size(page.second, places)} = "
            f"{says_size(page.total, 2 * places)}."
        )
        return "Multiply the sizes", detail, [self.total_row("product", page, width=2 * self.format.digits)]

    def _quotient(self, step: Step) -> tuple[str, str, list[Row]]:
        page, places = step.after, self.format.places
        detail = f"{says_size(page.first, places)} ÷ {says_size(page.second, places)}, a few places further."
        if page.total & 1:
            detail += " The division leaves a remainder, so the digits go on."
        return "Divide the sizes", detail, [self.total_row("quotient", page)]

    def _renormalise(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after = step.before, step.after
        moved = after.exponent - before.exponent
        old = replace(self.total_row("before", before), soft=True)
        new = replace(
            self.total_row("after", after), moved=moved, changed="1" * len(self.total_row("", after).bits)
        )
        change = "add" if moved > 0 else "take"
        to_from = "to" if moved > 0 else "from"
        way = "right" if moved > 0 else "left"
        said = [
            f"Move the digits {way} {plural(abs(moved), 'place')}, and {change} {abs(moved)} {to_from} the exponent."
        ]
        if after.total >> (self.format.digits + after.extra - 1) == 0:
            said.append(f"The exponent stops at the lowest, {self.value(self.format.lowest_exponent)}.")
        if moved > 0 and before.total & ((1 << moved) - 1):
            said.append("What passes the last place is kept in the sticky place.")
        return "Renormalise", " ".join(said), [old, speak_size(new)]

    def _round(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after, fmt = step.before, step.after, self.format
        old = replace(self.total_row("before", before), soft=True)
        rest = before.total & ((1 << before.extra) - 1)
        lost = to_bits(rest, before.extra)
        new = self.total_row("rounded", after)
        kept = to_bits(before.total >> before.extra, fmt.digits)
        missed = self._missed(after) if rest else Fraction(0)
        new = speak_size(replace(new, lost=lost, lost_value=missed, changed=differences(kept, new.bits)))
        if not rest:
            return "Round", "Only 0s stand past the last place, so nothing is lost.", [old, new]
        said = [f"Round {ROUNDING_WORDS[self.question.course.rounding]}.", self._which_way(before, rest)]
        grew = after.carried or after.total > before.total >> before.extra
        said.append(
            "So the size grows by one unit in the last place." if grew else "So the size stays as it is."
        )
        if after.carried:
            said.append("The carry makes a further digit: move right once more and add 1 to the exponent.")
        return "Round", " ".join(said), [old, new]

    def _missed(self, page: SizePage) -> Fraction:
        """Return how much larger the exact size is: the sticky place stands for all digits past it."""
        first, second = (self.format.value(pattern) for pattern in self.question.patterns)
        name = self.question.operation.name
        if name == "divide":
            exact = first / second
        else:
            exact = {"add": first + second, "subtract": first - second, "multiply": first * second}[name]
        return abs(exact) - scaled(page.total, page.exponent - self.format.places)

    def _which_way(self, before: SizePage, rest: int) -> str:
        digits, half = to_bits(rest, before.extra), 1 << (before.extra - 1)
        if rest == half:
            return f"What is past the last place, {digits}, is a tie."
        return f"What is past the last place, {digits}, is {'more' if rest > half else 'less'} than half."

    def _pack(self, step: Step) -> tuple[str, str, list[Row]]:
        page, fmt = step.after, self.format
        pattern = Fields(page.sign, page.stored, page.fraction)
        if page.special:
            return (
                "Pack",
                f"The pattern is that of {fmt.kind(pattern)}.",
                [fields_row("answer", pattern, fmt)],
            )
        exponent = self.value(page.exponent)
        past = f"The exponent {exponent} is past the highest, {self.value(fmt.highest_exponent)}"
        if page.exponent <= fmt.highest_exponent:
            past = "This size is past the largest"
        if page.outcome == OVERFLOW:
            return "Overflow", f"{past}. The answer is the word overflow; no bits are written.", []
        if page.outcome == UNDERFLOW:
            detail = (
                f"The number is smaller than the smallest with all its digits, at the exponent "
                f"{self.value(fmt.lowest_exponent)}. The answer is the word underflow; no bits are written."
            )
            return "Underflow", detail, []
        row = fields_row("answer", pattern, fmt)
        over = page.exponent > fmt.highest_exponent or (
            not fmt.holds(page.total, page.exponent) and page.stored > 0
        )
        if page.outcome in {INFINITY, NOT_A_NUMBER} or over:
            written = says_past_end(pattern, fmt)
            return "Overflow", f"{past}: under this rounding the answer is {written}.", [row]
        return "Pack", says_packed(pattern, page.total, page.exponent, fmt), [row]
