"""The storyboard: shots in order, each a view shown while its cues are said and its pauses run."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from chalkpoint.teaching.digits import hold
from chalkpoint.teaching.hearing import heard
from chalkpoint.teaching.lesson import Choice
from chalkpoint.teaching.timing import Phrase, phrases
from chalkpoint.working.course import Course
from chalkpoint.working.steps import Step
from chalkpoint.working.working import Working

__all__ = ["Cells", "Cue", "Moment", "Shot", "Storyboard", "View", "pause", "say"]

CORE, ESSENTIAL, USUAL, DETAIL = 4, 3, 2, 1  # how much a cue matters when a lesson must be short


@dataclass(frozen=True, slots=True)
class Cells:
    """Some cells of a row: the columns from *first* to *last* (0 is the sign place, 1 the first place after it).

    row  index of the step's row; -1, -2, ... are the view's *subject* rows in order
    """

    row: int
    first: int
    last: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """The part of a shot's picture shown during one cue, where it is not the whole.

    written    of these rows only these cells are written yet; the other rows are whole
    column     the column that is worked on
    aside      a small sum beside it, such as "1 + 1 = 10"
    carried    columns that have a 1 carried above them: above the carries' own row, or above row *over*
    over       the row over which a step without carries of its own shows them
    marked     cells to look at
    exponents  rows whose exponent is to be looked at
    stage      how far a check has come: "line", "exact", "gap" or "tray"; of four answers the letters of those
               whose thought has been told, or "none"; "" for all of it
    """

    written: tuple[Cells, ...] = ()
    column: int | None = None
    aside: str = ""
    carried: tuple[int, ...] | None = None
    over: int | None = None
    marked: tuple[Cells, ...] = ()
    exponents: tuple[int, ...] = ()
    stage: str = ""


@dataclass(frozen=True, slots=True)
class Cue:
    """Something said, or a silence.

    written       as captions and the script write it, bits as digits; for a silence, what it is for
    spoken        the same for the ear; "" for a silence
    milliseconds  how long it takes
    phrases       its captions; none for a silence
    moment        the part of the shot's picture shown meanwhile; None for all of it
    weight        how much it matters, from DETAIL to CORE: a short lesson leaves out what matters least
    """

    written: str
    spoken: str
    milliseconds: int
    phrases: tuple[Phrase, ...] = ()
    moment: Moment | None = None
    weight: int = USUAL

    @property
    def silent(self) -> bool:
        """Whether it is a pause."""
        return not self.spoken

    def lasting(self, milliseconds: int) -> Cue:
        """Return this cue made to last *milliseconds*, its captions stretched alike."""
        if not self.phrases or milliseconds == self.milliseconds:
            return replace(self, milliseconds=milliseconds)
        whole, stretched, used = self.milliseconds, [], 0
        for phrase in self.phrases[:-1]:
            share = phrase.milliseconds * milliseconds // whole
            used += share
            stretched.append(replace(phrase, milliseconds=share))
        stretched.append(replace(self.phrases[-1], milliseconds=milliseconds - used))
        return replace(self, milliseconds=milliseconds, phrases=tuple(stretched))


def say(written: str, spoken: str, pace: int, *, moment: Moment | None = None, weight: int = USUAL) -> Cue:
    """Return a cue that says *written*, at *pace* words a minute or slower.

    >>> say("Add one.", "Add one.", 120).silent
    False
    """
    captions = phrases(written, pace)
    length = sum(phrase.milliseconds for phrase in captions)
    return Cue(written, spoken, length, captions, moment, weight)


def say_sentence(
    written: str, course: Course, pace: int, *, moment: Moment | None = None, weight: int = USUAL
) -> Cue:
    """Return a cue that says a sentence with numbers as they are written."""
    return say(hold(written), heard(written, course.point), pace, moment=moment, weight=weight)


def pause(what: str, milliseconds: int, *, moment: Moment | None = None, weight: int = USUAL) -> Cue:
    """Return a silence, *what* telling what it is for.

    >>> pause("write the exponent", 3000).silent
    True
    """
    return Cue(what, "", milliseconds, moment=moment, weight=weight)


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """The state of the board.

    kind      "words" for lines of text, "question" for what is asked, "step" for a step of the working,
              "check", "choices", or "split" for one step of two workings
    title     its heading
    detail    the sentence below the title
    lines     lines of text shown so far
    working   the working shown, if any
    step      index of the step shown
    hidden    rows of that step (by index) that keep their place but are not shown yet
    choices   the four answers
    revealed  whether the right answer is marked
    mark      a word over a view that must not be copied, such as "wrong on purpose", or ""
    beside    for a split screen: the other working, whose step *step* is shown below
    subject   rows of earlier steps, as (step, row), that the step works on and that are none of its own
    estimate  what the answer should be near, such as "\u2248 5"; "" before it was said
    """

    kind: str
    title: str
    detail: str = ""
    lines: tuple[str, ...] = ()
    working: Working | None = None
    step: int = 0
    hidden: frozenset[int] = frozenset()
    choices: tuple[Choice, ...] = ()
    revealed: bool = False
    mark: str = ""
    beside: Working | None = None
    subject: tuple[tuple[int, int], ...] = ()
    estimate: str = ""

    @property
    def shown_step(self) -> Step | None:
        """The step shown, if one is."""
        return self.working.steps[self.step] if self.kind == "step" and self.working else None


@dataclass(frozen=True, slots=True)
class Shot:
    """A view and what is said while it is shown.

    part     index of the lesson's part
    chapter  the name of the chapter that starts here, or ""
    """

    part: int
    view: View
    cues: tuple[Cue, ...]
    chapter: str = ""

    @property
    def milliseconds(self) -> int:
        """How long the view is shown."""
        return sum(cue.milliseconds for cue in self.cues)


@dataclass(frozen=True)
class Storyboard:
    """A whole lesson as shots."""

    title: str
    course: Course
    pace: int
    shots: tuple[Shot, ...]

    @property
    def workings(self) -> list[Working]:
        """Every working that is shown, each once."""
        shown = [one for shot in self.shots for one in (shot.view.working, shot.view.beside) if one]
        return list({id(one): one for one in shown}.values())

    @cached_property
    def milliseconds(self) -> int:
        """How long all of it takes."""
        return sum(shot.milliseconds for shot in self.shots)

    def timed(self) -> Iterator[tuple[int, Shot]]:
        """Yield each shot with its start in ms."""
        start = 0
        for shot in self.shots:
            yield start, shot
            start += shot.milliseconds

    def timed_cues(self) -> Iterator[tuple[int, Cue]]:
        """Yield each cue with its start in ms."""
        for start, shot in self.timed():
            at = start
            for cue in shot.cues:
                yield at, cue
                at += cue.milliseconds

    def timed_shots(self) -> Iterator[tuple[int, Shot, Cue]]:
        """Yield each cue with its start in ms and its shot."""
        for start, shot in self.timed():
            at = start
            for cue in shot.cues:
                yield at, shot, cue
                at += cue.milliseconds

    def chapters(self) -> list[tuple[int, int, str]]:
        """Return (start, end, name) of each chapter, in ms."""
        starts = [(start, shot.chapter) for start, shot in self.timed() if shot.chapter]
        ends = [start for start, _ in starts[1:]] + [self.milliseconds]
        return [(start, end, name) for (start, name), end in zip(starts, ends, strict=True)]
