"""The answer to a question that is worked, whatever it asks."""

from __future__ import annotations

from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.working.procedures import write_answer
from chalkpoint.working.question import Question
from chalkpoint.working.working import Working

__all__ = ["answer_format", "final_answer"]


def answer_format(question: Question) -> AnyFormat:
    """Return the format that *question*'s answer is written in.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> str(answer_format(ask("convert", "6.5", "binary16", course=Course())))
    'binary16'
    """
    return question.format if question.target is None else question.target.number_format


def final_answer(working: Working) -> str:
    """Return the answer that *working* ends in: bits, a value, several of them, or a word; "" for an explanation.

    >>> from chalkpoint.working.work import work
    >>> [final_answer(work(*asked)) for asked in (("decode", "01101000 0011"), ("choose-format", "0", "40", "0.5"))]
    ['6.5', '8+4']
    """
    question = working.question
    match question.operation.name:
        case "explain":
            return ""
        case "choose-format":
            return working.result_format
        case "range":
            return "; ".join(bits for bits, _ in working.result.values.values())
        case "decode" if working.check.special:
            return working.check.special
        case "decode":
            return write_value(working.check.exact, point=question.course.point)
        case "error":
            return write_answer(working.steps[-1].after, question)
    return working.result.bits or working.outcome
