"""What decoding writes on the board."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.exact import is_dyadic, write_value
from chalkpoint.working.methods import Method
from chalkpoint.working.question import Question
from chalkpoint.working.speech import for_ear, say_bits
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.rows import mantissa_row, plural
from chalkpoint.working.written import Row, Written

__all__ = ["fixed_point_row", "take_excess", "weights_sum", "write_fraction", "writer"]

MOST_TERMS = 6


def writer(question: Question, method: Method) -> Callable[[Step], Written]:
    """Return what writes a step of decoding *question*'s pattern by *method*."""
    lines = {line.name: line for line in method.lines}

    def write(step: Step) -> Written:
        faulty = method.departs(lines[step.rule], step.before, step.after, question.format)
        if faulty and step.rule in method.says:
            title, detail, rows = _faulty(question, step, method.says[step.rule])
        else:
            title, detail, rows = LINES[step.rule](question, step)
        spoken = ". ".join(
            [title, for_ear(detail, point=question.course.point).rstrip("."), *(row.spoken for row in rows)]
        )
        return Written(title, detail, f"{spoken}.", rows)

    return write


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


def write_fraction(x: Fraction) -> str:
    """Return *x* as an integer or p/q, with a typographic minus."""
    return str(x).replace("-", "\u2212") if x.denominator.bit_length() <= 24 else write_value(x)


def fixed_point_row(label: str, x: Fraction) -> Row:
    """Return *x*, which ends in binary, written out in fixed-point two's complement with a sign place.

    >>> row = fixed_point_row("in binary", Fraction(-5, 32))
    >>> row.bits, row.places
    ('111011', 5)
    """
    places = x.denominator.bit_length() - 1
    number = x.numerator
    width = max((number if number >= 0 else ~number).bit_length(), places) + 1
    bits = shorten(to_bits(number, width))
    places = min(places, len(bits) - 1)
    return Row(label=label, bits=bits, places=places, value=x, spoken=f"{label}: {say_bits(bits, places)}")


def take_excess(bits: str, excess: int) -> str:
    """Return how an excess exponent is read, in one sentence.

    >>> take_excess("1011", 8)
    'Read it as unsigned, 1011 = 8 + 2 + 1 = 11, and take away the excess: 11 \u2212 8 = 3.'
    """
    code = int(bits, 2)
    weights = weights_sum("0" + bits, Fraction(1 << len(bits)))
    unsigned = f"{bits} = {weights} = {code}" if " " in weights else f"{bits} = {code}"
    true = write_value(Fraction(code - excess))
    return f"Read it as unsigned, {unsigned}, and take away the excess: {code} \u2212 {excess} = {true}."


def _faulty(question: Question, step: Step, says: str) -> tuple[str, str, tuple[Row, ...]]:
    """Return what stands beside a line that a faulty rule wrote: its sentence, and what it came to."""
    after, point = step.after, question.course.point
    results = {
        "exponent": ("Read the exponent", "exponent", Fraction(after.exponent)),
        "mantissa": (
            "Read the mantissa",
            "mantissa",
            Fraction(after.mantissa) / (1 << question.format.places),
        ),
        "scale": ("Scale", "value", after.value),
    }
    title, what, number = results[step.rule]
    return title, f"{says} The {what} is then {write_value(number, point=point)}.", ()


def _exponent(question: Question, step: Step) -> tuple[str, str, tuple[Row, ...]]:
    fmt = question.format
    bits = to_bits(step.before.exponent_code, fmt.exponent_bits)
    (pattern,) = question.patterns
    row = mantissa_row("pattern", pattern.mantissa, pattern.exponent, fmt, place_values=True)
    if fmt.exponent.kind == "excess":
        return "Read the exponent", take_excess(bits, fmt.exponent.excess), (row,)
    total = weights_sum(bits, Fraction(1 << (fmt.exponent_bits - 1)))
    value = write_value(Fraction(step.after.exponent))
    equation = f"{bits} = {value}" if total in {value, "0"} else f"{bits} = {total} = {value}"
    leading = "Its leading bit is 1, so it is negative" if step.after.exponent < 0 else "Its leading bit is 0"
    return "Read the exponent", f"{leading}: {equation}.", (row,)


def _mantissa(question: Question, step: Step) -> tuple[str, str, tuple[Row, ...]]:
    bits = to_bits(step.before.mantissa_code, question.format.mantissa_bits)
    value = Fraction(step.after.mantissa) / (1 << question.format.places)
    if question.format.implied:
        total = weights_sum(bits, Fraction(2))
        said = (
            f"The second bit is not written: it is the opposite of the sign bit, {bits[1]}. "
            f"The leading bit weighs \u22122, then 1, 1/2 and so on: {total}"
        )
    else:
        total = weights_sum(bits, Fraction(1))
        said = f"The leading bit weighs \u22121, then 1/2, 1/4 and so on: {total}"
    return (
        "Read the mantissa",
        f"{said}{'' if total == write_fraction(value) else f' = {write_fraction(value)}'}.",
        (),
    )


def _scale(question: Question, step: Step) -> tuple[str, str, tuple[Row, ...]]:
    after, point = step.after, question.course.point
    if after.mantissa == 0 or after.value == 0:
        return "Scale", "The mantissa is 0, so the value is 0 whatever the exponent.", ()
    mantissa, power = (
        Fraction(after.mantissa) / (1 << question.format.places),
        write_value(Fraction(after.exponent)),
    )
    value = write_value(after.value, point=point)
    said = [f"{write_fraction(mantissa)} × 2^{power} = {value}."]
    if after.exponent:
        way, filler = (
            ("right", "0s on the right") if after.exponent > 0 else ("left", "the sign bit on the left")
        )
        said.append(
            f"Or move the point {plural(abs(after.exponent), 'place')} {way}, with {filler} where places are missing."
        )
    rows = (fixed_point_row("in binary", after.value),) if is_dyadic(after.value) else ()
    return "Scale", " ".join(said), rows


LINES: dict[str, Callable[[Question, Step], tuple[str, str, tuple[Row, ...]]]] = {
    "exponent": _exponent,
    "mantissa": _mantissa,
    "scale": _scale,
}
