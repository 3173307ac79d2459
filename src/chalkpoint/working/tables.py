"""What many methods write for many questions, worked once: every answer, and the lines that are right, as masks.

Methods are numbered, and a set of them is an integer with one bit a method. Many questions of a mantissa and
an exponent are worked together in lanes; few questions, and those whose rules see one at a time, each by
itself. Either way a rule is run once for all the methods that share it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from functools import cached_property, lru_cache
from typing import TypeAlias

from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.lanes import Lanes, positions
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.page import AnyPage, Page
from chalkpoint.working.procedures import begin, context_of, declaration_of, write_answer
from chalkpoint.working.question import Question
from chalkpoint.working.together import (
    Slots,
    Standing,
    all_written_alike,
    key_of_page,
    run_each,
    run_in_lanes,
    slots_of_methods,
)

__all__ = ["FEW", "Answers", "MethodTable"]

FEW = 28  # questions: fewer are sooner worked one by one, by a dozen methods as by hundreds

Answers: TypeAlias = dict[str, int]  # by written answer, the methods that give it
Ends: TypeAlias = tuple[int, int, int]  # total, exponent and outcome of a last page


class MethodTable:
    """What each of *methods* writes for each of *questions*, all of one operation and course.

    >>> from chalkpoint.working.beliefs.catalogue import BELIEFS
    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.procedures import right_method
    >>> from chalkpoint.working.question import ask
    >>> right = right_method("subtract", Course())
    >>> faulty = BELIEFS["invert-only"].method_for("subtract", right)
    >>> table = MethodTable([ask("subtract", "6.5", "1.25", course=Course())], [right, faulty])
    >>> dict(table.answers(0)), table.clean(0)
    ({'01010100 0011': 1, '01010011 0011': 2}, 1)
    """

    def __init__(self, questions: Sequence[Question], methods: Sequence[Method]) -> None:
        self.questions = questions
        self.methods = tuple(methods)
        self.in_lanes = len(questions) >= FEW and _fits_lanes(questions, self.methods[:1])
        self._written: dict[Ends, str] = {}
        self._kept: tuple[int, list[list[Standing]]] = -1, []  # the question worked last by itself

    def answers(self, at: int) -> Answers:
        """Return, for the question at this place, by written answer the methods that give it."""
        question = self.questions[at]
        found: Answers = defaultdict(int)
        if not self.in_lanes:
            for after_lines in self._alone(at):
                for page, mask in after_lines[-1]:
                    found[write_answer(page, question)] |= mask
            return found
        ends: dict[Ends, int] = defaultdict(int)
        for pages, mask in self._ends:
            ends[pages[at]] |= mask
        for end, mask in ends.items():
            if end not in self._written:
                total, exponent, outcome = end
                page = Page(0, 0, 0, 0, total=total, exponent=exponent, outcome=outcome)
                self._written[end] = write_answer(page, question)
            found[self._written[end]] |= mask
        return found

    def by_method(self, at: int) -> list[str]:
        """Return, for the question at this place, what each method writes."""
        written = [""] * len(self.methods)
        for answer, mask in self.answers(at).items():
            for number in positions(mask):
                written[number] = answer
        return written

    def clean(self, at: int) -> int:
        """Return, for the question at this place, the methods that write every line as the first of them does."""
        if self.in_lanes:
            return sum((mask >> at & 1) << number for number, mask in enumerate(self._clean))
        first = self._alone(at)[0]
        clean = sum(mask for _, mask in first[0])
        line = declaration_of(self.questions[at]).line
        for standing in first:
            usual = next(page for page, mask in standing if mask & 1)
            written = line(usual)
            for page, mask in standing:
                if mask & clean and page is not usual and line(page) != written:
                    clean &= ~mask
        return clean

    @cached_property
    def _lanes(self) -> Lanes:
        return Lanes(len(self.questions))

    def _alone(self, at: int) -> list[list[Standing]]:
        """Return the pages of one question after each line, by list of lines: the first method's first."""
        if self._kept[0] != at:
            question = self.questions[at]
            methods = _suited(self.methods, question)
            self._kept = at, _after_lines(run_each, begin(question), methods, context_of(question))
        return self._kept[1]

    @cached_property
    def _together(self) -> list[list[Standing]]:
        """The pages of every question after each line, by list of lines: the first method's first."""
        first = self._lanes.gather([begin(question) for question in self.questions])
        return _after_lines(run_in_lanes, first, self.methods, context_of(self.questions[0]))

    @cached_property
    def _ends(self) -> list[tuple[list[Ends], int]]:
        """The last pages of every question, and the methods that lead to them; what is alike is unpacked once."""
        masks: dict[tuple[object, ...], int] = defaultdict(int)
        columns: dict[object, list[AnyPage]] = {}
        for after_lines in self._together:
            for page, mask in after_lines[-1]:
                ends = page.total, page.exponent, page.outcome
                key = key_of_page(ends)
                masks[key] |= mask
                for part, end in zip(key, ends, strict=True):
                    if part not in columns:
                        columns[part] = self._lanes.unpack(end)
        return [(list(zip(*map(columns.__getitem__, key), strict=True)), mask) for key, mask in masks.items()]

    @cached_property
    def _clean(self) -> list[int]:
        """By method, the questions on which it writes every line as the first method does, as a mask."""
        everyone = self._lanes.yes
        clean = [everyone * (method.lines == self.methods[0].lines) for method in self.methods]
        for standing in self._together[0]:
            usual = next(page for page, mask in standing if mask & 1)
            for page, mask in standing:
                alike = everyone if page is usual else all_written_alike(self._lanes, page, usual)
                for number in positions(mask):
                    clean[number] &= alike
        return clean


def _fits_lanes(questions: Sequence[Question], methods: tuple[Method, ...]) -> bool:
    """Tell whether the pages of *questions* are whole numbers, and *methods* work each as they stand."""
    pages = questions[0].format.family == FLOATING and isinstance(begin(questions[0]), Page)
    return pages and all(_suited(methods, question) == methods for question in questions)


@lru_cache(1 << 8)
def _by_lines(methods: tuple[Method, ...]) -> list[tuple[tuple[Line, ...], int]]:
    """Return the lists of lines that *methods* have, the first method's first, each with its methods."""
    found: dict[tuple[Line, ...], int] = defaultdict(int)
    for number, method in enumerate(methods):
        found[method.lines] |= 1 << number
    return list(found.items())


@lru_cache(1 << 10)
def _slots(methods: tuple[Method, ...], line: Line) -> Slots:
    """Return the slots of *line* for *methods*."""
    return slots_of_methods(dict(enumerate(methods)), [line])


def _suited(methods: tuple[Method, ...], question: Question) -> tuple[Method, ...]:
    """Return *methods* as they work *question*, where not all of their lines apply."""
    suit = declaration_of(question).suit
    return tuple(suit(method, question) for method in methods)


def _after_lines(
    run: Callable[[Slots, Standing, object], Standing],
    first: AnyPage,
    methods: tuple[Method, ...],
    context: object,
) -> list[list[Standing]]:
    """Return the pages after each line that *methods* write from the page *first*, by list of lines."""
    found = []
    for lines, everyone in _by_lines(methods):
        standing: Standing = [(first, everyone)]
        each = []
        for line in lines:
            standing = run(_slots(methods, line), standing, context)
            each.append(standing)
        found.append(each)
    return found
