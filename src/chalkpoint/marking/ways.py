"""Ways of working a question: the course's method, other methods, beliefs and pairs of beliefs, all run at once.

Every way is a method, so ways are run side by side (`working/together.py`), and what is left at the end
is the answer of every way.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations
from typing import Any

from chalkpoint.marking.other_conventions import other_choices
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.named import value_or_none
from chalkpoint.working.beliefs.belief import ADDING, STORING, compatible
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.chained import (
    MADE_OF_PARTS,
    Word,
    came_to,
    is_zero_stored,
    part_asked,
    parts_asked,
)
from chalkpoint.working.conventions import CONVENTIONS
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.operations.declared import is_declared
from chalkpoint.working.page import AnyPage
from chalkpoint.working.procedures import (
    answer_by,
    begin,
    context_of,
    method_named,
    other_methods,
    part_of,
    parts_of,
    right_method,
    write_answer,
)
from chalkpoint.working.question import Question
from chalkpoint.working.together import Slots, run_each, slots_of_methods
from chalkpoint.working.under import SUMS, sums_under, written_under

__all__ = [
    "CHOICE",
    "WORKABLE",
    "Way",
    "answers_in_order",
    "held_method",
    "held_methods",
    "is_workable",
    "operations_in",
    "predict",
    "under_conventions",
    "ways_for",
]

WORKABLE = (
    "range",
    "error",
    "divide",
    "multiply",
    "decode",
    "encode",
    "normalise",
    "negate",
    "add",
    "subtract",
)
"""The operations of which it can be told what every way of working writes; those that tell most come last."""


CONVENTION = "convention"
CHOICE = "choose-format"  # no number is worked there, so no convention touches it


def is_workable(question: Question) -> bool:
    """Tell whether every way of working *question* has an answer.

    Zero is stored, and a division by it answered, by a rule apart from every way of working.

    >>> from chalkpoint.working.question import ask
    >>> is_workable(ask("divide", "1", "2", course=Course())), is_workable(ask("divide", "1", "0", course=Course()))
    (True, False)
    """
    name = question.operation.name
    if name in MADE_OF_PARTS:
        return name == "sum" or bool(value_or_none(question.format, question.patterns[0]))
    if name == CHOICE:
        return True
    if name not in WORKABLE or not is_declared(name, question.format):
        return False
    if name == "divide":
        return bool(question.values[1])
    return name not in STORING or bool(question.value)


@dataclass(frozen=True, slots=True)
class Way:
    """One way of working: a method, and the beliefs held while using it.

    method   name of the method, "" for the course's own; "convention NAME" for the course's own method
             on patterns written by another convention
    beliefs  ids, in the order of the catalogue; none for a right way of working
    """

    method: str = ""
    beliefs: tuple[str, ...] = ()

    @property
    def convention(self) -> str:
        """The convention that is not the course's, or ""."""
        kind, _, name = self.method.partition(" ")
        return name if kind == CONVENTION else ""

    def without(self, belief: str) -> Way:
        """Return the same way with one belief put right."""
        return Way(self.method, tuple(held for held in self.beliefs if held != belief))


class Ways(tuple[Way, ...]):
    """Many ways, told from others by identity: they are looked up with every question, and never compared."""

    __slots__ = ()
    __hash__ = object.__hash__
    __eq__ = object.__eq__


def held_method(way: Way, operation: str, course: Course) -> Method:
    """Return *way* as a method for *operation*; a method or belief unknown there changes nothing."""
    known = way.method in other_methods(operation, course)
    method = right_method(operation, course, way.method if known else "")
    family = family_of(course.number_format)
    for name in way.beliefs:
        method = BELIEFS[name].method_for(operation, method, family) or method
    return method


@cache
def held_methods(ways: tuple[Way, ...], operation: str, course: Course) -> tuple[Method, ...]:
    """Return *ways* as methods for *operation*."""
    return tuple(held_method(way, operation, course) for way in ways)


@cache
def ways_for(
    course: Course,
    operations: frozenset[str],
    left_out: frozenset[str] = frozenset(),
    *,
    pairs: bool = True,
    others: frozenset[Course] = frozenset(),
) -> tuple[Way, ...]:
    """Return every way of working questions of *operations*: right first, then methods, beliefs and pairs.

    left_out  beliefs that are not thought of
    others    courses of other formats asked about, whose methods and beliefs are thought of too
    pairs     whether two beliefs at once are thought of

    Beliefs are tried on the course's own method and on the methods it accepts; pairs on its own.
    """
    courses = [course, *sorted(others - {course}, key=lambda other: str(other.to_dict()))]
    families = {family_of(other.number_format) for other in courses}
    acting = [
        belief
        for belief in BELIEFS.values()
        if belief.id not in left_out
        and any(belief.place_for(operation, family) for operation in operations for family in families)
    ]
    own = {course.method, course.rounding}
    known = dict.fromkeys(
        name
        for other in courses
        for operation in sorted(operations)
        if is_declared(operation, other.number_format)
        for name in other_methods(operation, other)
    )
    conventions = dict.fromkeys(name for other in courses for name in _other_conventions(other))
    methods = [name for name in known if name not in own]
    accepted = ["", *(name for name in course.accepts if name in methods)]
    both = (
        [(one.id, other.id) for one, other in combinations(acting, 2) if compatible(one, other)]
        if pairs
        else []
    )
    return Ways(
        (
            Way(),
            *(Way(name) for name in methods),
            *(Way(f"{CONVENTION} {name}") for name in conventions),
            *(Way(name, (belief.id,)) for name in accepted for belief in acting),
            *(Way("", pair) for pair in both),
        )
    )


def _other_conventions(course: Course) -> list[str]:
    """Return the conventions that are not *course*'s; another rounding is a method already.

    Where a format is no mantissa and exponent they are what else a course may choose.
    """
    if course.number_format.family != FLOATING:
        return [words for words, _ in other_choices(course)]
    return [
        name
        for name, convention in CONVENTIONS.items()
        if "rounding" not in convention.course and not convention.is_followed(course)
    ]


def under_conventions(questions: Sequence[Question], ways: tuple[Way, ...]) -> dict[int, list[str]]:
    """Return, by way that is another convention, what is right under it for each of *questions*.

    They are of one operation and course, a mantissa and an exponent; sums are worked together.
    """
    operation, home = questions[0].operation.name, questions[0].course
    found = {}
    for number, name in _conventions_among(ways):
        course = _course_under(home, name)
        if operation in SUMS and course is not None and _touches(name, operation):
            answers = sums_under(questions, course, CONVENTIONS[name].coded())
            found[number] = [answer or "" for answer in answers]
        else:
            found[number] = [_under(question, name, "") for question in questions]
    return found


def _under(question: Question, name: str, part: str) -> str:
    """Return the right answer under another convention, or "" where it says nothing about *question*."""
    if question.operation.name == CHOICE:
        return ""
    if name not in CONVENTIONS:
        return _under_choice(question, name, part)
    if question.format.family != FLOATING:  # asked about beside one that has such conventions
        return ""
    course = _course_under(question.course, name)
    if course is None or not _touches(name, question.operation.name):
        return ""
    return written_under(question, course, CONVENTIONS[name].coded(), part)


def _under_choice(question: Question, name: str, part: str) -> str:
    """Return the right answer where a course chooses otherwise, as *name* says in words."""
    if question.format.family == FLOATING or question.operation.name in MADE_OF_PARTS:
        return ""
    course = dict(other_choices(question.course)).get(name)
    if course is None:
        return ""
    operation = question.operation.name
    asked = replace(question, course=course)
    answer = answer_by(right_method(operation, course), asked)
    return part_of(answer, operation, course, part) if part else answer


@cache
def _course_under(course: Course, name: str) -> Course | None:
    """Return *course* under another convention; None where its format has none such."""
    try:
        return course.with_(**CONVENTIONS[name].course)
    except EntryError:
        return None


@cache
def _touches(name: str, operation: str) -> bool:
    """Tell whether answers to *operation* can depend on a convention: the place of the point is for values."""
    convention = CONVENTIONS[name]
    changed = {*convention.course, *convention.code}
    if changed == {"point"}:
        return operation in {"decode", *STORING}
    return changed != {"operands"} or operation in ADDING


@cache
def slots_of(ways: tuple[Way, ...], operation: str, course: Course, part: str) -> tuple[Slots, ...]:
    """Return one list of slots for each method among *ways*: their lines come in different orders.

    part  the answer whose lines alone are meant; "" for all of them
    """
    numbers = [[at for at in range(len(ways)) if mask >> at & 1] for mask in by_methods(ways)]
    return tuple(_slots_by(ways, held, operation, course, part) for held in numbers)


@cache
def by_methods(ways: tuple[Way, ...]) -> tuple[int, ...]:
    """Return the ways of each method as one integer: a part whose lines have no rules has them all the same."""
    found: dict[str, int] = defaultdict(int)
    for number, way in enumerate(ways):
        found[way.method] |= 1 << number
    return tuple(found.values())


def _slots_by(ways: tuple[Way, ...], numbers: list[int], operation: str, course: Course, part: str) -> Slots:
    methods = {number: held_method(ways[number], operation, course) for number in numbers}
    return slots_of_methods(methods, _lines_of(part, methods[numbers[0]], parts_of(operation, course)))


def _lines_of(part: str, method: Method, parts: Mapping[str, tuple[str, ...]]) -> list[Line]:
    """Return the lines of *method* that lead to *part* and to no answer before it."""
    return [line for line in method.lines if not part or line.name in parts[part]]


def _begin(question: Question, part: str) -> AnyPage:
    """Return the page before anything is done for *part*: what stands before it is right."""
    page = begin(question)
    if not part:
        return page
    operation = question.operation.name
    method = right_method(operation, question.course)
    by = context_of(question)
    for line in method.lines:
        if line.name in parts_of(operation, question.course)[part]:
            return page
        page = method.apply(line, page, by)
    return page


def predict(question: Question, ways: tuple[Way, ...], part: str = "") -> dict[str, int]:
    """Return what each of *ways* writes in the answer's place: by answer, the ways as one integer.

    part  one of the answers the question asks for, where those before it are right; "" for all there are

    >>> from chalkpoint.working.question import ask
    >>> ways = (Way(), Way("", ("invert-only",)), Way("", ("sub-adds",)))
    >>> predict(ask("subtract", "6.5", "1.25", course=Course()), ways)
    {'01010100 0011': 1, '01010011 0011': 2, '01111100 0011': 4}
    """
    operation = question.operation.name
    under = {number: _under(question, name, part) for number, name in _conventions_among(ways)}
    if operation in MADE_OF_PARTS:
        return answers_in_order(_in_parts(question, ways), under)
    answers: dict[str, int] = defaultdict(int)
    for page, mask in _last_pages(question, ways, _everyone(ways), part):
        answer = write_answer(page, question)
        answers[part_of(answer, operation, question.course, part) if part else answer] |= mask
    return answers_in_order(answers, under)


def _everyone(ways: tuple[Way, ...]) -> int:
    return (1 << len(ways)) - 1


def _last_pages(
    question: Question, ways: tuple[Way, ...], among: int, part: str = ""
) -> Iterator[tuple[AnyPage, int]]:
    """Yield each page on which some of *ways*, those *among*, end, with those that do."""
    slots = slots_of(ways, question.operation.name, question.course, part)
    for everyone, own in zip(by_methods(ways), slots, strict=True):
        if everyone & among:
            yield from run_each(own, [(_begin(question, part), everyone & among)], context_of(question))


def _in_parts(question: Question, ways: tuple[Way, ...]) -> dict[str, int]:
    """Return what each of *ways* writes where the question is made of others: each part goes on from its own."""
    standing: dict[Any, int] = {None: _everyone(ways)}
    answers: dict[str, int] = defaultdict(int)
    last = parts_asked(question) - 1
    for stage in range(last + 1):
        after: dict[Any, int] = defaultdict(int)
        for carried, among in standing.items():
            asked = part_asked(question, stage, carried)
            if is_zero_stored(asked):
                zero = method_named(asked).finish(begin(asked), context_of(asked))
                pages: Iterable[tuple[AnyPage, int]] = [(zero, among)]
            else:
                pages = _last_pages(asked, ways, among)
            for page, mask in pages:
                if stage == last:
                    answers[write_answer(page, asked)] |= mask
                elif isinstance(result := came_to(question, asked, page), Word):
                    answers[result.word] |= mask
                else:
                    after[result] |= mask
        standing = after
    return answers


def operations_in(question: Question) -> frozenset[str]:
    """Return the operations whose beliefs *question* may show: those of its parts, where it is made of some.

    >>> from chalkpoint.working.question import ask
    >>> sorted(operations_in(ask("convert", "6.5", "binary16", course=Course())))
    ['decode', 'encode']
    """
    name = question.operation.name
    return frozenset(MADE_OF_PARTS.get(name, (name,)))


def answers_in_order(answers: dict[str, int], under: Mapping[int, str]) -> dict[str, int]:
    """Return *answers*, the first way's first, with the ways that are other conventions where they belong.

    under  by way that is another convention, what is right under it; "" where that says nothing
    """
    for number, answer in under.items():
        _move(answers, number, answer)
    given = ((answer, mask) for answer, mask in answers.items() if mask)
    return dict(sorted(given, key=lambda pair: pair[1] & -pair[1]))


@cache
def _conventions_among(ways: tuple[Way, ...]) -> tuple[tuple[int, str], ...]:
    return tuple((number, way.convention) for number, way in enumerate(ways) if way.convention)


def _move(answers: dict[str, int], number: int, answer: str) -> None:
    """Move way *number* to *answer*, where that is another; it is kept with the course's own method."""
    held = next(text for text, mask in answers.items() if mask >> number & 1)
    if answer and answer != held:
        answers[held] &= ~(1 << number)
        answers[answer] |= 1 << number
