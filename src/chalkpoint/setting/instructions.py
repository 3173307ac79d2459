"""What a question says: the task in a sentence, and what must be said beside it."""

from __future__ import annotations

from chalkpoint.numbers.families import WHOLE
from chalkpoint.numbers.named import is_school
from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.cards import format_in_words
from chalkpoint.setting.contexts import Story
from chalkpoint.setting.fairness import Fairness
from chalkpoint.working.question import Question
from chalkpoint.working.wording.heading import describe_method
from chalkpoint.working.wording.said import listed
from chalkpoint.working.wording.words_papers import (
    AFTER_A_STORY,
    DEEDS,
    EXTREMES,
    FADED,
    IN_ROWS,
    METHOD_NOTE,
    MISTAKE,
    ONE_THING,
    REWARDED,
    SHOW_LINES,
    TASKS,
    THINGS,
    VALUES,
    WHOLE_NUMBERS,
)

__all__ = ["needs_working", "notes_for", "rewarded", "words_for"]

WITHOUT_LINES = ("explain", "range", "choose-format")  # nothing is written before the answer
LONGEST_VALUE = 14  # characters; longer values are pointed at, not written out


def words_for(question: Question, story: Story | None, kind: str = "work") -> str:
    """Return what is asked.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> words_for(ask("subtract", "6.5", "1.25", course=Course()), None)
    'Subtract 1.25 from 6.5, in the format 8+4.'
    """
    operation, shown = question.operation.name, question.put
    numbers = _numbers(question)
    if story:
        task = f"{story.words} {AFTER_A_STORY.get(operation, '')}".strip().format(**numbers)
    elif operation in IN_ROWS and any(len(text) > LONGEST_VALUE for text in shown):
        task = IN_ROWS[operation].format(**numbers)
    elif operation == "decode" and question.format.family == WHOLE and not question.format.places:
        task = WHOLE_NUMBERS.format(**numbers)
    elif kind == "values":
        task = VALUES.format(**numbers)
    elif operation == "range" and not is_school(question.format):
        task = EXTREMES.format(**numbers)
    else:
        task = TASKS.get(operation, f"{operation.capitalize()} {{pattern}}.").format(**numbers)
    return f"{task} {({'faded': FADED, 'mistake': MISTAKE}).get(kind, '')}".strip()


def _numbers(question: Question) -> dict[str, str]:
    """Return the text for each name in a task."""
    shown, fmt = question.put, question.format
    numbers = {"format": format_in_words(fmt), "count": str(len(shown)), "value": shown[0] if shown else ""}
    numbers |= dict(zip(("first", "second", "third"), shown, strict=False))
    if question.patterns:
        numbers["pattern"] = fmt.write(question.patterns[0], point=True)
    if question.target is not None:
        numbers["target"] = format_in_words(question.target.number_format)
    if question.about is not None:
        name = question.about.operation.name
        several = question.about.shown
        about = _numbers(question.about) | {"numbers": listed(several)}
        numbers["deed"] = DEEDS[name].format(**about)
    return numbers


def notes_for(question: Question, fairness: Fairness, blueprint: Blueprint) -> tuple[str, ...]:
    """Return what must be said beside the question: the method where it matters, and what an answer alone earns."""
    notes = []
    if not fairness.same_answer and blueprint.methods == "name the method":
        notes.append(METHOD_NOTE.format(words=describe_method(question, question.course.method)))
    if fairness.common_accidents or needs_working(question, blueprint):
        notes.append(SHOW_LINES)
    return tuple(notes)


def needs_working(question: Question, blueprint: Blueprint) -> bool:
    """Tell whether *blueprint* wants the lines of *question* and not its answer alone."""
    return blueprint.working == "required" and question.operation.name not in WITHOUT_LINES


def rewarded(question: Question, marks: int) -> str:
    """Return what the marks of an explanation are for; "" where lines of working are marked.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> rewarded(ask("explain", "add", "64", "0.25", course=Course()), 2)
    'Say 2 things that happen to the digits or to the answer, each with its reason: a mark for each.'
    """
    if question.operation.name != "explain":
        return ""
    things = ONE_THING if marks == 1 else THINGS.format(marks=marks)
    return REWARDED.format(things=things)
