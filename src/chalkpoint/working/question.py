"""Questions: an operation, its operands as written, and the course it is asked under."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.exact import write_exact, write_value
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.numbers.named import (
    AnyFormat,
    AnyPattern,
    fixed_format,
    float_format,
    format_called,
    size_format,
    value_or_none,
    written_example,
)
from chalkpoint.numbers.signed import SignMagnitudeFormat
from chalkpoint.working.course import Course
from chalkpoint.working.operands import is_format, join_fields, note_on, read_operand
from chalkpoint.working.typed import BINARY, clean, entries_of, names_for, prefix_of, value_in, with_powers

__all__ = ["OPERATIONS", "Operation", "Question", "ask", "ask_line", "show_pattern"]


@dataclass(frozen=True, slots=True)
class Operation:
    """What an operation takes.

    operands  how many; the least, where *many* says that there may be more
    takes     "patterns" (decimals are stored first), "values", "pattern and format", "question" (an
              operation and its operands) or "" for nothing
    sign      the sign between the operands
    wants     what the operands are, for the sentence of an error

    >>> OPERATIONS["subtract"].operands, OPERATIONS["subtract"].takes
    (2, 'patterns')
    """

    name: str
    operands: int
    takes: str
    sign: str = ""
    many: bool = False
    wants: str = ""


OPERATIONS: dict[str, Operation] = {
    operation.name: operation
    for operation in (
        Operation("decode", 1, "patterns"),
        Operation("encode", 1, "values"),
        Operation("normalise", 1, "patterns"),
        Operation("negate", 1, "patterns"),
        Operation("add", 2, "patterns", "+"),
        Operation("subtract", 2, "patterns", "\u2212"),
        Operation("multiply", 2, "patterns", "×"),
        Operation("divide", 2, "patterns", "÷"),
        Operation("convert", 2, "pattern and format", wants="an operand and the format to bring it into"),
        Operation("range", 0, "", wants="a format or nothing"),
        Operation("error", 1, "values"),
        Operation("sum", 2, "patterns", "+", many=True, wants="two or more operands"),
        Operation("choose-format", 3, "values", wants="the lowest value, the highest and the largest step"),
        Operation("explain", 1, "question", many=True, wants="an operation and its operands"),
    )
}

NAMES = ("first", "second")


@dataclass(frozen=True, eq=False)
class Question:
    """One question, its operands read.

    format    of one of the families of `numbers.named`; what works a question knows its own family
    patterns  the operands as the format's patterns, for operations on patterns
    value     the operand's exact value, for operations on values
    given     the values asked for where a decimal had to be stored first, else None
    names     what the operands are called in the working
    amounts   all the values, for operations on more than one
    target    the course in whose format the answer is wanted, for `convert`
    about     the question to be explained, for `explain`
    notes     how operands were read that could be bits or a decimal, a sentence each
    spelled   how operands are written that neither a pattern nor a decimal says: in binary, in a format of their own
    outside   which operands are past the range, so that the answer is overflow
    """

    operation: Operation
    course: Course
    format: AnyFormat
    patterns: tuple[AnyPattern, ...] = ()
    value: Fraction = Fraction(0)
    given: tuple[Fraction | None, ...] = ()
    names: tuple[str, ...] = NAMES
    amounts: tuple[Fraction, ...] = ()
    target: Course | None = None
    about: Question | None = None
    notes: tuple[str, ...] = ()
    spelled: tuple[str, ...] = ()
    outside: tuple[bool, ...] = ()

    @property
    def float_format(self) -> FloatFormat:
        """The format, of a mantissa and an exponent; TypeError in a question of another family."""
        return float_format(self.format)

    @property
    def size_format(self) -> SignMagnitudeFormat:
        """The format, of a sign, an exponent and a size; TypeError in a question of another family."""
        return size_format(self.format)

    @property
    def fixed_format(self) -> FixedFormat:
        """The format, of one row of bits; TypeError in a question of another family."""
        return fixed_format(self.format)

    @property
    def operands(self) -> list[str]:
        """The operands as they are written: patterns in bits, values in digits."""
        return list(self._operands)

    @cached_property
    def _operands(self) -> tuple[str, ...]:
        if self.about is not None:
            return self.about.operation.name, *self.about.operands
        if self.operation.takes == "values":
            return tuple(self._as_spelled([write_exact(value) for value in self.values]))
        written = self._as_spelled([self.format.write(pattern) for pattern in self.patterns])
        for at, value in self.past_range.items():
            written[at] = self.spelled[at] or write_exact(value)
        return tuple(written) if self.target is None else (*written, self.target.format)

    @cached_property
    def values(self) -> tuple[Fraction, ...]:
        """The exact value of each operand.

        Raises EntryError where one is an infinity or not a number.
        """
        if self.operation.takes == "values":
            return self.amounts or (self.value,)
        past = self.past_range
        return tuple(
            past[at] if at in past else self.format.value(pattern) for at, pattern in enumerate(self.patterns)
        )

    @cached_property
    def past_range(self) -> dict[int, Fraction]:
        """The values past the range, by the place of their operand: there the pattern is no number of the question."""
        return {
            at: value
            for at, (value, outside) in enumerate(zip(self.given, self.outside, strict=False))
            if outside and value is not None
        }

    def _as_spelled(self, written: list[str]) -> list[str]:
        """Return the operands *written*, those with a spelling of their own as that."""
        spelled = self.spelled or ("",) * len(written)
        return [own or other for own, other in zip(spelled, written, strict=True)]

    @property
    def shown(self) -> list[str]:
        """The operands as a sentence shows them: in decimal, or the word where one has no value."""
        if self.operation.takes == "values":
            return [write_value(value, point=self.course.point) for value in self.values]
        past, point = self.past_range, self.course.point
        return [
            write_value(past[at], point=point) if at in past else self.show(pattern)
            for at, pattern in enumerate(self.patterns)
        ]

    @property
    def put(self) -> list[str]:
        """The operands as the question puts them: as *shown*, but as they are given where that is in bits of their own.

        >>> ask("encode", "0b101.1", course=Course(format="binary16")).put
        ['101.1\u2082']
        """
        shown = self.shown
        spelled = self.spelled or ("",) * len(shown)
        return [_as_put(own) or other for own, other in zip(spelled, shown, strict=True)]

    def show(self, pattern: AnyPattern) -> str:
        """Return the value of *pattern* as a sentence shows it."""
        return show_pattern(self.format, pattern, self.course.point)


def _as_put(spelled: str) -> str:
    """Return an operand as a sentence shows it that is given in binary, or in a format of its own."""
    sign, prefix, rest = prefix_of(spelled)
    return f"{sign}{rest}\u2082".replace("-", "−") if prefix else spelled


def show_pattern(fmt: AnyFormat, pattern: AnyPattern, point: str) -> str:
    """Return the value of *pattern* as a sentence shows it: in decimal, or the word where it has none.

    >>> show_pattern(format_called("binary16"), format_called("binary16").read("1 11111 0000000000"), ".")
    '−infinity'
    """
    value = value_or_none(fmt, pattern)
    if value is not None:
        minus_zero = value == 0 and getattr(pattern, "sign", 0) == 1
        return "\u22120" if minus_zero else write_value(value, point=point)
    if size_format(fmt).kind(pattern) == "not a number":
        return "not a number"
    return "\u2212infinity" if pattern.sign else "infinity"


def ask(
    operation: str, *operands: str | Fraction | int, course: Course, names: tuple[str, ...] = ()
) -> Question:
    """Return the question, its operands read under *course*.

    >>> ask("subtract", "010111 0011", "5/2", course=Course(format="6+4")).operands
    ['010111 0011', '010100 0010']
    >>> ask("convert", "0x46", "8+4", course=Course(format="1+4+3")).operands
    ['0 1000 110', '8+4']
    >>> str(ask("range", "6+4", course=Course()).format)
    '6+4'

    Raises EntryError for an unknown operation, a wrong number of operands or one that cannot be read.
    """
    if operation not in OPERATIONS:
        raise EntryError(f"{operation!r} is not an operation; {near_misses(operation, OPERATIONS)}")
    if operation == "range" and len(operands) == 1:  # of another format than the course's
        course, operands = course.with_(format=str(operands[0])), ()
    kind, fmt = OPERATIONS[operation], course.number_format
    entries = with_powers(
        [entry if isinstance(entry, str) else write_exact(Fraction(entry)) for entry in operands]
    )
    if kind.takes == "question":
        return _ask_about(kind, entries, course, names)
    target, wanted = None, kind.operands
    if kind.takes != "pattern and format":
        entries = entries_of(entries, kind.name, kind.sign, wanted, point=course.point, many=kind.many)
    if kind.takes == "pattern and format":
        entries, spelling = _parted(kind, entries, fmt)
        target, wanted = course.with_(format=spelling), 1
    entries = join_fields(entries, wanted, fmt, patterns=kind.takes != "values", many=kind.many)
    if len(entries) < wanted or (len(entries) > wanted and not kind.many):
        raise EntryError(_wrong_number(kind, entries, fmt))
    noted = (note_on(entry, course, patterns=kind.takes != "values") for entry in entries)
    notes = tuple(dict.fromkeys(filter(None, noted)))
    names = _called(names_for(names, len(entries)), max(2, len(entries)))
    if kind.takes == "values":
        values = tuple(value_in(entry, point=course.point) for entry in entries)
        amounts = values if wanted > 1 else ()
        spelled = tuple(entry if prefix_of(clean(entry))[1] == BINARY else "" for entry in entries)
        return Question(
            kind, course, fmt, value=values[0], names=names, amounts=amounts, notes=notes, spelled=spelled
        )
    beyond = kind.operands == 2 and bool(kind.sign) and not kind.many
    read = [read_operand(entry, course, beyond=beyond) for entry in entries]
    return Question(
        kind,
        course,
        fmt,
        tuple(operand.pattern for operand in read),
        given=tuple(operand.given for operand in read),
        names=names,
        target=target,
        notes=notes,
        spelled=tuple(operand.spelled for operand in read),
        outside=tuple(operand.outside for operand in read),
    )


def _called(given: tuple[str, ...], operands: int) -> tuple[str, ...]:
    """Return what the operands are called: as *given*, else by their number."""
    usual = [*NAMES, *(f"term {number}" for number in range(3, operands + 1))]
    return tuple(name or usual[at] for at, name in enumerate([*given, *usual[len(given) :]]))


def ask_line(line: str, *, course: Course) -> Question:
    """Return the question written on one line: the operation, then its operands with commas between.

    A comma without a space behind it belongs to a number where the course writes decimals so.

    >>> ask_line("subtract 010111 0011, 010100 0001", course=Course(format="6+4")).operands
    ['010111 0011', '010100 0001']
    """
    operation, _, rest = clean(line).partition(" ")
    parts = rest.replace(";", ", ").split(", " if course.point == "," else ",")
    operands = [part.strip() for part in parts if part.strip()]
    if len(operands) == 1 and operation in OPERATIONS and OPERATIONS[operation].operands > 1:
        operands = operands[0].split()
    return ask(operation, *operands, course=course)


def _ask_about(kind: Operation, entries: list[str], course: Course, names: tuple[str, ...]) -> Question:
    """Return the question of explaining the working of another."""
    if not entries or entries[0] == kind.name:
        raise EntryError(
            f"{kind.name} takes {kind.wants}, such as explain add 5.25 1.5; got {entries or 'none'}"
        )
    about = ask(entries[0], *entries[1:], course=course, names=names)
    return Question(
        kind,
        course,
        about.format,
        about.patterns,
        about.value,
        about.given,
        about.names,
        about=about,
        notes=about.notes,
        outside=about.outside,
    )


def _parted(kind: Operation, entries: list[str], fmt: AnyFormat) -> tuple[list[str], str]:
    """Return the operand's entries, and the format's spelling behind them."""
    entries = [entry for entry in map(clean, entries) if entry]
    if len(entries) == 1 and "," in entries[0]:
        entries = [part.strip() for part in entries[0].rsplit(",", 1)]
    for at in range(len(entries) - 1, 0, -1):
        spelling = " ".join(entries[at:])
        if is_format(spelling):
            return entries[:at], spelling
    if len(entries) == kind.operands and not entries[-1].replace(".", "").isdigit():
        format_called(entries[-1])  # says why it is none
    raise EntryError(_wrong_number(kind, entries, fmt))


def _wrong_number(kind: Operation, entries: list[str], fmt: AnyFormat) -> str:
    wanted = kind.wants or {0: "no operand", 1: "one operand", 2: "two operands"}[kind.operands]
    got = f"got {len(entries)} ({', '.join(entries)})" if entries else "got none"
    examples = {
        "patterns": [repr(written_example(fmt)), "1.5"],
        "values": ["5.25"] if kind.operands == 1 else ["-10", "40", "0.25"],
        "pattern and format": ["1.5", "binary16"],
    }.get(kind.takes, [])
    tail = f", such as {kind.name} {' '.join(examples[: kind.operands])}" if kind.operands else ""
    return f"{kind.name} takes {wanted}{tail}; {got}"
