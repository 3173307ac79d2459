"""Manners of writing an answer, and an answer read with the manner in which it is written.

A pattern may be right but for its manner: its exponent in decimal, zeros left off, the fields in the other
order, a value in its place. Such an answer is neither right nor wrong in silence. It is judged by what it
means, and the manner is the teacher's to decide, once for a class.
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.reading import asks_for_bits
from chalkpoint.marking.rows import same_digits
from chalkpoint.numbers.fitting import fit
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.working.bringing import by_rule
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = ["MANNERS", "TAKEN_WHERE", "ZEROS_ADDED", "Answer", "as_meant", "is_own_value"]

#: Manners of writing an answer, and the fields that a strict marker withholds for each.
MANNERS: dict[str, tuple[str, ...]] = {
    "exponent in decimal": ("exponent",),
    "leading zeros of the exponent left off": ("exponent",),
    "trailing zeros left off": ("mantissa",),
    "zeros added at the end": ("mantissa",),
    "zeros added in front": ("exponent",),
    "sign bit left off": ("mantissa",),
    "leading zeros left off": ("mantissa", "exponent"),
    "fields in the other order": ("mantissa", "exponent"),
    "in hexadecimal": ("mantissa", "exponent"),
    "value without its pattern": ("mantissa", "exponent"),
    "pattern without its value": (),  # where an extreme's value is asked for
}
#: In which words each is taken elsewhere.
TAKEN_WHERE = {
    "exponent in decimal": "the exponent may be written in decimal",
    "leading zeros of the exponent left off": "the exponent may be written without its leading zeros",
    "trailing zeros left off": "the mantissa may be written without its trailing zeros",
    "zeros added at the end": "the digits may have further zeros at their end",
    "zeros added in front": "a pattern may have further zeros in front",
    "sign bit left off": "the mantissa of a positive number may be written without its sign bit",
    "leading zeros left off": "a pattern may be written without its leading zeros",
    "fields in the other order": "the exponent stands first",
    "in hexadecimal": "patterns may be written in hexadecimal",
    "value without its pattern": "a value may stand for its pattern",
    "pattern without its value": "a pattern may stand for its value",
}
ZEROS_ADDED = {"zeros added in front", "zeros added at the end"}
OWN_VALUE = (
    "encode",
    "normalise",
    "negate",
)  # whose answer has the value that the question gave: it shows nothing


class Answer(NamedTuple):
    """What is written in an answer's place.

    reading    what it means: the last of several answers; None for a blank
    spelling   that in the one spelling of everything written alike; unchanged where it cannot be read
    manners    how it is written otherwise than asked for: keys of `MANNERS`
    several    every answer's spelling, where more than one is written
    readable   whether it could be read at all
    values     the values written beside it, or are all of it
    """

    reading: Reading | None = None
    spelling: str = ""
    manners: tuple[str, ...] = ()
    several: tuple[str, ...] = ()
    readable: bool = False
    values: tuple[Fraction, ...] = ()


def is_own_value(question: Question, answer: Answer) -> bool:
    """Tell whether the answer is only the value that the question gave, which shows nothing."""
    return question.operation.name in OWN_VALUE and "value without its pattern" in answer.manners


def as_meant(question: Question, reading: Reading, line: str = "answer") -> tuple[Reading, tuple[str, ...]]:
    """Return *reading* as its writer means it, its fields whole, and the manners in which it is written."""
    if reading.word or not asks_for_bits(question, line) or reading.lead:
        return reading, ()
    fmt = question.float_format
    reading = _in_hexadecimal(question, reading, fmt) if line == "answer" else reading
    manners = ["in hexadecimal"] if reading.hexadecimal and question.course.hexadecimal == "hidden" else []
    if reading.swapped:
        manners.append("fields in the other order")
    if reading.digits and reading.exponent:
        reading, more = _whole_fields(question, reading, fmt)
        return reading, (*manners, *more)
    if _lost_zeros(reading, fmt):
        digits = reading.digits.rjust(fmt.bits, "0")
        edge = fmt.exponent_bits if fmt.exponent_first else fmt.mantissa_bits
        one, other = digits[:edge], digits[edge:]
        mantissa, exponent = (other, one) if fmt.exponent_first else (one, other)
        return reading._replace(digits=mantissa, exponent=exponent, value=None), ("leading zeros left off",)
    if reading.value is None or len(reading.bare) == fmt.mantissa_bits:
        return reading, tuple(manners)
    missing = fmt.mantissa_bits - len(reading.bare)
    filled = reading.digits + "0" * missing
    if _is_right_mantissa(question, fmt, filled, likely=missing > 0 and reading.digits[1:2] == "."):
        return reading._replace(digits=filled, value=None), (*manners, "trailing zeros left off")
    pattern = _pattern_of(reading.value, fmt)
    if pattern is None or (
        question.operation.name == "error" and pattern != by_rule(question.value, question.course)
    ):
        return reading, ()
    digits, exponent = fmt.mantissa.write(pattern.mantissa), fmt.exponent.write(pattern.exponent)
    return reading._replace(digits=digits, exponent=exponent), ("value without its pattern",)


def _in_hexadecimal(question: Question, reading: Reading, fmt: FloatFormat) -> Reading:
    """Return *reading*, a number, as hexadecimal where the format holds no such number, or that alone is right."""
    other = reading.other
    if other is None or not other.hexadecimal:
        return reading
    pattern = work_question(question).pattern
    if pattern is None:
        return reading
    right = other.bare == fmt.mantissa.write(pattern.mantissa) and other.exponents(fmt) == {pattern.exponent}
    held = bool(reading.digits) or reading.value is None or _pattern_of(reading.value, fmt) is not None
    own = reading.value == fmt.value(pattern)
    return other._replace(text=reading.text) if (right and not own) or not held else reading


def _whole_fields(question: Question, reading: Reading, fmt: FloatFormat) -> tuple[Reading, list[str]]:
    """Return *reading* with both fields in full, and what was left off, added or written as a number."""
    digits, exponent, manners = reading.digits, reading.exponent, []
    short = len(exponent) < fmt.exponent_bits and set(exponent) <= {"0", "1"}
    if reading.power or (short and (len(exponent) == 1 or _is_stored_number(question, exponent, fmt))):
        numbers = reading.exponents(fmt)
        number = _exponent_meant(question, next(iter(numbers)), fmt) if len(numbers) == 1 else None
        if number is not None and fmt.holds(number):
            exponent = fmt.exponent.write(number)
            manners.append("exponent in decimal")
    elif short:
        exponent = exponent.rjust(fmt.exponent_bits, "0")
        manners.append("leading zeros of the exponent left off")
    elif set(exponent[: -fmt.exponent_bits]) == {"0"} and exponent[-fmt.exponent_bits] == "0":
        exponent = exponent[-fmt.exponent_bits :]
        manners.append("zeros added in front")
    missing = fmt.mantissa_bits - len(reading.bare)
    if missing > 0 and (
        digits[0] == "." or _is_right_mantissa(question, fmt, f"0{digits}", likely=missing == 1)
    ):
        digits, missing = f"0{digits}", missing - 1
        manners.append("sign bit left off")
    if missing > 0 and digits.find(".") in {-1, 1}:
        digits += "0" * missing
        manners.append("trailing zeros left off")
    elif _is_right_mantissa(
        question, fmt, digits[:missing], likely=missing < 0 and "1" not in digits[missing:]
    ):
        digits = digits[:missing]
        manners.append("zeros added at the end")
    power = reading.power and exponent == reading.exponent
    return reading._replace(digits=digits, exponent=exponent, power=power), manners


def _is_stored_number(question: Question, exponent: str, fmt: FloatFormat) -> bool:
    """Tell whether *exponent*, 0s and 1s, is the right exponent as it is stored, as a number: 10 for 1010."""
    pattern = work_question(question).pattern if fmt.exponent.excess else None
    return pattern is not None and int(exponent) - fmt.exponent.excess == pattern.exponent


def _exponent_meant(question: Question, number: int, fmt: FloatFormat) -> int:
    """Return the exponent that *number* means: it may be what is stored, where that is right and has an excess."""
    stored = number - fmt.exponent.excess
    pattern = work_question(question).pattern if fmt.exponent.excess else None
    return stored if pattern is not None and pattern.exponent == stored else number


def _is_right_mantissa(question: Question, fmt: FloatFormat, digits: str, *, likely: bool) -> bool:
    """Tell whether *digits*, where that is *likely*, are the course's own mantissa: of several readings that one."""
    pattern = work_question(question).pattern if likely else None
    return pattern is not None and same_digits(digits, fmt.mantissa.write(pattern.mantissa))


def _lost_zeros(reading: Reading, fmt: FloatFormat) -> bool:
    """Tell whether *reading* is one run of bits too long for a mantissa and too short for a pattern."""
    run = reading.digits
    return run.isdigit() and not reading.exponent and fmt.mantissa_bits + 1 < len(run) < fmt.bits


def _pattern_of(value: Fraction, fmt: FloatFormat) -> Pattern | None:
    """Return the pattern that is exactly *value*, or None."""
    if value == 0:
        return fmt.zero
    fitted = fit(value, fmt, ROUNDINGS["cut"])
    pattern = fmt.zero._replace(mantissa=fitted.mantissa, exponent=fitted.exponent)
    return pattern if fmt.holds(fitted.exponent) and fmt.value(pattern) == value else None
