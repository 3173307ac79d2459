"""Fresh questions for practice: drawn by seed, with the traits of a level; or counter-examples to a belief."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.asking import Asked
from chalkpoint.setting.drawn import draw_plain, is_plain
from chalkpoint.setting.sources import draw
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by, right_method
from chalkpoint.working.question import Question

__all__ = ["counter_example", "fresh_question", "line_of"]

SMALL_DRAW = 40  # questions to choose a counter-example among
A_FEW = 24  # questions to choose one with short decimals among, not asked before
SHORT = 7  # characters of a decimal that is short


def line_of(question: Question) -> str:
    """Return *question* on one line, as `ask_line` reads it."""
    return f"{question.operation.name} {', '.join(question.operands)}"


def fresh_question(
    course: Course, operation: str, where: Sequence[str], seed: str, avoid: Iterable[str] = ()
) -> str:
    """Return a question with the traits *where*, the same for the same *seed*; without them where none has them.

    Of a few drawn it is the first whose decimals are short.

    avoid  questions asked before, which are not asked again while there are others

    >>> fresh_question(Course(), "subtract", ["align-shift = 2"], "7 1")
    'subtract 10000101 0101, 01111011 0111'
    """
    drawn = _drawn(course, operation, where, A_FEW, seed) or _drawn(course, operation, (), A_FEW, seed)
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
) -> str:
    """Return a question on which *beliefs* go wrong, all of them if possible, with the traits *where* if possible.

    Where none is found it is a fresh question like any other.

    >>> from chalkpoint.working.question import ask_line
    >>> line = counter_example(Course(), "subtract", ["invert-only"], [], "7 1")
    >>> _exposes(ask_line(line, course=Course()), "invert-only")
    True
    """
    asked = set(avoid)
    for drawn, shows in _tries(course, operation, beliefs, where, seed):
        for question in sorted(drawn, key=_length):
            if line_of(question) not in asked and shows(_exposes(question, belief) for belief in beliefs):
                return line_of(question)
    return fresh_question(course, operation, where, seed, asked)


def _tries(
    course: Course, operation: str, beliefs: Sequence[str], where: Sequence[str], seed: str
) -> Iterator[tuple[list[Question], Callable[[Iterable[bool]], bool]]]:
    """Yield questions to look among, and how many of the beliefs must go wrong; the dearest to draw comes last."""
    yield _drawn(course, operation, where, SMALL_DRAW, seed), all
    yield _drawn(course, operation, (), SMALL_DRAW, seed), all
    if is_plain(Asked(operation, course)):
        return
    for belief in beliefs:
        yield _drawn(course, operation, [f"exposes:{belief}"], 1, seed), any


def _length(question: Question) -> int:
    """Return how many characters the operands take in decimal past what is short."""
    return sum(max(0, len(shown) - SHORT) for shown in question.shown)


def _exposes(question: Question, name: str) -> bool:
    """Tell whether the belief writes another answer to *question* than the right method does."""
    operation = question.operation.name
    right = right_method(operation, question.course)
    method = BELIEFS[name].method_for(operation, right, family_of(question.format))
    return method is not None and answer_by(method, question) != answer_by(right, question)


def _drawn(course: Course, operation: str, where: Sequence[str], n: int, seed: str) -> list[Question]:
    asked = Asked(operation, course)
    if is_plain(asked):
        return list(draw_plain(asked, where, n, seed))
    try:
        return draw(operation, course, where, n, seed)
    except EntryError:
        return []  # a trait that this operation or format has not
