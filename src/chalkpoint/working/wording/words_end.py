"""Words of what is said about a whole working: sums, formats chosen, points explained, and the check, by key."""

from __future__ import annotations

from typing import Final

from chalkpoint.working.wording.words_parts import Catalogue

__all__ = ["ENDING", "HEARD", "LINES", "PARTS", "UNITS"]

SUMMING: Final[Catalogue] = {
    "title.term": "Add term {number}",
    "title.order": "Another order",
    "title.order.better": "A better order",
    "term.out": "{total} + {term:bracketed} is out of range: {outcome}. The chain ends here.",
    "term.gives": "{total} + {term:bracketed} gives {result}.",
    "term.absorbed": "The term is absorbed: it is too small beside the total to change it.",
    "term.lost": "The exact sum is {exact}, so this step is {missed} off.",
    "order.word": "The smallest first, {terms}, ends in a word too.",
    "order.better": "{terms} gives {result}, {off}.",
    "order.cancels": (
        "{terms} gives {result}, {off}: the two large terms cancel before a small one can be lost beside them."
    ),
    "order.grows": "{terms} gives {result}, {off}: small terms together can grow before they meet a large one.",
    "order.no-nearer": "The smallest first, {terms}, gives {result}, {off}: no nearer.",
}

CHOOSING: Final[Catalogue] = {
    "title.choose.exponent": "Range: the exponent",
    "title.choose.mantissa": "Precision: the mantissa",
    "title.choose.near-zero": "Near zero: the exponent again",
    "title.choose": "Choose",
    "title.choose.trade": "The trade",
    "choose.exponent": (
        "The values run from {low} to {high}. With the highest exponent, {exponent}, the format reaches from "
        "{most_negative} to {largest}."
    ),
    "choose.mantissa": (
        "Neighbours lie furthest apart at the ends of the range. With {bits} mantissa bits they are {coarsest} apart "
        "there, and {step} is allowed."
    ),
    "choose.near-zero": (
        "The smallest positive number, with the lowest exponent {exponent}, is {smallest}: "
        "no further from zero than the step allowed."
    ),
    "choose": "{format} is enough, with {bits:bit}; no format of fewer bits is.",
    "choose.trade": "Range is paid for with precision, bit for bit.",
    "choose.serves": "{format} is enough too, in steps of {coarsest}.",
    "choose.range": "{format} reaches only from {most_negative} to {largest}.",
    "choose.steps": "{format} leaves steps of {coarsest}.",
    "choose.zero": "{format} comes no nearer to zero than {smallest}.",
    "choose.range-steps": (
        "{format} reaches only from {most_negative} to {largest} and leaves steps of {coarsest}."
    ),
    "choose.range-zero": (
        "{format} reaches only from {most_negative} to {largest} and comes no nearer to zero than {smallest}."
    ),
}

EXPLAINING: Final[Catalogue] = {
    "title.stored first": "Stored first",
    "title.past": "Past the range",
    "title.never ends": "Never ends in binary",
    "title.aligned": "Aligned",
    "title.absorbed": "Absorbed",
    "title.cancelled": "Cancelled",
    "title.carry dropped": "Carry, not overflow",
    "title.mantissa overflow": "Mantissa overflow, not overflow",
    "title.lost": "Lost digits",
    "title.no pattern": "No pattern",
    "title.missed": "Missed",
    "title.exact": "Exact",
    "title.overflow": "Overflow",
    "title.underflow": "Underflow",
    "title.more bits": "More bits",
    "title.other method": "Another method",
    "explain.stored first": "{operand:The}, {asked}, cannot be stored exactly: what is worked with is {kept}.",
    "explain.past": (
        "{operand:The}, {asked}, is past the range of {format}. It has no pattern there, so the answer is overflow "
        "before anything is worked."
    ),
    "explain.never ends": (
        "{value} is a fraction whose denominator is no power of two, so its binary digits never end and no format "
        "holds it exactly."
    ),
    "explain.aligned": (
        "Mantissas can be added only under one exponent, so {operand:the}\u2019s was moved right {places:place}; "
        "1s fell off the end."
    ),
    "explain.aligned-kept": (
        "Mantissas can be added only under one exponent, so {operand:the}\u2019s was moved right {places:place}; "
        "no 1 fell off the end, so nothing was lost."
    ),
    "explain.absorbed": (
        "{operand:The} is so small beside the other that the answer is the other alone: it was absorbed."
    ),
    "explain.cancelled": (
        "The operands are nearly opposite, and their first {places:digit} cancelled. "
        "Digits lost before that now count for much: the relative error grows."
    ),
    "explain.cancelled-kept": (
        "The operands are nearly opposite, and their first {places:digit} cancelled. "
        "Nothing had been lost before, so there is no error that could grow."
    ),
    "explain.carry dropped": (
        "A carry left the sign place and was dropped. That is no overflow: a positive and a negative number always "
        "have a sum that fits."
    ),
    "explain.mantissa overflow": (
        "The sum did not fit the mantissa, which its sign showed. There was room in the exponent, so it was moved "
        "right one place and the exponent raised by 1: the number itself did not overflow."
    ),
    "explain.mantissa overflow-over": (
        "The sum did not fit the mantissa, which its sign showed. It was moved right one place and the exponent "
        "raised by 1; there was no room for that in the exponent, so this time the number overflowed too."
    ),
    "explain.lost": "Digits that passed the last place were lost.",
    "explain.loss": "The step \u201c{title}\u201d lost {lost:bits}, which changed the answer by {worth}.",
    "explain.no pattern": (
        "The exact answer, {exact}, has no pattern in {format}: the nearest is {near}. An error of {least} at least "
        "cannot be avoided; here it is {error}."
    ),
    "explain.no pattern-halfway": (
        "The exact answer, {exact}, has no pattern in {format}: it lies halfway between {near} and {other}. "
        "An error of {least} at least cannot be avoided; here it is {error}."
    ),
    "explain.missed": (
        "The exact answer, {exact}, has a pattern, but digits lost on the way led past it by {error}."
    ),
    "explain.exact": (
        "The answer, {exact}, is exact: it has a pattern in {format}, and the working reached it."
    ),
    "explain.exact-stored": (
        "The answer, {exact}, is exact for what was stored: it has a pattern in {format}, and the working reached it."
    ),
    "explain.overflow": (
        "{exact} is past the end of the range of {format}: overflow. More exponent bits would give more range."
    ),
    "explain.overflow-whole": "{exact} is past the end of the range of {format}: overflow.",
    "explain.underflow": (
        "{exact} is nearer to zero than the smallest normalised numbers of {format}: underflow, "
        "which has nothing to do with being negative."
    ),
    "explain.overflow-lost": (
        "{exact} is in the range of {format}, but digits lost on the way took the working past the end: overflow."
    ),
    "explain.underflow-lost": (
        "{exact} is in the range of {format}, but digits lost on the way brought the working too near to zero: "
        "underflow."
    ),
    "explain.special": "The answer is {word}: the operands alone decide that, and no digits are worked.",
    "explain.more bits": (
        "A mantissa of {bits} bits would hold it exactly; {format} has {has}. More mantissa bits give more precision, "
        "not more range."
    ),
    "explain.other method": "By another accepted method ({words}) the answer is {result}.",
}

CHECKING: Final[Catalogue] = {
    "check": "Check in decimal",
    # The exact answer, and whether it has a pattern
    "check.range": "Reading each pattern back gives the value beside it.",
    "check.sum": "{sum}.",
    "check.both-ways": "Both ways of scaling give {exact}.",
    "check.stands-for": "The pattern stands for {exact}.",
    "check.highest": "The highest value is stored as {pattern:bits}.",
    "check.unchanged": "The value is {exact} before and after.",
    "check.fits": "{sum} fits, as {pattern:bits}.",
    "check.pattern-fits": "{sum}, and its pattern fits: {pattern:bits}.",
    "check.missed": "The working missed it.",
    "check.un-normalised": "{sum} has no normalised pattern; left un-normalised it is held exactly.",
    "check.which-un-normalised": "{sum}, which has no normalised pattern; left un-normalised it is held exactly.",
    "check.beyond": "{sum} has no pattern: it lies beyond the last, {last:bits} = {last_value}.",
    "check.which-beyond": "{sum}, which has no pattern: it lies beyond the last, {last:bits} = {last_value}.",
    "check.halfway": "{sum} has no pattern: it lies halfway between {pattern:bits} and {other:bits}.",
    "check.which-halfway": "{sum}, which has no pattern: it lies halfway between {pattern:bits} and {other:bits}.",
    "check.nearest": "{sum} has no pattern: the nearest is {pattern:bits}.",
    "check.which-nearest": "{sum}, which has no pattern: the nearest is {pattern:bits}.",
    # The verdict
    "verdict.exact": "Exact",
    "verdict.exact-stored": "Exact for what was stored",
    "verdict.word": "{verdict}",
    "verdict.error": "{verdict}: {error}",
    "verdict.not": "Not {exact}",
    "verdict.out": "Out by {error}",
    "verdict.right": "The value is right",
    # Why
    "why.asked": "From what was asked it is {off} off: that is the cost of storing the operands.",
    "why.asked-more": "From what was asked the answer is {off} off, the cost of storing the operands included.",
    "why.asked-exact": "Storing the operands made no difference: the answer is exact for what was asked too.",
    "why.cancelled": "What was lost on the way cancelled out.",
    "why.would-fit": (
        "The exact answer would have fitted, as {pattern:bits}: bits lost on the way took the working out of range."
    ),
    "why.loose-fit": "The pattern {pattern:bits} is not normalised, so it is not written.",
    "why.total-out": "The exact answer would have been in range: a total on the way was not.",
    "why.past-range": "An operand is past the range of {format} to begin with.",
    "why.cut-once": (
        "The exact answer, cut once, would have been in range: bits lost on the way took the working out."
    ),
    "why.no-unit": "The result is zero, which has no unit in the last place.",
    "why.units": "{ulps:units}.",
    "why.units-in-all": "{ulps:units} in all.",
    "why.end": "{ulps:units}, made in step {step} by writing the end of the range.",
    "why.zero": "{ulps:units}, made in step {step} by writing zero.",
    "why.rounded-up": "{ulps:units}, made in step {step} by rounding {lost:bits} up.",
    "why.tail": "{ulps:units}, made in step {step} where the tail {lost:bits} was cut.",
    "why.lost-one": "{ulps:units}, made in step {step} by the lost 1.",
    "why.lost-ones": "{ulps:units}, made in step {step} by the lost 1s of {lost:bits}.",
    "why.part-took": "Step {step} lost {lost:bits}, which took {worth} from the answer.",
    "why.part-put": "Step {step} lost {lost:bits}, which added {worth} to the answer.",
    "why.part-end-took": "Step {step} wrote the end of the range, which took {worth} from the answer.",
    "why.part-end-put": "Step {step} wrote the end of the range, which added {worth} to the answer.",
    "why.part-zero-took": "Step {step} wrote zero, which took {worth} from the answer.",
    "why.part-zero-put": "Step {step} wrote zero, which added {worth} to the answer.",
    "why.relative": "Relative error {error:divided} ÷ {exact:divided}, {ratio:percent}.",
    "why.relative-value": "Relative error {error:divided} ÷ {exact:divided} = {ratio}, {ratio:percent}.",
    "why.nearest": "No pattern comes nearer.",
    "why.none-nearer-than": "No pattern comes nearer than {least}.",
    "why.nearer-than-rule": (
        "It happens to be nearer than the exact answer brought in by the course\u2019s rule."
    ),
}

#: An error in units in the last place of the result, by what kind of number it is.
UNITS: Final = {
    "none": "All of it",
    "one": "One unit in the last place",
    "more": "{} units in the last place",
    "mixed": "{} {} units in the last place",
    "part": "{} of a unit in the last place",
}
#: What stands under each other in the check.
LINES: Final = {
    "no answer": "{} has no answer",
    "stored": "{}, stored as {}",
    "two\u2019s complement": "{} (two\u2019s complement)",
    "pattern": "as a pattern",
    "fits": "{}, which fits",
    "out": "out of range",
    "rule": "{}, and the course\u2019s rule",
}
#: A word or two that stand in a sentence for one of a few kinds.
PARTS: Final = {
    "before": "in front of",
    "behind": "behind",
    "infinity": "an infinity",
    "not a number": "the pattern for not a number",
    "number": "the largest number",
}
#: What only the ear needs to be told of a row.
HEARD: Final = {
    "goes-on": "{}, and so on",
    "dropped": "a carry of one out of the sign place, dropped",
    "extra": "extra sign place {}",
}

#: Words for exact answers that no decimal says, as they are written.
SPECIALS: Final = {"minus infinity": "\u2212infinity"}

ENDING: Final[Catalogue] = SUMMING | CHOOSING | EXPLAINING | CHECKING
