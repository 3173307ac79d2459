"""Native slide shapes as XML: boxes, lines, words, the wedge, the hatch; one group a row, with its words.

Whole slides are written as one piece of XML, since adding shapes one by one is fifty times slower.
Measures are px of a board of 1920 by 1080.
"""

from __future__ import annotations

from xml.sax.saxutils import quoteattr

__all__ = ["COLOURS", "FACE", "NAMESPACES", "Sheet", "escape", "pixels"]

EMU = 6350  # a px
FACE, MONO = "Verdana", "Consolas"
#: The light look.
COLOURS = {
    "paper": "FBF9F4",
    "ink": "1E1C19",
    "soft": "5A544B",
    "rail": "7D7568",
    "hair": "D8D1C4",
    "change": "A83A05",
}
ANCHORS = {"start": "l", "middle": "ctr", "end": "r"}
NAMESPACES = (
    'xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" '
    'xmlns:p="http://schemas.openxmlformats.org/presentationml/2006/main"'
)


def pixels(x: float) -> int:
    """Return a measure in the slide's own unit.

    >>> pixels(1280)  # a slide's width
    8128000
    """
    return round(x * EMU)


def escape(text: str) -> str:
    """Return *text* as XML writes it.

    >>> escape("lost < 1 & kept")
    'lost &lt; 1 &amp; kept'
    """
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


class Sheet:
    """Collects the shapes of one slide; what is drawn between `open` and `close` is one group with its words."""

    def __init__(self) -> None:
        self._parts: list[str] = []
        self._id = 100
        self._group: list[str] | None = None
        self._words = ("", "")

    def open(self, name: str, words: str) -> None:
        """Start a group called *name*; *words* stand for it."""
        self._group, self._words = [], (name, words)

    def close(self) -> None:
        """End the group."""
        drawn, self._group = self._group or [], None
        if not drawn:
            return
        name, words = self._words
        frame = f'<a:off x="0" y="0"/><a:ext cx="{pixels(1920)}" cy="{pixels(1080)}"/>'
        children = f'<a:chOff x="0" y="0"/><a:chExt cx="{pixels(1920)}" cy="{pixels(1080)}"/>'
        self._parts.append(
            f"<p:grpSp><p:nvGrpSpPr>{self._named(name, words)}<p:cNvGrpSpPr/><p:nvPr/></p:nvGrpSpPr>"
            f"<p:grpSpPr><a:xfrm>{frame}{children}</a:xfrm></p:grpSpPr>{''.join(drawn)}</p:grpSp>"
        )

    def xml(self) -> str:
        """Return everything drawn."""
        return "".join(self._parts)

    # === Shapes ===

    def title(self, x: float, y: float, width: float, height: float, text: str, size: float) -> None:
        """Write the slide's title, by which a reader finds it."""
        self._put(
            f'<p:sp><p:nvSpPr>{self._named("Title")}<p:cNvSpPr><a:spLocks noGrp="1"/></p:cNvSpPr>'
            f'<p:nvPr><p:ph type="title"/></p:nvPr></p:nvSpPr><p:spPr>{_place(x, y, width, height)}</p:spPr>'
            '<p:txBody><a:bodyPr lIns="0" anchor="ctr"><a:normAutofit/></a:bodyPr><a:lstStyle/>'
            f'<a:p><a:pPr algn="l"/>{_run(text, "bold", size, "ink", bold=True)}</a:p></p:txBody></p:sp>'
        )

    def line(
        self, x1: float, y1: float, x2: float, y2: float, colour: str, width: float, dash: str = ""
    ) -> None:
        """Draw a stroke."""
        flips = (' flipH="1"' if x2 < x1 else "") + (' flipV="1"' if y2 < y1 else "")
        self._put(
            f"<p:cxnSp><p:nvCxnSpPr>{self._named('line')}<p:cNvCxnSpPr/><p:nvPr/></p:nvCxnSpPr><p:spPr>"
            f"{_place(min(x1, x2), min(y1, y2), abs(x2 - x1), abs(y2 - y1), flips)}"
            f'<a:prstGeom prst="line"><a:avLst/></a:prstGeom>{_stroke(colour, width, dash)}</p:spPr></p:cxnSp>'
        )

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
        """Draw a box or another simple *shape*, its edge, filled or hatched."""
        inside = f"<a:solidFill>{_colour(fill)}</a:solidFill>" if fill else "<a:noFill/>"
        if hatched:
            inside = (
                f'<a:pattFill prst="wdUpDiag"><a:fgClr>{_colour("rail")}</a:fgClr>'
                f"<a:bgClr>{_colour('paper')}</a:bgClr></a:pattFill>"
            )
        line = _stroke(edge, thick, dash) if edge else "<a:ln><a:noFill/></a:ln>"
        self._put(
            f"<p:sp><p:nvSpPr>{self._named(shape)}<p:cNvSpPr/><p:nvPr/></p:nvSpPr><p:spPr>"
            f'{_place(x, y, width, height)}<a:prstGeom prst="{shape}"><a:avLst/></a:prstGeom>{inside}{line}'
            "</p:spPr></p:sp>"
        )

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
        top: bool = False,
        name: str = "words",
        came: tuple[float, float] | None = None,
    ) -> None:
        """Write *runs* of (text, kind) in a box; kinds are "", "bits", "power", "soft", "bold" and "here".

        *size* is px; a kind "break" starts a new paragraph.
        """
        paragraphs: list[list[str]] = [[]]
        for text, kind in runs:
            if kind == "break":
                paragraphs.append([])
            else:
                paragraphs[-1].append(_run(text, kind, size, colour, bold=bold))
        align = ANCHORS[anchor]
        body = "".join(
            f'<a:p><a:pPr algn="{align}"><a:spcAft><a:spcPts val="300"/></a:spcAft></a:pPr>{"".join(runs_)}</a:p>'
            for runs_ in paragraphs
        )
        self._put(
            f'<p:sp><p:nvSpPr>{self._named(name)}<p:cNvSpPr txBox="1"/><p:nvPr/></p:nvSpPr><p:spPr>'
            f'{_place(x, y, width, height)}<a:prstGeom prst="rect"><a:avLst/></a:prstGeom><a:noFill/></p:spPr>'
            f'<p:txBody><a:bodyPr wrap="square" lIns="0" tIns="0" rIns="0" bIns="0" anchor="{"t" if top else "ctr"}">'
            f"<a:noAutofit/></a:bodyPr><a:lstStyle/>{body}</p:txBody></p:sp>"
        )

    def _put(self, shape: str) -> None:
        (self._parts if self._group is None else self._group).append(shape)

    def _named(self, name: str, words: str = "") -> str:
        self._id += 1
        described = f" descr={quoteattr(words)}" if words else ""
        return f'<p:cNvPr id="{self._id}" name={quoteattr(f"{name} {self._id}")}{described}/>'


def _place(x: float, y: float, width: float, height: float, flips: str = "") -> str:
    return (
        f'<a:xfrm{flips}><a:off x="{pixels(x)}" y="{pixels(y)}"/>'
        f'<a:ext cx="{pixels(width)}" cy="{pixels(height)}"/></a:xfrm>'
    )


def _colour(name: str) -> str:
    return f'<a:srgbClr val="{COLOURS[name]}"/>'


def _stroke(colour: str, width: float, dash: str) -> str:
    dashed = f'<a:prstDash val="{dash}"/>' if dash else ""
    return f'<a:ln w="{pixels(width)}"><a:solidFill>{_colour(colour)}</a:solidFill>{dashed}</a:ln>'


def _run(text: str, kind: str, size: float, colour: str, *, bold: bool) -> str:
    marks = ' b="1"' if bold or kind in {"bold", "here"} else ""
    marks += ' u="heavy"' if kind == "here" else ""
    marks += ' baseline="30000"' if kind == "power" else ""
    face = MONO if kind == "bits" else FACE
    return (
        f'<a:r><a:rPr lang="en-GB" sz="{round(size * 50)}"{marks} dirty="0"><a:solidFill>'
        f'{_colour("soft" if kind == "soft" else colour)}</a:solidFill><a:latin typeface="{face}"/>'
        f'<a:cs typeface="{face}"/></a:rPr><a:t>{escape(text)}</a:t></a:r>'
    )
