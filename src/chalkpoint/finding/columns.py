"""Counts of sums in two's complement and unsigned, a column after another: exact however wide the rows are.

What a condition asks of a sum is followed from the last column to the first: the carry, and what the columns so far had
of what is asked. So rows of 16 bits take 16 steps, where looking at every pair takes 2^32. The questions themselves are
drawn and looked at, as where a count is an estimate.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from typing import NamedTuple

from chalkpoint.finding.estimate import Estimate
from chalkpoint.finding.request import Term
from chalkpoint.numbers.families import WHOLE
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.working.page import AnyPage

__all__ = ["CountedByColumns", "columns_answer"]

SIGNED, UNSIGNED = "two's complement", "unsigned"
EVERYWHERE = {"sign-pattern", "operand-zero", "sparse"}
ADDED = {"carry-into-sign", "carry-out", "carries", "carry-chain", "overflow", "exact-result", "result-zero"}
TAKEN_AWAY = {"borrows", "borrow-past-first"}
#: What is followed only where a condition asks for it, so that there are few ways to keep apart.
FOLLOWED = {
    "carries": ("carries", "borrows"),
    "chain": ("carry-chain",),
    "longest": ("carry-chain",),
    "ones": ("sparse",),
    "zero_first": ("operand-zero",),
    "zero_second": ("operand-zero",),
    "zero_sum": ("result-zero",),
}


class Columns(NamedTuple):
    """What is known after some columns.

    carry    what goes into the next column, or was borrowed from it
    plus     in subtracting by complement, what negating carries into the next column
    into     what went into the column before
    carries  columns that something went into
    chain, longest  of those in a row up to here, and the most in a row
    ones     1s in both patterns
    zero_first, zero_second, zero_sum  whether a row has 0s alone so far
    signs    the digits of the column before: of both operands and of the sum
    """

    carry: int = 0
    plus: int = 1
    into: int = 0
    carries: int = 0
    chain: int = 0
    longest: int = 0
    ones: int = 0
    zero_first: bool = True
    zero_second: bool = True
    zero_sum: bool = True
    signs: tuple[int, int, int] = (0, 0, 0)


def columns_answer(operation: str, fmt: AnyFormat, terms: Sequence[Term]) -> bool:
    """Tell whether columns say all that *terms* ask."""
    if (
        fmt.family != WHOLE
        or operation not in {"add", "subtract"}
        or fmt.field.kind not in {SIGNED, UNSIGNED}
    ):
        return False
    borrowing = operation == "subtract" and fmt.field.kind == UNSIGNED
    known = EVERYWHERE | (TAKEN_AWAY if borrowing else ADDED)
    return all(term.trait.name in known for term in terms)


class CountedByColumns(Estimate):
    """The questions of a wide format that meet terms about columns: counted exactly, and drawn as others are."""

    def __init__(self, operation: str, fmt: FixedFormat, estimate: Estimate) -> None:
        super().__init__(estimate.base, estimate.terms, estimate.case, estimate.lanes, estimate.watch)
        self.subtracts, self.signed, self.bits = operation == "subtract", fmt.field.kind == SIGNED, fmt.bits
        self.seen_by = [
            replace(term, trait=replace(term.trait, holds=None, look=_seen(term.trait.name)))
            for term in self.terms
        ]
        asked = {term.trait.name for term in self.terms}
        blank = Columns()._asdict()
        self.unasked = {
            name: blank[name] for name, traits in FOLLOWED.items() if not asked.intersection(traits)
        }

    @property
    def is_exact(self) -> bool:
        """Whether the count is exact: it is."""
        return True

    @property
    def is_empty(self) -> bool:
        """Whether no question meets the terms."""
        return not self.count

    @cached_property
    def _count(self) -> int:
        ways = Counter({Columns(): 1})
        for _ in range(self.bits):
            further: Counter[Columns] = Counter()
            for columns, count in ways.items():
                for first in (0, 1):
                    for second in (0, 1):
                        further[self._after(columns, first, second)] += count
            ways = further
        return sum(count for columns, count in ways.items() if self._columns_meet(columns))

    @property
    def count(self) -> int:
        """How many questions meet the terms."""
        return self._count

    def _after(self, columns: Columns, first: int, second: int) -> Columns:
        """Return what is known after one more column with these digits."""
        added, plus = second, columns.plus
        if self.subtracts and self.signed:  # the complement is added
            added, plus = (1 - second + plus) % 2, (1 - second + plus) // 2
        borrows = self.subtracts and not self.signed
        total = first - added - columns.carry if borrows else first + added + columns.carry
        out = int(total < 0) if borrows else total // 2
        chain = columns.chain + 1 if out else 0
        after = Columns(
            out,
            plus,
            columns.carry,
            columns.carries + out,
            chain,
            max(columns.longest, chain),
            columns.ones + first + second,
            columns.zero_first and not first,
            columns.zero_second and not second,
            columns.zero_sum and not total % 2,
            (first, second, total % 2),
        )
        return after._replace(**self.unasked)

    def _columns_meet(self, columns: Columns) -> bool:
        first, second, total = columns.signs
        overflow = bool(columns.carry)
        if self.signed:
            overflow = (first != second) is self.subtracts and total != first
        seen = {
            "carry-into-sign": columns.into == 1,
            "carry-out": columns.carry == 1,
            "carries": columns.carries,
            "carry-chain": columns.longest,
            "borrows": columns.carries,
            "borrow-past-first": columns.carry == 1,
            "sparse": columns.ones,
            "overflow": overflow,
            "exact-result": not overflow,
            "result-zero": columns.zero_sum and not overflow,
            "operand-zero": columns.zero_first or columns.zero_second,
            "sign-pattern": 2 * first + second if self.signed else 0,
        }
        return all(bool(term.meets(seen)) for term in self.seen_by)


def _seen(name: str) -> AnyPage:
    return lambda seen: seen[name]
