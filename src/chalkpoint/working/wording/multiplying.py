"""What multiplication and division write on the board; the lines they share with addition are its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from chalkpoint.numbers.bits import scaled, shorten, to_bits
from chalkpoint.working import facts
from chalkpoint.working.methods import Method
from chalkpoint.working.page import Page
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.byhand import divided, multiplied, rows_left_out, takes_left_out
from chalkpoint.working.wording.floating import PatternWriter
from chalkpoint.working.wording.pages import PageWriter
from chalkpoint.working.wording.rows import mark_changes, speak
from chalkpoint.working.wording.said import Sentence, Told
from chalkpoint.working.wording.writer import told
from chalkpoint.working.written import Row

__all__ = ["ProductWriter", "cut_digits"]

#: Lines of which a faulty rule leaves one row, and what it is called.
LEFT_BELOW = {"product": "product", "quotient": "quotient", "sign": "quotient", "cut": "after"}


def cut_digits(page: Page, *, divides: bool) -> str:
    """Return the digits of the row below the line that stand past the mantissa, and whether they go on."""
    if not divides:
        return shorten(to_bits(page.total, page.extra))
    return to_bits(page.total >> 1, page.extra - 1) + ("\u2026" if page.total & 1 else "")


class ProductWriter(PatternWriter):
    """Writes the steps of one multiplication or division."""

    faulty_titles: Mapping[str, str] = {**PageWriter.faulty_titles, "exponents": "exponents.multiply"}

    def __init__(self, question: Question, method: Method) -> None:
        super().__init__(question, method)
        self.divides = question.operation.name == "divide"
        if self.divides:
            self.faulty_titles = {**PageWriter.faulty_titles, "exponents": "exponents.divide"}

    def faulty_rows(self, step: Step) -> Sequence[Row]:
        """Return the row below the line that a faulty rule left."""
        if step.rule == "exponents":
            return []
        if step.rule in LEFT_BELOW:
            return [self.row(LEFT_BELOW[step.rule], step.after, "total")]
        return super().faulty_rows(step)

    def row(
        self, label: str, page: Page, which: str, *, late: bool = False, lead: bool = True, **marks: object
    ) -> Row:
        """Return the row *which* of *page*; a quotient's last place only says whether the digits go on."""
        if which != "total":
            page = page._replace(extra=0)  # only the row below the line has places past the mantissa
        goes_on = self.divides and which == "total" and page.extra and page.total & 1
        if self.divides and which == "total" and page.extra:
            page = page._replace(total=page.total >> 1, extra=page.extra - 1)
        row = super().row(label, page, which, late=late, lead=lead, **marks)
        if which == "total" and page.total == 0:
            row = row._replace(exponent=None, exponent_bits="")  # of nothing the exponent means nothing
        if goes_on:
            row = row._replace(bits=f"{row.bits}\u2026", places=row.places + 1, value=None)
        return speak(row)

    def lost(self, step: Step, which: str) -> tuple[str, Fraction]:
        """Return what the cut took: the digits past the mantissa, and what they were worth."""
        if step.rule != "cut":
            return super().lost(step, which)
        first, second = self.question.values
        kept = scaled(step.after.total, step.after.exponent - self.format.places)
        exact = first / second if self.divides else first * second
        return cut_digits(step.before, divides=self.divides), exact - kept

    def cut_facts(self, step: Step) -> facts.Cut:
        """Return what *step* cut from the product or quotient."""
        return facts.Cut(self.format.mantissa_bits, *self.lost(step, "total"))

    def _exponents(self, step: Step) -> Told:
        found = facts.exponents(step.after)
        way = "divide" if self.divides else "multiply"
        return told(f"exponents.{way}", [f"exponents.{way}-{'zero' if found.zero else 'both'}"], found)

    def mantissa(self, number: int) -> Fraction:
        """Return a mantissa's value."""
        return Fraction(number, 1 << self.format.places)

    def _product(self, step: Step) -> Told:
        page, places = step.after, self.format.places
        if page.total == 0:
            return told("product", ["product.zero"], product=Fraction(0))
        said: list[Sentence | str] = ["product", "product.places"]
        if min(page.first, page.second) < 0:
            said = [*said, "product.sizes", f"product.{'negative' if page.total < 0 else 'positive'}"]
        if page.overflowed:
            said.append("product.overflow")
        return told(
            "product",
            [*said, *rows_left_out(page.second)],
            first=self.mantissa(page.first),
            second=self.mantissa(page.second),
            product=Fraction(page.total, 1 << (2 * places)),
            operand_places=places,
            product_places=2 * places,
        )

    def _product_rows(self, step: Step, _: Mapping[str, object]) -> list[Row]:
        page, places = step.after, self.format.places
        rows = multiplied(self.names, page.first, page.second, places, "size") if page.total else []
        if page.total >= 0:
            rows = rows[:-1]  # its digits are the product's own
        return [*rows, self.row("product", page, "total")]

    def _quotient(self, step: Step) -> Told:
        page = step.after
        sizes = [self.mantissa(abs(number)) for number in (page.first, page.second)]
        if page.total == 0:
            return told("quotient", ["quotient.zero"], dividend=sizes[0], divisor=sizes[1])
        goes_on = ["quotient.goes-on"] if page.total & 1 else []
        said: list[Sentence | str] = [
            "quotient",
            "quotient.how",
            *takes_left_out(self.division(page)),
            *goes_on,
        ]
        return told("quotient", said, dividend=sizes[0], divisor=sizes[1])

    def division(self, page: Page) -> facts.Division:
        """Return the facts of the long division on *page*."""
        further = self.format.places + page.extra - 1
        return facts.division(abs(page.first) << further, abs(page.second))

    def _quotient_rows(self, step: Step, _: Mapping[str, object]) -> list[Row]:
        page, places = step.after, self.format.places
        rows = divided(self.division(page), places, places + page.extra - 1) if page.total else []
        return [*rows, self.row("quotient", page, "total")]

    def _sign(self, step: Step) -> Told:
        before, after = step.before, step.after
        if before.total == 0:
            return told("sign", ["sign.zero"])
        return told("sign", ["sign.alike" if before.total == after.total else "sign.differ"])

    def _sign_rows(self, step: Step, _: Mapping[str, object]) -> list[Row]:
        before, after = step.before, step.after
        if before.total == after.total:
            return []
        old = self.row("size", before, "total", soft=True)
        return [old, mark_changes(self.row("quotient", after, "total"), old)]

    def _repair(self, step: Step) -> Told:
        return told("repair", ["repair.point"], places=step.after.extra - step.before.extra)

    def _repair_rows(self, step: Step, _: Mapping[str, object]) -> list[Row]:
        old = self.row("before", step.before, "total", soft=True)
        new = self.row("repaired", step.after, "total")
        return [old, speak(new, exponent_changed="1" * len(new.exponent_bits))]

    def _by_zero(self, step: Step) -> Told:
        return told("by-zero", ["by-zero" if self.question.values[0] else "by-zero.both"])

    def _by_zero_rows(self, step: Step, _: Mapping[str, object]) -> list[Row]:
        return [super().row("answer", step.after._replace(extra=0), "total")]
