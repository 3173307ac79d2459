"""Where each question asked for is drawn from: the finder by its traits, or `drawn` where it has none."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial

from chalkpoint.finding.registry import trait_in
from chalkpoint.finding.request import Term, parse_request
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import is_school
from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.drawn import WITHOUT_TRAITS, demands_of, draw_plain, is_plain
from chalkpoint.setting.measures import pins_of
from chalkpoint.setting.sources import drawn, trait_of
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.working import Working

__all__ = ["draw_for", "parse_traits", "pins_for", "shown_in"]


def shown_in(asked: BlueprintQuestion) -> BlueprintQuestion:
    """Return what is drawn: of an explanation, the question to be explained."""
    return replace(asked, operation=asked.about) if asked.about else asked


def parse_traits(asked: BlueprintQuestion) -> tuple[Term, ...]:
    """Return the terms of *asked*'s ``where``.

    Raises EntryError for a trait that there is none of, and for any where the finder does not look.
    """
    inner = shown_in(asked)
    if asked.where and inner.operation in WITHOUT_TRAITS:
        raise EntryError(
            f"{asked.where[0]!r}: {inner.operation} has no traits; leave where out, or give operands"
        )
    if not is_school(asked.course.number_format) and inner.operation != "range":
        return parse_request(asked.where, trait_in(asked.course, inner.operation))
    return parse_request(asked.where, partial(trait_of, inner.operation))


def draw_for(asked: BlueprintQuestion, terms: Iterable[str], n: int, seed: str) -> Iterator[Question]:
    """Yield up to *n* different questions of the kind *asked* for that meet *terms*, the same for the same *seed*."""
    inner = shown_in(asked)
    found: Iterable[Question]
    if is_plain(inner):
        found = draw_plain(inner, terms, n, seed, parse_traits(asked))
    else:
        found = drawn(inner.operation, asked.course, (*asked.where, *terms), n, seed)
    for question in found:
        yield _explained(question) if asked.about else question


def _explained(about: Question) -> Question:
    return replace(about, operation=OPERATIONS["explain"], about=about)


def pins_for(asked: BlueprintQuestion, working: Working) -> tuple[str, ...]:
    """Return what the variants of *working*'s question share, as terms of a request."""
    if is_plain(shown_in(asked)):
        return demands_of(working)
    return pins_of(working.question.about or working.question)
