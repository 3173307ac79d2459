"""What a rule of arithmetic is handed as a number, and the few primitives a rule may use on it.

A rule is written once and runs on three carriers: one Python integer (one question), lanes (thousands
of questions in one stroke), and decision diagrams (every question there is). The last two are one class,
`symbolic.Integer`, over two algebras of bits. A rule's text uses ``+ - * // << >> & ^ == < >`` and the
names below; never ``if`` on data, because a number of many questions is both true and false.

A carrier of many supplies ``select(a, b)`` on its conditions, ``~`` for their opposite, and ``max()``, a
number that none of its numbers is above.
"""

from __future__ import annotations

from typing import Any, TypeAlias

__all__ = [
    "Number",
    "Truth",
    "fits",
    "larger",
    "opposite",
    "sign_copies",
    "smaller",
    "toward_zero",
    "where",
    "wrap",
]

Number: TypeAlias = Any  # an int, or a symbolic.Integer
Truth: TypeAlias = Any  # the same three for conditions


def where(condition: Truth, yes: Number, no: Number) -> Number:
    """Return *yes* where *condition* holds and *no* elsewhere.

    >>> where(3 > 2, 10, 20)
    10
    """
    if condition is True:
        return yes
    if condition is False:
        return no
    return condition.select(yes, no)


def opposite(condition: Truth) -> Truth:
    """Return where *condition* does not hold (``not`` cannot be asked of many questions).

    >>> opposite(3 > 2)
    False
    """
    if condition is True or condition is False:
        return not condition
    return ~condition


def larger(a: Number, b: Number) -> Number:
    """Return the larger of *a* and *b*, place by place.

    >>> larger(-3, 0)
    0
    """
    return where(a < b, b, a)


def smaller(a: Number, b: Number) -> Number:
    """Return the smaller of *a* and *b*, place by place.

    >>> smaller(-3, 0)
    -3
    """
    return where(a < b, a, b)


def fits(x: Number, bits: Number) -> Truth:
    """Tell whether *x* can be written in *bits* bits of two's complement.

    All bits from the sign place leftwards are then alike.

    >>> fits(127, 8), fits(128, 8), fits(-128, 8)
    (True, False, True)
    """
    rest = x >> (bits - 1)
    return (rest == 0) | (rest == -1)


def sign_copies(x: Number, bits: Number) -> Number:
    """Return how many bits after the first repeat it, in *bits* bits of two's complement.

    Zero and minus one repeat it all the way: bits - 1 of them. *x* must fit.

    >>> sign_copies(0b0011010, 8), sign_copies(-128, 8), sign_copies(0, 8)
    (2, 0, 7)
    """
    if type(x) is int:
        return bits - 1 - (x if x >= 0 else ~x).bit_length()
    x = where(x == 0, -1, x)  # a run of 0s can be shifted for ever; a run of 1s of the same length cannot
    count = 0
    step = 1 << _most(bits).bit_length()
    while step:
        loose = (step < bits) & fits(x, larger(bits - step, 1))
        x = where(loose, x << step, x)
        count = count + where(loose, step, 0)
        step >>= 1
    return count


def _most(bits: Number) -> int:
    """Return a width that none of *bits* is above: each question may have its own."""
    return bits if isinstance(bits, int) else int(bits.max())


def toward_zero(x: Number, places: Number) -> Number:
    """Return *x* shifted right *places*, its size cut and its sign kept.

    A plain shift cuts toward minus infinity; this one cuts toward zero.

    >>> -5 >> 1, toward_zero(-5, 1)
    (-3, -2)
    """
    return where(x < 0, -((-x) >> places), x >> places)


def wrap(x: Number, bits: int) -> Number:
    """Return the low *bits* bits of *x*, read as two's complement.

    >>> wrap(128, 8)
    -128
    """
    low = x & ((1 << bits) - 1)
    return where(low >> (bits - 1) == 1, low - (1 << bits), low)
