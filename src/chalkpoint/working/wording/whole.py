"""What arithmetic on whole and fixed-point numbers writes on the board."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import ClassVar

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.carriers import Truth, fits
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.working import floating
from chalkpoint.working.methods import Method
from chalkpoint.working.page import OVERFLOW, TOO_LONG, Page, remainder
from chalkpoint.working.question import Question
from chalkpoint.working.speech import for_ear, say_bits
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.rows import differences, plural
from chalkpoint.working.written import Row, Written

__all__ = ["PLACES_PAST_THE_CUT", "Writer", "writer"]

MOST_PARTIAL_PRODUCTS = 12
PLACES_PAST_THE_CUT = 4


def writer(question: Question, method: Method | None = None) -> Callable[[Step], Written]:
    """Return what writes a step of *question*, which *method* worked where there is more than one way."""
    return Writer(question, method).write


class Writer:
    """Writes the steps of one question; a method of it for each line."""

    titles: ClassVar[dict[str, str]] = {
        "read": "Read",
        "negate": "Negate",
        "add": "Add",
        "product": "Multiply",
    }

    def __init__(self, question: Question, method: Method | None = None) -> None:
        self.question = question
        self.method = method
        self.says = method.says if method else {}
        self.format: FixedFormat = question.format
        self.names = question.names
        self.unsigned = self.format.field.kind == "unsigned"

    def write(self, step: Step) -> Written:
        """Return *step* as it stands on the board."""
        title, detail, rows = self._faulty(step) if self._is_faulty(step) else self.line(step)
        ear = for_ear(detail, point=self.question.course.point).rstrip(".")
        spoken = ". ".join([title, ear, *(row.spoken for row in rows if row.spoken)])
        return Written(title, detail, f"{spoken}.", tuple(rows))

    def line(self, step: Step) -> tuple[str, str, list[Row]]:
        """Return title, sentence and rows of *step*."""
        line: Callable[[Step], tuple[str, str, list[Row]]] = getattr(self, f"_{step.rule}")
        return line(step)

    # === What a belief writes ===

    def _is_faulty(self, step: Step) -> bool:
        """Tell whether a faulty rule wrote *step*."""
        if self.method is None or step.rule not in self.says:
            return False
        (line,) = (line for line in self.method.lines if line.name == step.rule)
        return self.method.departs(line, step.before, step.after, self.works_under)

    @property
    def works_under(self) -> object:
        """What the rules of the operation are given beside the page."""
        return self.format

    def _faulty(self, step: Step) -> tuple[str, str, list[Row]]:
        """Return what stands beside a line that a faulty rule wrote: its sentence, and what it left."""
        return self.titles[step.rule], self.says[step.rule], self.faulty_rows(step)

    def faulty_rows(self, step: Step) -> list[Row]:
        """Return the rows a faulty rule left."""
        page = step.after
        rows = [self.number_row(self.names[0], page.first), self.number_row(self.names[1], page.second)]
        if step.rule == "add" and page.outcome != OVERFLOW:
            long = {"lead": "1", "lead_is": "kept"} if page.outcome == TOO_LONG else {}
            rows = [rows[0], replace(rows[1], plus=True), self.number_row("sum", page.total, **long)]
        if step.rule == "product":
            rows.append(self.number_row("product", page.total))
        return rows

    def value(self, x: Fraction | int) -> str:
        """Return *x* as the course writes it."""
        return write_value(Fraction(x), point=self.question.course.point)

    def row(
        self, label: str, bits: str, number: int | None = None, *, places: int | None = None, **marks: object
    ) -> Row:
        """Return a row of bits whose last *places* (the format's by default) stand after the point."""
        places = self.format.places if places is None else places
        shown = shorten(bits)
        value = None if number is None else Fraction(number, 1 << places)
        places = min(places, len(shown))
        row = Row(label=label, bits=shown, places=places, value=value, **marks)  # type: ignore[arg-type]
        tray = f"; tray {say_bits(row.lost)}" if row.lost else ""
        return replace(row, spoken=f"{label}: {say_bits(shown, places)}{tray}")

    def number_row(self, label: str, number: int, **marks: object) -> Row:
        """Return the row of a number in the format's width."""
        return self.row(label, to_bits(number, self.format.bits), number, **marks)  # type: ignore[arg-type]

    # === The four operations ===

    def _read(self, step: Step) -> tuple[str, str, list[Row]]:
        page = step.after
        rows = [self.number_row(self.names[0], page.first), self.number_row(self.names[1], page.second)]
        rows[1] = replace(rows[1], place_values=True)
        shown = self.question.shown
        return "Read", f"The {self.names[0]} is {shown[0]}, the {self.names[1]} {shown[1]}.", rows

    def _negate(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after = step.before.second, step.after.second
        bits = to_bits(before, self.format.bits)
        inverted = self.row("invert", bits.translate(str.maketrans("01", "10")), soft=True)
        new = self.number_row("add one", after, changed=differences(bits, to_bits(after, self.format.bits)))
        said = "Taking away is adding the opposite: invert every bit, then add one in the last place."
        if not fits(after, self.format.bits):
            said += " This number has no opposite in as many bits, so one extra sign place is written."
            new = replace(new, lead="0", lead_is="kept")
        return f"Negate the {self.names[1]}", said, [inverted, new]

    def _add(self, step: Step) -> tuple[str, str, list[Row]]:
        page, bits = step.after, self.format.bits
        carry = floating.carry_out(page, self.format)
        carried = to_bits(page.first ^ page.second ^ page.total, bits)
        carries = [Row(label="carries", carries=shorten(carried).replace("0", " "))] if "1" in carried else []
        lead = {"lead": "1", "lead_is": "dropped"} if carry and not self.unsigned else {}
        if carry and self.unsigned:
            lead = {"lead": "1", "lead_is": "kept"}
        total = self.number_row("sum", page.total, **lead)
        if page.overflowed and self.unsigned is False:
            total = replace(total, value=None)
        rows = [
            *carries,
            self.number_row(self.names[0], page.first),
            self.number_row(self.names[1], page.second, plus=True),
            total,
        ]
        return "Add", " ".join(self._add_sentences(page, carry)), rows

    def _add_sentences(self, page: Page, carry: Truth) -> list[str]:
        first, second, overflowed = page.first, page.second, page.overflowed
        if self.unsigned:
            if carry:
                return ["A carry leaves the first column, and there is no place for it: overflow."]
            return ["No carry leaves the first column, so the sum fits."]
        said = (
            ["A carry leaves the sign place and is dropped."]
            if carry
            else ["No carry leaves the sign place."]
        )
        signs = "positives" if first >= 0 else "negatives"
        if (first < 0) != (second < 0):
            said.append("A positive and a negative cannot overflow.")
        elif overflowed:
            other = "negative" if first >= 0 else "positive"
            said.append(
                f"Two {signs} have given a {other}: overflow. It is the signs that tell, not the carry."
            )
        else:
            said.append(f"Two {signs} have given a {signs[:-1]}, so the sum fits.")
        return said

    def _take_away(self, step: Step) -> tuple[str, str, list[Row]]:
        page = step.after
        rows = [self.number_row(self.names[0], page.first), self.number_row(self.names[1], page.second)]
        if page.overflowed:
            return (
                "Take away",
                "The number taken away is the larger, and no pattern here is below 0: overflow.",
                rows,
            )
        return (
            "Take away",
            "Take away column by column, borrowing from the left.",
            [
                *rows,
                self.number_row("difference", page.total),
            ],
        )

    def _product(self, step: Step) -> tuple[str, str, list[Row]]:
        page, bits = step.after, self.format.bits
        first, second = abs(page.first), abs(page.second)
        ones = [place for place in range(second.bit_length()) if second >> place & 1]
        width = max((first * second).bit_length(), 1)
        rows = [
            self.row(
                "size" if page.first < 0 else self.names[0], to_bits(first, max(first.bit_length(), 1)), first
            ),
            self.row(
                "size" if page.second < 0 else self.names[1],
                to_bits(second, max(second.bit_length(), 1)),
                second,
            ),
        ]
        if len(ones) <= MOST_PARTIAL_PRODUCTS:
            rows += [
                self.row(
                    f"2^{place}",
                    to_bits(first << place, width),
                    places=2 * self.format.places,
                    plus=index > 0,
                )
                for index, place in enumerate(ones)
            ]
        rows.append(
            self.row(
                "product", to_bits(abs(page.total), width), abs(page.total), places=2 * self.format.places
            )
        )
        said = [
            f"Write the {self.names[0]} once for each 1 of the {self.names[1]}, moved to that 1\u2019s place, and add."
        ]
        if page.first < 0 or page.second < 0:
            said.insert(0, "Work with the sizes.")
            alike = (page.first < 0) == (page.second < 0)
            said.append(f"The signs {'are alike: positive' if alike else 'differ: negative'}.")
            if page.total < 0:
                rows.append(
                    self.row(
                        "negated",
                        to_bits(page.total, max(width + 1, bits)),
                        page.total,
                        places=2 * self.format.places,
                    )
                )
        return "Multiply", " ".join(said), rows

    def _cut(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after = step.before, step.after
        lost = to_bits(before.total, before.extra)
        width = max(self.format.bits, after.total.bit_length() + 1)
        fell = Fraction(before.total, 1 << (self.format.places + before.extra)) - Fraction(
            after.total, 1 << self.format.places
        )
        row = self.row("kept", to_bits(after.total, width), after.total, lost=lost, lost_value=fell)
        places = plural(self.format.places, "place")
        return "Cut", f"Keep {places} after the point; the rest falls into the tray.", [row]

    def _judge(self, step: Step) -> tuple[str, str, list[Row]]:
        page = step.after
        width = max(self.format.bits, page.total.bit_length() + (0 if self.unsigned else 1))
        row = self.row("answer", to_bits(page.total, width), page.total)
        if page.overflowed:
            need = f"The answer needs {width} bits, and there are {self.format.bits}: overflow."
            return "Overflow", need, [replace(row, label="too long")]
        return "Fit", f"The answer fits {self.format.bits} bits.", [row]

    def _quotient(self, step: Step) -> tuple[str, str, list[Row]]:
        page, places = step.after, self.format.places
        left = remainder(page, places)
        size, divisor = abs(page.first) << places, abs(page.second)
        rows, rest = [], size
        quotient = abs(page.total)
        ones = [place for place in range(quotient.bit_length() - 1, -1, -1) if quotient >> place & 1]
        width = max(size.bit_length(), 1)
        rows.append(self.row("dividend", to_bits(size, width), places=2 * places))
        if len(ones) <= MOST_PARTIAL_PRODUCTS:
            for place in ones:
                rest -= divisor << place
                rows.append(self.row(f"take 2^{place}", to_bits(divisor << place, width), places=2 * places))
                rows.append(self.row("left", to_bits(rest, width), places=2 * places, soft=True))
        after_it = (abs(left) << PLACES_PAST_THE_CUT) // divisor
        lost = f"{to_bits(after_it, PLACES_PAST_THE_CUT)}\u2026" if left else ""
        bits = to_bits(quotient, max(quotient.bit_length(), places + 1))
        missed = Fraction(abs(left), divisor << places)
        rows.append(self.row("quotient", bits, quotient, lost=lost, lost_value=missed))
        said = [
            "Take the divisor away in the highest place where it goes, write a 1 there, and go on with what is left."
        ]
        if page.first < 0 or page.second < 0:
            said.insert(0, "Work with the sizes.")
            alike = (page.first < 0) == (page.second < 0)
            said.append(
                f"The signs {'are alike: the quotient is positive' if alike else 'differ: the quotient is negative'}."
            )
        said.append(f"The remainder is {self.value(Fraction(left, 1 << (2 * places)))}.")
        return "Divide", " ".join(said), rows
