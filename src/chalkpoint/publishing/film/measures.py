"""How large a cell is and where fields are: one answer for a whole lesson, so that no column ever moves."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from chalkpoint.publishing import layout
from chalkpoint.publishing.film.lettering import WIDTH, text_width
from chalkpoint.publishing.film.shortening import shortened
from chalkpoint.publishing.parts import Rail, Scene
from chalkpoint.publishing.typst.rows import BEFORE_VALUE, RowBuilder

__all__ = ["Heights", "Measures", "heights"]

LARGEST = 84.0  # px, a cell
LEAST_LABELS, MOST_LABELS = 150.0, 330.0
MOST_VALUES = 380.0
RIGHT = 30.0
BESIDE = 46.0  # px: with smaller cells the values are put under the labels, not in a column of their own
HOLLOW_LABEL = 46.0  # between the longest label and the cells, with room for a plus sign


@dataclass(frozen=True, slots=True)
class Measures:
    """Where things are across the page, in px.

    u             a cell's width
    labels        the room left of the cells
    values_below  whether values are put under labels
    """

    u: float
    labels: float
    values_below: bool

    @classmethod
    def of(cls, scenes: Iterable[Scene]) -> Measures:
        """Return the largest measures at which all *scenes* fill the page and fit."""
        drawn = list(scenes)
        rails = [
            item for one in drawn for block in one.blocks for item in block.items if isinstance(item, Rail)
        ]
        wide = max((layout.grid(one).width for one in drawn), default=14.0)
        named = max((text_width(rail.label, 32) for rail in rails), default=0.0)
        named = max(named, text_width("place value", 30)) + HOLLOW_LABEL + 20
        valued = max((text_width(shortened(rail.value), 36) for rail in rails), default=0.0)
        aside = max((text_width(shortened(rail.aside), 28) for rail in rails), default=0.0)
        labels = min(MOST_LABELS, max(LEAST_LABELS, named))
        values = min(MOST_VALUES, max(valued, aside) + RIGHT)
        beside = (WIDTH - RIGHT - labels - values) / (wide + BEFORE_VALUE)
        if beside >= BESIDE:
            return cls(min(LARGEST, beside), labels, values_below=False)
        labels = min(
            MOST_LABELS,
            max(labels, max((text_width(shortened(rail.value), 30) for rail in rails), default=0.0) + 30),
        )
        return cls(min(LARGEST, (WIDTH - RIGHT - labels) / (wide + 0.2)), labels, values_below=True)

    def row_builder(self, scene: Scene) -> RowBuilder:
        """Return what places the rows of *scene*."""
        return RowBuilder(scene, labels=self.labels / self.u)

    @property
    def label_x(self) -> float:
        """Where labels end."""
        return self.labels - HOLLOW_LABEL + 10


@dataclass(frozen=True, slots=True)
class Heights:
    """How high rows are, in px: *thin* when done, *tall* while worked on; *dropped* done rows have no room left.

    crowded  whether there is not room for all even so
    """

    thin: float
    tall: float
    dropped: int = 0
    crowded: bool = False

    @property
    def done(self) -> float:
        """From one done row to the next."""
        return self.thin + 9


SIZES = ((48, 108), (48, 96), (44, 84), (40, 76), (36, 70), (32, 62))
SLOTS = {"rail": 1.2, "threads": 0.56, "carries": 0.46, "names": 0.4, "weights": 0.0}


def heights(done: int, kinds: Iterable[str], room: float, u: float, weights: float) -> Heights:
    """Return the largest heights at which *done* rows and a block of *kinds* fit into *room* px."""
    slots = list(kinds)
    below = weights * slots.count("weights")
    for dropped in range(done + 1):
        for thin, tall in SIZES:
            found = Heights(min(thin, 1.15 * u + 8), min(tall, 1.7 * u + 14), dropped)
            block = sum(SLOTS[kind] for kind in slots) * found.tall
            if (done - dropped) * found.done + block + below + 40 <= room:
                return found
    fits = (room - below - 40) / max(sum(SLOTS[kind] for kind in slots), 1.0)
    return Heights(28, min(52.0, fits), done, crowded=True)
