"""What a question says: the task in a sentence, and what must be said beside it."""

from __future__ import annotations

from chalkpoint.numbers.exact import write_value
from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.contexts import Story
from chalkpoint.setting.fairness import Fairness
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import Question

__all__ = ["format_card", "notes_for", "words_for"]

TASKS = {
    "decode": "Give the value of {pattern} as a decimal or a fraction.",
    "encode": "Write {value} in the format {format}.",
    "normalise": "Write {pattern} in normal form.",
    "negate": "Write the pattern of the opposite of {pattern}.",
    "add": "Add {first} and {second}, in the format {format}.",
    "subtract": "Subtract {second} from {first}, in the format {format}.",
    "multiply": "Multiply {first} by {second}, in the format {format}.",
    "divide": "Divide {first} by {second}, in the format {format}.",
    "range": "Write the four extreme values of the format {format}, normalised.",
    "error": "Store {value} in the format {format}. Give the pattern, the absolute error and the relative error.",
}
LONGEST_VALUE = 14  # characters; longer values are pointed at, not written out
IN_ROWS = {
    "add": "Add the two numbers below, in the format {format}.",
    "subtract": "Subtract the second number below from the first, in the format {format}.",
    "multiply": "Multiply the two numbers below, in the format {format}.",
    "divide": "Divide the first number below by the second, in the format {format}.",
}
AFTER_A_STORY = {
    "encode": "Write it in the format {format}.",
    "error": "Give the pattern stored in {format}, the absolute error and the relative error.",
}
FADED = "The first lines are filled in. Write the lines that are missing."
MISTAKE = "This working has one line that is wrong. Name the line, write it as it should be, and give the right answer."


def words_for(question: Question, story: Story | None, kind: str = "work") -> str:
    """Return what is asked.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> words_for(ask("subtract", "6.5", "1.25", course=Course()), None)
    'Subtract 1.25 from 6.5, in the format 8+4.'
    """
    operation, point, fmt = question.operation.name, question.course.point, question.format
    shown = [write_value(value, point=point) for value in question.values]
    numbers = {"format": str(fmt)} | dict(zip(("first", "second"), shown, strict=False))
    numbers["value"] = shown[0] if shown else ""
    if question.patterns:
        numbers["pattern"] = fmt.write(question.patterns[0], point=True)
    if story:
        task = f"{story.words} {AFTER_A_STORY.get(operation, '')}".strip().format(**numbers)
    elif operation in IN_ROWS and any(len(text) > LONGEST_VALUE for text in shown):
        task = IN_ROWS[operation].format(**numbers)
    else:
        task = TASKS[operation].format(**numbers)
    return f"{task} {({'faded': FADED, 'mistake': MISTAKE}).get(kind, '')}".strip()


def notes_for(question: Question, fairness: Fairness, blueprint: Blueprint) -> tuple[str, ...]:
    """Return what must stand beside the question: the method where it matters, and what an answer alone earns."""
    notes = []
    if not fairness.same_answer and blueprint.methods == "name the method":
        notes.append(f"Method: {METHODS[question.course.method].words}.")
    if fairness.common_accidents:
        notes.append("Show each line: the answer alone does not earn full marks.")
    return tuple(notes)


def format_card(question: Question) -> tuple[tuple[str, str], ...]:
    """Return the seven things that quarrels turn on, each with its name.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> dict(format_card(ask("range", course=Course())))["bias"]
    'none: the exponent is two\u2019s complement'
    """
    course, fmt = question.course, question.format
    order = ("exponent", "mantissa") if fmt.exponent_first else ("mantissa", "exponent")
    rounding = {
        "cut": "lost bits are cut, toward minus infinity",
        "cut size": "the size is cut, then negated",
        "nearest": "to the nearest, ties to a pattern that ends in 0",
        "nearest away": "to the nearest, ties away from zero",
    }[course.rounding]
    return (
        ("width", f"mantissa {fmt.mantissa_bits} bits, exponent {fmt.exponent_bits} bits"),
        ("point", "binary point after the mantissa\u2019s sign bit"),
        ("order", f"{order[0]} first, then {order[1]}"),
        ("bias", "none: the exponent is two\u2019s complement"),
        ("hidden one", "none: every bit of the mantissa is written"),
        ("rounding", rounding),
        ("normal form", "first two bits differ; \u22121, \u22122, \u22124 have the mantissa 1.000\u2026"),
    )
