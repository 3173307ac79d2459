"""Traits of sums and differences of whole numbers and fixed point, on any carrier: carries, borrows, overflow."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from chalkpoint.finding.measures import has_run, ones_of
from chalkpoint.finding.trait import AnyCase, Trait
from chalkpoint.finding.wholecase import WholeCase
from chalkpoint.numbers.carriers import Number, Truth, opposite, where
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.beliefs.families import family_of

__all__ = ["of_pair", "traits_of_columns", "whole_exposes", "whole_looks"]


def of_pair(look: Callable[[WholeCase], Number]) -> Callable[[AnyCase], Number]:
    """Return *look* as it looks at many questions, or at the working of one."""

    def looked(case: AnyCase) -> Number:
        if isinstance(case, WholeCase):
            return look(case)
        question = case.question
        first, second = (int(pattern, 2) for pattern in question.patterns)
        return look(WholeCase(question.operation.name, question.course, first, second))

    return looked


# === The question and its answer ===


def _signs(case: WholeCase) -> Number:
    first, second = (where(value < 0, 1, 0) for value in case.values)
    return 2 * first + second


def _some_zero(case: WholeCase) -> Truth:
    first, second = case.values
    return (first == 0) | (second == 0)


def _decimal_places(case: WholeCase) -> Number:
    """Return the binary places that the exact answer needs: as many digits follow its decimal point."""
    places: Number = 0
    for needed in range(1, case.format.places + 1):
        places = where(case.exact & ((1 << (case.format.places - needed + 1)) - 1) == 0, places, needed)
    return places


def _ones(case: WholeCase) -> Number:
    return ones_of((case.first, case.format.bits), (case.second, case.format.bits))


def _is_exact(case: WholeCase) -> Truth:
    return opposite(case.ends_in_word) & (case.answer == case.exact)


def _is_zero(case: WholeCase) -> Truth:
    return opposite(case.ends_in_word) & (case.answer == 0)


#: How the traits that every family has are seen there.
LOOKS: dict[str, Callable[[WholeCase], Number]] = {
    "sign-pattern": _signs,
    "operand-zero": _some_zero,
    "exact-result": _is_exact,
    "result-zero": _is_zero,
    "overflow": lambda case: case.overflowed,
    "decimal-places": _decimal_places,
    "sparse": _ones,
}


def whole_looks(traits: tuple[Trait, ...]) -> tuple[Trait, ...]:
    """Return *traits*, which every family has, as they look at sums and differences of whole numbers."""
    return tuple(replace(trait, look=of_pair(LOOKS[trait.name]), holds=None) for trait in traits)


def whole_exposes(name: str) -> Callable[[AnyCase], Truth]:
    """Return whether the belief called *name* gives a wrong answer."""

    def look(case: WholeCase) -> Truth:
        wrong = BELIEFS[name].method_for(case.operation, case.right, family_of(case.format))
        return wrong is not None and case.differs_by(wrong)

    return of_pair(look)


# === Columns ===


def _carries(case: WholeCase) -> Number:
    """Return a 1 in each column that a carry came into, and one past the first place for the carry out."""
    first, second = case.rows
    return first ^ second ^ (first + second)


def _borrows(case: WholeCase) -> Number:
    """Return a 1 in each column that was borrowed from, and one past the first place."""
    first, second = case.rows
    return (first ^ second ^ (first - second)) & ((2 << case.format.bits) - 1)


def _how_many(columns: Callable[[WholeCase], Number]) -> Callable[[WholeCase], Number]:
    return lambda case: ones_of((columns(case), case.format.bits + 1))


def _longest(case: WholeCase) -> Number:
    carries, longest = _carries(case), 0
    for length in range(1, case.format.bits + 1):
        longest = where(has_run(carries, length), length, longest)
    return longest


def _into(columns: Callable[[WholeCase], Number], past: int) -> Callable[[WholeCase], Truth]:
    """Return whether there is one at the first place, or *past* it."""
    return lambda case: (columns(case) >> (case.format.bits - 1 + past)) & 1 == 1


def _around(case: WholeCase) -> Truth:
    return case.lines["around"][0].total >> case.format.bits != 0


def _trait(name: str, sentence: str, kind: str, look: Callable[[WholeCase], Number]) -> Trait:
    most = (lambda fmt: fmt.bits) if kind == "number" else None
    return Trait(name, sentence, kind, of_pair(look), most=most)


CARRYING = (
    _trait("carry-into-sign", "a carry comes into the first place", "yes or no", _into(_carries, 0)),
    _trait("carry-out", "a carry leaves the first place", "yes or no", _into(_carries, 1)),
    _trait(
        "carries",
        "columns that a carry comes into, the carry out among them",
        "number",
        _how_many(_carries),
    ),
    _trait("carry-chain", "the most carries in a row", "number", _longest),
)
BORROWING = (
    _trait(
        "borrows",
        "columns that are borrowed from, one past the first among them",
        "number",
        _how_many(_borrows),
    ),
    _trait(
        "borrow-past-first",
        "something is borrowed past the first place",
        "yes or no",
        _into(_borrows, 1),
    ),
)
AROUND = _trait("end-around-carry", "a carry comes round to the last place", "yes or no", _around)


def traits_of_columns(operation: str, kind: str) -> tuple[Trait, ...]:
    """Return the traits of the columns of *operation* on numbers in the code called *kind*.

    >>> [trait.name for trait in traits_of_columns("subtract", "excess")]
    ['borrows', 'borrow-past-first']
    """
    if operation not in {"add", "subtract"} or kind == "sign and magnitude":
        return ()
    if operation == "subtract" and kind in {"unsigned", "excess"}:
        return BORROWING
    return (*CARRYING, AROUND) if kind == "ones' complement" else CARRYING
