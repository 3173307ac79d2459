"""Choosing a format: the smallest one for a range and a largest step, and what one bit either way would change."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from chalkpoint.numbers.bits import scaled
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.fitting import fit, normal_exponent
from chalkpoint.numbers.formats import FloatFormat, Pattern, parse_format
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.working.check import check
from chalkpoint.working.extremes import EXTREMES
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.choosing import ChoiceWriter
from chalkpoint.working.working import Working

__all__ = [
    "CHOOSING",
    "ChoicePage",
    "Need",
    "Serving",
    "choose_exponent",
    "choose_format",
    "chosen_for",
    "serves_as_well",
    "serving",
    "smallest_format",
]

LEAST_BITS = 2
MOST_MANTISSA_BITS, MOST_EXPONENT_BITS = 64, 16


class Need(NamedTuple):
    """What is asked of a format: every value from *lowest* to *highest*, no further apart than *step*."""

    lowest: Fraction
    highest: Fraction
    step: Fraction


class Serving(NamedTuple):
    """How a format serves a need.

    format    the format
    largest, most_negative  its ends
    coarsest  the widest gap between neighbours within the range asked for
    smallest  the smallest positive normalised number: how near to zero it comes
    """

    format: FloatFormat
    need: Need
    largest: Fraction
    most_negative: Fraction
    coarsest: Fraction
    smallest: Fraction

    @property
    def reaches(self) -> bool:
        """Whether both ends of the range are within the format's."""
        return self.largest >= self.need.highest and self.most_negative <= self.need.lowest

    @property
    def fine(self) -> bool:
        """Whether neighbours are near enough everywhere in the range."""
        return self.coarsest <= self.need.step

    @property
    def near_zero(self) -> bool:
        """Whether the gap around zero is no wider than the step, where zero is in the range."""
        return self.smallest <= self.need.step or not self.need.lowest <= 0 <= self.need.highest

    @property
    def enough(self) -> bool:
        """Whether the format serves."""
        return self.reaches and self.fine and self.near_zero


def serving(fmt: FloatFormat, need: Need) -> Serving:
    """Return how *fmt* serves *need*.

    >>> serve = serving(parse_format("8+4"), Need(Fraction(-10), Fraction(40), Fraction(1, 4)))
    >>> serve.coarsest, serve.enough
    (Fraction(1, 2), False)
    """
    ends = {name: fmt.value(rule(fmt)) for name, rule in EXTREMES.items()}
    coarsest = scaled(1, top_exponent(need) - fmt.places)
    return Serving(
        fmt, need, ends["largest positive"], ends["most negative"], coarsest, ends["smallest positive"]
    )


def top_exponent(need: Need) -> int:
    """Return the exponent of the numbers just inside the end that is further from zero."""
    return max(normal_exponent(-abs(end.numerator), end.denominator) for end in need[:2] if end)


@lru_cache(1 << 8)
def smallest_format(need: Need) -> Serving | None:
    """Return the format of fewest bits that serves *need*, the longer mantissa first; None where none does.

    >>> str(smallest_format(Need(Fraction(-10), Fraction(40), Fraction(1, 4))).format)
    '9+4'
    """
    # Fewer mantissa bits than these leave too wide a step at the far end, whatever the exponent.
    least = 2
    while scaled(1, top_exponent(need) - (least - 1)) > need.step and least <= MOST_MANTISSA_BITS:
        least += 1
    for bits in range(4, MOST_MANTISSA_BITS + MOST_EXPONENT_BITS + 1):
        for exponent_bits in range(2, MOST_EXPONENT_BITS + 1):
            mantissa_bits = bits - exponent_bits
            if not least <= mantissa_bits <= MOST_MANTISSA_BITS:
                continue
            served = serving(parse_format(f"{mantissa_bits}+{exponent_bits}"), need)
            if served.enough:
                return served
    return None


class ChoicePage(NamedTuple):
    """How many bits each field has: none as long as it is not chosen."""

    mantissa: int = 0
    exponent: int = 0


def _least(bits: range, serves: Callable[[int], bool], otherwise: int) -> int:
    return next((count for count in bits if serves(count)), otherwise)


def serves_as_well(spelling: str, chosen: Serving) -> bool:
    """Tell whether the format called *spelling* is the one *chosen*, or serves with as few bits.

    >>> chosen = smallest_format(Need(Fraction(0), Fraction(40), Fraction(1, 4)))
    >>> [serves_as_well(spelling, chosen) for spelling in ("9+4", "8+5", "9+5")]
    [True, False, False]
    """
    try:
        other = parse_format(spelling)
    except EntryError:
        return False
    return other.bits == chosen.format.bits and serving(other, chosen.need).enough


def choose_mantissa(page: ChoicePage, chosen: Serving) -> ChoicePage:
    """Take the bits that the smallest format has: its neighbours at the far end are near enough."""
    return page._replace(mantissa=chosen.format.mantissa_bits)


def choose_exponent(page: ChoicePage, chosen: Serving) -> ChoicePage:
    """Take the fewest bits with which such a mantissa reaches both ends, and near enough to zero."""
    if not LEAST_BITS <= page.mantissa <= MOST_MANTISSA_BITS:
        return page._replace(exponent=chosen.format.exponent_bits)

    def serves(bits: int) -> bool:
        one = serving(parse_format(f"{page.mantissa}+{bits}"), chosen.need)
        return one.reaches and one.near_zero

    bits = range(LEAST_BITS, MOST_EXPONENT_BITS + 1)
    return page._replace(exponent=_least(bits, serves, chosen.format.exponent_bits))


CHOOSING = Method(
    "",
    "choose-format",
    (Line("mantissa", ("mantissa",)), Line("exponent", ("exponent",))),
    {"mantissa": choose_mantissa, "exponent": choose_exponent},
)


def _with_bits(mantissa_bits: int, exponent_bits: int, need: Need) -> Serving | None:
    if mantissa_bits < 2 or exponent_bits < 2:
        return None
    return serving(parse_format(f"{mantissa_bits}+{exponent_bits}"), need)


def choose_format(question: Question, work_question: object = None) -> Working:
    """Return the working that chooses the smallest school format for a range and a largest step.

    Raises EntryError where the range or the step makes no sense, or no format taken here serves.

    >>> from chalkpoint.working.work import work
    >>> [step.rule for step in work("choose-format", "0", "59.75", "0.25").steps]
    ['exponent', 'mantissa', 'near-zero', 'choice', 'trade']
    """
    chosen = chosen_for(question)
    need, fmt = chosen.need, chosen.format
    sizes = fmt.mantissa_bits, fmt.exponent_bits
    moves = ((-1, 0), (0, -1), (1, -1), (-1, 1))
    others = [_with_bits(sizes[0] + more, sizes[1] + less, need) for more, less in moves]
    pages = {
        "exponent": chosen,
        "mantissa": chosen,
        "near-zero": chosen,
        "choice": chosen,
        "trade": tuple(other for other in others if other is not None),
    }
    if not need.lowest <= 0 <= need.highest:
        del pages["near-zero"]
    write = ChoiceWriter.of(question)
    steps = tuple(
        Step(number, name, chosen, page, write) for number, (name, page) in enumerate(pages.items(), 1)
    )
    course = question.course.with_(format=str(fmt))
    pattern = fmt.zero
    if need.highest:
        fitted = fit(need.highest, fmt, ROUNDINGS["cut"])
        pattern = Pattern(fitted.mantissa, fitted.exponent)
    checked = check(need.highest, "in range" if need.highest else "zero", pattern, course)
    extremes = {name: rule(fmt) for name, rule in EXTREMES.items()}
    return Working(question, "", steps, "in range", pattern, lambda: checked, extremes=extremes)


def chosen_for(question: Question) -> Serving:
    """Return the smallest format for what *question* asks.

    Raises EntryError where the range or the step makes no sense, or no format taken here serves.
    """
    chosen = smallest_format(_need(question))
    if chosen is None:
        raise EntryError(
            f"no format up to {MOST_MANTISSA_BITS}+{MOST_EXPONENT_BITS} serves; give a narrower range or a larger step"
        )
    return chosen


def _need(question: Question) -> Need:
    need, point = Need(*question.amounts), question.course.point
    lowest, highest, step = (write_value(value, point=point) for value in need)
    if need.lowest >= need.highest:
        raise EntryError(f"{lowest} to {highest} is no range; give the lower value first")
    if need.step <= 0:
        raise EntryError(f"{step} as the largest step is not positive; give one such as 0.25")
    return need
