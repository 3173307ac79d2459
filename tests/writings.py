"""Right answers in every documented manner of writing, drawn at random."""

import random
from collections.abc import Callable, Iterator
from fractions import Fraction

from chalkpoint.numbers.exact import write_value
from chalkpoint.setting.papers import Asked
from chalkpoint.working.course import Course
from chalkpoint.working.methods import METHODS
from chalkpoint.working.procedures import answer_by, method_named
from chalkpoint.working.question import Question
from heron import one_question

__all__ = [
    "FORMATS",
    "FULL",
    "GROUPED",
    "TRAYS",
    "drawn_anywhere",
    "drawn_question",
    "field_altered",
    "fields_of",
    "right_answers",
    "row_moved",
]

FORMATS = ("6+4", "8+4", "5+3", "10+6", "7+5", "12+4", "16+8")
OPERATIONS = ("encode", "normalise", "negate", "add", "subtract", "multiply", "divide")

#: Manners that earn full marks: each takes the two fields and the value.
FULL: dict[str, Callable[[str, str, str], str]] = {
    "plain": lambda m, e, v: f"{m} {e}",
    "pointed": lambda m, e, v: f"{m[0]}.{m[1:]} {e}",
    "together": lambda m, e, v: m + e,
    "fours": lambda m, e, v: " ".join((m + e)[at : at + 4] for at in range(0, len(m + e), 4)),
    "barred": lambda m, e, v: f"{m}|{e}",
    "comma": lambda m, e, v: f"{m[0]}.{m[1:]}, {e}",
    "dashed": lambda m, e, v: f"{m}-{e}",
    "named": lambda m, e, v: f"M = {m}, E = {e}",
    "named, colons": lambda m, e, v: f"M: {m[0]}.{m[1:]} E: {e}",
    "named, semicolon": lambda m, e, v: f"M = {m}; E = {e}",
    "named, exponent first": lambda m, e, v: f"exponent {e} mantissa {m}",
    "letters in brackets": lambda m, e, v: f"(M) {m} (E) {e}",
    "boxes": lambda m, e, v: f"[{m}] [{e}]",
    "quotes": lambda m, e, v: f'"{m} {e}"',
    "labelled": lambda m, e, v: f"ANS: {m} {e}",
    "equals": lambda m, e, v: f"= {m} {e}",
    "with its value": lambda m, e, v: f"{m} {e} = {v}",
    "value first": lambda m, e, v: f"{v} = {m} {e}",
    "value in brackets": lambda m, e, v: f"{m[0]}.{m[1:]} {e} ({v})",
    "full stop": lambda m, e, v: f"{m} {e}.",
    "doubt": lambda m, e, v: f"{m} {e} ?",
    "crossed out": lambda m, e, v: f"~~{m[::-1]} {e}~~ {m} {e}",
    "arrow": lambda m, e, v: f"{m[::-1]} {e} -> {m} {e}",
    "letters": lambda m, e, v: (
        f"{m} {e}".replace("0", "O", 3).replace("1", "l", 2) if "0" in m[3:] + e else f"{m} {e}"
    ),
    "full width": lambda m, e, v: "".join(chr(ord(c) + 0xFEE0) if c in "01" else c for c in f"{m} {e}"),
    "below": lambda m, e, v: f"{m}\n{e}",
    "a sentence": lambda m, e, v: f"The mantissa is {m} and the exponent is {e}.",
    "answer is": lambda m, e, v: f"answer is {m[0]}.{m[1:]} {e}",
    "value said": lambda m, e, v: f"{m} {e} i.e. {v}",
    "value below": lambda m, e, v: f"{m} {e}\n= {v}",
    "base in brackets": lambda m, e, v: f"{m} {e} (2)",
    "base in words": lambda m, e, v: f"{m} {e} (base 2)",
    "raised point": lambda m, e, v: f"{m[0]}\u00b7{m[1:]} {e}",
}
#: Manners of writing a row and the digits that fell off it: each takes both, and the exponent of the row.
TRAYS: dict[str, Callable[[str, str, str], str]] = {
    "space": lambda row, lost, e: f"{row} {lost}",
    "space, no point": lambda row, lost, e: f"{row.replace('.', '')} {lost}",
    "bar": lambda row, lost, e: f"{row}|{lost}",
    "brackets": lambda row, lost, e: f"{row} ({lost})",
    "boxes": lambda row, lost, e: f"{row} {''.join(f'[{digit}]' for digit in lost)}",
    "comma": lambda row, lost, e: f"{row}, {lost}",
    "power": lambda row, lost, e: f"{row} {lost} x 2^{e}",
    "bar, power": lambda row, lost, e: f"{row}|{lost} \u00d7 2^{e}",
    "brackets, E": lambda row, lost, e: f"{row} ({lost}) E{e}",
    "said before": lambda row, lost, e: f"{row} lost {lost}",
    "said behind": lambda row, lost, e: f"{row} {lost} fell off",
    "crossed out": lambda row, lost, e: f"{row} ~~{lost}~~",
    "an arrow": lambda row, lost, e: f"{lost}{row} -> {row} {lost}",
    "uncut": lambda row, lost, e: f"{row}{lost}",
}
#: Manners that form a group: full marks if the teacher takes them.
GROUPED: dict[str, Callable[[str, str, str], str]] = {
    "exponent in decimal": lambda m, e, v: f"{m[0]}.{m[1:]} {signed(e)}",
    "a power of two": lambda m, e, v: f"{m[0]}.{m[1:]} \u00d7 2^{signed(e)}",
    "trailing zeros left off": lambda m, e, v: f"{m[0]}.{m[1:].rstrip('0') or '0'} {e}",
    "fields in the other order": lambda m, e, v: f"{e} {m[0]}.{m[1:]}",
}


def signed(bits: str) -> int:
    """Return bits in two's complement as a number, worked out here and not by the package."""
    return int(bits, 2) - (1 << len(bits)) * (bits[0] == "1")


def drawn_question(rng: random.Random) -> tuple[Asked, Question]:
    """Return a question of any type in any format, with its scheme, under a course that may accept other methods."""
    while True:
        name, spelling = rng.choice(OPERATIONS), rng.choice(FORMATS)
        fmt = Course(format=spelling).float_format
        operands = [pattern(rng, fmt.mantissa_bits, fmt.exponent_bits) for _ in range(2)]
        if name in {"normalise", "negate"}:
            operands = operands[:1]
        elif name == "encode":
            operands = [str(Fraction(rng.randrange(-400, 400) or 3, 32))]
        accepts = rng.sample(sorted(METHODS), rng.randrange(3)) if name in {"add", "subtract"} else []
        try:
            asked = one_question(name, *operands, format=spelling, accepts=accepts)
        except ValueError:
            continue
        return asked, asked.question


def row_moved(question: Question) -> tuple[str, str, int]:
    """Return the row that aligning moves, what falls off it, and the exponent shared; nothing off, and "" is moved."""
    fmt = question.float_format
    low, high = sorted(question.patterns, key=lambda pattern: pattern.exponent)
    apart = high.exponent - low.exponent
    row = low.mantissa % (1 << fmt.mantissa_bits)
    bits = f"{row:0{fmt.mantissa_bits}b}"
    moved = bits[0] * apart + bits
    kept = moved[: fmt.mantissa_bits]
    return f"{kept[0]}.{kept[1:]}", moved[fmt.mantissa_bits :], high.exponent


#: Manners of writing a pattern of any family that earn full marks.
ANYWHERE: dict[str, Callable[[str], str]] = {
    "below": lambda bits: bits.replace(" ", "\n"),
    "semicolons": lambda bits: bits.replace(" ", "; "),
    "slashes": lambda bits: bits.replace(" ", " / "),
    "bars": lambda bits: bits.replace(" ", " | "),
    "dashes": lambda bits: bits.replace(" ", " \u2013 "),
    "base below": lambda bits: f"{bits}\u2082",
    "base behind": lambda bits: f"{bits}_2",
    "together": lambda bits: bits.replace(" ", ""),
    "0b": lambda bits: f"0b{bits.replace(' ', '')}",
    "boxes": lambda bits: f"[{bits.replace(' ', '] [')}]",
    "arrow": lambda bits: f"{bits[::-1]} \u2192 {bits}",
    "crossed out": lambda bits: f"~~{bits[::-1]}~~ {bits} \u2713",
}
#: Formats of every family, with what each takes; those of `FORMATS` are among them.
EVERYWHERE = (
    "8+4", "6+4", "10+6", "24+8", "8+4 excess-8", "1+4+3", "binary16", "binary32", "8", "10", "Q4.4", "Q5.3",
    "8 ones-complement", "16 sign-and-magnitude", "1750A-32", "C3x-16", "1+4+3 twos-complement",
)  # fmt: skip


def drawn_anywhere(rng: random.Random) -> Asked:
    """Return a question of any type that takes values, in a format of any family, with its scheme."""
    while True:
        name = rng.choice(
            ("encode", "negate", "add", "subtract", "multiply", "divide", "error", "range", "sum")
        )
        count = {"encode": 1, "negate": 1, "error": 1, "range": 0, "sum": 3}.get(name, 2)
        values = [Fraction(rng.randrange(-400, 400), rng.choice((1, 2, 4, 8, 16, 32))) for _ in range(count)]
        try:
            return one_question(
                name,
                *(write_value(one).replace("\u2212", "-") for one in values),
                format=rng.choice(EVERYWHERE),
            )
        except ValueError:
            continue


def pattern(rng: random.Random, mantissa: int, exponent: int) -> str:
    """Return a normalised pattern whose exponent is small, so that results mostly fit."""
    sign = rng.choice("01")
    rest = "".join(rng.choice("01") for _ in range(mantissa - 2))
    power = rng.randrange(-2, min(4, 1 << (exponent - 1)))
    return f"{sign}{'10'[int(sign)]}{rest} {power & ((1 << exponent) - 1):0{exponent}b}"


def right_answers(question: Question) -> list[str]:
    """Return the answer of the course's method, then of each that it accepts, each once."""
    name, course = question.operation.name, question.course
    methods = (course.method, *course.accepts) if name in {"add", "subtract"} else ("",)
    return list(dict.fromkeys(answer_by(method_named(question, method), question) for method in methods))


def fields_of(question: Question, answer: str) -> tuple[str, str, str] | None:
    """Return mantissa, exponent and value of a right answer; None for a word."""
    if set(answer) - set("01 "):
        return None
    mantissa, exponent = answer.split()
    value = Fraction(signed(mantissa), 1 << (len(mantissa) - 1)) * Fraction(2) ** signed(exponent)
    return mantissa, exponent, write_value(value)


def field_altered(mantissa: str, exponent: str) -> Iterator[tuple[str, str]]:
    """Yield (the field, the answer) for every single altered bit."""
    both = mantissa + exponent
    for at, bit in enumerate(both):
        other = both[:at] + "10"[int(bit)] + both[at + 1 :]
        yield (
            "mantissa" if at < len(mantissa) else "exponent",
            f"{other[: len(mantissa)]} {other[len(mantissa) :]}",
        )
