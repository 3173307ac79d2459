"""What is written for the four extreme values of a format."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from chalkpoint.numbers.exact import write_value
from chalkpoint.working.methods import Method
from chalkpoint.working.question import Question
from chalkpoint.working.speech import for_ear
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.rows import mantissa_row
from chalkpoint.working.written import Written

__all__ = ["writer"]

WHY = {
    "largest positive": "The sign bit is 0 and every other bit is 1; the exponent is the highest, {exponent}.",
    "smallest positive": (
        "Normalised, a positive mantissa starts {positive}, and "
        "nothing follows; the exponent is the lowest, {exponent}."
    ),
    "largest negative": (
        "The negative nearest to zero: normalised, it starts {negative}, and every other bit is 1; "
        "the exponent is the lowest, {exponent}."
    ),
    "most negative": (
        "The sign bit is 1 and every other bit is 0, which is {least}; the exponent is the highest, {exponent}."
    ),
}


def writer(question: Question, method: Method) -> Callable[[Step], Written]:
    """Return what writes the step of one extreme by *method*."""

    def write(step: Step) -> Written:
        pattern, fmt, point = step.after, question.format, question.course.point
        mantissa = write_value(Fraction(pattern.mantissa, 1 << fmt.places), point=point)
        value = write_value(fmt.value(pattern), point=point)
        exponent = write_value(Fraction(pattern.exponent))
        why = method.says.get(step.rule) or WHY[step.rule].format(
            exponent=exponent,
            positive="01." if fmt.implied else "0.1",
            negative="10." if fmt.implied else "1.0",
            least="\u22122" if fmt.implied else "\u22121",
        )
        detail = f"{why} {mantissa} × 2^{exponent} = {value}."
        row = mantissa_row(
            "pattern", pattern.mantissa, pattern.exponent, fmt, place_values=step.number in {1, 4}
        )
        title = step.rule.capitalize()
        spoken = f"{title}. {for_ear(detail, point=point)} {row.spoken}."
        return Written(title, detail, spoken, (row,))

    return write
