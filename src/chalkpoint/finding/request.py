"""Requests: what a teacher writes after ``--where``, read into terms.

A term is a trait in one of the forms ``lost-ones >= 2``, ``lost-ones = 2..4``, ``shifted-operand = second``,
``carry-dropped``, ``exposes:invert-only``, each of them with or without ``not`` before it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction

from chalkpoint.finding.trait import AnyCase, Trait
from chalkpoint.numbers.carriers import Truth, opposite
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.exact import parse_value

__all__ = ["Term", "parse_request", "parse_term"]

FORM = re.compile(r"\s*(not\s+)?([^\s<>=!]+)\s*(?:(>=|<=|!=|=|<|>)\s*(\S.*?)\s*)?")
SHAPES = "write a trait such as carry-dropped, not carry-dropped, lost-ones >= 2 or shifted-operand = second"


@dataclass(frozen=True)
class Term:
    """One condition of a request: a trait compared with a value, or with two for a range.

    bounds   (comparison, value) pairs that all hold
    negated  whether the term holds where they do not
    text     the term as it is written, spaced evenly
    """

    trait: Trait
    bounds: tuple[tuple[str, Fraction], ...]
    negated: bool
    text: str

    def meets(self, case: AnyCase) -> Truth:
        """Return whether *case*, on any carrier, meets the term."""
        met: Truth = True
        for comparison, value in self.bounds:
            met = met & self.trait.meets(case, comparison, value)
        return opposite(met) if self.negated else met

    def with_value(self, value: int) -> Term:
        """Return this term, which has one bound, with another value."""
        comparison, _ = self.bounds[0]
        text = self.text[: self.text.rindex(comparison) + len(comparison)] + f" {value}"
        return Term(self.trait, ((comparison, Fraction(value)),), self.negated, text)


def parse_request(where: Iterable[str], known: Callable[[str], Trait]) -> tuple[Term, ...]:
    """Return the terms of a request, in order, each once.

    >>> from chalkpoint.finding.registry import trait_named
    >>> [term.text for term in parse_request(["align-shift >= 2"], lambda name: trait_named(name, "add"))]
    ['align-shift >= 2']
    """
    terms: dict[str, Term] = {}
    for text in where:
        term = parse_term(text, known)
        terms.setdefault(term.text, term)
    return tuple(terms.values())


def parse_term(text: str, known: Callable[[str], Trait]) -> Term:
    """Return the term written in *text*; *known* finds a trait by its name.

    Raises EntryError with near misses for an unknown trait or a value it cannot have.
    """
    match = FORM.fullmatch(text)
    if match is None:
        raise EntryError(f"{text!r} is not a condition; {_meant(text, known) or SHAPES}")
    negated, name, comparison, value = bool(match[1]), match[2], match[3], match[4]
    trait = known(name)
    opening = f"not {trait.name}" if negated else trait.name
    if comparison is None:
        if trait.kind != "yes or no":
            raise EntryError(f"{text.strip()!r} lacks a value; write {trait.accepted}")
        return Term(trait, (("=", Fraction(1)),), negated, opening)
    bounds = tuple(_bounds(trait, comparison, value))
    return Term(trait, bounds, negated, f"{opening} {comparison} {value}")


def _meant(text: str, known: Callable[[str], Trait]) -> str:
    """Return what a condition written with blanks in its trait's name may mean; "" where nothing is near.

    A phrase such as "lost ones >= 2" or "carry droped" is meant as a trait of that name.
    """
    named, *compared = re.split(r"(>=|<=|!=|=|<|>)", text, maxsplit=1)
    words = named.split()
    negated = words[:1] == ["not"]
    try:
        trait = known("-".join(words[negated:]))
        term = " ".join([*(["not"] if negated else []), trait.name, *(part.strip() for part in compared)])
    except EntryError as reason:
        near = re.search(r"did you mean .*", str(reason))
        return near[0] if near else ""
    return f"did you mean {term!r}?"


def _bounds(trait: Trait, comparison: str, value: str) -> Iterable[tuple[str, Fraction]]:
    if trait.kind == "number":
        low, dots, high = value.partition("..")
        if dots and comparison == "=":
            yield ">=", _number(trait, low)
            yield "<=", _number(trait, high)
        else:
            yield comparison, _number(trait, value)
        return
    if comparison not in {"=", "!="}:
        raise EntryError(f"{trait.name} {comparison} {value} cannot be asked; write {trait.accepted}")
    words = trait.choices or ("no", "yes")
    if value not in words:
        raise EntryError(f"{value!r} is no value of {trait.name}; {near_misses(value, words)}")
    yield comparison, Fraction(words.index(value))


def _number(trait: Trait, text: str) -> Fraction:
    try:
        value = parse_value(text, name=trait.name)
    except EntryError as reason:
        raise EntryError(f"{text!r} is no value of {trait.name}; write {trait.accepted}") from reason
    if value < 0 or (trait.is_whole and value.denominator != 1):
        what = "a whole number from 0" if trait.is_whole else "a number from 0"
        raise EntryError(f"{text!r} is no value of {trait.name}: it is {what}; write {trait.accepted}")
    return value
