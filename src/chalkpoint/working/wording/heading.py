"""The question in one line, and the method in a few words."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.exact import write_value
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import Question

__all__ = ["bracketed", "describe_method", "heading", "in_brackets"]

STORING_WORDS = {
    "cut": "the pattern is cut, toward minus infinity",
    "cut size": "the size is cut, then negated",
    "nearest": "rounded to the nearest, ties to the pattern that ends in 0",
    "nearest away": "rounded to the nearest, ties away from zero",
    "toward zero": "rounded toward zero",
    "up": "rounded up, toward plus infinity",
    "down": "rounded down, toward minus infinity",
}


TITLES = {
    "range": "The range of {0}",
    "error": "What storing {1} in {0} costs",
    "encode": "{1} in {0}",
    "choose-format": "The smallest format from {1} to {2} in steps of {3} or less",
}


def in_brackets(x: Fraction, point: str) -> str:
    """Return *x* as it stands after an operation sign: a negative in brackets.

    >>> in_brackets(Fraction(-3), ".")
    '(\u22123)'
    """
    return bracketed(write_value(x, point=point))


def bracketed(text: str) -> str:
    """Return a number already written as it stands after an operation sign: a negative in brackets.

    >>> bracketed("\u22123"), bracketed("3")
    ('(\u22123)', '3')
    """
    return f"({text})" if text.startswith("\u2212") or " " in text else text


def heading(question: Question) -> str:
    """Return the question in one line, its operands in decimal."""
    fmt, name = question.format, question.operation.name
    shown = question.shown
    if name == "explain" and question.about is not None:
        return f"Explain {heading(question.about)}"
    if question.operation.sign:
        rest = [bracketed(text) for text in shown[1:]]
        return f"{f' {question.operation.sign} '.join([shown[0], *rest])} in {fmt}"
    if name in TITLES:
        return TITLES[name].format(fmt, *shown)
    pattern = fmt.write(question.patterns[0], point=question.course.binary_point == "shown")
    if question.target is not None:
        return f"{name.capitalize()} {pattern} from {fmt} to {question.target.format}"
    return f"{name.capitalize()} {pattern} in {fmt}"


def describe_method(question: Question, method: str) -> str:
    """Return what *method* does, in a few words."""
    if method in METHODS:
        words = METHODS[method].words
        return words.replace(", then negate;", ";") if question.operation.name == "add" else words
    return STORING_WORDS.get(method, "")
