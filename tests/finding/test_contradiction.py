"""Requests that nothing meets: the answer says why, and what comes nearest."""

from itertools import combinations

from chalkpoint.finding.find import find


def test_the_smallest_contradiction_is_named() -> None:
    """Of five conditions the two that exclude each other are named, and no smaller set does."""
    where = ["carry-dropped", "not exact-result", "lost-ones >= 3", "align-shift = 2", "exponent-edge"]
    found = find("subtract", format="6+4", where=where)
    assert found.count == 0
    assert found.contradiction == ("lost-ones >= 3", "align-shift = 2")


def test_a_contradiction_cannot_be_made_smaller() -> None:
    """Three conditions that exclude each other only together are all named, each two of them having questions."""
    where = [
        "mantissa-overflow",
        "not carry-dropped",
        "sign-pattern = ++",
        "shifted-operand = none",
        "repair-loses-bit",
    ]
    found = find("subtract", format="6+4", where=["exact-result", "lost-ones >= 1", "equal-exponents"])
    assert found.contradiction is not None
    for fewer in combinations(found.contradiction, len(found.contradiction) - 1):
        assert find("subtract", format="6+4", where=fewer).count > 0
    assert find("add", format="6+4", where=where).count > 0


def test_a_single_condition_may_exclude_itself() -> None:
    """A condition nothing meets is named alone."""
    assert find("subtract", format="6+4", where=["operand-zero", "carry-dropped"]).contradiction == (
        "operand-zero",
    )


def test_the_nearest_requests_exist() -> None:
    """Every nearest request selects as many questions as it says, and differs in one condition."""
    where = ("align-shift = 2", "lost-ones >= 4", "carry-dropped")
    found = find("subtract", format="6+4", where=where)
    assert found.nearest
    for near in found.nearest:
        assert find("subtract", format="6+4", where=near.where).count == near.count > 0
        assert len(set(where) - set(near.where)) == 1
    changes = [near.change for near in found.nearest]
    assert "lost-ones >= 2 instead of lost-ones >= 4" in changes
    assert "align-shift = 4 instead of align-shift = 2" in changes
    assert "without lost-ones >= 4" in changes


def test_a_request_that_is_met_has_neither() -> None:
    """Where there are questions, nothing contradicts and nothing is nearer."""
    found = find("subtract", format="6+4", where=["carry-dropped"])
    assert found.contradiction is None
    assert found.nearest == []
