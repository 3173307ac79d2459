"""The question in one line, and the method in a few words."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.exact import write_value
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import Question

__all__ = ["describe_method", "heading", "in_brackets"]

STORING_WORDS = {
    "cut": "the pattern is cut, toward minus infinity",
    "cut size": "the size is cut, then negated",
    "nearest": "rounded to the nearest, ties to the pattern that ends in 0",
    "nearest away": "rounded to the nearest, ties away from zero",
}


def in_brackets(x: Fraction, point: str) -> str:
    """Return *x* as it stands after an operation sign: a negative in brackets.

    >>> in_brackets(Fraction(-3), ".")
    '(\u22123)'
    """
    text = write_value(x, point=point)
    return f"({text})" if x < 0 or " " in text else text


def heading(question: Question) -> str:
    """Return the question in one line, its operands in decimal."""
    point, fmt, name = question.course.point, question.format, question.operation.name
    shown = [write_value(value, point=point) for value in question.values]
    if question.operation.sign:
        return f"{shown[0]} {question.operation.sign} {in_brackets(question.values[1], point)} in {fmt}"
    if name == "range":
        return f"The range of {fmt}"
    if name == "error":
        return f"What storing {shown[0]} in {fmt} costs"
    if name == "encode":
        return f"{shown[0]} in {fmt}"
    pattern = fmt.write(question.patterns[0], point=question.course.binary_point == "shown")
    return f"{name.capitalize()} {pattern} in {fmt}"


def describe_method(question: Question, method: str) -> str:
    """Return what *method* does, in a few words."""
    if method in METHODS:
        words = METHODS[method].words
        return words.replace(", then negate;", ";") if question.operation.name == "add" else words
    return STORING_WORDS.get(method, "")
