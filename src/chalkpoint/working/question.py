"""Questions: an operation, its operands as written, and the course it is asked under."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from chalkpoint.numbers.bits import looks_like_bits
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.exact import parse_value, write_value
from chalkpoint.numbers.fitting import fit
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.working.course import Course

__all__ = ["OPERATIONS", "Operation", "Question", "ask", "ask_line"]


@dataclass(frozen=True, slots=True)
class Operation:
    """What an operation takes.

    takes  "patterns" (decimals are stored first), "values" or "" for nothing
    """

    name: str
    operands: int
    takes: str
    sign: str = ""


OPERATIONS: dict[str, Operation] = {
    operation.name: operation
    for operation in (
        Operation("decode", 1, "patterns"),
        Operation("encode", 1, "values"),
        Operation("normalise", 1, "patterns"),
        Operation("negate", 1, "patterns"),
        Operation("add", 2, "patterns", "+"),
        Operation("subtract", 2, "patterns", "\u2212"),
        Operation("range", 0, ""),
        Operation("error", 1, "values"),
    )
}

NAMES = ("first", "second")
LONGEST_DECIMAL_IN_BITS = 4  # "1010" may be a decimal; a longer run of 0s and 1s is bits


@dataclass(frozen=True, eq=False)
class Question:
    """One question, its operands read.

    patterns  the operands as (mantissa, exponent), for operations on patterns
    value     the operand's exact value, for operations on values
    given     the values asked for where a decimal had to be stored first, else None
    names     what the operands are called in the working
    """

    operation: Operation
    course: Course
    format: FloatFormat
    patterns: tuple[Pattern, ...] = ()
    value: Fraction = Fraction(0)
    given: tuple[Fraction | None, ...] = ()
    names: tuple[str, ...] = NAMES

    @property
    def operands(self) -> list[str]:
        """The operands as they are written: patterns in bits, values in digits."""
        if self.operation.takes == "values":
            return [str(self.value)]
        return [self.format.write(pattern) for pattern in self.patterns]

    @property
    def values(self) -> tuple[Fraction, ...]:
        """The exact value of each operand."""
        if self.operation.takes == "values":
            return (self.value,)
        return tuple(self.format.value(pattern) for pattern in self.patterns)


def ask(
    operation: str, *operands: str | Fraction | int, course: Course, names: tuple[str, ...] = ()
) -> Question:
    """Return the question, its operands read under *course*.

    >>> ask("subtract", "010111 0011", "5/2", course=Course(format="6+4")).operands
    ['010111 0011', '010100 0010']

    Raises EntryError for an unknown operation, a wrong number of operands or one that cannot be read.
    """
    if operation not in OPERATIONS:
        raise EntryError(f"{operation!r} is not an operation; {near_misses(operation, OPERATIONS)}")
    kind, fmt = OPERATIONS[operation], course.number_format
    entries = join_fields([entry if isinstance(entry, str) else str(entry) for entry in operands], kind, fmt)
    if len(entries) != kind.operands:
        raise EntryError(_wrong_number(kind, entries, fmt))
    names = tuple(names) + NAMES[len(names) :]
    if kind.takes == "values":
        return Question(kind, course, fmt, value=parse_value(entries[0], point=course.point), names=names)
    read = [read_operand(entry, course) for entry in entries]
    return Question(
        kind,
        course,
        fmt,
        tuple(pattern for pattern, _ in read),
        given=tuple(given for _, given in read),
        names=names,
    )


def ask_line(line: str, *, course: Course) -> Question:
    """Return the question written on one line: the operation, then its operands parted by commas.

    A comma without a space behind it belongs to a number where the course writes decimals so.

    >>> ask_line("subtract 010111 0011, 010100 0001", course=Course(format="6+4")).operands
    ['010111 0011', '010100 0001']
    """
    operation, _, rest = line.strip().partition(" ")
    parts = rest.replace(";", ", ").split(", " if course.point == "," else ",")
    operands = [part.strip() for part in parts if part.strip()]
    if len(operands) == 1 and operation in OPERATIONS and OPERATIONS[operation].operands > 1:
        operands = operands[0].split()
    return ask(operation, *operands, course=course)


def _wrong_number(kind: Operation, entries: list[str], fmt: FloatFormat) -> str:
    wanted = {0: "no operand", 1: "one operand", 2: "two operands"}[kind.operands]
    got = f"got {len(entries)} ({', '.join(entries)})" if entries else "got none"
    example = ["5.25"] if kind.takes == "values" else [repr(fmt.write(Pattern(fmt.places, 1))), "1.5"]
    tail = f", such as {kind.name} {' '.join(example[: kind.operands])}" if kind.operands else ""
    return f"{kind.name} takes {wanted}; {got}{tail}"


def join_fields(entries: list[str], kind: Operation, fmt: FloatFormat) -> list[str]:
    """Join what a shell split: a mantissa and its exponent, or a whole number and its fraction.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> join_fields(["010111", "0011", "1", "3/8"], OPERATIONS["add"], parse_format("6+4"))
    ['010111 0011', '1 3/8']
    """
    joined: list[str] = []
    rest = list(entries)
    while rest:
        entry = rest.pop(0)
        spare = len(joined) + 1 + len(rest) > kind.operands
        if spare and rest and (_two_fields(entry, rest[0], kind) or _mixed_number(entry, rest[0])):
            entry = f"{entry} {rest.pop(0)}"
        joined.append(entry)
    return joined


def _two_fields(entry: str, following: str, kind: Operation) -> bool:
    return kind.takes == "patterns" and all(
        looks_like_bits(text) and " " not in text.strip() for text in (entry, following)
    )


def _mixed_number(entry: str, following: str) -> bool:
    top, slash, bottom = following.partition("/")
    return bool(slash) and entry.lstrip("+-\u2212").isdigit() and top.isdigit() and bottom.isdigit()


def read_operand(entry: str, course: Course) -> tuple[Pattern, Fraction | None]:
    """Return the pattern *entry* stands for, and the value asked for where a decimal was stored.

    >>> read_operand("6.5", Course())
    (Pattern(mantissa=104, exponent=3), Fraction(13, 2))
    """
    fmt = course.number_format
    bare = "".join(entry.split())
    is_bits = looks_like_bits(entry) and (
        len(bare.replace(".", "")) > LONGEST_DECIMAL_IN_BITS or " " in entry.strip() or len(bare) == fmt.bits
    )
    if is_bits:
        return fmt.read(entry), None
    if not any(character.isdigit() for character in entry) or (" " in entry.strip() and "/" not in entry):
        return fmt.read(entry), None
    value = parse_value(entry, point=course.point, name="operand")
    return store(value, course), value


def store(value: Fraction, course: Course) -> Pattern:
    """Return the pattern *value* is stored as under the course's rounding.

    Raises EntryError where the format cannot hold it.
    """
    fmt = course.number_format
    if value == 0:
        return fmt.zero
    fitted = fit(value, fmt, ROUNDINGS[course.rounding])
    if not fmt.holds(fitted.exponent):
        raise EntryError(
            f"{write_value(value, point=course.point)} needs the exponent {fitted.exponent}; {fmt} holds exponents from "
            f"{fmt.lowest_exponent} to {fmt.highest_exponent}: choose a value nearer to 1 or more exponent bits"
        )
    return Pattern(fitted.mantissa, fitted.exponent)
