"""The listing of traits: each with its sentence, its values, its source, and how many questions have it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from chalkpoint.finding.find import Find, find
from chalkpoint.finding.registry import traits_of
from chalkpoint.finding.trait import Trait
from chalkpoint.finding.traits.believing import FAMILIES, families_of
from chalkpoint.finding.traits.families import family_traits
from chalkpoint.numbers.named import is_school
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.course import Course

__all__ = ["Listed", "listed_traits"]


@dataclass(frozen=True)
class Listed:
    """A line of the listing.

    trait     the trait's name
    sentence  what it means
    values    the values it takes
    source    where its definition is from
    counts    (condition, request) for each condition that is counted; the request counts when asked
    """

    trait: str
    sentence: str
    values: str
    source: str
    counts: tuple[tuple[str, Find], ...]


def listed_traits(
    operation: str, course: Course, watch: Callable[[int, int], None] | None = None, into: str | None = None
) -> Iterator[Listed]:
    """Yield a line for each trait of *operation*, then one for each family of traits of beliefs, where it has any."""
    fmt = course.number_format
    known = traits_of(operation) if is_school(fmt) and not into else family_traits(operation, fmt)
    for trait in known.values():
        counts = tuple(
            (text, find(operation, where=[text], course=course, watch=watch, into=into))
            for text in conditions(trait)
        )
        yield Listed(trait.name, trait.sentence, trait.values, trait.source, counts)
    if into:
        return
    asked = families_of(operation) if is_school(fmt) else {"exposes": FAMILIES["exposes"]}
    acting = [belief.id for belief in beliefs_for(operation, family_of(fmt))]
    for family, sentence in asked.items():
        subjects = ["X", "Y"] if family == "ambiguous" else ["X"]
        names = acting if family == "exposes" else []
        counts = tuple(
            (text, find(operation, where=[text], course=course, watch=watch))
            for text in (f"exposes:{name}" for name in names)
        )
        says = f"{sentence.format(*subjects)} ({' and '.join(subjects)} being beliefs, listed with exposes:X)"
        yield Listed(f"{family}:{','.join(subjects)}", says, "yes, no", "our own", counts)


def conditions(trait: Trait) -> list[str]:
    """Return the conditions on *trait* that the listing counts.

    >>> conditions(traits_of("add")["shifted-operand"])
    ['shifted-operand = none', 'shifted-operand = first', 'shifted-operand = second']
    """
    if trait.kind == "yes or no":
        return [trait.name]
    if trait.kind == "choice":
        return [f"{trait.name} = {choice}" for choice in trait.choices]
    return list(trait.examples) or [f"{trait.name} >= 1"]
