"""The points of an explanation in words, one sentence or two each."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from chalkpoint.numbers.exact import write_value
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import Question
from chalkpoint.working.speech import for_ear
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.rows import plural
from chalkpoint.working.working import Working
from chalkpoint.working.written import Written

__all__ = ["writer"]

TITLES = {
    "stored first": "Stored first",
    "never ends": "Never ends in binary",
    "aligned": "Aligned",
    "absorbed": "Absorbed",
    "cancelled": "Cancelled",
    "carry dropped": "Carry, not overflow",
    "mantissa overflow": "Mantissa overflow, not overflow",
    "lost": "Lost digits",
    "no pattern": "No pattern",
    "missed": "Missed",
    "exact": "Exact",
    "overflow": "Overflow",
    "underflow": "Underflow",
    "special": "Special value",
    "more bits": "More bits",
    "other method": "Another method",
}


def writer(question: Question, working: Working) -> Callable[[Step], Written]:
    """Return what writes one point about *working*."""
    words = Words(question, working)

    def write(step: Step) -> Written:
        point = step.after
        title = TITLES[point.kind]
        detail = getattr(words, point.kind.replace(" ", "_"))(*point.facts)
        return Written(title, detail, f"{title}. {for_ear(detail, point=question.course.point)}", ())

    return write


class Words:
    """The sentences of one explanation; a method of it for each kind of point."""

    def __init__(self, question: Question, working: Working) -> None:
        self.point = question.course.point
        self.working = working
        self.format = working.check.format

    def value(self, x: Any) -> str:
        """Return *x* as the course writes it."""
        return write_value(Fraction(x), point=self.point)

    def stored_first(self, name: str, given: Fraction, kept: Fraction) -> str:
        """Say that an operand was not what was asked for."""
        return f"The {name}, {self.value(given)}, cannot be stored exactly: what is worked with is {self.value(kept)}."

    def never_ends(self, value: Fraction) -> str:
        """Say that a fraction has no finite binary form."""
        return (
            f"{self.value(value)} is a fraction whose denominator is no power of two, so its binary digits never end "
            "and no format holds it exactly."
        )

    def aligned(self, name: str, places: int, lost: bool) -> str:  # noqa: FBT001
        """Say why and how far an operand was moved."""
        tail = "1s fell off the end." if lost else "only copies or 0s were needed, so nothing was lost."
        return (
            f"Mantissas can be added only under one exponent, so the {name}\u2019s was moved right "
            f"{plural(places, 'place')}; {tail}"
        )

    def absorbed(self, name: str) -> str:
        """Say that one operand made no difference."""
        return f"The {name} is so small beside the other that the answer is the other alone: it was absorbed."

    def cancelled(self, places: int, lost: bool) -> str:  # noqa: FBT001
        """Say that the leading digits cancelled."""
        tail = (
            "Digits lost before that now count for much: the relative error grows."
            if lost
            else "Nothing had been lost before, so the answer is still exact."
        )
        return (
            f"The operands are nearly opposite, and their first {plural(places, 'digit')} cancelled. {tail}"
        )

    def carry_dropped(self) -> str:
        """Say why a carry out is harmless here."""
        return (
            "A carry left the sign place and was dropped. That is no overflow: a positive and a negative number "
            "always have a sum that fits."
        )

    def mantissa_overflow(self) -> str:
        """Say why the sum was repaired."""
        return (
            "The sum did not fit the mantissa, which its sign showed. There was room in the exponent, so it was moved "
            "right one place and the exponent raised by 1: the number itself did not overflow."
        )

    def lost(self, losses: Any) -> str:
        """Say which digits fell off, and what they were worth."""
        parts = [f"{loss.bits} in step {loss.step}, worth {self.value(abs(loss.worth))}" for loss in losses]
        return f"Digits that passed the last place were lost: {'; '.join(parts)}."

    def no_pattern(self, exact: Fraction) -> str:
        """Say that the format cannot hold the answer."""
        check = self.working.check
        near = " and ".join(self.value(self.format.value(pattern)) for pattern in check.nearest_patterns)
        return (
            f"The exact answer, {self.value(exact)}, has no pattern "
            f"in {self.format}: the nearest is {near}. An error of "
            f"{self.value(check.unavoidable_error)} at least cannot be "
            f"avoided; here it is {self.value(abs(check.error or 0))}."
        )

    def missed(self, exact: Fraction) -> str:
        """Say that the working lost an answer that the format could hold."""
        error = self.working.check.error or Fraction(0)
        return (
            f"The exact answer, {self.value(exact)}, has a pattern, but digits lost on the way led past it by "
            f"{self.value(abs(error))}."
        )

    def exact(self, exact: Fraction) -> str:
        """Say that nothing is wrong with the answer."""
        return (
            f"The answer, {self.value(exact)}, is exact: it has a "
            f"pattern in {self.format}, and the working reached it."
        )

    def overflow(self, exact: Fraction) -> str:
        """Say that the number is too large."""
        return (
            f"{self.value(exact)} is past the largest numbers of "
            f"{self.format}: overflow. More exponent bits would give "
            "more range."
        )

    def underflow(self, exact: Fraction) -> str:
        """Say that the number is too near to zero."""
        return (
            f"{self.value(exact)} is nearer to zero than the smallest normalised numbers of {self.format}: underflow, "
            "which has nothing to do with being negative."
        )

    def special(self, word: str) -> str:
        """Say that the answer is no finite number."""
        shown = word.replace("minus ", "\u2212")
        return f"The answer is {shown}: the operands alone decide that, and no digits are worked."

    def more_bits(self, bits: int) -> str:
        """Say how many mantissa bits would have been enough."""
        return (
            f"A mantissa of {bits} bits would hold it exactly; {self.format} has {self.format.mantissa_bits}. More "
            "mantissa bits give more precision, not more range."
        )

    def other_method(self, name: str, other: Working) -> str:
        """Say that another accepted method ends elsewhere."""
        result = other.result.bits or other.outcome
        return f"By another accepted method ({METHODS[name].words}) the answer is {result}."
