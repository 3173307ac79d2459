"""What a pupil keeps of a practice session: what was done, in plain text, without labels and without names."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from chalkpoint.teaching.board import question_on
from chalkpoint.teaching.hints import DEPTHS
from chalkpoint.teaching.practising.levels import level_words
from chalkpoint.teaching.practising.session import Done, Practice
from chalkpoint.working.course import Course
from chalkpoint.working.wording.heading import heading
from chalkpoint.working.wording.said import Speaker
from chalkpoint.working.wording.words_lessons import SUMMARY

__all__ = ["summary"]

SAYS = Speaker((), ".")


def summary(practice: Practice) -> str:
    """Return the questions done so far, and the one at hand if it is finished, in plain text.

    >>> from chalkpoint.teaching.practising.session import begin, next_one
    >>> print(summary(next_one(begin("normalise", seed=1))).rstrip())
    Practice: normalise in 8+4
    <BLANKLINE>
    1 question done, a worked example.
    <BLANKLINE>
    1. Normalise 0.0110111 0011 in 8+4: a worked example
    <BLANKLINE>
    Next: every line is yours.
    """
    done = (*practice.done, practice.tally) if practice.finished else practice.done
    title = _say("title", operation=practice.operation, format=practice.course.format)
    parts = [title, "\n".join(_counts(done))]
    parts += (
        ["\n".join(_line(at, one, practice.course) for at, one in enumerate(done, start=1))] if done else []
    )
    parts.append(_say("next", level=level_words(practice.level, practice.top)))
    return "\n\n".join(parts) + "\n"


def _say(key: str, **facts: object) -> str:
    return SAYS.vformat(SUMMARY[key], (), facts)


def _several(key: str, count: int) -> str:
    return f"{key}-several" if count > 1 else key


def _counts(done: tuple[Done, ...]) -> Iterator[str]:
    own = [one for one in done if one.own or one.filled]
    if not own:
        yield _say(_several("examples", len(done)), done=len(done)) if done else _say("none")
        return
    yield _say("done", done=len(done), unaided=sum(one.unaided for one in own))
    yield _say("lines", lines=sum(one.own for one in own), first=sum(one.first for one in own))
    hints = Counter(depth for one in own for _, depth in one.hints)
    if hints:
        deep = ", ".join(f"{depth} {hints[depth]}" for depth in DEPTHS if hints[depth])
        yield _say("hints", hints=hints.total(), depths=deep)
    filled = sum(one.filled for one in own)
    if filled:
        yield _say("filled", filled=filled)


def _line(at: int, one: Done, course: Course) -> str:
    """Return what was done on one question."""
    said = ["example"]
    if one.own or one.filled:
        said = ["own", "right" if one.right else "again"]
        said += ["unaided"] if one.unaided else []
        said += [_several("wrong", one.wrong)] if one.wrong else []
    told = [_say(key, lines=one.own, wrong=one.wrong) for key in said]
    told += [_say("hint", rule=rule, depth=depth) for rule, depth in one.hints]
    told += [_say("filled-in", filled=one.filled)] if one.filled else []
    return _say("question", at=at, title=heading(question_on(course, one.question)), said=", ".join(told))
