"""docs/coverage.md says what is so: every cell is tried again."""

from pathlib import Path

import coverage_matrix as coverage
from chalkpoint.working.question import OPERATIONS

DOCUMENT = Path(__file__).parents[1] / "docs" / "coverage.md"


def test_the_page_is_what_trying_gives() -> None:
    """Where this fails after something was added, make the page again and read what changed."""
    made = coverage.page().splitlines()
    changed = [line for line in made if line not in DOCUMENT.read_text(encoding="utf-8").splitlines()]
    assert DOCUMENT.read_text(encoding="utf-8").splitlines() == made, (
        f"run python tests/coverage_matrix.py > docs/coverage.md, and read what is new: {changed}"
    )


def test_a_reason_never_sends_elsewhere_who_asks_about_whole_numbers() -> None:
    """A refusal in whole numbers or fixed point does not advise to ask in mantissa and exponent."""
    for room in ("Worked", "Set", "Marked on paper"):
        for operation in OPERATIONS:
            for kind in ("8", "8 unsigned", "other codes", "Q5.3"):
                assert "8+4" not in coverage.reason(room, operation, kind)
