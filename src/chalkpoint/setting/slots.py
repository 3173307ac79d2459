"""A question of the paper in all its variants: what they share, and whether they are equal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median_low

from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.papers import Candidate
from chalkpoint.setting.sources import PAIR_OPERATIONS

__all__ = ["Slot", "are_equal", "middle_of"]

IN_ADDING = ("carries", "longest chain of carries", "columns of three 1s", "which number is moved")


@dataclass(frozen=True, slots=True, eq=False)
class Slot:
    """One question of the paper in all its variants.

    chosen    one candidate a variant
    shared    what every variant has in common, as terms
    loosened  terms that could not be kept, for want of questions
    refused   reasons questions were turned down, with counts
    usual     effort of the middle question of the kind, where harder or easier ones were asked for
    """

    asked: BlueprintQuestion
    chosen: tuple[Candidate, ...]
    shared: tuple[str, ...]
    loosened: tuple[str, ...]
    refused: dict[str, int]
    usual: tuple[int, int, int] | None = None

    @property
    def writing(self) -> tuple[int, int]:
        """The least and the most characters to write."""
        amounts = [candidate.measure.writing for candidate in self.chosen]
        return min(amounts), max(amounts)

    @property
    def difficulty(self) -> tuple[int, int]:
        """The least and the most beliefs exposed."""
        amounts = [candidate.measure.difficulty for candidate in self.chosen]
        return min(amounts), max(amounts)

    @property
    def met(self) -> dict[str, tuple[int | str, ...]]:
        """What a pupil meets, by name: one number or word a variant."""
        measures = [candidate.measure for candidate in self.chosen]
        met = [measure.met for measure in measures]
        found: dict[str, tuple[int | str, ...]] = {
            "carries": tuple(one.carries for one in met),
            "longest chain of carries": tuple(one.chain for one in met),
            "columns of three 1s": tuple(one.threes for one in met),
            "which number is moved": tuple(one.moved for one in met),
            "places moved to normalise": tuple(one.repair for one in met),
            "\u22121.0 as an operand": tuple(_yes(one.minus_one) for one in met),
            "characters to write": tuple(one.writing for one in measures),
            "beliefs exposed": tuple(one.difficulty for one in measures),
            "answer alone earns full marks": tuple(_yes(one.alone) for one in met),
        }
        adds = self.asked.operation in PAIR_OPERATIONS
        return {name: values for name, values in found.items() if adds or name not in IN_ADDING}

    @property
    def equal(self) -> bool:
        """Whether every variant is within tolerance of the class's middle."""
        return are_equal(self.chosen)


def _yes(holds: bool) -> str:  # noqa: FBT001 - it is the value to be said
    return "yes" if holds else "no"


def are_equal(chosen: Sequence[Candidate]) -> bool:
    """Tell whether *chosen* have the same steps and meet the same, and each is within tolerance of their middle."""
    writing, difficulty = middle_of(chosen)
    first = chosen[0].measure
    return all(
        one.measure.same_steps(first)
        and one.measure.met == first.met
        and one.measure.near(writing, difficulty)
        for one in chosen
    )


def middle_of(pool: Iterable[Candidate]) -> tuple[int, int]:
    """Return the middle of what is written, and of the beliefs exposed."""
    measures = [one.measure for one in pool]
    return median_low(m.writing for m in measures), median_low(m.difficulty for m in measures)
