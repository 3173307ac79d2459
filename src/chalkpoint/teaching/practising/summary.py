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

__all__ = ["summary"]


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
    parts = [f"Practice: {practice.operation} in {practice.course.format}", "\n".join(_counts(done))]
    parts += (
        ["\n".join(_line(at, one, practice.course) for at, one in enumerate(done, start=1))] if done else []
    )
    parts.append(f"Next: {level_words(practice.level, practice.top)}.")
    return "\n\n".join(parts) + "\n"


def _counts(done: tuple[Done, ...]) -> Iterator[str]:
    own = [one for one in done if one.own or one.filled]
    if not own:
        examples = "a worked example" if len(done) == 1 else "worked examples"
        yield f"{_many(len(done), 'question')} done, {examples}." if done else "No question done yet."
        return
    yield f"{_many(len(done), 'question')} done, {sum(one.unaided for one in own)} without any help."
    lines = sum(one.own for one in own)
    first = sum(one.first for one in own)
    yield f"{_many(lines, 'line')} of your own, {first} right at the first try."
    hints = Counter(depth for one in own for _, depth in one.hints)
    if hints:
        deep = ", ".join(f"{depth} {hints[depth]}" for depth in DEPTHS if hints[depth])
        yield f"Hints on {_many(hints.total(), 'line')}, as deep as: {deep}."
    filled = sum(one.filled for one in own)
    if filled:
        yield f"{_many(filled, 'line')} filled in."


def _line(at: int, one: Done, course: Course) -> str:
    """Return what was done on one question."""
    title = heading(question_on(course, one.question))
    if not (one.own or one.filled):
        return f"{at}. {title}: a worked example"
    said = [f"{_many(one.own, 'line')} of your own", "right" if one.right else "one to look at again"]
    if one.unaided:
        said.append("without any help")
    if one.wrong:
        said.append(_many(one.wrong, "try that was not right", "tries that were not right"))
    said += [f"hint on {rule}: {depth}" for rule, depth in one.hints]
    if one.filled:
        said.append(f"{_many(one.filled, 'line')} filled in")
    return f"{at}. {title}: {', '.join(said)}"


def _many(count: int, one: str, several: str = "") -> str:
    return f"{count} {one if count == 1 else several or f'{one}s'}"
