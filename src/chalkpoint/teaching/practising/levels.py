"""Fading levels: how many lines of a question are the pupil's own, from none to all, the last line first."""

from __future__ import annotations

from functools import cache

from chalkpoint.marking.judging import JUDGED, JUDGED_IN_PARTS, accepted_methods, sheet_for
from chalkpoint.marking.lines_ahead import ANSWER, Onward
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.named import is_school
from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.drawn import draw_plain
from chalkpoint.setting.practice import LADDERS
from chalkpoint.setting.sources import PAIR_OPERATIONS, draw
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import right_method
from chalkpoint.working.wording.words_lessons import LEVELS

__all__ = ["PRACTISED", "asked_for", "given_lines", "level_words", "top_level", "traits_for"]

#: The operations that can be practised: all that are judged line by line, and the ends of a range.
PRACTISED = (*JUDGED, *JUDGED_IN_PARTS, "range")
READING = "read"
#: What goes without saying of a sum to practise on: it ends in a pattern, and that is not zero.
PLAIN_SUMS = ("not result-zero", "not exponent-overflow", "not exponent-underflow")


def top_level(operation: str, course: Course) -> int:
    """Return the level on which every line is the pupil's own: one for each line that is always written.

    >>> top_level("subtract", Course()), top_level("normalise", Course())
    (3, 1)

    Raises EntryError for an operation that is not practised.
    """
    if operation not in PRACTISED:
        raise EntryError(f"{operation!r} is not practised line by line; {near_misses(operation, PRACTISED)}")
    if operation in JUDGED_IN_PARTS:
        return _lines_of_parts(operation, course)
    method = right_method(operation, course)
    lines = method.lines
    if not is_school(course.number_format) and operation != "range":
        drawn = next(
            draw_plain(BlueprintQuestion(operation, course), (), 1, "a question to count lines by"), None
        )
        if drawn is not None:
            judged = {line.name for line in sheet_for(drawn).lines(method)}
            lines = tuple(line for line in lines if line.name in judged)
    return max(1, sum(bool(line.slots) and not line.optional and line.name != READING for line in lines))


def _lines_of_parts(operation: str, course: Course) -> int:
    """Return how many lines are always written of a conversion, a sum, or the choice of a format."""
    drawn = next(draw_plain(asked_for(operation, course), (), 1, "a question to count lines by"))
    lines = sheet_for(drawn).lines(accepted_methods(drawn)[0])
    return max(1, sum(not line.optional and line.name not in {READING, ANSWER} for line in lines))


def asked_for(operation: str, course: Course, to: str = "") -> BlueprintQuestion:
    """Return what is drawn for practice; a conversion without a format to convert into goes into one near by.

    >>> asked_for("convert", Course()).to, asked_for("convert", Course(format="binary16")).to
    ('10+6', '8+4')
    """
    if operation != "convert":
        return BlueprintQuestion(operation, course)
    return BlueprintQuestion(operation, course, to=to or ("10+6" if course.format == "8+4" else "8+4"))


def given_lines(lines: tuple[Onward, ...], level: int, top: int) -> tuple[Onward, ...]:
    """Return the lines of a question that are shown: on level 0 all, then all but the last, and so on.

    The answer is written by whoever writes the last line.
    """
    if level == 0:
        return lines
    if level >= top:
        return ()
    working = [line for line in lines if line.rule != ANSWER]
    return tuple(working[: max(0, len(working) - level)])


def level_words(level: int, top: int) -> str:
    """Return a level in words.

    >>> [level_words(level, 3) for level in range(4)]
    ['every line is shown', 'the last line is yours', 'the last 2 lines are yours', 'every line is yours']
    """
    if level in {0, 1} or level >= top:
        return LEVELS["none" if level == 0 else "all" if level >= top else "last"]
    return LEVELS["last-several"].format(level=level)


@cache
def traits_for(operation: str, course: Course, level: int, top: int) -> tuple[str, ...]:
    """Return the traits that questions of *level* have: the ladder of graded sheets, spread over the levels.

    Where no question of the format has a rung's traits, those of the rung nearest to it.

    >>> traits_for("subtract", Course(), 3, 3)[:2]
    ('align-shift >= 2', 'lost-ones >= 1')
    """
    if operation not in LADDERS or operation == "range" or not is_school(course.number_format):
        return ()
    ladder = LADDERS[operation]
    at = level * (len(ladder) - 1) // top
    for rung in sorted(range(len(ladder)), key=lambda other: (abs(other - at), -other)):
        where = ladder[rung].where
        if operation in PAIR_OPERATIONS:
            where = tuple(dict.fromkeys((*where, *PLAIN_SUMS)))
        if draw(operation, course, where, 1, "a question of each rung"):
            return where
    return ()
