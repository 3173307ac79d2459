"""How a working ends: the check in decimal, the gap before its cause, and a summing up."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.teaching import english as say
from chalkpoint.teaching.drama.line import Line
from chalkpoint.teaching.estimating import told_apart, told_value
from chalkpoint.teaching.narrator import Narrator
from chalkpoint.teaching.storyboard import CORE, DETAIL, ESSENTIAL, USUAL, Moment
from chalkpoint.working.working import Working

__all__ = ["checking", "summing_up"]


def checking(working: Working) -> list[Line]:
    """Return how the check is told; none where the answer is a word."""
    check, point = working.check, working.question.course.point
    if (
        check.value is None
        or check.special
        or not working.steps
        or working.question.operation.name == "range"
    ):
        return []
    narrator = Narrator(working.question.names, point)
    exact, value = told_apart(check.exact, check.value, point)

    def line(words: str, stage: str, weight: int, *, seconds: int = 0, **facts: object) -> Line:
        return Line(narrator.words(words, **facts), Moment(stage=stage) if stage else None, weight, seconds)

    lines = [line(say.NOW_CHECK, "line", DETAIL), line(say.EXACT_IS, "exact", CORE, exact=exact)]
    if not check.error:
        return [*lines, line(say.WE_AGREE, "", CORE)]
    side = "over" if check.error < 0 else "under"
    gap = Fraction(abs(check.error))
    lines.append(line(say.WE_DIFFER, "gap", CORE, value=value, over_or_under=side, gap=gap))
    losses = [loss for loss in working.losses if loss.worth]
    if any(row.lost_value < 0 for step in working.steps for row in step.rows):
        return [*lines, line(say.ROUNDING_COST, "", DETAIL)]
    if not losses:
        return [*lines, *(Line(reason, weight=DETAIL) for reason in working.check_words.reasons[:1])]
    worths = say.listed([told_value(abs(loss.worth), point) for loss in losses])
    lines.append(line(say.WHERE_GONE, "gap", DETAIL, seconds=6))
    lines.append(line(say.IN_TRAY, "tray", ESSENTIAL, worth=worths))
    same_side = len({loss.worth > 0 for loss in losses}) == 1
    if sum(loss.worth for loss in losses) == check.error and same_side:
        lines.append(line(say.CLOSES if len(losses) == 1 else say.CLOSES_ALL, "", CORE))
    if check.verdict == "representation error":
        lines.append(line(say.NEAREST_ANYWAY, "", DETAIL))
    return lines


def summing_up(working: Working) -> list[Line]:
    """Return the steps in a few words; none for a working of one or two."""
    verbs = [say.VERBS[step.rule] for step in working.steps if step.rule in say.VERBS]
    if len(verbs) < 2:
        return []
    tray = say.AND_TRAY if any(loss.worth for loss in working.losses) else ""
    return [Line(f"{say.capital(', '.join(verbs))}.{tray}", weight=USUAL)]
