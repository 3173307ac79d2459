"""A working told step by step: name the step and why, say the rule, do it row by row, check the value.

No row is read while another stands on screen: a row is revealed by the shot that reads it. Pauses stand
before the steps that load memory most (aligning a negative, repairing, normalising) and after the answer.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from chalkpoint.numbers.exact import write_value
from chalkpoint.teaching import prompts
from chalkpoint.teaching.digits import as_digits
from chalkpoint.teaching.storyboard import Cue, Shot, View, pause, say, say_sentence
from chalkpoint.teaching.timing import writing_pause
from chalkpoint.working.course import Course
from chalkpoint.working.steps import Step
from chalkpoint.working.working import Working
from chalkpoint.working.written import Row

__all__ = ["Teller", "sentences"]

AFTER_ANSWER = 4000  # ms
SENTENCE_END = re.compile(r"(?<=[.?!]) (?=[A-Z\u2018\u201c])")
NORMALISING, REPAIRING, ALIGNING = "normalise", "repair", "align"


def sentences(text: str) -> list[str]:
    """Return the sentences of *text*; a bit string or a decimal never ends one.

    >>> sentences("It fits: 0.1010011 0011. The working missed it.")
    ['It fits: 0.1010011 0011.', 'The working missed it.']
    """
    return [sentence for sentence in SENTENCE_END.split(text) if sentence]


@dataclass(frozen=True, slots=True)
class Teller:
    """Tells workings of one part of a lesson.

    part       the part's index
    pace       words a minute
    blanks     the rules whose rows the class fills in a pause
    pauses     whether to pause before the heavy steps
    pause_for  seconds to write, or None for what the row takes
    mark       a word over every view, such as "wrong on purpose"
    """

    part: int
    course: Course
    pace: int
    blanks: tuple[str, ...] = ()
    pauses: bool = True
    pause_for: int | None = None
    mark: str = ""

    def tell(self, working: Working, *, first: int = 0, chapter: str = "") -> Iterator[Shot]:
        """Yield the shots of *working* from its step *first* on, then its check."""
        known: set[tuple[str, str]] = {key for step in working.steps[:first] for key in _keys(step)}
        for index in range(first, len(working.steps)):
            named = f"{chapter}{working.steps[index].title}"
            yield from self.step(working, index, known, chapter=named)
        yield self.check(working, chapter=f"{chapter}{working.check_words.title}")

    def step(
        self, working: Working, index: int, known: set[tuple[str, str]], *, chapter: str = ""
    ) -> Iterator[Shot]:
        """Yield the shots of one step: its words, a pause where it is heavy, each new row, the value checked."""
        step = working.steps[index]
        fresh = [at for at, row in enumerate(step.rows) if not row.carries and _key(row) not in known]
        known.update(_keys(step))
        hidden = frozenset([*fresh, *(_carries(step) if fresh else ())])
        opening = [*map(self._sentence, _opened(step.title, step.detail))]
        if step.rule in self.blanks:
            opening = [self._sentence(f"{step.title}."), *self._own_turn(step, fresh)]
        elif self.pauses and _heavy(step):
            opening += self._prediction(step, fresh)
        yield self._shot(working, index, hidden, opening, chapter)
        for at in fresh:
            hidden = frozenset(
                other for other in hidden if other > at or (step.rows[other].carries and at != fresh[-1])
            )
            row = step.rows[at]
            cues = [self._row(row)]
            if at == fresh[-1]:
                cues += self._value(step)
            yield self._shot(working, index, hidden, cues)

    def check(self, working: Working, *, chapter: str = "") -> Shot:
        """Return the shot of the check in decimal, with a pause to take it in."""
        said = working.check_words
        told = [*_opened(said.title, said.detail), f"{said.verdict}.", *said.reasons]
        cues = [*map(self._sentence, told), pause(prompts.TAKE_IN, AFTER_ANSWER)]
        view = View(
            kind="check",
            title=said.title,
            detail=said.detail,
            working=working,
            step=len(working.steps),
            mark=self.mark,
        )
        return Shot(self.part, view, tuple(cues), chapter)

    # === Cues ===

    def _shot(
        self, working: Working, index: int, hidden: frozenset[int], cues: list[Cue], chapter: str = ""
    ) -> Shot:
        step = working.steps[index]
        detail = "" if step.rule in self.blanks and hidden else step.detail
        view = View(
            kind="step",
            title=step.title,
            detail=detail,
            working=working,
            step=index,
            hidden=hidden,
            mark=self.mark,
        )
        return Shot(self.part, view, tuple(cues), chapter)

    def _sentence(self, written: str) -> Cue:
        return say_sentence(written, self.course, self.pace)

    def _row(self, row: Row) -> Cue:
        spoken = f"{row.spoken}."
        return say(as_digits(spoken), spoken, self.pace)

    def _prediction(self, step: Step, fresh: list[int]) -> list[Cue]:
        return [self._sentence(prompts.PREDICT), pause(prompts.WRITE, self._writing(step, fresh))]

    def _own_turn(self, step: Step, fresh: list[int]) -> list[Cue]:
        return [self._sentence(prompts.FILL), pause(prompts.WRITE, self._writing(step, fresh))]

    def _writing(self, step: Step, fresh: list[int]) -> int:
        if self.pause_for is not None:
            return self.pause_for * 1000
        return writing_pause(sum(len(step.rows[at].bits) for at in fresh))

    def _value(self, step: Step) -> list[Cue]:
        """Return what is said after digits moved: whether the value has changed."""
        moved = [at for at, row in enumerate(step.rows) if row.moved and at and row.value is not None]
        if not moved:
            return []
        before, after = step.rows[moved[-1] - 1].value, step.rows[moved[-1]]
        if before is None or after.value is None:
            return []
        values = [write_value(value, point=self.course.point) for value in (before, after.value)]
        if before == after.value:
            return [self._sentence(prompts.UNCHANGED.format(value=values[1]))]
        return [self._sentence(prompts.CHANGED.format(before=values[0], after=values[1]))]


def _opened(title: str, detail: str) -> list[str]:
    """Return a step's sentences, its name opening the first."""
    first, *rest = sentences(detail) or [""]
    return [f"{title}. {first}".strip(), *rest]


def _key(row: Row) -> tuple[str, str]:
    return row.bits, row.exponent_bits


def _keys(step: Step) -> set[tuple[str, str]]:
    return {_key(row) for row in step.rows}


def _carries(step: Step) -> list[int]:
    return [at for at, row in enumerate(step.rows) if row.carries]


def _heavy(step: Step) -> bool:
    """Tell whether a class should predict this step: it moves digits, and aligning moves a negative's."""
    moved = next((row for row in step.rows if row.moved), None)
    if moved is None:
        return False
    return step.rule != ALIGNING or moved.bits.startswith("1")
