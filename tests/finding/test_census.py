"""The compiled census: a third witness, at a size that arrays take long to look at.

`benchmarks/find.py --census` holds the same conjunctions against it at 12+4, a billion questions.
"""

from asking import term
from chalkpoint.finding.atlas import atlas_for
from chalkpoint.finding.census import census
from chalkpoint.finding.selection import Selection
from chalkpoint.working.course import Course

CONJUNCTIONS = (
    ("representable-but-wrong",),
    ("align-shift = 2", "lost-ones = 1", "carry-dropped"),
    ("align-loses-bits", "exact-result"),
    ("mantissa-overflow", "repair-loses-bit", "shifted-operand = second"),
    ("norm-shift >= 3", "not result-zero"),
    ("absorbed", "not exact-result"),
    ("exponent-underflow", "sign-pattern = -+"),
    ("exponent-overflow", "not variant-stable"),
    ("carry-chain >= 6", "triple-one-column"),
    ("decimal-places <= 3", "lost-ones >= 1"),
    ("error-ulps >= 1", "cancellation-amplifies"),
    ("exposes:invert-only", "not exposes:align-off-by-one", "variant-stable"),
)


def counted(size: str) -> tuple[list[int], list[int]]:
    """Return the census's counts and the atlas's."""
    course = Course(format=size)
    requests = [[term(text, "subtract") for text in texts] for texts in CONJUNCTIONS]
    atlas = atlas_for("subtract", course)
    return census("subtract", course, requests), [Selection(atlas, terms).count for terms in requests]


def test_a_census_counts_what_the_atlas_counts() -> None:
    """Twelve conjunctions are counted alike over all 2**26 questions of 10+4."""
    looked_at, from_the_atlas = counted("10+4")
    assert looked_at == from_the_atlas
    assert all(looked_at[:2])
