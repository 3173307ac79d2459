"""The tray: its walls run down from the row that lost a 1 to the check, and each step after shows what it holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from chalkpoint.publishing.parts import Block, Cell, Held, Item, Left, Rail, Tray
from chalkpoint.working.speech import say_bits
from chalkpoint.working.wording.words_pupils import TRAY

__all__ = ["left_in_tray", "with_walls"]


def with_walls(blocks: Iterable[Block]) -> tuple[Block, ...]:
    """Return *blocks* with each item told which tray stands beside it, and above their rows what it holds already.

    A tray begins at the first row that loses something there. A later loss further left (a guard
    bit cut at the end) begins a new one: the digits of a place never leave their column.
    """
    blocks = tuple(blocks)
    trays = _trays(blocks)
    standing: Tray | None = None
    held: list[Held] = []
    walled = []
    for block in blocks:
        shows = bool(block.items) and block.rule != "order"  # another order of a sum did not lose them
        items: list[Item] = [replace(one, tray=standing) for one in held] if shows else []
        losing = []
        for item in block.items:
            if isinstance(item, Rail) and item.worth:
                standing = trays[item.lost[0].column]
                losing.append(_held(block.number, item))
            items.append(replace(item, tray=standing))
        held += losing
        walled.append(replace(block, items=tuple(items), tray=standing))
    return tuple(walled)


def _held(number: int, rail: Rail) -> Held:
    """Return what *rail*, of step *number*, lost, as later steps show it."""
    cells = tuple(Cell(cell.column, cell.digit, kind="held") for cell in rail.lost)
    bits = say_bits("".join(cell.digit for cell in cells))
    return Held(
        label=TRAY["label"].format(step=number),
        cells=cells,
        words=TRAY["since"].format(step=number, bits=bits),
    )


def _trays(blocks: Iterable[Block]) -> dict[int, Tray]:
    """Return the trays by their left column, each as wide as the most that falls into it."""
    widths: dict[int, int] = {}
    for _, rail in _losing(blocks):
        left = rail.lost[0].column
        widths[left] = max(widths.get(left, 0), len(rail.lost))
    return {left: Tray(left, width) for left, width in widths.items()}


def _losing(blocks: Iterable[Block]) -> Iterator[tuple[Block, Rail]]:
    for block in blocks:
        for item in block.items:
            if isinstance(item, Rail) and item.worth:
                yield block, item


def left_in_tray(blocks: Iterable[Block]) -> tuple[Left, ...]:
    """Return what the tray still holds at the check, a line for each loss."""
    losing = list(_losing(blocks))
    return tuple(_left(block, rail, only=len(losing) == 1) for block, rail in losing)


def _left(block: Block, rail: Rail, *, only: bool) -> Left:
    bits = say_bits("".join(cell.digit for cell in rail.lost))
    worth = TRAY["gained" if rail.rounded_up else "worth"].format(worth=rail.worth)
    label = TRAY["left" if only else "left-step"].format(step=block.number)
    words = TRAY["holds" if only else "holds-from"].format(step=block.number, bits=bits, worth=worth)
    return Left(label, rail.lost, worth, words)
