"""The rows of the steps before: each once, by the name it had last."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from chalkpoint.publishing.parts import Block, Carries, Rail, Scene
from chalkpoint.working.extremes import EXTREMES

__all__ = ["Done", "done_rows", "rails_of", "row_key", "unchanged"]

#: What a row is called once it is done, where "after" would say nothing.
DONE_LABELS = {
    "align": "matched",
    "operands": "normalised",
    "normalise": "normalised",
    "spare": "spare place",
}
LAST_ONLY = ("product", "quotient")  # steps of which only what they come to stays in sight


@dataclass(frozen=True, slots=True)
class Done:
    """A row that is done: the step and row where it was last written, and every place where it is drawn."""

    rail: Rail
    label: str
    places: tuple[tuple[int, int], ...]

    @property
    def name(self) -> str:
        """The name of it on the page, by where it was first written."""
        step, row = self.places[0]
        return f"done:{step}:{row}"


def rails_of(block: Block) -> dict[int, Rail]:
    """Return the rails of *block* by the index of their row in the step."""
    rows = [item for item in block.items if isinstance(item, Rail | Carries)]
    return {at: item for at, item in enumerate(rows) if isinstance(item, Rail)}


def row_key(rail: Rail) -> tuple[str, ...]:
    """Return what makes a row the same row: all its digits and its exponent."""
    return rail.bits, "".join(cell.digit for cell in rail.exponent), rail.exponent_text


def done_rows(scene: Scene, step: int) -> Iterator[Done]:
    """Yield the rows of the steps before *step*, each once, as it was called last."""
    found: dict[tuple[str, ...], Done] = {}
    for index, block in enumerate(scene.blocks):
        here: set[tuple[str, ...]] = set()
        rails = rails_of(block)
        for row, rail in rails.items():
            key = row_key(rail)
            if key not in found and (rail.soft or index >= step):
                continue
            if block.rule in LAST_ONLY and row != max(rails):
                continue
            if key in here:  # two operands alike are two rows
                key = (*key, str(row))
            here.add(key)
            label = _done_label(block.rule, rail, row)
            known = found.get(key)
            if index >= step:  # still to come: it only lends the row its better name
                if known and not rail.soft and block.rule == "add" and known.label == "add one":
                    found[key] = replace(known, label=label)
            elif known is None:
                if block.rule == "align" and rail.label == label:
                    label = f"{label}, matched"
                found[key] = Done(rail, label, ((index, row),))
            else:
                label = known.label if rail.soft or block.rule == "combine" else label
                found[key] = replace(known, label=label, places=(*known.places, (index, row)))
    yield from found.values()


def _done_label(rule: str, rail: Rail, row: int) -> str:
    """Return what a row is called once it is done."""
    if rule in EXTREMES:
        return rule
    if rule == "unpack" and row > 1:
        return f"{rail.label}, size"
    if rule == "align" and rail.sign:
        return f"{rail.label}, matched"
    return DONE_LABELS.get(rule, rail.label) if rail.label == "after" else rail.label


def unchanged(rail: Rail) -> Rail:
    """Return a row of an earlier step as it is now: nothing in it is new."""
    cells = tuple(replace(cell, changed=False, copied=False) for cell in rail.cells)
    exponent = tuple(replace(cell, changed=False) for cell in rail.exponent)
    return replace(rail, cells=cells, exponent=exponent, soft=False, operator="")
