"""What the tests of finding ask for: conditions on every trait and every belief, and pairs of patterns."""

from collections.abc import Iterator

from chalkpoint.finding.registry import trait_named, traits_of
from chalkpoint.finding.request import Term, parse_term
from chalkpoint.finding.trait import Trait
from chalkpoint.finding.traits.believing import beliefs_of
from chalkpoint.numbers.formats import FloatFormat, Pattern

OPERATIONS = ("add", "subtract")
FRACTIONS = ("0", "1/2", "5/3")


def term(text: str, operation: str) -> Term:
    """Return a condition as it is read from a request."""
    return parse_term(text, lambda name: trait_named(name, operation))


def conditions(trait: Trait, *, few: bool = False) -> list[str]:
    """Return conditions that take a trait apart: each choice, and a number from both sides."""
    if few and trait.kind != "yes or no":
        return [f"{trait.name} = {trait.choices[-1]}" if trait.choices else f"{trait.name} >= 1"]
    if trait.kind == "yes or no":
        return [trait.name]
    if trait.kind == "choice":
        return [f"{trait.name} = {choice}" for choice in trait.choices]
    values = ("1", "2", "5") if trait.is_whole else FRACTIONS
    return [f"{trait.name} {sign} {value}" for sign in ("=", ">=") for value in values]


def trait_terms(operation: str, *, few: bool = False) -> list[Term]:
    """Return conditions on every trait that may have a diagram, or one condition on each."""
    return [
        term(text, operation)
        for trait in traits_of(operation).values()
        if trait.widest
        for text in conditions(trait, few=few)
    ]


def belief_terms(
    operation: str, families: tuple[str, ...] = ("exposes", "untouched", "accidental")
) -> list[Term]:
    """Return what can be asked of every belief."""
    return [term(f"{family}:{belief}", operation) for belief in beliefs_of(operation) for family in families]


def normalised(fmt: FloatFormat) -> list[Pattern]:
    """Return every normalised pattern of a format."""
    quarter = 1 << (fmt.places - 1)
    mantissas = [*range(-2 * quarter, -quarter), *range(quarter, 2 * quarter)]
    exponents = range(fmt.lowest_exponent, fmt.highest_exponent + 1)
    return [Pattern(mantissa, exponent) for exponent in exponents for mantissa in mantissas]


def normalised_pairs(fmt: FloatFormat) -> Iterator[tuple[Pattern, Pattern]]:
    """Yield every pair of normalised patterns."""
    patterns = normalised(fmt)
    return ((first, second) for first in patterns for second in patterns)
