"""Where the fields of a row stand: one plan for a whole working, so that no column ever moves.

The mantissa, the fraction and every size share one grid. A sign of its own stands left of it, and an
exponent on the side where its format writes it; where a number is converted into a format that writes
the exponent on the other side, there is a grid for it on both.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.publishing.parts import Block, Rail
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.written import Row

__all__ = [
    "Fields",
    "exponent_leads",
    "exponent_weights",
    "fields_of",
    "format_of",
    "headings_of",
    "top_code",
]

STORING = "store-"  # what the lines of a conversion that write the new format begin with
LEAST_EXPONENT = 2  # columns, where an exponent is only ever written as an integer


def format_of(step: Step, question: Question) -> AnyFormat:
    """Return the format whose fields *step* writes."""
    if question.target is not None and step.rule.startswith(STORING):
        return question.target.number_format
    return question.format


def exponent_leads(row: Row, fmt: AnyFormat) -> bool:
    """Tell whether *row*'s exponent stands left of its mantissa.

    >>> from chalkpoint.numbers.named import format_called
    >>> row = Row(label="first", bits="01000111")
    >>> exponent_leads(row, format_called("8+4")), exponent_leads(row, format_called("binary16"))
    (False, True)
    """
    order = row.in_order or (fmt.order if fmt.family == SIZES else "")
    if order:
        fields = order.split()
        return fields.index("exponent") < fields.index("fraction")
    return fmt.family == FLOATING and fmt.exponent_first


def exponent_weights(fmt: AnyFormat) -> tuple[int, ...]:
    """Return the place values of *fmt*'s exponent; none where it has no exponent.

    >>> from chalkpoint.numbers.named import format_called
    >>> exponent_weights(format_called("8+4")), exponent_weights(format_called("8"))
    ((-8, 4, 2, 1), ())
    """
    return () if fmt.family == WHOLE else tuple(fmt.exponent.weights())


def top_code(fmt: AnyFormat) -> str:
    """Return the code that says what the first place of *fmt*'s mantissa weighs.

    >>> from chalkpoint.numbers.named import format_called
    >>> top_code(format_called("8+4")), top_code(format_called("binary16"))
    ("two's complement", 'unsigned')
    """
    if fmt.family == WHOLE:
        return fmt.field.kind
    return "unsigned" if fmt.family == SIZES else "two's complement"


def headings_of(fmt: AnyFormat) -> tuple[str, str, str, str]:
    """Return what stands over the fields of *fmt*: mantissa, exponent, decimal values, tray.

    >>> from chalkpoint.numbers.named import format_called
    >>> [headings_of(format_called(text))[0] for text in ("8+4", "binary16", "8")]
    ['mantissa', 'fraction', 'whole number']
    """
    name = "mantissa"
    if fmt.family == SIZES:
        name = "fraction"
    elif fmt.family == WHOLE:
        name = "fixed point" if fmt.places else "whole number"
    return name, "exponent", "decimal", "tray"


@dataclass(frozen=True, slots=True)
class Fields:
    """The columns of what stands beside the mantissa's grid; as in `parts.Scene`."""

    before: int
    after: int
    sign: int
    sign_inside: bool


def fields_of(blocks: Iterable[Block], formats: Iterable[AnyFormat]) -> Fields:
    """Return the columns that the rails of *blocks* need, under *formats*."""
    rails = [item for block in blocks for item in block.items if isinstance(item, Rail)]
    sides = {
        first: [
            rail for rail in rails if rail.exponent_first is first and (rail.exponent or rail.exponent_text)
        ]
        for first in (True, False)
    }
    widths = {
        first: max([len(rail.exponent) for rail in found] + [LEAST_EXPONENT] * bool(found), default=0)
        for first, found in sides.items()
    }
    signed = [rail for rail in rails if rail.sign]
    orders = [fmt.order for fmt in formats if fmt.family == SIZES]
    return Fields(
        before=widths[True],
        after=widths[False],
        sign=(2 if any(rail.operator for rail in signed) else 1) if signed else 0,
        sign_inside=bool(orders) and not any(order.startswith("sign") for order in orders),
    )
