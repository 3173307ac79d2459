"""How workings are drawn in a notebook: whoever knows a medium says so here, since this room knows none."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # loaded with the package's face, long before anything is drawn
    from chalkpoint.working.worked import Worked

__all__ = ["draw_with", "drawn"]

_DRAWING: list[Callable[..., str]] = []


def draw_with(draw: Callable[..., str]) -> None:
    """Have workings drawn by *draw*, which returns HTML."""
    _DRAWING[:] = [draw]


def drawn(working: Worked) -> str | None:
    """Return *working* drawn; None where nobody said how."""
    return _DRAWING[0](working) if _DRAWING else None
