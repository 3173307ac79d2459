"""What decoding writes on the board."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.exact import is_dyadic
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.speech import say_bits
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.rows import mantissa_row
from chalkpoint.working.wording.said import Told, write_fraction
from chalkpoint.working.wording.writer import StepWriter, told
from chalkpoint.working.written import Row

__all__ = ["ReadingWriter", "excess_facts", "exponent_facts", "fixed_point_row", "weights_sum"]

MOST_TERMS = 6


def weights_sum(bits: str, first: Fraction) -> str:
    """Return the weights under the 1s of *bits*, in two's complement, written as a sum.

    first  the size of the leading bit's weight

    >>> weights_sum("1110", Fraction(8)), weights_sum("10110000", Fraction(1))
    ('\u22128 + 4 + 2', '\u22121 + 1/4 + 1/8')
    """
    terms = []
    for place, bit in enumerate(bits):
        if bit == "1":
            minus = "\u2212" if place == 0 else ""
            terms.append(f"{minus}{write_fraction(first / 2**place)}")
    if len(terms) > MOST_TERMS:
        terms = [*terms[:3], "\u2026", *terms[-2:]]
    return " + ".join(terms) or "0"


def fixed_point_row(label: str, x: Fraction, *, sized: bool = False) -> Row:
    """Return *x*, which ends in binary, written out in fixed-point two's complement with a sign place.

    sized  as its size instead, behind a minus where it is negative

    >>> row = fixed_point_row("in binary", Fraction(-5, 32))
    >>> row.bits, row.places
    ('111011', 5)
    >>> row = fixed_point_row("in binary", Fraction(-51, 8), sized=True)
    >>> row.minus, row.bits, row.places
    (True, '110011', 3)
    """
    places, length = x.denominator.bit_length() - 1, abs(x.numerator).bit_length()
    number = abs(x.numerator) if sized else x.numerator
    width = max(length, places + 1) if sized else max(length, places) + 1  # a sign place before all digits
    bits = shorten(to_bits(number, width))
    places, minus = min(places, len(bits) - 1), sized and x < 0
    spoken = f"{label}: {'minus ' * minus}{say_bits(bits, places)}"
    return Row(label=label, bits=bits, places=places, value=x, minus=minus, spoken=spoken)


def excess_facts(bits: str, excess: int) -> dict[str, object]:
    """Return what an excess exponent is read from: its unsigned reading, the excess, and what is left."""
    code = int(bits, 2)
    weights = weights_sum("0" + bits, Fraction(1 << len(bits)))
    unsigned = f"{weights} = {code}" if " " in weights else str(code)
    return {"bits": bits, "unsigned": unsigned, "code": code, "excess": excess, "true": code - excess}


def exponent_facts(bits: str, exponent: int, value: str) -> tuple[str, dict[str, object]]:
    """Return the sentence and the facts of reading an exponent in two's complement.

    value  the exponent as the course writes it
    """
    weights = weights_sum(bits, Fraction(1 << (len(bits) - 1)))
    key = "exponent.equals" if weights in {value, "0"} else "exponent.weights"
    return key, {"bits": bits, "weights": weights, "exponent": exponent}


class ReadingWriter(StepWriter):
    """Writes the steps of reading one pattern."""

    format: FloatFormat
    faulty_titles: Mapping[str, str] = {
        "exponent": "exponent",
        "mantissa": "mantissa",
        "scale": "scale",
    }

    def faulty_says(self, step: Step) -> list[str]:
        """Return the key of what a faulty reading came to."""
        return ["faulty.value" if step.rule == "scale" else f"faulty.{step.rule}"]

    def faulty_facts(self, step: Step) -> dict[str, object]:
        """Return what a faulty reading came to."""
        after = step.after
        mantissa = Fraction(after.mantissa) / (1 << self.format.places)
        return {"exponent": Fraction(after.exponent), "mantissa": mantissa, "value": after.value}

    def _exponent(self, step: Step) -> Told:
        fmt = self.format
        bits = to_bits(step.before.exponent_code, fmt.exponent_bits)
        if fmt.exponent.kind == "excess":
            return told("exponent", ["exponent.excess"], **excess_facts(bits, fmt.exponent.excess))
        if step.after.exponent < fmt.lowest_exponent:
            return told("exponent", ["exponent.for-zero"], bits=bits)
        key, stated = exponent_facts(bits, step.after.exponent, self.value(step.after.exponent))
        leading = "exponent.negative" if step.after.exponent < 0 else "exponent.leading-0"
        return told("exponent", [f"{leading}{key.removeprefix('exponent')}"], **stated)

    def _exponent_rows(self, step: Step, _: Mapping[str, object]) -> list[Row]:
        (pattern,) = self.question.patterns
        return [mantissa_row("pattern", pattern.mantissa, pattern.exponent, self.format, place_values=True)]

    def _mantissa(self, step: Step) -> Told:
        fmt = self.format
        bits = to_bits(step.before.mantissa_code, fmt.mantissa_bits)
        value = Fraction(step.after.mantissa) / (1 << fmt.places)
        weights = weights_sum(bits, Fraction(2 if fmt.implied else 1))
        said = ["mantissa.implied", "mantissa.implied-weights"] if fmt.implied else ["mantissa.weights"]
        if weights != write_fraction(value):
            said[-1] += "-sum"
        return told("mantissa", said, bits=bits, implied=bits[1], weights=weights, value=value)

    def _scale(self, step: Step) -> Told:
        after = step.after
        if after.mantissa == 0 or after.value == 0:
            return told("scale", ["scale.zero"], value=after.value)
        said = ["scale"]
        if after.exponent:
            said.append("scale.right" if after.exponent > 0 else "scale.left")
        mantissa = Fraction(after.mantissa) / (1 << self.format.places)
        power = Fraction(after.exponent)
        return told("scale", said, mantissa=mantissa, power=power, value=after.value, places=abs(power))

    def _scale_rows(self, step: Step, _: Mapping[str, object]) -> list[Row]:
        after = step.after
        if after.mantissa == 0 or after.value == 0 or not is_dyadic(after.value):
            return []
        return [fixed_point_row("in binary", after.value)]
