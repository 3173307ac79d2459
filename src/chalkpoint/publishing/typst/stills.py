"""Frames as pages of 1920 by 1080, to be turned into pictures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from chalkpoint.publishing.frames import Frame
from chalkpoint.publishing.stage import BOARD_MEASURES, Stage
from chalkpoint.publishing.typst.compiling import compile_pictures, compile_plain
from chalkpoint.publishing.typst.literals import literal
from chalkpoint.publishing.typst.rows import pieces, ruler_data

__all__ = ["frame_data", "pngs", "stills"]


def stills(frames: Sequence[Frame], *, theme: str = "light") -> bytes:
    """Return a PDF with a page for each of *frames*, in the look "light" or "dark"."""
    return compile_plain(_source(frames, theme))


def pngs(frames: Sequence[Frame], *, theme: str = "light") -> list[bytes]:
    """Return each of *frames* as a PNG picture of 1920 by 1080."""
    return compile_pictures(_source(frames, theme))


def _source(frames: Sequence[Frame], theme: str) -> str:
    stage = Stage.of(frames)
    data = [frame_data(frame, stage) for frame in frames]
    options = f"theme: {literal(theme)}, u: {literal(stage.u)}, weight: {literal(stage.weight)}"
    return f"#frame-pages({literal(data)}, {literal(BOARD_MEASURES)}, {options})\n"


def frame_data(frame: Frame, stage: Stage) -> dict[str, Any]:
    """Return everything `frame.typ` needs to set *frame*."""
    rows = stage.rows(frame)
    rower = stage.rower(frame) if frame.scene else None
    check = None
    if frame.check and rower:
        check = {
            "left": [stage.left_in(frame, left) for left in frame.check.left],
            "lines": [(label, pieces(text)) for label, text in frame.check.lines],
            "ruler": ruler_data(frame.check.ruler) if frame.check.ruler else None,
            "verdict": pieces(frame.check.verdict),
            "reasons": [pieces(reason) for reason in frame.check.reasons],
        }
    return {
        "number": frame.number,
        "title": pieces(frame.title),
        "mark": frame.mark,
        "detail": pieces(frame.detail),
        "rows": rows,
        "headings": rower.headings(value=False) if rower else [],
        "wall": rower.wall(frame.tray) if rower and stage.has_walls(frame) else None,
        "drawn": stage.height(rows),
        "top": stage.top(rows) if rows else 260.0,
        "decimals_at": rower.mantissa_at if rower else 0,
        "decimals": pieces(frame.decimals),
        "lines": [pieces(line) for line in frame.lines],
        "check": check,
        "choices": [(choice.letter, choice.answer, choice.right, choice.says) for choice in frame.choices],
        "revealed": frame.revealed,
        "strip": list(frame.strip),
        "at": frame.at,
    }
