"""Beliefs about what becomes of the digits that do not fit."""

from __future__ import annotations

from chalkpoint.working.beliefs.aligning import align_rounding
from chalkpoint.working.beliefs.belief import ADDING, Belief, Place

__all__ = ["ROUNDING"]

ROUNDING = (
    Belief(
        id="rounds-when-told-to-cut",
        says="I round to the nearest, as one does in decimal.",
        step="align",
        nudge="What does the question say about lost bits?",
        rule="Truncate: just drop them.",
        show="\u20261001 | 1001\u2026 becomes \u20261001.",
        evidence="T",
        weight=2,
        cause="decimal rounding habit",
        policy=True,
        places=(
            Place(
                ADDING,
                {"align": align_rounding},
                {
                    "align": "Move the digits with the smaller exponent right and round what falls off to the nearest."
                },
            ),
        ),
        kin=("cuts-when-told-to-round",),
    ),
)
