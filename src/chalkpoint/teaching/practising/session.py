"""A practice session: one question after another, the pupil's own lines answered one by one.

A session is plain data; each function takes a session and returns the one after what the pupil did, with
what is said to it in `said`. What is said names no belief: it asks a question that lets the pupil doubt.

    begin -> write, hint, keep or fill_in, line by line -> next_one -> write ...      summary at any time

A wrong line waits as a draft: the pupil writes it anew, or keeps it and sees what follows. Two questions
without help go up one fading level. A belief that showed brings its counter-example next and goes one
level back. The same seed and the same acts give the same session.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from chalkpoint.finding.familyspace import FamilySpace
from chalkpoint.finding.registry import FOUND_BY
from chalkpoint.marking.lines_ahead import Onward
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import is_school
from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.drawing import parse_traits
from chalkpoint.teaching.board import Kept, left_to_write, question_on, written
from chalkpoint.teaching.hints import DEPTHS, hints_for
from chalkpoint.teaching.judged import FAULTS, Judged, judge_line
from chalkpoint.teaching.lines import read_line
from chalkpoint.teaching.practising.fresh import counter_example, fresh_question
from chalkpoint.teaching.practising.levels import given_lines, level_words, top_level, traits_for
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question
from chalkpoint.working.wording import words_lessons as prompts

__all__ = [
    "Done",
    "Practice",
    "Said",
    "begin",
    "fill_in",
    "hint",
    "keep",
    "next_one",
    "question_in",
    "to_write_next",
    "write",
]

GIVEN, FILLED_IN = "given", "filled in"
ENOUGH = 2  # questions without help that go up one level


@dataclass(frozen=True, slots=True)
class Said:
    """What is said to the last act.

    kind  "right", "follow-through", "recovered", "right elsewhere", "not yet", "nudge", "rule", "show",
          "kept" or "filled in"
    rule  the line it is about
    says  one or two sentences
    """

    kind: str
    rule: str
    says: str


@dataclass(frozen=True, slots=True)
class Done:
    """A question that is done.

    question  as a line
    level     its fading level
    own       how many lines the pupil wrote
    first     how many of those were right at the first try, without a hint
    wrong     how many wrong lines were written on the way
    hints     (line, depth) for each line on which a hint was asked for, the deepest
    filled    how many lines were filled in
    right     whether every line on the board is right
    """

    question: str
    level: int
    own: int = 0
    first: int = 0
    wrong: int = 0
    hints: tuple[tuple[str, str], ...] = ()
    filled: int = 0
    right: bool = True

    @property
    def unaided(self) -> bool:
        """Whether the pupil wrote lines, all right, with no hint, no nudge and nothing filled in."""
        return bool(self.own) and self.right and not (self.wrong or self.hints or self.filled)


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """A practice session.

    course     the conventions
    operation  what is practised
    seed       decides every question
    to         of conversions, the format converted into; "" for one near by
    where      the traits of every question; where none are given, each level has its own
    level      the fading level, from 0 (every line is shown) to `top`
    streak     questions without help since the level last changed
    question   the question at hand, as a line
    counter    whether it was chosen because a faulty rule goes wrong on it
    board      the lines on the board: given, written or filled in
    draft      a wrong line that waits to be written anew or kept, or None
    depth      how many hints on the line at hand were given
    tally      the question at hand as it is so far
    shown      beliefs that gave a wrong line of this question; never shown to the pupil
    said       what was said last, or None
    done       the questions done, in order
    """

    course: Course
    operation: str
    seed: int
    to: str = ""
    where: tuple[str, ...] = ()
    level: int = 0
    streak: int = 0
    question: str = ""
    counter: bool = False
    board: tuple[Kept, ...] = ()
    draft: Kept | None = None
    depth: int = 0
    tally: Done = Done("", 0)
    shown: tuple[str, ...] = ()
    said: Said | None = None
    done: tuple[Done, ...] = ()

    @property
    def top(self) -> int:
        """The level on which every line is the pupil's own."""
        return top_level(self.operation, self.course)

    @property
    def number(self) -> int:
        """The number of the question at hand, from 1."""
        return len(self.done) + 1

    @property
    def finished(self) -> bool:
        """Whether nothing is left to write on the question at hand."""
        return not left_to_write(self.course, self.question, self.board)

    @property
    def level_says(self) -> str:
        """The level in words."""
        return level_words(self.level, self.top)


# === What can be asked of a session ===


def question_in(practice: Practice) -> Question:
    """Return the question at hand."""
    return question_on(practice.course, practice.question)


def to_write_next(practice: Practice) -> Onward | None:
    """Return the line at hand, None where the question is finished; what it expects is not for the pupil."""
    return next(iter(left_to_write(practice.course, practice.question, practice.board)), None)


# === What a pupil does ===


def begin(
    operation: str,
    *,
    course: Course | None = None,
    seed: int = 0,
    where: Sequence[str] = (),
    level: int = 0,
    to: str = "",
) -> Practice:
    """Return a new session with its first question.

    to  of conversions, the format converted into; by default one near by

    >>> session = begin("subtract", seed=7)
    >>> session.level_says, session.finished, len(session.board)
    ('every line is shown', True, 4)

    Raises EntryError for an operation that is not practised, a trait it has not, or a level it has not.
    """
    conventions = course or Course()
    top = top_level(operation, conventions)
    if operation in FOUND_BY and not is_school(conventions.number_format):
        FamilySpace(operation, conventions).refuse()
    if not 0 <= level <= top:
        raise EntryError(f"level {level} is none of {operation}'s; give one from 0 to {top}")
    parse_traits(BlueprintQuestion(operation, conventions, where=tuple(where)))
    session = Practice(
        course=conventions, operation=operation, seed=seed, to=to, where=tuple(where), level=level
    )
    return _with_question(session)


def write(practice: Practice, text: str) -> Practice:
    """Return the session after the pupil wrote *text* on the line at hand; it is answered in `said`.

    >>> session = write(begin("subtract", seed=7, level=3), "0.1111111")
    >>> session.said.kind, session.draft.written
    ('not yet', '0.1111111')

    Raises EntryError, and changes nothing, where it cannot be read.
    """
    line = _line(practice)
    read = read_line(question_in(practice), line.rule, text, own=line.expects)
    board = tuple(written(practice.board).items())
    judged = judge_line(practice.course, practice.question, board, line.rule, read.spelling)
    kept = Kept(line.rule, line.title, read.spelling, judged.kind)
    if kept.right:
        return _stands(practice, kept, Said(judged.kind, line.rule, _praise(judged)))
    return _not_yet(practice, line, kept, judged)


def hint(practice: Practice) -> Practice:
    """Return the session with the next hint on the line at hand: nudge, then rule, then show.

    A wrong line was met with the nudge already. Once all three are given, the last is said again.
    """
    line = _line(practice)
    given = max(practice.depth, 1) if practice.draft else practice.depth
    depth = min(given + 1, len(DEPTHS))
    name = DEPTHS[depth - 1]
    said = hints_for(question_in(practice), line)[depth - 1]
    hints = dict(practice.tally.hints) | {line.rule: name}
    tally = replace(practice.tally, hints=tuple(hints.items()))
    return replace(practice, depth=depth, tally=tally, said=Said(name, line.rule, said))


def keep(practice: Practice) -> Practice:
    """Return the session with the wrong line on the board after all; what follows is judged from it."""
    if practice.draft is None:
        raise EntryError("there is no line to keep; write the line first")
    said = Said("kept", practice.draft.rule, prompts.STANDS)
    return _stands(practice, practice.draft, said)


def fill_in(practice: Practice) -> Practice:
    """Return the session with the line at hand filled in by the rules, for a pupil who cannot go on."""
    line = _line(practice)
    said = Said(FILLED_IN, line.rule, prompts.FILLED_IN.format(written=line.expects))
    return _stands(practice, Kept(line.rule, line.title, line.expects, FILLED_IN), said)


def next_one(practice: Practice) -> Practice:
    """Return the session with the next question, on the level that the last one earned.

    Raises EntryError where the question at hand is not finished.
    """
    if not practice.finished:
        raise EntryError("this question is not finished; write the next line, or have it filled in")
    level, streak = _earned(practice)
    done = (*practice.done, practice.tally)
    return _with_question(replace(practice, level=level, streak=streak, done=done), practice.shown)


# === Helpers ===


def _line(practice: Practice) -> Onward:
    line = to_write_next(practice)
    if line is None:
        raise EntryError("every line of this question is written; go on to the next one")
    return line


def _praise(judged: Judged) -> str:
    if judged.kind == "right elsewhere":
        return prompts.RIGHT_ELSEWHERE.format(words=judged.thoughts[0].says)
    return {"follow-through": prompts.FOLLOWS, "recovered": prompts.RECOVERED}.get(judged.kind, prompts.RIGHT)


def _not_yet(practice: Practice, line: Onward, draft: Kept, judged: Judged) -> Practice:
    """Return the session with the wrong line as a draft, and a question that lets the pupil doubt."""
    among = tuple(thought.name for thought in judged.thoughts if thought.kind == "belief")
    nudge = hints_for(question_in(practice), line, among)[0]
    said = Said("not yet", line.rule, prompts.NOT_YET.format(hint=nudge))
    tally = replace(practice.tally, wrong=practice.tally.wrong + 1)
    return replace(practice, draft=draft, said=said, tally=tally, shown=among or practice.shown)


def _stands(practice: Practice, line: Kept, said: Said) -> Practice:
    """Return the session with *line* on the board."""
    tally = practice.tally
    filled = line.kind == FILLED_IN
    at_first = line.right and not filled and practice.draft is None and not practice.depth
    tally = replace(
        tally,
        own=tally.own + (not filled),
        first=tally.first + at_first,
        filled=tally.filled + filled,
        right=tally.right and line.kind not in {*FAULTS, "follow-through"},
    )
    return replace(practice, board=(*practice.board, line), draft=None, depth=0, tally=tally, said=said)


def _earned(practice: Practice) -> tuple[int, int]:
    """Return the level and the streak after the question at hand."""
    level, streak = practice.level, practice.streak
    if practice.shown:
        return max(0, level - 1), 0
    if level == 0:
        return 1, 0
    streak = streak + 1 if practice.tally.unaided else 0
    return (level + 1, 0) if streak >= ENOUGH and level < practice.top else (level, streak)


def _with_question(practice: Practice, beliefs: Sequence[str] = ()) -> Practice:
    """Return the session with a new question on its level; a counter-example where *beliefs* have shown."""
    where = practice.where or traits_for(practice.operation, practice.course, practice.level, practice.top)
    seed = f"{practice.seed} {practice.number}"
    asked = [done.question for done in practice.done]
    if beliefs:
        line = counter_example(practice.course, practice.operation, beliefs, where, seed, asked, practice.to)
    else:
        line = fresh_question(practice.course, practice.operation, where, seed, asked, practice.to)
    given = given_lines(left_to_write(practice.course, line, ()), practice.level, practice.top)
    return replace(
        practice,
        question=line,
        counter=bool(beliefs),
        board=tuple(Kept(one.rule, one.title, one.expects, GIVEN) for one in given),
        draft=None,
        depth=0,
        tally=Done(line, practice.level),
        shown=(),
        said=None,
    )
