"""How a working ends: the check in decimal, the gap before its cause, and a summing up."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.families import WHOLE
from chalkpoint.teaching.drama.line import Line
from chalkpoint.teaching.estimating import told_apart, told_value
from chalkpoint.teaching.narrator import Narrator
from chalkpoint.teaching.storyboard import CORE, DETAIL, ESSENTIAL, USUAL, Moment
from chalkpoint.working.wording import words_told as say
from chalkpoint.working.wording.said import listed
from chalkpoint.working.working import Working

__all__ = ["checking", "summing_up"]


def checking(working: Working) -> list[Line]:
    """Return how the check is told; none where the answer is a word."""
    check, operation = working.check, working.question.operation.name
    narrator = Narrator(working.question.names, working.question.course.point)
    if operation == "range":
        return [Line(say.ENDS_READ_BACK, None, ESSENTIAL)]
    if check.value is None or check.special or not working.steps or operation == "choose-format":
        return []
    if operation == "decode":
        return _read_back(working, narrator)
    exact, value = told_apart(check.exact, check.value, narrator.point)
    stores = operation in {"encode", "error", "convert", "normalise", "negate"}
    if stores and not check.error:
        return [Line(narrator.words(say.STORED_BACK, exact=exact), None, CORE)]
    asked = say.ASKED_FOR if operation in {"encode", "error", "convert"} else say.EXACT_IS
    lines = [
        Line(say.NOW_CHECK, Moment(stage="line"), DETAIL),
        Line(narrator.words(asked, exact=exact), Moment(stage="exact"), CORE),
    ]
    if not check.error:
        return [*lines, Line(say.WE_AGREE, None, CORE)]
    side, gap = "over" if check.error < 0 else "under", Fraction(abs(check.error))
    differ = narrator.words(say.WE_DIFFER, value=value, over_or_under=side, gap=gap)
    return [*lines, Line(differ, Moment(stage="gap"), CORE), *_where_gone(working, narrator)]


def _where_gone(working: Working, narrator: Narrator) -> list[Line]:
    """Return where the gap comes from: rounding, the tray, or the first reason that the check gives."""
    losses = [loss for loss in working.losses if loss.worth]
    if any(row.lost_value < 0 for step in working.steps for row in step.rows):
        return [Line(say.ROUNDING_COST, None, DETAIL)]
    if not losses:
        return [Line(reason, weight=DETAIL) for reason in working.check_words.reasons[:1]]
    worths = listed([told_value(abs(loss.worth), narrator.point) for loss in losses])
    lines = [
        Line(say.WHERE_GONE, Moment(stage="gap"), DETAIL, seconds=6),
        Line(narrator.words(say.IN_TRAY, worth=worths), Moment(stage="tray"), ESSENTIAL),
    ]
    same_side = len({loss.worth > 0 for loss in losses}) == 1
    if sum(loss.worth for loss in losses) == working.check.error and same_side:
        lines.append(Line(say.CLOSES if len(losses) == 1 else say.CLOSES_ALL, None, CORE))
    if working.check.verdict == "representation error":
        nearest = working.check.result in working.check.nearest_patterns
        lines.append(Line(say.NEAREST_ANYWAY if nearest else say.NOT_NEAREST, None, DETAIL))
    return lines


def _read_back(working: Working, narrator: Narrator) -> list[Line]:
    """Return how reading is checked: by the sum that moving the point has spared, or by the pattern itself."""
    last = working.steps[-1]
    for said in last.written.sentences:
        if said.key == "scale":
            look = Moment(stage="line", aside=said.sum)
            return [
                Line(narrator.words(say.READ_BACK, **said.facts), look, CORE),
                Line(say.SAME_AGAIN, look, CORE),
            ]
    return [Line(narrator.words(say.HAS_BEEN_READ, value=working.result.value), None, CORE)]


def summing_up(working: Working) -> list[Line]:
    """Return the steps in a few words; none for a working of one or two."""
    operation = working.question.operation.name
    whole = working.question.format.family == WHOLE and operation in say.IN_SHORT_WHOLE
    short = say.IN_SHORT_WHOLE if whole else say.IN_SHORT
    if operation in short and not working.faulty and (len(working.steps) > 1 or whole):
        return [Line(short[operation])]
    verbs = [say.VERBS[step.rule] for step in working.steps if step.rule in say.VERBS]
    if len(verbs) < 2:
        return []
    tray = say.AND_TRAY if any(loss.worth for loss in working.losses) else ""
    return [Line(f"{say.capital(', '.join(verbs))}.{tray}", weight=USUAL)]
