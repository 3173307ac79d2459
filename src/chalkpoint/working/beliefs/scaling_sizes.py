"""How a belief about signs and exponents acts in a product or quotient: on the operands, and on what comes out."""

from __future__ import annotations

from collections.abc import Callable

from chalkpoint.numbers.carriers import Number, fits, opposite, where
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.beliefs.belief import Place, acts
from chalkpoint.working.multiplying import add_exponents, divide, subtract_exponents
from chalkpoint.working.page import Page

__all__ = ["exponents_read", "sizes_negated"]

Negating = Callable[[Page, FloatFormat], Page]
Reading = Callable[[Number, int], Number]


def exponents_read(read: Reading, said: str) -> tuple[Place, ...]:
    """Return the places of a belief that reads a field by *read*, (code, bits) -> number: both exponents here.

    The fields are in two's complement.
    """

    def before(page: Page, fmt: FloatFormat) -> Page:
        bits = fmt.exponent_bits
        columns = (1 << bits) - 1
        return page._replace(
            first_exponent=read(page.first_exponent & columns, bits),
            second_exponent=read(page.second_exponent & columns, bits),
        )

    def added(page: Page, fmt: FloatFormat) -> Page:
        return add_exponents(before(page, fmt), fmt)

    def subtracted(page: Page, fmt: FloatFormat) -> Page:
        return subtract_exponents(before(page, fmt), fmt)

    return (
        *acts(("multiply",), "exponents", added, f"{said} Then add them.", signed=True),
        *acts(("divide",), "exponents", subtracted, f"{said} Then subtract them.", signed=True),
    )


def sizes_negated(negate: Negating, said: str) -> tuple[Place, ...]:
    """Return the places of *negate*, a rule of subtraction, where sizes are worked with and given their sign.

    The size of a negative mantissa is its opposite, and so is a negative answer the opposite of its size:
    both as *negate* has it.
    """

    def opposite_of(number: Number, page: Page, fmt: FloatFormat) -> Number:
        return negate(page._replace(second=number), fmt).second

    def size(number: Number, page: Page, fmt: FloatFormat) -> Number:
        found = where(number < 0, opposite_of(number, page, fmt), number)
        return where(found == 0, abs(number), found)  # nothing can be divided by no size

    def sized(page: Page, fmt: FloatFormat) -> Page:
        return page._replace(first=size(page.first, page, fmt), second=size(page.second, page, fmt))

    def signed(page: Page, fmt: FloatFormat) -> Page:
        negative = (page.first < 0) != (page.second < 0)
        total = where(negative, opposite_of(page.total, page, fmt), page.total)
        return page._replace(total=total, overflowed=opposite(fits(total, fmt.mantissa_bits + page.extra)))

    def product(page: Page, fmt: FloatFormat) -> Page:
        sizes = sized(page, fmt)
        return signed(page._replace(total=sizes.first * sizes.second, extra=fmt.places), fmt)

    def quotient(page: Page, fmt: FloatFormat) -> Page:
        found = divide(sized(page, fmt), fmt)
        return page._replace(total=found.total, extra=found.extra)

    return (
        *acts(("multiply",), "product", product, f"Multiply the sizes. To change a sign: {_lower(said)}"),
        Place(
            ("divide",),
            {"quotient": quotient, "sign": signed},
            {
                "quotient": f"Divide the sizes. To change a sign: {_lower(said)}",
                "sign": f"Give it its sign: {_lower(said)}",
            },
        ),
    )


def _lower(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]
