"""What whole and fixed-point numbers write on the board."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from chalkpoint.numbers.bits import shorten, to_bits, with_point
from chalkpoint.numbers.carriers import fits
from chalkpoint.numbers.exact import is_dyadic, write_percent, write_value
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.working.question import Question
from chalkpoint.working.speech import for_ear, say_bits
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.heading import bracketed
from chalkpoint.working.wording.reading import take_excess, weights_sum
from chalkpoint.working.wording.rows import differences, plural
from chalkpoint.working.written import Row, Written

__all__ = ["writer"]

MOST_PARTIAL_PRODUCTS = 12
PLACES_PAST_THE_CUT = 4
EXTREMES = frozenset({"largest positive", "smallest positive", "largest negative", "most negative"})


def writer(question: Question) -> Callable[[Step], Written]:
    """Return what writes a step of *question*."""
    return Writer(question).write


class Writer:
    """Writes the steps of one question; a method of it for each line."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.format: FixedFormat = question.format
        self.names = question.names
        self.unsigned = self.format.field.kind == "unsigned"

    def write(self, step: Step) -> Written:
        """Return *step* as it stands on the board."""
        line = self._extreme if step.rule in EXTREMES else getattr(self, f"_{step.rule}")
        title, detail, rows = line(step)
        ear = for_ear(detail, point=self.question.course.point).rstrip(".")
        spoken = ". ".join([title, ear, *(row.spoken for row in rows if row.spoken)])
        return Written(title, detail, f"{spoken}.", tuple(rows))

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
        carried = to_bits(page.first ^ page.second ^ page.total, bits)
        carries = [Row(label="carries", carries=shorten(carried).replace("0", " "))] if "1" in carried else []
        lead = {"lead": "1", "lead_is": "dropped"} if page.carry and not self.unsigned else {}
        if page.carry and self.unsigned:
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
        return "Add", " ".join(self._add_sentences(page)), rows

    def _add_sentences(self, page: object) -> list[str]:
        first, second, carry, overflowed = (
            getattr(page, name) for name in ("first", "second", "carry", "overflowed")
        )
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
        after_it = (abs(page.remainder) << PLACES_PAST_THE_CUT) // divisor
        lost = f"{to_bits(after_it, PLACES_PAST_THE_CUT)}\u2026" if page.remainder else ""
        bits = to_bits(quotient, max(quotient.bit_length(), places + 1))
        missed = Fraction(abs(page.remainder), divisor << places)
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
        remainder = Fraction(page.remainder, 1 << (2 * places))
        said.append(f"The remainder is {self.value(remainder)}.")
        return "Divide", " ".join(said), rows

    # === Reading, storing, negating and the range ===

    def _weigh(self, step: Step) -> tuple[str, str, list[Row]]:
        (bits,) = self.question.patterns
        field = self.format.field
        number = step.after.first
        row = replace(self.row("pattern", bits, number), place_values=field.kind != "sign and magnitude")
        return "Read the bits", self._weighed(bits, number), [row]

    def _weighed(self, bits: str, number: int) -> str:
        kind, top = self.format.field.kind, Fraction(1 << (len(bits) - 1))
        shown = self.value(number)
        if kind == "excess":
            return take_excess(bits, self.format.field.excess)
        if kind == "sign and magnitude":
            sign = "minus" if bits[0] == "1" else "plus"
            size = weights_sum("0" + bits[1:], top)
            return f"The first bit is the sign, {sign}; the rest is the size, {size}: {shown}."
        if kind == "ones' complement" and bits[0] == "1":
            turned = bits.translate(str.maketrans("01", "10"))
            return (
                "The first bit is 1, so it is negative: invert every "
                f"bit, {turned} = {abs(number)}, and put a minus: {shown}."
            )
        total = weights_sum("0" + bits, 2 * top) if self.unsigned else weights_sum(bits, top)
        leading = (
            "Every place counts positive" if self.unsigned else f"The leading bit weighs {self.value(-top)}"
        )
        return f"{leading}: {total}." if total == shown else f"{leading}: {total} = {shown}."

    def _scale(self, step: Step) -> tuple[str, str, list[Row]]:
        places, number = self.format.places, step.after.first
        value = Fraction(number, 1 << places)
        detail = (
            f"The point stands before the last {plural(places, 'place')}: "
            f"{self.value(number)} ÷ {1 << places} = {self.value(value)}."
        )
        return "Place the point", detail, []

    def _size(self, step: Step) -> tuple[str, str, list[Row]]:
        size = abs(step.before.value)
        ends = is_dyadic(size)
        places = size.denominator.bit_length() - 1 if ends else self.format.places + PLACES_PAST_THE_CUT
        number = (size.numerator << places) // size.denominator
        bits = to_bits(number, max(number.bit_length(), places + 1)) + ("" if ends else "\u2026")
        row = self.row("size", bits, places=places + (0 if ends else 1))
        detail = f"Write {self.value(size)} in binary."
        return "Write the size", detail if ends else f"{detail} The digits never end.", [row]

    def _fit(self, step: Step) -> tuple[str, str, list[Row]]:
        number, places = step.after.number, self.format.places
        width = max(abs(number).bit_length(), places + 1)
        lost = self._lost_digits(abs(step.before.value))
        missed = abs(step.before.value) - abs(number) * self.format.unit_value
        row = self.row("kept", to_bits(abs(number), width), abs(number), lost=lost, lost_value=missed)
        words = {
            "cut": "the pattern is cut, toward minus infinity",
            "cut size": "the size is cut",
            "nearest": "rounded to the nearest, ties to the pattern that ends in 0",
            "nearest away": "rounded to the nearest, ties away from zero",
        }[self.question.course.rounding]
        return "Fit", f"Keep {plural(places, 'place')} after the point: {words}.", [row]

    def _lost_digits(self, size: Fraction) -> str:
        places, ends = self.format.places, is_dyadic(size)
        past = size.denominator.bit_length() - 1 - places if ends else PLACES_PAST_THE_CUT
        number = (size.numerator << (places + past)) // size.denominator
        return shorten(to_bits(number, past)) + ("" if ends else "\u2026")

    def _code(self, step: Step) -> tuple[str, str, list[Row]]:
        fmt, number, pattern = self.format, step.after.number, step.after.pattern
        field = fmt.field
        if not field.holds(number):
            ends = [self.value(fmt.unit_value * end) for end in (field.lowest, field.highest)]
            said = f"{fmt} holds {ends[0]} to {ends[1]}: overflow."
            if pattern is None:
                return "Overflow", f"{said} No bits are written.", []
            return "Overflow", f"{said} The end of the range is written.", [self.row("answer", pattern)]
        row = self.row("answer", pattern, number, place_values=True)
        return "Write the bits", self._coded(number), [row]

    def _coded(self, number: int) -> str:
        field, bits = self.format.field, self.format.bits
        if field.kind == "excess":
            return (
                f"Add the excess, {self.value(number)} + {field.excess} "
                f"= {number + field.excess}, and write it in {bits} bits."
            )
        if number >= 0:
            return f"Fill {bits} bits with 0s on the left."
        return {
            "sign and "
            "magnitude": f"Fill {bits} bits with 0s on the left; the value is negative, so the first bit is 1.",
            "ones' complement": f"Fill {bits} bits with 0s on the left; the value is negative: invert every bit.",
        }.get(
            field.kind,
            f"Fill {bits} bits with 0s on the left; the value is "
            "negative: invert every bit, then add one in the last place.",
        )

    def _absolute(self, step: Step) -> tuple[str, str, list[Row]]:
        exact, stored = step.after.value, self.format.value(step.after.pattern)
        detail = (
            f"What was asked for less what is stored: {self.value(exact)} \u2212 {bracketed(self.value(stored))} = "
            f"{self.value(exact - stored)}. The absolute error is its size, {self.value(abs(exact - stored))}."
        )
        return "Absolute error", detail, []

    def _relative(self, step: Step) -> tuple[str, str, list[Row]]:
        exact = step.after.value
        size = abs(exact - self.format.value(step.after.pattern))
        relative = size / abs(exact)
        detail = (
            f"The absolute error divided by the size of the true value: {self.value(size)} ÷ "
            f"{self.value(abs(exact))} = {self.value(relative)}, {write_percent(relative)}."
        )
        return "Relative error", detail, []

    def _opposite(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after = step.before, step.after
        kind = self.format.field.kind
        old = self.row("pattern", before, soft=True)
        inverted = before.translate(str.maketrans("01", "10"))
        if after is None:
            said = f"{with_point(before, self.format.places)} has no opposite in {self.format.bits} bits: overflow."
            return "Negate", said, [old]
        new = self.row("answer", after, changed=differences(before, after))
        if kind == "two's complement":
            return (
                "Negate",
                "Invert every bit, then add one in the last place.",
                [old, self.row("invert", inverted), new],
            )
        said = {
            "sign and magnitude": "Only the first bit changes.",
            "ones' complement": "Invert every bit.",
            "unsigned": "Zero is its own opposite.",
        }.get(kind, "Read it, change the sign, and write it in the same code.")
        return "Negate", said, [old, new]

    def _extreme(self, step: Step) -> tuple[str, str, list[Row]]:
        pattern = step.after
        value = self.value(self.format.value(pattern))
        detail = f"{with_point(pattern, self.format.places)} = {value}."
        return step.rule.capitalize(), detail, [self.row("pattern", pattern)]
