"""Mark schemes: method and accuracy marks a line, what each expects, alternatives, and what wrong answers say."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import value_or_none
from chalkpoint.setting.answering import answer_format
from chalkpoint.setting.fairness import Fairness, judge
from chalkpoint.setting.families import points_for
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.points import Point, answer_bits
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.methods import METHODS
from chalkpoint.working.procedures import right_method
from chalkpoint.working.question import Question
from chalkpoint.working.wording.words_marks import GIVEN
from chalkpoint.working.work import work_by, work_question
from chalkpoint.working.working import Working

__all__ = ["Alternative", "Scheme", "WrongAnswer", "points_of", "scheme_for"]

#: Operations whose answer is one pattern.
WRITTEN_IN_BITS = frozenset(
    {"add", "subtract", "multiply", "divide", "normalise", "negate", "encode", "convert", "sum"}
)


@dataclass(frozen=True, slots=True)
class Alternative:
    """An accepted method's answer, and what its lines have where they differ from the course's.

    differs  whether the answer is another than the course's
    beliefs  beliefs that end at this answer too, by wrong working
    """

    method: str
    words: str
    answer: str
    value: Fraction | None
    lines: tuple[tuple[str, str], ...]
    differs: bool
    beliefs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WrongAnswer:
    """A wrong answer and every belief whose working ends there."""

    answer: str
    value: Fraction | None
    beliefs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Scheme:
    """The mark scheme of one question.

    marks         its lines, in the order of working
    alone         marks that a right answer without working earns
    alternatives  one for each further method the course accepts
    wrong         the beliefs' answers
    untested      beliefs that do nothing here
    accidental    beliefs that end at the right answer by wrong working
    also          what else is worth a mark, up to the total, where more can be said than there are marks for
    """

    marks: tuple[Mark, ...]
    alone: int
    alternatives: tuple[Alternative, ...] = ()
    wrong: tuple[WrongAnswer, ...] = ()
    untested: tuple[str, ...] = ()
    accidental: tuple[str, ...] = ()
    also: tuple[str, ...] = ()

    @property
    def also_right(self) -> tuple[str, ...]:
        """The answers of accepted methods that are others than the course's, each once."""
        return tuple(dict.fromkeys(one.answer for one in self.alternatives if one.differs))

    @property
    def for_the_answer(self) -> int:
        """The marks of the answer itself: those for accuracy, and none for a method."""
        return answer_marks(self.marks)

    @property
    def total(self) -> int:
        """The marks of the question."""
        return sum(mark.marks for mark in self.marks)


def scheme_for(
    question: Question,
    marks: int | None = None,
    *,
    working: Working | None = None,
    fairness: Fairness | None = None,
) -> Scheme:
    """Return the mark scheme of *question*, its values read from the course's working.

    marks  the question's marks, or None for one for each marking point

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> scheme = scheme_for(ask("subtract", "01101000 0011", "01010000 0001", course=Course()))
    >>> [(mark.rule, mark.letter, mark.expects) for mark in scheme.marks][:2]
    [('align', 'M1', '00010100'), ('negate', 'M1 ft', '11101100')]
    >>> scheme.total
    6

    Raises EntryError where the question has fewer marking points than *marks*.
    """
    working = working or work_question(question)
    fairness = fairness or judge(question)
    points = points_of(working)
    wanted = len(points) if marks is None else marks
    if wanted > len(points):
        raise EntryError(
            f"marks = {wanted} is not taken for {working.title}: it has {len(points)} marking points; "
            f"give {len(points)} or fewer"
        )
    lines = tuple(_marks(working, points, wanted))
    alone = sum(mark.marks for mark in lines)
    if fairness.common_accidents:
        alone = answer_marks(lines)
    in_words = question.operation.name == "explain"
    return Scheme(
        lines,
        0 if in_words else alone,
        tuple(_alternatives(question, working, fairness, points)),
        _wrong_answers(question, fairness),
        fairness.untested,
        fairness.accidental,
        tuple(point.expects(working) for point in points[wanted:]) if in_words else (),
    )


def answer_marks(marks: Iterable[Mark]) -> int:
    """Return the marks that are not for a method: a right answer shows its sign too, which has a mark of its own."""
    return sum(mark.marks for mark in marks if mark.kind != "M")


def points_of(working: Working) -> list[Point]:
    """Return the marking points *working* has lines for."""
    points = points_for(working.question)
    written = {step.rule for step in working.steps}
    always = {"answer", "decimal", *(("align", "add") if "align" in written else ())}
    return [
        point
        for point in points
        if (point.own_line or point.rule in always or point.rule in written)
        and (point.part == "exponent" or point.is_in(working))
    ]


def _marks(working: Working, points: list[Point], wanted: int) -> list[Mark]:
    """Return the scheme's lines: those of lowest rank where there are fewer marks than points."""
    kept = sorted(range(len(points)), key=lambda at: (points[at].rank, at))[:wanted]
    chosen = [points[at] for at in sorted(kept)]
    parts = [point.part for point in chosen if point.rule == "answer"]
    marks = []
    for point in chosen:
        whole = point.rule == "answer" and parts not in ([], ["mantissa", "exponent"])
        word = point.rule == "answer" and bool(point.part) and working.pattern is None
        if word and point.part == "exponent" and "mantissa" in parts:
            continue  # a word has no exponent of its own: its mark goes with the word's
        marks.append(
            Mark(
                point.rule,
                "" if whole or word else point.part,
                point.kind,
                2 if word and len(parts) == 2 else 1,
                answer_bits(working) if (whole and point.part) or word else point.expects(working),
                point.follows,
                point.needs,
                GIVEN["word"] if word else point.given_for(working),
                point.row(working),
            )
        )
    return marks


def _alternatives(
    question: Question, working: Working, fairness: Fairness, points: list[Point]
) -> list[Alternative]:
    others = list(fairness.answers.items())[1:]
    own = {point.rule: point.expects(working) for point in points if others}
    found = []
    for name, answer in others:
        other = _by(question, name)
        their_points = points_of(other)
        lines = tuple(
            (mark.rule, mark.says)
            for mark in _marks(other, their_points, len(their_points))
            if mark.rule not in {"answer", "decimal"} and mark.expects != own.get(mark.rule)
        )
        differs = answer not in {working.result.bits, working.outcome}
        beliefs = tuple(belief for belief, wrong in fairness.wrong.items() if wrong == answer)
        found.append(
            Alternative(name, METHODS[name].words, answer, other.result.value, lines, differs, beliefs)
        )
    return found


def _by(question: Question, name: str) -> Working:
    """Return *question* worked by an accepted method: of a sum, every addition."""
    if question.operation.name == "sum":
        return work_question(replace(question, course=question.course.with_(method=name)))
    return work_by(question, right_method(question.operation.name, question.course, name))


def _wrong_answers(question: Question, fairness: Fairness) -> tuple[WrongAnswer, ...]:
    """Return the beliefs' answers, each once, the most likely first: by the weights of their beliefs.

    What an accepted method ends at is right, whoever else ends there.
    """
    right = set(fairness.answers.values())
    pairs = sorted(
        (pair for pair in fairness.wrong.items() if pair[1] not in right), key=lambda pair: pair[1]
    )
    grouped = [
        WrongAnswer(answer, _value(question, answer), tuple(name for name, _ in group))
        for answer, group in groupby(pairs, key=lambda pair: pair[1])
    ]
    return tuple(
        sorted(
            grouped, key=lambda wrong: (-sum(BELIEFS[name].weight for name in wrong.beliefs), wrong.answer)
        )
    )


def _value(question: Question, answer: str) -> Fraction | None:
    """Return the value of an answer in bits; None for a word, a row that is too long, or what is a value itself."""
    if question.operation.name not in WRITTEN_IN_BITS:
        return None
    fmt = answer_format(question)
    try:
        return value_or_none(fmt, fmt.read(answer))
    except EntryError:
        return None
