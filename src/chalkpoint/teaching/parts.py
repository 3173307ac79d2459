"""A lesson told: each kind of part as shots."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from chalkpoint.teaching.choosing import first_wrong
from chalkpoint.teaching.lesson import Lesson, Part
from chalkpoint.teaching.storyboard import Cue, Moment, Shot, Storyboard, View, pause, say_sentence
from chalkpoint.teaching.telling import Teller, sentences
from chalkpoint.teaching.timing import writing_pause
from chalkpoint.teaching.unmarked import unmarked
from chalkpoint.working.beliefs.catalogue import parse_belief
from chalkpoint.working.wording import words_lessons as prompts
from chalkpoint.working.wording.heading import asked_heading
from chalkpoint.working.working import Working

__all__ = ["storyboard"]

THINKING = 20_000  # ms, before a choice is made


def storyboard(lesson: Lesson) -> Storyboard:
    """Return *lesson* as shots.

    >>> from chalkpoint.teaching.lessonfile import lesson_of
    >>> from chalkpoint.working.work import work
    >>> told = storyboard(lesson_of(work("add", "1.5", "2.5")))
    >>> told.shots[0].chapter, told.shots[0].cues[0].written
    ('The question', '1.5 plus 2.5.')
    """
    shots = [shot for index, part in enumerate(lesson.parts) for shot in _Part(lesson, index, part).shots()]
    return Storyboard(lesson.title, lesson.course, lesson.pace, tuple(shots))


class _Part:
    """Tells one part."""

    def __init__(self, lesson: Lesson, index: int, part: Part) -> None:
        self.lesson = lesson
        self.index = index
        self.part = part
        # A single working needs no part's name before its steps'.
        self.chapter = f"{part.title}: " if len(lesson.parts) > 1 else ""

    def shots(self) -> Iterator[Shot]:
        """Yield the shots of the part; what it says comes first."""
        kinds: dict[str, Callable[[], Iterator[Shot]]] = {
            "worked": self._worked,
            "try": self._try,
            "faded": self._faded,
            "mistake": self._mistake,
            "hinge": self._hinge,
            "next": self._next,
            "split": self._split,
        }
        told = kinds.get(self.part.kind, self._plain)
        yield from self._words()
        yield from told()

    def _words(self) -> Iterator[Shot]:
        """Yield a shot for each sentence of the part's own, those before it staying in view."""
        for at in range(len(self.part.says)):
            lines = self.part.says[: at + 1]
            view = View(kind="words", title=self.part.title, lines=lines)
            cues = map(self._sentence, sentences(lines[-1]))
            yield self._shot(view, *cues, chapter=self.part.title if at == 0 else "")

    def _plain(self) -> Iterator[Shot]:
        if self.part.working:
            yield self._question()
            yield from self._teller(pauses=False).tell(self.part.working, chapter=self.chapter)

    def _worked(self) -> Iterator[Shot]:
        yield self._question()
        yield from self._teller().tell(self._own(), chapter=self.chapter)

    def _question(self) -> Shot:
        """Return the shot that states the part's question; one that an earlier part asked is not estimated again."""
        own = self._own()
        earlier = (part.working for part in self.lesson.parts[: self.index])
        again = any(one is not None and one.title == own.title for one in earlier)
        return self._teller().question(own, chapter=f"{self.chapter}{prompts.QUESTION}", again=again)

    def _try(self) -> Iterator[Shot]:
        working = self._own()
        yield self._question()
        bits = sum(len(row.bits) for step in working.steps[1:] for row in step.rows if not row.soft)
        teller = self._teller(pauses=False)
        shots = list(teller.step(working, 0, set(), chapter=f"{self.chapter}{working.steps[0].title}"))
        last = shots[-1]
        yield from shots[:-1]
        turn = (self._sentence(prompts.TRY), pause(prompts.WRITE, self._pause(writing_pause(bits))))
        yield replace(last, cues=(*last.cues, *turn, self._sentence(prompts.COMPARE)))
        yield from teller.tell(working, first=1, chapter=self.chapter)

    def _faded(self) -> Iterator[Shot]:
        yield self._question()
        yield from self._teller(pauses=False, blanks=self.part.blanks).tell(self._own(), chapter=self.chapter)

    def _mistake(self) -> Iterator[Shot]:
        """Yield the faulty working, its mistake, and that step done right."""
        right, wrong = self._own(), self.part.wrong
        if wrong is None:
            return
        shown = unmarked(wrong, right)
        yield self._question()
        opening = View(
            kind="words", title=self.part.title, lines=(prompts.FIND_MISTAKE,), mark=prompts.WRONG_ON_PURPOSE
        )
        yield self._shot(opening, self._sentence(prompts.FIND_MISTAKE), chapter=self.part.title)
        for index, step in enumerate(shown.steps):
            said = prompts.SOMEONE.get(step.rule, prompts.SOMEONE_OTHERWISE.format(title=step.title))
            view = View(kind="step", title=step.title, working=shown, step=index)
            yield self._shot(view, self._sentence(said), chapter=f"{self.chapter}{step.title}")
        last = View(kind="step", title=shown.steps[-1].title, working=shown, step=len(shown.steps) - 1)
        thinking = pause(prompts.WHICH_STEP, self._pause(THINKING), moment=None)
        yield self._shot(last, thinking)
        step, correct = first_wrong(wrong, right)
        view = View(
            kind="step",
            title=step.title,
            detail=step.detail,
            working=wrong,
            step=step.number - 1,
            mark=prompts.WRONG_ON_PURPOSE,
        )
        belief = parse_belief(self.part.belief)
        yield self._shot(
            view,
            self._sentence(prompts.MISTAKE_IS.format(title=step.title)),
            *self._sentences(prompts.BELIEVED.format(says=belief.says)),
            *self._sentences(prompts.BUT_RULE.format(rule=belief.rule)),
        )
        if correct is not None:
            view = replace(
                view,
                working=right,
                title=correct.title,
                detail=correct.detail,
                step=correct.number - 1,
                mark="",
            )
            yield self._shot(view, self._sentence(prompts.RIGHT_ROW), *self._sentences(correct.detail))
        yield self._teller().check(right)

    def _hinge(self) -> Iterator[Shot]:
        working, choices = self._own(), self.part.choices
        yield self._question()
        yield from self._teller(pauses=False).step(
            working, 0, set(), chapter=f"{self.chapter}{working.steps[0].title}"
        )
        view = View(
            kind="choices",
            title=prompts.CHOOSE,
            detail=asked_heading(working.question),
            choices=choices,
            working=working,
            step=1,
        )
        yield self._shot(
            view,
            self._sentence(prompts.CHOOSE),
            pause(prompts.THINK, self._pause(THINKING)),
            chapter=self.part.title,
        )
        yield self._shot(replace(view, revealed=True), *self._answers())

    def _next(self) -> Iterator[Shot]:
        """Yield the working up to a step, four rows for it, then the step and the rest."""
        working, (rule,) = self._own(), self.part.blanks
        asked = next(at for at, step in enumerate(working.steps) if step.rule == rule)
        teller, known = self._teller(pauses=False), set[tuple[str, str]]()
        yield self._question()
        for index in range(asked):
            yield from teller.step(
                working, index, known, chapter=f"{self.chapter}{working.steps[index].title}"
            )
        title = working.steps[asked].title
        view = View(
            kind="choices",
            title=prompts.NEXT,
            detail=f"{asked_heading(working.question)}   {title}",
            choices=self.part.choices,
            working=working,
            step=asked,
        )
        thinking = pause(prompts.NEXT, self._pause(THINKING))
        yield self._shot(view, self._sentence(prompts.NEXT), thinking, chapter=self.part.title)
        yield self._shot(replace(view, revealed=True), *self._answers())
        yield from teller.tell(working, first=asked, chapter=self.chapter)

    def _answers(self) -> list[Cue]:
        """Return what is said of the four answers, once the right one is shown."""
        right = next(choice for choice in self.part.choices if choice.right)
        told = [
            replace(
                self._sentence(prompts.RIGHT_CHOICE.format(letter=right.letter)), moment=Moment(stage="none")
            )
        ]
        letters = ""
        for choice in (each for each in self.part.choices if not each.right):
            letters += choice.letter
            said = self._sentences(prompts.WRONG_CHOICE.format(letter=choice.letter, says=choice.says))
            told += [replace(cue, moment=Moment(stage=letters)) for cue in said]
        return told

    def _split(self) -> Iterator[Shot]:
        """Yield the right working and a wrong one together, step by step, until they part."""
        right, wrong = self._own(), self.part.wrong
        if wrong is None:
            return
        upper, lower = unmarked(right, right), unmarked(wrong, right)
        belief = parse_belief(self.part.belief)
        yield self._question()
        said = [self._sentence(prompts.BESIDE)]
        for one, other in zip(upper.steps, lower.steps, strict=False):
            same = one.rule == other.rule and one.rows == other.rows
            words = (prompts.SAME if same else prompts.PART).format(title=one.title)
            said.append(self._sentence(words))
            view = View(kind="split", title=one.title, working=upper, beside=lower, step=one.number - 1)
            if not same:
                said.append(pause(prompts.WHY_PART, self._pause(THINKING)))
                said += self._sentences(prompts.BELIEVED.format(says=belief.says))
                said += self._sentences(prompts.BUT_RULE.format(rule=belief.rule))
            yield self._shot(view, *said, chapter=f"{self.chapter}{one.title}")
            said = []
            if not same:
                break
        yield self._teller().check(right)

    # === Helpers ===

    def _own(self) -> Working:
        if self.part.working is None:
            raise ValueError(f"a part of kind {self.part.kind!r} has no working")
        return self.part.working

    def _teller(self, *, pauses: bool = True, blanks: tuple[str, ...] = (), mark: str = "") -> Teller:
        lesson = self.lesson
        return Teller(
            self.index,
            lesson.course,
            lesson.pace,
            blanks=blanks,
            pauses=pauses,
            pause_for=self.part.pause,
            mark=mark,
        )

    def _pause(self, usual: int) -> int:
        return usual if self.part.pause is None else self.part.pause * 1000

    def _sentence(self, written: str) -> Cue:
        return say_sentence(written, self.lesson.course, self.lesson.pace)

    def _sentences(self, text: str) -> list[Cue]:
        return [self._sentence(sentence) for sentence in sentences(text)]

    def _shot(self, view: View, *cues: Cue, chapter: str = "") -> Shot:
        return Shot(self.index, view, cues, chapter)
