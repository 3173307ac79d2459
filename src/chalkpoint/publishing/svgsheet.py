"""The board's sheet: rows as SVG in the page's own colours, a group a row, digits that know where they came from."""

from __future__ import annotations

from xml.sax.saxutils import quoteattr

from chalkpoint.publishing.layout import STROKE_GAP, hatch

__all__ = ["SvgSheet"]

ANCHORS = {"start": "start", "middle": "middle", "end": "end"}
CAP = 0.36  # from the middle of a digit down to its baseline, of its size


class SvgSheet:
    """Collects shapes; measures are px of a board of 1920 by 1080.

    kind  a class on every group, such as "ink" for rows that may be hidden
    """

    def __init__(self, u: float, kind: str = "ink") -> None:
        self.u = u
        self.kind = kind
        self.row: int | None = None  # which row of the step is being drawn
        self._parts: list[str] = []

    def open(self, name: str, words: str) -> None:
        """Start a group; its words stand beside the picture, not in it."""
        row = "" if self.row is None else f' data-row="{self.row}"'
        self._parts.append(f'<g class="{self.kind} {name}"{row}>')

    def close(self) -> None:
        """End the group."""
        if self._parts and self._parts[-1].startswith("<g "):
            self._parts.pop()
        else:
            self._parts.append("</g>")

    def markup(self) -> str:
        """Return everything drawn."""
        return "".join(self._parts)

    def line(
        self, x1: float, y1: float, x2: float, y2: float, colour: str, width: float, dash: str = ""
    ) -> None:
        """Draw a stroke."""
        dashed = f' stroke-dasharray="{_short(1.4 * width)}"' if dash else ""
        ends = f'x1="{_short(x1)}" y1="{_short(y1)}" x2="{_short(x2)}" y2="{_short(y2)}"'
        self._parts.append(f'<line class="s-{colour}" {ends} stroke-width="{_short(width)}"{dashed}/>')

    def box(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        *,
        edge: str = "",
        thick: float = 2,
        dash: str = "",
        fill: str = "",
        hatched: bool = False,
        shape: str = "rect",
    ) -> None:
        """Draw a box, a rounded one or the wedge."""
        classes = " ".join(filter(None, (f"s-{edge}" if edge else "", f"f-{fill}" if fill else "none")))
        if shape == "triangle":
            corners = ((x, y + height), (x + width, y + height), (x + width / 2, y))
            points = " ".join(f"{_short(across)},{_short(down)}" for across, down in corners)
            self._parts.append(f'<polygon class="{classes}" points="{points}"/>')
            return
        if hatched:
            for stroke in hatch(x, y, width, height, STROKE_GAP * self.u):
                self.line(stroke.x1, stroke.y1, stroke.x2, stroke.y2, "rail", 2)
        place = f'x="{_short(x)}" y="{_short(y)}" width="{_short(width)}" height="{_short(height)}"'
        more = f' stroke-width="{_short(thick)}"' if edge else ""
        more += ' stroke-dasharray="8 6"' if dash else ""
        more += f' rx="{_short(0.2 * self.u)}"' if shape == "roundRect" else ""
        self._parts.append(f'<rect class="{classes}" {place}{more}/>')

    def words(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        runs: list[tuple[str, str]],
        size: float,
        *,
        colour: str = "ink",
        anchor: str = "start",
        bold: bool = False,
        came: tuple[float, float] | None = None,
    ) -> None:
        """Write one line in the middle of a box."""
        at = {"start": x, "middle": x + width / 2, "end": x + width}[anchor]
        base = y + height / 2 + CAP * size
        marks = (
            f'x="{_short(at)}" y="{_short(base)}" font-size="{_short(size)}" text-anchor="{ANCHORS[anchor]}"'
        )
        classes = f"f-{colour}{' bold' if bold else ''}"
        if came:
            # Digits set out from the right, 60 ms a column, so that none runs over another.
            delay = max(0, round((1920 - at) / self.u)) * 60
            classes += " came"
            marks += f' style="--dx:{_short(came[0])}px;--dy:{_short(came[1])}px;--wait:{delay}ms"'
        self._parts.append(f'<text class="{classes}" {marks}>{"".join(map(_run, runs))}</text>')


def _run(run: tuple[str, str]) -> str:
    text, kind = run
    escaped = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    if kind == "power":
        return f'<tspan dy="-.35em" font-size="70%">{escaped}</tspan>'
    return f"<tspan class={quoteattr(f'k-{kind}')}>{escaped}</tspan>" if kind else escaped


def _short(x: float) -> str:
    return f"{x:.1f}".removesuffix(".0")
