"""Every course a key may have been made under: the choices, the items of a key, and their answers.

Every convention is a choice among a few; an item of a key touches some of the choices.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import product
from typing import TypeAlias

from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.judging import accepted_methods, read_lines, sheet_for
from chalkpoint.marking.other_conventions import is_answer
from chalkpoint.marking.patterns import Reading, read_pattern
from chalkpoint.marking.walk import walk_clean
from chalkpoint.numbers.bits import looks_like_bits
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.formats import LEAST_BITS, FloatFormat, parse_format
from chalkpoint.working.choices import allowed_choices
from chalkpoint.working.conventions import BIASES, NORMALS, OWN, POINTS, Code
from chalkpoint.working.course import ALLOWED, Course
from chalkpoint.working.question import OPERATIONS, Question, ask_line
from chalkpoint.working.under import answer_under

__all__ = ["VALUES", "Asker", "Choices", "Item", "formats_of"]

Choices: TypeAlias = tuple[tuple[str, str], ...]  # (choice, what is chosen), in the order of CHOICES

SCHOOL = allowed_choices(parse_format("8+4"))  # what courses on school formats may say
VALUES: dict[str, tuple[str, ...]] = {
    "format": (),
    "order": ("last", "first"),
    "exponent": BIASES,
    "point": POINTS,
    "hidden": ("no", "yes"),
    "method": ALLOWED["method"],
    "operands": ALLOWED["operands"],
    "rounding": SCHOOL["rounding"],
    "minus": NORMALS,
    "zero": ALLOWED["zero"],
    "underflow": SCHOOL["underflow"],
}
COURSE_KEYS = {  # the choices that are keys of a course
    "format": "format",
    "order": "exponent",
    "method": "method",
    "operands": "operands",
    "rounding": "rounding",
    "zero": "zero",
    "underflow": "underflow",
}
FIELDS = ("format", "order", "exponent", "hidden")
SUMMING = (*FIELDS, "method", "operands", "minus", "zero", "underflow")
CHANGING = (*FIELDS, "minus", "zero", "underflow")
TOUCHES: dict[str, tuple[str, ...]] = {
    "add": SUMMING,
    "subtract": SUMMING,
    "normalise": CHANGING,
    "negate": CHANGING,
    "decode": (*FIELDS, "point"),
    "encode": (*FIELDS, "point", "rounding", "minus", "zero", "underflow"),
    "error": ("format", "rounding"),
}


@dataclass(frozen=True)
class Item:
    """One line of a key.

    question  the question on one line
    answer    the key's answer
    lines     lines of its working, if any
    """

    question: str
    answer: str
    lines: Mapping[str, str] = field(default_factory=dict)

    @property
    def operation(self) -> str:
        """The operation's name."""
        return self.question.split(maxsplit=1)[0]

    @cached_property
    def touches(self) -> tuple[str, ...]:
        """The choices its answer may depend on."""
        if self.operation not in TOUCHES:
            raise EntryError(
                f"{self.operation!r} in the key is no operation it can hold; write one of {', '.join(TOUCHES)}"
            )
        touched = TOUCHES[self.operation]
        takes = OPERATIONS[self.operation].takes
        stored = takes == "patterns" and not all(looks_like_bits(part) for part in self._operands())
        return (*touched, "rounding") if stored else touched

    def _operands(self) -> list[str]:
        return [part for part in self.question.partition(" ")[2].split(",") if part.strip()]

    def sizes(self) -> set[tuple[int, ...]]:
        """Return the lengths of the fields of every pattern in the item, in the order written."""
        found = set()
        for part in [*self._operands(), self.answer]:
            bare = part.replace(".", "").replace("_", "").strip()
            if looks_like_bits(part) and len(bare.replace(" ", "")) > 2 * LEAST_BITS:
                found.add(tuple(len(group) for group in bare.split()))
        return found


def formats_of(items: list[Item]) -> Iterator[str]:
    """Yield every format the patterns of the items may be in, the likelier first."""
    sizes = set().union(*(item.sizes() for item in items))
    pairs = {size for size in sizes if len(size) == 2}
    for first, second in sorted(pairs):
        yield f"{first}+{second}"
        if first != second:
            yield f"{second}+{first}"
    if not pairs:
        for total in sorted({size[0] for size in sizes if len(size) == 1}):
            for mantissa in range(total - LEAST_BITS, LEAST_BITS - 1, -1):
                yield f"{mantissa}+{total - mantissa}"


class Asker:
    """Answers items under any course, each piece of work done once."""

    def __init__(self, formats: list[str]) -> None:
        self.values = VALUES | {"format": tuple(formats) or ("8+4",)}
        self.asked: dict[tuple[str, ...], Question | None] = {}
        self.answered: dict[tuple[str, Choices], str | None] = {}
        self.entries: dict[tuple[str, FloatFormat], Reading] = {}
        self.courses: dict[tuple[str, ...], Course] = {}
        self.readable: dict[tuple[str, ...], bool] = {}
        self.fine: dict[int, set[Choices]] = {}

    def every(self, item: Item) -> Iterator[Choices]:
        """Yield every way of making the choices that *item* touches and under which it can be read."""
        for choices in self.combinations(item.touches):
            chosen = dict(choices)
            reads = chosen["format"], chosen.get("order", "last"), chosen.get("hidden", "no")
            if (item.question, *reads) not in self.readable:
                question = self.question(item.question, self.course(chosen))
                summing = item.operation not in {"encode", "decode", "error"}
                self.readable[item.question, *reads] = question is not None and not (
                    summing and reads[2] == "yes"
                )
            if self.readable[item.question, *reads]:
                yield choices

    def combinations(self, names: Iterable[str]) -> Iterator[Choices]:
        """Yield every way of making the choices *names*."""
        names = tuple(names)
        for chosen in product(*(self.values[name] for name in names)):
            yield tuple(zip(names, chosen, strict=True))

    def course(self, chosen: Mapping[str, str]) -> Course:
        """Return the course of some choices, the house's own for the rest."""
        key = tuple(chosen.get(name) or self.values[name][0] for name in COURSE_KEYS)
        if key not in self.courses:
            self.courses[key] = Course().with_(**dict(zip(COURSE_KEYS.values(), key, strict=True)))
        return self.courses[key]

    def question(self, text: str, course: Course) -> Question | None:
        """Return the question *text* asked under *course*; None where it cannot be read so."""
        key = (text, course.format, course.exponent, course.rounding)
        if key not in self.asked:
            try:
                self.asked[key] = ask_line(text, course=course)
            except EntryError:
                self.asked[key] = None
        return self.asked[key]

    def answer(self, text: str, choices: Choices) -> str | None:
        """Return the answer to *text* under *choices*."""
        key = (text, choices)
        if key not in self.answered:
            self.answered[key] = self._answer(text, choices)
        return self.answered[key]

    def _answer(self, text: str, choices: Choices) -> str | None:
        chosen = dict(choices)
        course = self.course(chosen)
        question = self.question(text, course)
        if question is None:
            return None
        plainer = self._plainer(text, question, chosen)
        if plainer is not None and plainer != choices:
            answer = self.answer(text, plainer)
            if answer is None or not (answer in {"underflow", "zero"} or self._is_zero(answer, course)):
                return answer
        return answer_under(question, course, self.code(chosen))

    def _plainer(self, text: str, question: Question, chosen: dict[str, str]) -> Choices | None:
        """Return the same choices with the house's own wherever an answer in range cannot depend on them."""
        rare = ["zero", "underflow"]
        if "operands" in chosen:
            if not all(map(question.float_format.is_normalised, question.patterns)):
                return None
            rare.append("operands")
        return tuple(
            (name, self.values[name][0] if name in rare else value) for name, value in chosen.items()
        )

    def _is_zero(self, answer: str, course: Course) -> bool:
        fields = answer.split()
        return len(fields) == 2 and "1" not in fields[0 if course.exponent == "last" else 1]

    def code(self, chosen: Mapping[str, str]) -> Code:
        """Return the code of some choices."""
        exponent = chosen.get("exponent", BIASES[0])
        return Code(
            exponent=OWN if exponent == BIASES[0] else exponent,
            point=chosen.get("point", POINTS[0]),
            hidden=chosen.get("hidden") == "yes",
            minus=chosen.get("minus", NORMALS[0]),
        )

    def reproducing(self, item: Item) -> set[Choices]:
        """Return every way of making the item's choices that gives its answer."""
        if id(item) not in self.fine:
            self.fine[id(item)] = {choices for choices in self.every(item) if self.reproduces(item, choices)}
        return self.fine[id(item)]

    def reproduces(self, item: Item, choices: Choices) -> bool:
        """Tell whether *choices*, those the item touches, give its answer, and its lines where it has any."""
        answer = self.answer(item.question, choices)
        if answer is None:
            return False
        chosen = dict(choices)
        course = self.course(chosen)
        fmt = course.float_format
        if (item.answer, fmt) not in self.entries:
            self.entries[item.answer, fmt] = read_pattern(
                plain_text(item.answer), fmt, point=course.point, final=True
            )
        if not is_answer(self.entries[item.answer, fmt], answer, fmt):
            return False
        return not item.lines or self._lines_agree(item, course, self.code(chosen))

    def _lines_agree(self, item: Item, course: Course, code: Code) -> bool:
        question = self.question(item.question, course)
        if question is None:
            return False
        patterns = tuple(code.read(pattern, question.float_format) for pattern in question.patterns)
        question = replace(question, course=course, patterns=patterns)
        sheet, (base, *_) = sheet_for(question), accepted_methods(question)
        return walk_clean(sheet, base, read_lines(question, sheet, item.lines)) is not None
