"""How a row's cells look at a moment: kept or changed, partly written, marked."""

from __future__ import annotations

from dataclasses import replace

from chalkpoint.publishing.film.row import Row
from chalkpoint.teaching.storyboard import Cells

__all__ = ["EXPONENT", "SIGN", "marked", "partly", "plain_style", "style_of"]

EXPONENT, SIGN = 1000, -1000  # columns of those fields in a row's cells


def style_of(cell: dict[str, object]) -> str:
    """Return how a placed cell looks once its step is done."""
    kind = str(cell["kind"])
    if kind in {"lost", "dropped", "extra"}:
        return kind
    return "copied" if cell["copied"] else "changed" if cell["changed"] else "kept"


def plain_style(style: str) -> str:
    """Return the style of a digit that is no longer new."""
    return "kept" if style in {"changed", "copied", "marked"} else style


def partly(row: Row, cells: Cells | None) -> Row:
    """Return *row* with only *cells* written, or none: nothing beside it, nothing in its tray."""
    written = [cells is not None and cells.first <= cell.column <= cells.last for cell in row.cells]
    shown = tuple(
        cell if here else replace(cell, digit="", style="kept")
        for cell, here in zip(row.cells, written, strict=True)
        if cell.style not in {"lost", "dropped"} and (here or cell.style != "extra")
    )
    text = row.text if cells is not None and cells.last >= EXPONENT else None
    return replace(row, cells=shown, value="", aside="", text=text, words="")


def marked(row: Row, marks: list[Cells]) -> Row:
    """Return *row* with the cells of *marks* to be looked at."""
    if not marks:
        return row
    cells = tuple(
        replace(cell, style="marked")
        if cell.style not in {"lost", "dropped"} and any(m.first <= cell.column <= m.last for m in marks)
        else cell
        for cell in row.cells
    )
    return replace(row, cells=cells)
