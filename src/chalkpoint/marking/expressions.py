"""Exact values as they are written in working: decimals, fractions, percentages, products, powers of two, sums."""

from __future__ import annotations

import re
from fractions import Fraction

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import parse_value

__all__ = ["value_of"]

FURTHEST = 1 << 18  # of a power of two
LONGEST = 200  # characters
TOKEN = re.compile(r"\s*(?:(?P<number>\d+(?:\.\d*)?|\.\d+)|(?P<sign>\*\*|[-+*/^()x]))", re.ASCII)
COMMA = re.compile(r"(?<!\d)[-+]?\d*,\d+(?!\d|[,.])")


def value_of(text: str, point: str = ".") -> Fraction | None:
    """Return the exact value that *text*, in plain characters, says; None where it says none.

    point  the decimal mark in use; where it is ".", a lone comma between digits is one too

    >>> value_of("-5/8 * 2^-2"), value_of("-0,15625"), value_of("0.815%"), value_of("1 3/8")
    (Fraction(-5, 32), Fraction(-5, 32), Fraction(163, 20000), Fraction(11, 8))
    >>> value_of("-2844689 x 2^-91") == Fraction(-2844689, 2**91), value_of("3 + 1"), value_of("see over")
    (True, Fraction(4, 1), None)
    """
    text = text.strip()
    if not text or len(text) > LONGEST or text[:2] == "0x":
        return None
    if text.endswith("%"):
        found = value_of(text[:-1], point)
        return None if found is None else found / 100
    if "," in text and (point == "," or COMMA.fullmatch(text)):
        text = text.replace(",", ".")
    try:
        return parse_value(text)
    except EntryError:
        pass
    tokens = _tokens(text)
    if tokens is None:
        return None
    try:
        reader = Expression(tokens)
        found = reader.total()
    except (ValueError, ZeroDivisionError, IndexError, RecursionError):
        return None
    return found if reader.at == len(tokens) else None


def _tokens(text: str) -> list[str] | None:
    """Return the numbers and signs of *text*; None where it has anything else."""
    tokens, at = [], 0
    while at < len(text):
        match = TOKEN.match(text, at)
        if match is None:
            return None
        tokens.append({"**": "^", "x": "*"}.get(match[0].strip(), match[0].strip()))
        at = match.end()
    return tokens


class Expression:
    """Tokens read from the left: sums of products of numbers and powers."""

    def __init__(self, tokens: list[str]) -> None:
        self.tokens = tokens
        self.at = 0

    def take(self, *wanted: str) -> str:
        """Return the next token where it is one of *wanted*, and go past it; else ""."""
        if self.at < len(self.tokens) and self.tokens[self.at] in wanted:
            self.at += 1
            return self.tokens[self.at - 1]
        return ""

    def total(self) -> Fraction:
        """Return a sum."""
        found = self.product()
        while sign := self.take("+", "-"):
            other = self.product()
            found = found + other if sign == "+" else found - other
        return found

    def product(self) -> Fraction:
        """Return a product or a quotient."""
        found = self.power()
        while sign := self.take("*", "/"):
            other = self.power()
            found = found * other if sign == "*" else found / other
        return found

    def power(self) -> Fraction:
        """Return a number, or a power with a whole exponent."""
        if sign := self.take("-", "+"):
            found = self.power()
            return -found if sign == "-" else found
        base = self.number()
        if not self.take("^"):
            return base
        minus = self.take("-", "+") == "-"
        exponent = self.number()
        size = base.numerator.bit_length() + base.denominator.bit_length()
        if exponent.denominator != 1 or size * exponent > 4 * FURTHEST:
            raise ValueError
        return base ** int(-exponent if minus else exponent)

    def number(self) -> Fraction:
        """Return a number, or what brackets hold."""
        if self.take("("):
            found = self.total()
            if not self.take(")"):
                raise ValueError
            return found
        self.at += 1
        return Fraction(self.tokens[self.at - 1])
