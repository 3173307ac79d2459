"""What a question of a blueprint needs in its form: the fields of its operation, and its conditions as lines."""

from __future__ import annotations

from chalkpoint.finding.familyspace import FamilySpace
from chalkpoint.finding.registry import FOUND_BY
from chalkpoint.numbers.datafiles import JsonMapping, JsonObject
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.numbers.named import is_school
from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.contexts import contexts_for
from chalkpoint.setting.drawing import shown_in
from chalkpoint.setting.families import COMPOSITE
from chalkpoint.setting.validation import EXPLAINED
from chalkpoint.web.conditions import Line, counted, line_of
from chalkpoint.web.picking import Counts, Row
from chalkpoint.working.course import Course

__all__ = ["countable_row", "has_traits", "lines_with_counts", "needed_by"]

USUAL = Course()
MOST_COUNTED = 1 << 12  # questions of a format that are looked at one by one while a page waits

#: Keys that one operation alone has, and the words of their fields.
OF_ONE = {
    "convert": ("to", "Into the format"),
    "explain": ("about", "What is explained"),
    "sum": ("terms", "How many numbers"),
}


def needed_by(entry: JsonMapping) -> JsonObject:
    """Return the fields that a question's operation needs: what one operation alone has, a story, kinds, conditions.

    >>> needed_by({"operation": "convert"})["own"], needed_by({"operation": "add"})["story"]
    (('to', 'Into the format'), True)
    """
    operation = str(entry.get("operation", ""))
    alone = operation in COMPOSITE or operation == "range"
    return {
        "own": OF_ONE.get(operation),
        "explained": EXPLAINED,
        "story": bool(contexts_for(operation)),
        "kinds": not alone,
        "traits": has_traits(entry),
        "drawn": operation != "range" and not entry.get("operands"),
    }


def has_traits(entry: JsonMapping) -> bool:
    """Tell whether conditions can be asked of a question's operation.

    >>> has_traits({"operation": "subtract"}), has_traits({"operation": "range"})
    (True, False)
    """
    return entry.get("operation") in FOUND_BY


def countable_row(asked: BlueprintQuestion) -> Row | None:
    """Return what is counted of a question; None where the finder does not look."""
    inner = shown_in(asked)
    if asked.operands or inner.operation not in FOUND_BY:
        return None
    if not is_school(asked.course.number_format):  # there questions are looked at one by one
        space = FamilySpace(inner.operation, asked.course)
        if space.count > MOST_COUNTED:
            return None
    return inner.operation, asked.course, asked.where


def lines_with_counts(entry: JsonMapping, counts: Counts | None, course: Course = USUAL) -> list[Line]:
    """Return a question's conditions as lines, each with how many questions meet it and those above."""
    operation = str(entry.get("about") or entry.get("operation", ""))
    lines = []
    for text in map(str, entry.get("where", [])):
        try:
            lines.append(line_of(text, operation, course=course))
        except (ChalkpointError, KeyError):  # shown as it is written
            lines.append(Line(text))
    return counted(lines, counts.of, counts.each) if counts and len(counts.each) == len(lines) else lines
