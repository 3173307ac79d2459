"""Estimates: what does not fit is drawn and filtered, said to be so, and holds the truth."""

import random

import pytest

import chalkpoint as cp
from chalkpoint.finding.case import case_of
from chalkpoint.finding.estimate import Estimate, wilson
from chalkpoint.finding.find import find
from chalkpoint.finding.selection import Selection
from chalkpoint.numbers.errors import EntryError


def test_an_interval_holds_the_share_in_about_95_of_100_samples() -> None:
    """Wilson's interval holds a known share about as often as it says."""
    rng = random.Random(5)
    held = 0
    for _ in range(400):
        hits = sum(rng.random() < 0.1 for _ in range(200))
        low, high = wilson(hits, 200)
        held += low <= 0.1 <= high
    assert 0.91 <= held / 400 <= 0.99


def test_an_estimate_holds_the_true_count() -> None:
    """What brute force counts in 8+4 lies within the interval that drawing gives."""
    texts = ["palindromic-bits", "lost-ones >= 1"]
    exact = find("subtract", format="8+4", where=texts)
    base = find("subtract", format="8+4", where=["lost-ones >= 1"])
    assert isinstance(base._source, Selection)  # noqa: SLF001
    drawn = Estimate(base._source, exact.terms[:1], lambda given: case_of("subtract", exact.course, *given))  # noqa: SLF001
    low, high = drawn.interval
    assert low <= exact.count <= high
    assert exact.exact


def test_a_request_that_does_not_fit_is_marked_as_an_estimate() -> None:
    """At 24+8 a trait without a diagram gives an estimate, draws that meet it, and no numbers."""
    found = cp.find("subtract", format="24+8", where=["palindromic-bits", "carry-dropped"])
    assert not found.exact
    assert found.interval is not None
    assert found.interval[0] <= found.count <= found.interval[1]
    assert found.contradiction is None
    keys = found.to_dict(found.draw(2, seed=3))
    assert (keys["exact"], keys["questions"][0]["number"]) == (False, None)
    for draw in found.draw(2, seed=3):
        first, second = (operand.split() for operand in draw.operands)
        assert any(bits == bits[::-1] for bits in (first[0], second[0], "".join(first), "".join(second)))
    with pytest.raises(EntryError, match="its questions are not numbered"):
        found[0]


def test_a_small_space_is_brute_forced_and_exact() -> None:
    """All pairs of patterns, un-normalised ones too, are looked at where they are few enough."""
    zeros = find("add", format="4+3", where=["operand-zero"], space="all")
    assert (zeros.of, zeros.exact) == (1 << 14, True)
    assert zeros.count == (1 << 14) - (15 * 8) ** 2
    assert find("add", format="4+3", where=["operand-not-normalised"], space="all").count == (
        ((15 * 8) + 8) ** 2 - (8 * 8 + 8) ** 2
    )
    assert zeros[0].work().check.verdict == "exact"


def test_a_large_space_of_all_patterns_is_drawn_from() -> None:
    """Where they are too many, all pairs are drawn from and the count is an estimate."""
    found = find("add", format="24+8", where=["operand-not-normalised"], space="all")
    assert not found.exact
    assert 0.70 < found.count / found.of < 0.80


def test_where_nothing_is_asked_the_count_is_exact() -> None:
    """Every product is a question that meets no condition: nothing is drawn to count them."""
    every = find("multiply", format="8+4")
    assert (every.count, every.exact, every.interval) == (1 << 22, True, None)
    with pytest.raises(EntryError, match="too many to be listed"):
        every[0]
