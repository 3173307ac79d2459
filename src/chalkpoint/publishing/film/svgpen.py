"""The page's pen for a board in a browser: the same items as SVG, in the page's own colours."""

from __future__ import annotations

from chalkpoint.publishing.layout import hatch

__all__ = ["SvgPen"]

GAP = 14.0  # px between two strokes of a hatch


class SvgPen:
    """Collects shapes.

    came    how far digits came, by the middle of their place: the browser lets them slide
    gather  draw all boxes of one colour as one shape, over every hatch and under all else: a row of cells is soon
            some sixty boxes, and a board has thousands of rows
    """

    def __init__(
        self, came: dict[int, tuple[float, float, int]] | None = None, *, gather: bool = False
    ) -> None:
        self._hatches: list[str] = []
        self._boxes: dict[str, list[str]] = {}
        self._parts: list[str] = []
        self._came = came or {}
        self._gather = gather

    def markup(self) -> str:
        """Return everything drawn."""
        boxes = (f'<path class="f-{colour}" d="{"".join(ways)}"/>' for colour, ways in self._boxes.items())
        return "".join((*self._hatches, *boxes, *self._parts))

    def box(self, x: float, y: float, w: float, h: float, colour: str, a: float = 1) -> None:
        """Fill a box."""
        wide, high = _short(max(1, w)), _short(max(1, h))
        if self._gather:
            self._boxes.setdefault(colour, []).append(f"M{_short(x)} {_short(y)}h{wide}v{high}h-{wide}z")
            return
        place = f'x="{_short(x)}" y="{_short(y)}" width="{wide}" height="{high}"'
        self._parts.append(f'<rect class="f-{colour}" {place}/>')

    def hatch(self, x: float, y: float, w: float, h: float) -> None:
        """Fill a box with strokes."""
        ways = (
            f"M{_short(line.x1)} {_short(line.y1)}L{_short(line.x2)} {_short(line.y2)}"
            for line in hatch(x, y, w, h, GAP)
        )
        drawn = f'<path class="s-rail" stroke-width="2" d="{"".join(ways)}"/>'
        (self._hatches if self._gather else self._parts).append(drawn)

    def wedge(self, x: float, y: float, w: float, h: float, colour: str) -> None:
        """Draw a triangle that points up."""
        corners = ((x, y + h), (x + w / 2, y), (x + w, y + h))
        points = " ".join(f"{_short(across)},{_short(down)}" for across, down in corners)
        self._parts.append(f'<polygon class="f-{colour}" points="{points}"/>')

    def stroke(
        self, ends: tuple[float, float, float, float], thick: float, colour: str, a: float = 1
    ) -> None:
        """Draw a straight stroke."""
        x1, y1, x2, y2 = map(_short, ends)
        place = f'x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"'
        self._parts.append(f'<line class="s-{colour}" {place} stroke-width="{_short(thick)}"/>')

    def text(
        self,
        at: tuple[float, float],
        text: str,
        size: float,
        colour: str = "ink",
        *,
        bold: bool = False,
        anchor: str = "start",
        a: float = 1,
    ) -> None:
        """Write on a baseline."""
        if not text:
            return
        classes, style = f"f-{colour}{' bold' if bold else ''}", ""
        way = self._came.get(round(at[0])) if anchor == "middle" else None
        if way:
            classes += " came"
            style = f' style="--dx:{_short(way[0])}px;--dy:{_short(way[1])}px;--wait:{way[2]}ms"'
        escaped = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
        place = f'x="{_short(at[0])}" y="{_short(at[1])}" font-size="{_short(size)}" text-anchor="{anchor}"'
        self._parts.append(f'<text class="{classes}" {place}{style}>{escaped}</text>')


def _short(x: float) -> str:
    return f"{x:.1f}".removesuffix(".0")
