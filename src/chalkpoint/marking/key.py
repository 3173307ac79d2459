"""A key: which courses reproduce a list of worked answers, and which question would decide between them.

A printed key, or a colleague's sheet, says by its answers which conventions it was made under. Every
convention is a choice among a few; an item of the key touches some of the choices. Courses are grown
item by item: the choices an item touches for the first time are added, and what does not reproduce
its answer is dropped. A choice that no answer depends on is left open and said to be open.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product
from typing import TypeAlias

from chalkpoint.marking.elsewhere import answer_under, is_answer
from chalkpoint.marking.entries import Entry, parse_entry
from chalkpoint.marking.judging import read_lines, sheet_for
from chalkpoint.marking.walk import walk
from chalkpoint.numbers.bits import looks_like_bits
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.formats import LEAST_BITS, FloatFormat, parse_format
from chalkpoint.working.adding import course_method
from chalkpoint.working.changing import changing_method
from chalkpoint.working.choices import allowed_choices
from chalkpoint.working.conventions import BIASES, NORMALS, POINTS, Code
from chalkpoint.working.course import ALLOWED, Course
from chalkpoint.working.question import OPERATIONS, Question, ask_line
from chalkpoint.working.reading import DECODING
from chalkpoint.working.storing import usual_method

__all__ = ["Item", "KeyReading", "deciding_question", "read_key"]

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
CANDIDATES = 40


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


@dataclass
class KeyReading:
    """What a key says of the course it was made under.

    courses      every course that reproduces the items kept, open choices left out
    open         choices that no answer depends on
    unexplained  items that no course at all reproduces
    apart        items left out because they do not go with the others
    deciding     a question on which the courses left give different answers, or ""
    answers      its answers, each with the numbers (from 0) of the courses that give it
    """

    items: list[Item]
    courses: list[dict[str, str]]
    open: tuple[str, ...]
    unexplained: list[Item]
    apart: list[Item]
    deciding: str = ""
    answers: dict[str, list[int]] = field(default_factory=dict)


def read_key(items: Iterable[Item], *, format: str | None = None, seed: int = 1) -> KeyReading:
    """Return every course that reproduces *items*, what none explains, and the question that would decide.

    format  the format, where it is known; else it is read off the patterns

    >>> reading = read_key([Item("subtract 01101000 0011, 01011011 0000", "01011100 0011")])
    >>> {course["method"] for course in reading.courses} >= {"negate-then-align", "exact-then-truncate"}
    True
    >>> "align-then-negate" in {course["method"] for course in reading.courses}
    False
    """
    items = list(items)
    formats = [format] if format else list(formats_of(items))
    asker = Asker(formats)
    unexplained = [item for item in items if not asker.reproducing(item)]
    kept = [item for item in items if item not in unexplained]
    kept, found, apart = _join_most(kept, asker)
    touched = _touched(kept)
    left, opened = _without_open(found, touched, asker)
    courses = [dict(choices) for choices in left]
    reading = KeyReading(items, courses, opened, unexplained, apart)
    if len(left) > 1:
        reading.deciding, reading.answers = deciding_question(items, left, asker, seed=seed)
    return reading


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
        self.entries: dict[tuple[str, FloatFormat], Entry] = {}
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
            self.courses[key] = Course(**dict(zip(COURSE_KEYS.values(), key, strict=True)))  # type: ignore[arg-type]
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
            if not all(map(question.format.is_normalised, question.patterns)):
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
        return Code(
            exponent=chosen.get("exponent", BIASES[0]),
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
        fmt = course.number_format
        if (item.answer, fmt) not in self.entries:
            self.entries[item.answer, fmt] = parse_entry(item.answer, fmt, point=course.point)
        if not is_answer(self.entries[item.answer, fmt], answer, fmt):
            return False
        return not item.lines or self._lines_agree(item, course, self.code(chosen))

    def _lines_agree(self, item: Item, course: Course, code: Code) -> bool:
        question = self.question(item.question, course)
        if question is None:
            return False
        name = question.operation.name
        patterns = tuple(code.read(pattern, question.format) for pattern in question.patterns)
        question = Question(
            question.operation,
            course,
            question.format,
            patterns,
            question.value,
            question.given,
            question.names,
        )
        sheet = sheet_for(question)
        if name in {"add", "subtract"}:
            base = course_method(question, course.method)
        elif name in {"normalise", "negate"}:
            base = changing_method(name, course.underflow)
        else:
            base = DECODING if name == "decode" else usual_method(question)
        return walk(sheet, base, read_lines(question, sheet, item.lines)).clean


def _touched(items: list[Item]) -> tuple[str, ...]:
    touched = {name for item in items for name in item.touches}
    return tuple(name for name in VALUES if name in touched)


def _join(items: list[Item], asker: Asker) -> set[Choices]:
    """Return the choices under which every item comes out, over all that the items touch."""
    found: set[Choices] = {()}
    seen: tuple[str, ...] = ()
    for item in items:
        new = tuple(name for name in VALUES if name in item.touches and name not in seen)
        grown = set()
        fine = asker.reproducing(item)
        order = item.touches
        for before in found:
            for more in asker.combinations(new):
                chosen = dict(before + more)
                if tuple((name, chosen[name]) for name in order) in fine:
                    grown.add(before + more)
        found, seen = grown, (*seen, *new)
        if not found:
            break
    return {_in_order(choices) for choices in found}


def _in_order(choices: Choices) -> Choices:
    chosen = dict(choices)
    return tuple((name, chosen[name]) for name in VALUES if name in chosen)


def _join_most(items: list[Item], asker: Asker) -> tuple[list[Item], set[Choices], list[Item]]:
    """Return the items that go together, their courses, and the fewest left out so that they do."""
    found = _join(items, asker) if items else set()
    if found or not items:
        return items, found, []
    for out in items:
        rest = [item for item in items if item is not out]
        if rest and (found := _join(rest, asker)):
            return rest, found, [out]
    kept: list[Item] = []
    for item in items:
        if _join([*kept, item], asker):
            kept.append(item)
    return kept, _join(kept, asker), [item for item in items if item not in kept]


def _without_open(
    found: set[Choices], touched: tuple[str, ...], asker: Asker
) -> tuple[list[Choices], tuple[str, ...]]:
    """Return the courses without the choices on which nothing depends, and those choices."""
    opened = tuple(name for name in VALUES if name not in touched)
    for name in touched:
        values = asker.values[name]
        rest = {tuple(pair for pair in choices if pair[0] != name) for choices in found}
        if len(values) > 1 and len(rest) * len(values) == len(found):
            found, opened = rest, (*opened, name)
    order = {name: number for number, name in enumerate(VALUES)}
    ranked = {(name, value): at for name, values in asker.values.items() for at, value in enumerate(values)}
    left = sorted(found, key=lambda choices: [ranked[pair] for pair in choices])
    return left, tuple(sorted(opened, key=order.__getitem__))


# === The question that would decide ===


def deciding_question(
    items: list[Item], courses: list[Choices], asker: Asker, *, seed: int
) -> tuple[str, dict[str, list[int]]]:
    """Return the question that parts *courses* best among some drawn with *seed*, and its answers."""
    rng = random.Random(seed)
    best, parted, cost = "", {}, len(courses) ** 2
    for text in _questions(items, asker, rng):
        answers: dict[str, list[int]] = {}
        for number, choices in enumerate(courses):
            answer = _answer_by(text, choices, asker)
            answers.setdefault(answer or "no answer", []).append(number)
        size = sum(len(group) ** 2 for group in answers.values())
        if size < cost and "no answer" not in answers:
            best, parted, cost = text, answers, size
    return best, parted


def _answer_by(text: str, choices: Choices, asker: Asker) -> str | None:
    touches = Item(text, "").touches
    return asker.answer(text, tuple(pair for pair in choices if pair[0] in touches))


def _questions(items: list[Item], asker: Asker, rng: random.Random) -> Iterator[str]:
    """Yield questions like those of the key, and a reading, on patterns as long as the key's."""
    sizes = sorted(set().union(*(item.sizes() for item in items)), key=len, reverse=True)
    if not sizes:
        return
    operations = list(dict.fromkeys(item.operation for item in items if item.operation != "error"))
    operations += [name for name in ("subtract", "decode", "encode") if name not in operations]
    for number in range(CANDIDATES):
        operation = operations[number % len(operations)]
        if operation == "encode":
            yield f"encode {rng.choice(('', '-'))}{rng.randrange(1, 60)}.{rng.randrange(1, 100):02d}"
            continue
        count = OPERATIONS[operation].operands
        yield f"{operation} {', '.join(_pattern(sizes[0], rng) for _ in range(count))}"


def _pattern(size: tuple[int, ...], rng: random.Random) -> str:
    """Return a pattern with fields of these sizes, normalised in its first, its second near zero."""
    total = sum(size)
    first = size[0]
    sign = rng.choice("01")
    digits = sign + ("1" if sign == "0" else "0") + "".join(rng.choice("01") for _ in range(total - 2))
    if len(size) == 2:
        second = format(rng.choice((0, 1, 2, 3, -1, -2)) & ((1 << size[1]) - 1), f"0{size[1]}b")
        digits = digits[:first] + second
        return f"{digits[:first]} {digits[first:]}"
    return digits
