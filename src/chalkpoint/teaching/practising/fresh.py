"""Fresh questions for practice: drawn by seed, with the traits of a level; or counter-examples to a belief."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from random import Random

from chalkpoint.marking.asking import near_formats
from chalkpoint.marking.judging import JUDGED_IN_PARTS, accepted_methods, believing_for, sheet_for
from chalkpoint.marking.lines_ahead import ANSWER
from chalkpoint.marking.sheets import Sheet
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.drawn import draw_plain, is_plain
from chalkpoint.setting.sources import draw
from chalkpoint.teaching.practising.levels import asked_for
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.procedures import answer_by, right_method
from chalkpoint.working.question import Question, ask

__all__ = ["counter_example", "fresh_question", "line_of"]

SMALL_DRAW = 40  # questions to choose a counter-example among
A_FEW = 24  # questions to choose one with short decimals among, not asked before
SHORT = 7  # characters of a decimal that is short


def line_of(question: Question) -> str:
    """Return *question* on one line, as `ask_line` reads it."""
    operands = [str(question.format)] if question.operation.name == "range" else question.operands
    return f"{question.operation.name} {', '.join(operands)}"


def fresh_question(
    course: Course, operation: str, where: Sequence[str], seed: str, avoid: Iterable[str] = (), to: str = ""
) -> str:
    """Return a question with the traits *where*, the same for the same *seed*; without them where none has them.

    Of a few drawn it is the first whose decimals are short.

    avoid  questions asked before, which are not asked again while there are others
    to     of a conversion, the format converted into

    >>> fresh_question(Course(), "subtract", ["align-shift = 2"], "7 1")
    'subtract 10000101 0101, 01111011 0111'
    """
    sought = asked_for(operation, course, to)
    drawn = _drawn(sought, where, A_FEW, seed) or _drawn(sought, (), A_FEW, seed)
    if not drawn:
        raise EntryError(
            f"no {operation} question was found in {course.format}; give a longer format, such as 8+4"
        )
    asked = set(avoid)
    return line_of(min(drawn, key=lambda question: (line_of(question) in asked, _length(question))))


def counter_example(
    course: Course,
    operation: str,
    beliefs: Sequence[str],
    where: Sequence[str],
    seed: str,
    avoid: Iterable[str] = (),
    to: str = "",
) -> str:
    """Return a question on which *beliefs* go wrong, all of them if possible, with the traits *where* if possible.

    Where none is found it is a fresh question like any other.

    >>> from chalkpoint.working.question import ask_line
    >>> line = counter_example(Course(), "subtract", ["invert-only"], [], "7 1")
    >>> _exposes(ask_line(line, course=Course()), "invert-only")
    True
    """
    asked = set(avoid)
    for drawn, shows in _tries(asked_for(operation, course, to), beliefs, where, seed):
        for question in sorted(drawn, key=_length):
            if line_of(question) not in asked and shows(_exposes(question, belief) for belief in beliefs):
                return line_of(question)
    return fresh_question(course, operation, where, seed, asked, to)


def _tries(
    sought: BlueprintQuestion, beliefs: Sequence[str], where: Sequence[str], seed: str
) -> Iterator[tuple[list[Question], Callable[[Iterable[bool]], bool]]]:
    """Yield questions to look among, and how many of the beliefs must go wrong; the dearest to draw comes last."""
    yield _drawn(sought, where, SMALL_DRAW, seed), all
    yield _drawn(sought, (), SMALL_DRAW, seed), all
    if is_plain(sought) or sought.operation == "range":
        return
    for belief in beliefs:
        yield _drawn(sought, [f"exposes:{belief}"], 1, seed), any


def _length(question: Question) -> int:
    """Return how many characters the operands take in decimal past what is short."""
    return sum(max(0, len(shown) - SHORT) for shown in question.shown)


def _exposes(question: Question, name: str) -> bool:
    """Tell whether the belief writes another answer to *question* than the right method does."""
    operation = question.operation.name
    if operation in JUDGED_IN_PARTS:
        sheet, base = sheet_for(question), accepted_methods(question)[0]
        held = believing_for(question).held(BELIEFS[name], base)
        return any(_ends_in(sheet, method) != _ends_in(sheet, base) for method in held)
    right = right_method(operation, question.course)
    method = BELIEFS[name].method_for(operation, right, family_of(question.format))
    return method is not None and answer_by(method, question) != answer_by(right, question)


def _ends_in(sheet: Sheet, method: Method) -> str:
    """Return what *method* writes in the answer's place."""
    page = before = sheet.start
    for line in sheet.lines(method):
        before, page = page, method.apply(line, page, sheet.context)
    return sheet.says(ANSWER, before, page)


def _drawn(sought: BlueprintQuestion, where: Sequence[str], n: int, seed: str) -> list[Question]:
    operation, course = sought.operation, sought.course
    if operation == "range":  # a format has one, so others near by are asked about too
        near = [ask("range", course=other) for other in near_formats(course)]
        return Random(seed).sample(near, len(near))
    if is_plain(sought):
        return list(draw_plain(sought, where, n, seed))
    try:
        return draw(operation, course, where, n, seed)
    except EntryError:
        return []  # a trait that this operation or format has not
