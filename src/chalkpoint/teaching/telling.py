"""A working told: the question and what to expect, each step as a teacher goes through it, the check, a summing up.

No row is told while another is on screen. There is a pause where there is something to do, and nowhere else.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from chalkpoint.numbers.named import value_or_none
from chalkpoint.teaching.drama import Line, Told, checking, drama, in_words, summing_up
from chalkpoint.teaching.estimating import SIGNS, estimate
from chalkpoint.teaching.expecting import expected
from chalkpoint.teaching.narrator import Narrator
from chalkpoint.teaching.seen import worked_on
from chalkpoint.teaching.storyboard import (
    CORE,
    DETAIL,
    ESSENTIAL,
    Cue,
    Moment,
    Shot,
    View,
    pause,
    say_sentence,
)
from chalkpoint.teaching.timing import writing_pause
from chalkpoint.working.course import Course
from chalkpoint.working.steps import Step
from chalkpoint.working.wording import words_lessons as prompts
from chalkpoint.working.wording import words_told as english
from chalkpoint.working.wording.heading import asked_heading
from chalkpoint.working.working import Working
from chalkpoint.working.written import Row, Spoken

__all__ = ["Teller", "sentences"]

AFTER_ANSWER = 4000  # ms
SENTENCE_END = re.compile(r"(?<=[.?!]) (?=[A-Z\u2018\u201c])")
LONG_SENTENCE = 70  # characters
ALIGNING = "align"


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
        """Yield the shots of *working* from its step *first* on, its check, and a summing up."""
        known: set[tuple[str, str]] = {key for step in working.steps[:first] for key in _keys(step)}
        for index in range(first, len(working.steps)):
            named = f"{chapter}{working.steps[index].title}"
            yield from self.step(working, index, known, chapter=named)
        yield self.check(working, chapter=f"{chapter}{working.check_words.title}")

    def question(self, working: Working, *, chapter: str = "", again: bool = False) -> Shot:
        """Return the shot that states the question, says it and estimates the answer, unless it is asked *again*."""
        asked = working.question
        shown = _as_asked(working)
        names = dict(zip(("first", "second", "third"), shown, strict=False))
        words = english.ASKED.get(asked.operation.name, english.ASKED_OTHERWISE)
        title = asked_heading(asked)
        target = asked.target.format if asked.target else ""
        named = f"{asked.format} bits" if str(asked.format).isdigit() else asked.format
        said = words.format(title=title, format=named, target=target, **names)
        cues = [self._line(Line(said, Moment(stage="asked"), CORE))]
        if again:
            view = View(kind="question", title=title, working=working, mark=self.mark, step=-1)
            return Shot(self.part, view, (self._line(Line(prompts.AGAIN, None, ESSENTIAL)), *cues), chapter)
        guess = estimate(asked, working.check.exact)
        if guess:
            about = english.ESTIMATED[asked.operation.name].format(
                first=guess.first, second=guess.second, about=guess.about
            )
            cues.append(self._line(Line(about, None, ESSENTIAL)))
        other = None if guess else expected(working)
        if other:
            cues.append(self._line(Line(other[0], None, ESSENTIAL)))
        sum_shown = f"{guess.first} {SIGNS[asked.operation.name]} {_bracketed(guess.second)}" if guess else ""
        lines = (f"\u2248 {sum_shown} = {guess.about}",) if guess else other[1:] if other else ()
        view = View(kind="question", title=title, lines=lines, working=working, mark=self.mark, step=-1)
        return Shot(self.part, view, tuple(cues), chapter)

    def step(
        self, working: Working, index: int, known: set[tuple[str, str]], *, chapter: str = ""
    ) -> Iterator[Shot]:
        """Yield the shots of one step: its words, a pause where it is heavy, then its rows as they are written."""
        step = working.steps[index]
        fresh = [at for at, row in enumerate(step.rows) if not row.carries and _key(row) not in known]
        known.update(_keys(step))
        hidden = frozenset([*fresh, *(_carries(step) if fresh else ())])
        told = drama(working, index) or self._in_whole(working, step, fresh)
        if step.rule in self.blanks:
            yield self._shot(
                working,
                index,
                hidden,
                [self._sentence(f"{step.title}."), *self._own_turn(step, fresh)],
                chapter,
            )
            yield self._shot(working, index, frozenset(), self._lines(told.opening + told.doing, spare=True))
            return
        opening = self._lines(told.opening)
        if not any(line.seconds for line in told.opening) and self.pauses and _heavy(step):
            opening += self._prediction(step, fresh)
        doing = self._lines(told.doing)
        if opening and doing:
            yield self._shot(working, index, hidden, opening, chapter)
            yield self._shot(working, index, frozenset(), doing)
        else:
            yield self._shot(working, index, frozenset(), opening or doing, chapter)

    def _in_whole(self, working: Working, step: Step, fresh: list[int]) -> Told:
        """Return a step told from its own sentences: what is done, then all its rows at once."""
        narrator = Narrator(working.question.names, self.course.point)
        said = [line for each in step.written.sentences for line in _of_sentence(each, narrator)]
        if not step.rows:  # there is nothing else to show
            said = [
                line
                if line.moment or len(line.text) > LONG_SENTENCE
                else replace(line, moment=Moment(aside=line.text))
                for line in said
            ]
        first, *rest = said or [Line("")]
        begun = replace(first, text=f"{step.title}. {first.text}".strip(), weight=ESSENTIAL)
        standing = in_words(working, step.number - 1, [begun, *rest])
        if standing:
            return standing
        opening, doing = [begun], rest
        last = step.rows[-1] if step.rows else None
        if fresh and last is not None and last.value is not None and not last.word:
            earlier = (row.value for one in working.steps[: step.number - 1] for row in one.rows)
            if last.value not in earlier and not any(
                narrator.value(last.value) in line.text for line in said
            ):
                doing.append(Line(narrator.words(english.MAKES, value=last.value)))
        if not fresh or not doing:
            return Told([], opening + doing)
        return Told(opening, doing)

    def check(self, working: Working, *, chapter: str = "") -> Shot:
        """Return the shot of the check in decimal: the answer, the gap, and where it came from; then a summing up."""
        said = working.check_words
        lines = checking(working) or [
            Line(sentence, None, ESSENTIAL if at == 0 else DETAIL)
            for at, sentence in enumerate(
                [*_opened(said.title, said.detail), f"{said.verdict}.", *said.reasons]
            )
        ]
        cues = self._lines([*lines, *summing_up(working)])
        cues.append(pause(prompts.TAKE_IN, AFTER_ANSWER, weight=DETAIL))
        view = View(
            kind="check",
            title=said.title,
            detail=said.detail,
            working=working,
            step=len(working.steps),
            mark=self.mark,
            estimate=_estimated(working),
        )
        return Shot(self.part, view, tuple(cues), chapter)

    # === Cues ===

    def _lines(self, lines: list[Line], *, spare: bool = False) -> list[Cue]:
        """Return *lines* as cues; *spare* leaves out the questions to the class."""
        kept = [line for line in lines if not line.seconds or (self.pauses and not spare)]
        return [self._line(line) for line in kept]

    def _line(self, line: Line) -> Cue:
        if line.seconds:
            length = line.seconds * 1000 if self.pause_for is None else self.pause_for * 1000
            return pause(line.text, length, moment=line.moment, weight=line.weight)
        return say_sentence(line.text, self.course, self.pace, moment=line.moment, weight=line.weight)

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
            subject=worked_on(working, index),
            estimate=_estimated(working),
        )
        return Shot(self.part, view, tuple(cues), chapter)

    def _sentence(self, written: str) -> Cue:
        return say_sentence(written, self.course, self.pace)

    def _prediction(self, step: Step, fresh: list[int]) -> list[Cue]:
        return [self._sentence(prompts.PREDICT), pause(prompts.WRITE, self._writing(step, fresh))]

    def _own_turn(self, step: Step, fresh: list[int]) -> list[Cue]:
        return [self._sentence(prompts.FILL), pause(prompts.WRITE, self._writing(step, fresh))]

    def _writing(self, step: Step, fresh: list[int]) -> int:
        if self.pause_for is not None:
            return self.pause_for * 1000
        return writing_pause(sum(len(step.rows[at].bits) for at in fresh))


def _of_sentence(said: Spoken, narrator: Narrator) -> Iterator[Line]:
    """Yield one of a step's sentences; a sum in it is written on the board, and told for itself where it is long."""
    shown = Moment(aside=said.sum) if said.sum else None
    rule, rest = narrator.led(said)
    told = sentences(narrator.again(said))
    if shown and rule and len(told[0]) > LONG_SENTENCE:
        yield Line(f"{rule}:")
        told = sentences(rest)
    for at, sentence in enumerate(told):
        yield Line(sentence, None if at else shown)


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


def _as_asked(working: Working) -> list[str]:
    """Return the operands as they are asked about: patterns where the question is about their bits, else values."""
    asked = working.question
    if asked.operation.takes == "values":
        return asked.shown
    if asked.operation.name in {"normalise", "negate", "decode", "range", "convert"}:
        return [
            asked.format.write(pattern, point=asked.course.binary_point == "shown")
            for pattern in asked.patterns
        ]
    said = Narrator(asked.names, asked.course.point).value
    values = [value_or_none(asked.format, pattern) for pattern in asked.patterns]
    return [
        shown if value is None else said(given if given is not None else value)
        for given, value, shown in zip(asked.given, values, asked.shown, strict=True)
    ]


def _estimated(working: Working) -> str:
    guess = estimate(working.question, working.check.exact)
    return f"\u2248 {guess.about}" if guess else ""


def _bracketed(number: str) -> str:
    return f"({number})" if number.startswith("\u2212") else number
