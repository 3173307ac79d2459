"""Counts in formats too wide to be walked, held against counts by another road that knows no rule of ours.

The roads are counting by hand, carries column by column (how many pairs leave each carry), and values in order.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from fractions import Fraction

import pytest

import chalkpoint as cp
from chalkpoint.finding.familyspace import FamilySpace
from chalkpoint.finding.registry import beliefs_in, trait_in
from chalkpoint.finding.request import Term, parse_request
from chalkpoint.finding.singles import worked
from chalkpoint.finding.wholepairs import WholePairs, meeting_in_order
from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.procedures import answer_by, right_method
from chalkpoint.working.working import Working

FOUR_IN_A_THOUSAND = Fraction(
    288, 196
)  # how much wider an interval is that misses so seldom, than one of 95%


def near(operation: str, fmt: str, where: str, exact: int) -> bool:
    """Tell whether the count is *exact*, or an estimate as near to that as its interval says."""
    found = cp.find(operation, format=fmt, where=[where])
    if found.exact:
        return found.count == exact
    assert found.interval is not None
    low, high = found.interval
    below, above = found.count - low, high - found.count
    return -below * FOUR_IN_A_THOUSAND <= exact - found.count <= above * FOUR_IN_A_THOUSAND


@pytest.mark.parametrize(
    ("operation", "fmt", "where", "exact"),
    [
        ("add", "16", "overflow", 1 << 30),  # half of the pairs of two positives, and of two negatives
        ("add", "16", "result-zero", (1 << 16) - 1),  # each number and its opposite, but for the lowest
        ("subtract", "Q8.8", "result-zero", 1 << 16),  # each number from itself
        ("add", "32 unsigned", "carry-out", (1 << 31) * ((1 << 32) - 1)),
        ("add", "16 ones-complement", "end-around-carry", (1 << 16) * ((1 << 16) - 1) // 2),
        ("subtract", "16 unsigned", "borrow-past-first", (1 << 16) * ((1 << 16) - 1) // 2),
        (
            "add",
            "16 sign-and-magnitude",
            "overflow",
            (1 << 15) * ((1 << 15) - 1),
        ),  # alike in sign, past 15 digits
        ("multiply", "binary16", "special-operand", (1 << 32) - (62 << 10) ** 2),
        ("decode", "1750A-32", "sign-pattern = -", 1 << 31),
        ("encode", "Q8.8", "exact-result", 1 << 16),  # each pattern's own value
    ],
)
def test_counts_by_hand(operation: str, fmt: str, where: str, exact: int) -> None:
    """Where all there is to ask can be counted on paper."""
    assert near(operation, fmt, where, exact)


def test_carries_column_by_column() -> None:
    """Pairs of sixteen digits by how many carries their sum has, a column after another."""
    pairs = Counter({(0, 0): 1})  # by the carry into this column and those there were: how many pairs
    for _ in range(16):
        further: Counter[tuple[int, int]] = Counter()
        for (carry, carries), count in pairs.items():
            for ones, ways in ((0, 1), (1, 2), (2, 1)):
                out = (ones + carry) // 2
                further[out, carries + out] += count * ways
        pairs = further
    exact = sum(count for (_, carries), count in pairs.items() if carries >= 9)
    assert sum(pairs.values()) == 1 << 32
    assert near("add", "Q8.8", "carries >= 9", exact)


def test_sums_past_the_largest_by_values_in_order() -> None:
    """A sum in binary16 overflows from half a place past the largest on, either side: values in units of 2^-24."""
    sizes = [fraction << max(0, stored - 1) for stored in range(31) for fraction in units(stored)]
    values = sorted([*sizes, *(-size for size in sizes)])
    past = (2048 << 29) - (1 << 28)  # 65504 and half of its last place, 16
    over = sum(len(values) - bisect_left(values, past - value) for value in values)
    assert near("add", "binary16", "overflow", 2 * over)


def units(stored: int) -> range:
    """Return the sizes under a stored exponent, in units of their last place."""
    return range(1024) if stored == 0 else range(1024, 2048)


@pytest.mark.parametrize(
    ("operation", "fmt"),
    [
        ("add", "4"),
        ("subtract", "Q3.1"),
        ("subtract", "4 unsigned"),
        ("add", "4 ones-complement"),
        ("subtract", "4 ones-complement"),
        ("subtract", "4 sign-and-magnitude"),
        ("add", "4 excess-8"),
        ("subtract", "3 excess-3"),
    ],
)
@pytest.mark.parametrize("overflow", ["word", "largest"])
def test_diagrams_count_what_looking_at_every_working_counts(operation: str, fmt: str, overflow: str) -> None:
    """Each trait and each belief by itself, in rows so short that all pairs are worked and looked at too."""
    course = cp.Course(format=fmt, overflow=overflow)
    space = FamilySpace(operation, course)
    workings = [worked(operation, course, given) for given in space.pairs(range(space.count))]
    named = trait_in(course, operation)
    asked = [
        "sparse <= 3",
        "sign-pattern = +-",
        "operand-zero",
        "overflow",
        "not exact-result",
        "result-zero",
    ]
    asked += [f"decimal-places = {places}" for places in range(2)]
    asked += ["carry-into-sign", "carry-out", "carries >= 2", "carry-chain = 2", "end-around-carry"]
    asked += ["borrows = 2", "borrow-past-first"]
    asked += [f"exposes:{belief}" for belief in beliefs_in(course, operation)]
    counted = 0
    for text in asked:
        try:
            terms = parse_request([text], named)
        except EntryError:  # carries have no meaning where something is borrowed, nor the other way about
            continue
        looked_at = [seen for seen, working in enumerate(workings) if by_its_working(terms[0], working)]
        assert meeting_in_order(operation, course, terms) == looked_at, text
        in_diagrams = WholePairs(operation, course, terms)
        assert in_diagrams.count == len(looked_at), text
        counted += 1
    assert counted >= 9


def by_its_working(term: Term, working: Working) -> bool:
    """Tell whether a working meets *term*, seen in what it says of itself, or else on its own two patterns."""
    check, question = working.check, working.question
    name, seen = term.trait.name, None
    if name == "overflow":
        seen = check.verdict == "overflow" or working.outcome == "overflow"
    elif name == "exact-result":
        seen = check.verdict == "exact"
    elif name == "result-zero":
        seen = working.outcome == "zero"
    elif name == "end-around-carry":
        seen = any(step.rule == "around" for step in working.steps)
    elif name.startswith("exposes:"):
        right = right_method(question.operation.name, question.course)
        belief = BELIEFS[name.partition(":")[2]]
        wrong = belief.method_for(question.operation.name, right, family_of(question.format))
        seen = wrong is not None and answer_by(wrong, question) != answer_by(right, question)
    return bool(term.meets(working)) if seen is None else seen != term.negated


@pytest.mark.parametrize(
    ("fmt", "where", "operands"),
    [
        (
            "16",
            "overflow",
            ["0100000000000000", "0100000000000000"],
        ),  # two 1s at least, in the places below the sign
        ("16 unsigned", "carry-out", ["1000000000000000", "1000000000000000"]),
        ("Q8.8", "carries >= 3", ["0000000000000001", "0000000000000111"]),  # of four 1s this comes first
    ],
)
def test_the_simplest_pair_has_the_fewest_ones(fmt: str, where: str, operands: list[str]) -> None:
    """Known by thought; its number leads back to it, and a fair draw has numbers too."""
    found = cp.find("add", format=fmt, where=[where])
    (simplest,) = found.simplest(1)
    assert simplest.operands == operands
    assert simplest.number is not None
    assert found[simplest.number].operands == operands
    assert all(drawn.number is not None for drawn in found.draw(5, seed=3))


def test_pairs_of_two_conditions_by_hand() -> None:
    """Of two numbers from 0 to 32767 those with a sum up to 32767: a triangle of 32768 rows."""
    found = cp.find("add", format="16", where=["sign-pattern = ++", "not overflow"])
    assert (found.count, found.exact, found.interval) == (32768**2 - 32768 * 32767 // 2, True, None)
    assert found.count == 536_887_296
    table = cp.find("add", format="16", where=["sign-pattern = ++"]).table("overflow")
    assert table.counts == {("no",): 536_887_296, ("yes",): 32768 * 32767 // 2}


def test_why_no_sum_meets_a_request() -> None:
    """A sum that carries into the sign place and not out of it, of two positives, is past the range: proved."""
    found = cp.find(
        "add", format="16", where=["operand-zero", "sign-pattern = ++", "carry-into-sign", "exact-result"]
    )
    assert (found.count, found.exact) == (0, True)
    assert found.contradiction == ("operand-zero", "carry-into-sign")  # of nothing added nothing is carried
