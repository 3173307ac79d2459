"""What multiplication and division write on the board; the lines they share with addition are its own."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from itertools import count

from chalkpoint.numbers.bits import scaled, shorten, to_bits
from chalkpoint.numbers.carriers import fits
from chalkpoint.working.methods import Method
from chalkpoint.working.page import Page
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording import floating
from chalkpoint.working.wording.heading import in_brackets
from chalkpoint.working.wording.reading import write_fraction
from chalkpoint.working.wording.rows import mark_changes, plural, speak
from chalkpoint.working.written import Row, Written

__all__ = ["cut_digits", "writer"]

#: Lines of which a faulty rule leaves one row, and what it is called.
LEFT_BELOW = {"product": "product", "quotient": "quotient", "sign": "quotient", "cut": "after"}


def writer(question: Question, method: Method) -> Callable[[Step], Written]:
    """Return what writes a step of *question* worked by *method*."""
    return Writer(question, method).write


def cut_digits(page: Page, *, divides: bool) -> str:
    """Return the digits of the row below the line that stand past the mantissa, and whether they go on."""
    if not divides:
        return shorten(to_bits(page.total, page.extra))
    return to_bits(page.total >> 1, page.extra - 1) + ("\u2026" if page.total & 1 else "")


class Writer(floating.Writer):
    """Writes the steps of one question; a method of it for each line."""

    @property
    def divides(self) -> bool:
        """Whether this is a division."""
        return bool(self.question.operation.name == "divide")

    def _line(self, step: Step) -> tuple[str, str, list[Row]]:
        if step.rule == "by_zero":
            return self._by_zero(step)
        title, detail, rows = super()._line(step)
        if self.divides and step.rule == "exponents":
            title = "Subtract the exponents"
        return title, detail, rows

    def _faulty_rows(self, step: Step) -> list[Row]:
        if step.rule == "exponents":
            return []
        if step.rule in LEFT_BELOW:
            return [self.row(LEFT_BELOW[step.rule], step.after, "total")]
        return super()._faulty_rows(step)

    def row(self, label: str, page: Page, which: str, *, late: bool = False, **marks: object) -> Row:
        """Return the row *which* of *page*; a quotient's last place only says whether the digits go on."""
        if which != "total":
            page = page._replace(extra=0)  # only the row below the line has places past the mantissa
        if not (self.divides and which == "total" and page.extra):
            row = super().row(label, page, which, late=late, **marks)
        else:
            ends = page.total & 1 == 0
            shown = page._replace(total=page.total >> 1, extra=page.extra - 1)
            row = super().row(label, shown, which, late=late, **marks)
            if not ends:
                row = replace(row, bits=f"{row.bits}\u2026", places=row.places + 1, value=None)
        if which == "total" and not fits(page.total, self.format.mantissa_bits + page.extra):
            width = self.format.mantissa_bits + page.extra
            places = next(more for more in count(1) if fits(page.total, width + more))
            row = replace(row, lead=to_bits(page.total >> width, places), lead_is="kept")
        return speak(row)

    def _lost(self, step: Step, which: str) -> tuple[str, Fraction]:
        """Return what the cut took: the digits past the mantissa, and what they were worth."""
        if step.rule != "cut":
            return super()._lost(step, which)
        first, second = self.question.values
        kept = scaled(step.after.total, step.after.exponent - self.format.places)
        exact = first / second if self.divides else first * second
        return cut_digits(step.before, divides=self.divides), exact - kept

    def mantissa(self, number: int) -> str:
        """Return a mantissa as a fraction, in brackets where it is negative."""
        value = Fraction(number, 1 << self.format.places)
        text = write_fraction(value)
        return f"({text})" if value < 0 else text

    def _exponents(self, step: Step) -> tuple[str, str, list[Row]]:
        page = step.after
        first, total = (self.value(Fraction(number)) for number in (page.first_exponent, page.exponent))
        second = in_brackets(Fraction(page.second_exponent), self.question.course.point)
        if self.divides:
            return "Subtract the exponents", f"{first} \u2212 {second} = {total}.", []
        return "Add the exponents", f"{first} + {second} = {total}.", []

    def _product(self, step: Step) -> tuple[str, str, list[Row]]:
        page, places = step.after, self.format.places
        product = Fraction(page.total, 1 << (2 * places))
        said = [
            f"{self.mantissa(page.first)} × {self.mantissa(page.second)} = {write_fraction(product)}.",
            f"{places} places and {places} places make {2 * places}.",
        ]
        if page.total == 0:
            said = ["One mantissa is 0, so the product is 0."]
        elif page.overflowed:
            said.append("The product does not fit behind one sign place: mantissa overflow.")
        return "Multiply the mantissas", " ".join(said), [self.row("product", page, "total")]

    def _quotient(self, step: Step) -> tuple[str, str, list[Row]]:
        page = step.after
        sizes = [write_fraction(Fraction(abs(number), 1 << self.format.places)) for number in page[0:3:2]]
        said = [f"{sizes[0]} ÷ {sizes[1]}, a few places further than the mantissa has."]
        if page.total == 0:
            said = ["The dividend is 0, so the quotient is 0."]
        elif page.total & 1:
            said.append("The division leaves a remainder, so the digits go on.")
        return "Divide the sizes", " ".join(said), [self.row("quotient", page, "total")]

    def _sign(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after = step.before, step.after
        if before.total == after.total:
            return "Give it its sign", "The signs are alike, so the quotient is positive.", []
        old = self.row("size", before, "total", soft=True)
        new = mark_changes(self.row("quotient", after, "total"), old)
        return "Give it its sign", "The signs differ, so the quotient is negative: negate it.", [old, new]

    def _repair(self, step: Step) -> tuple[str, str, list[Row]]:
        places = step.after.extra - step.before.extra
        old = self.row("before", step.before, "total", soft=True)
        new = self.row("repaired", step.after, "total")
        detail = (
            f"Move the point left {plural(places, 'place')}, so that one sign place is enough, and raise the "
            f"exponent by {places}. No digit is lost."
        )
        return (
            "Repair the overflow",
            detail,
            [old, speak(replace(new, exponent_changed="1" * len(new.exponent_bits)))],
        )

    def _by_zero(self, step: Step) -> tuple[str, str, list[Row]]:
        row = super().row("answer", step.after._replace(extra=0), "total")
        detail = (
            "Nothing times 0 gives the dividend: this format answers "
            "with the end of its range, of the dividend\u2019s sign."
        )
        return "Divide by zero", detail, [row]
