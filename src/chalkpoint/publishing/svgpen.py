"""A pen for SVG: strokes, boxes and words, in the look's colours; text stays text."""

from __future__ import annotations

from typing import NamedTuple, TypedDict, Unpack
from xml.etree import ElementTree as ET

from chalkpoint.publishing.layout import Line
from chalkpoint.publishing.sentences import bits_in, powers_in

__all__ = ["AVERAGE", "LIGHT", "Box", "Pen", "Setting"]

#: The light look; the page's style sheet has the same values.
LIGHT = {
    "paper": "#fbf9f4",
    "ink": "#1e1c19",
    "soft": "#5a544b",
    "rail": "#7d7568",
    "hair": "#d8d1c4",
    "change": "#a83a05",
}
FACE = 'Verdana, "DejaVu Sans", "Bitstream Vera Sans", sans-serif'
MONO = '"DejaVu Sans Mono", Menlo, Consolas, "Liberation Mono", monospace'
AVERAGE = 0.58  # width of a character in that face, of its size


class Box(NamedTuple):
    """A box, by its upper left corner and its size."""

    x: float
    y: float
    width: float
    height: float


class Setting(TypedDict, total=False):
    """How words are set.

    anchor     "start", "middle" or "end" of the words stands at x
    halo       a rim of paper, which keeps them readable on a hatch
    then       what goes on after them, in the soft colour and the size *then_size*
    """

    colour: str
    anchor: str
    bold: bool
    halo: bool
    then: str
    then_size: float


class Pen:
    """Draws on an SVG element. Colours are names of the look."""

    def __init__(self, title: str, description: str) -> None:
        self.root = ET.Element("svg", xmlns="http://www.w3.org/2000/svg", role="img")
        ET.SubElement(self.root, "title").text = title
        ET.SubElement(self.root, "desc").text = description
        self._paper = ET.SubElement(self.root, "rect", fill=LIGHT["paper"])
        self._sheet = ET.SubElement(self.root, "g", {"font-family": FACE})

    def line(self, line: Line, colour: str, width: float, *, dashed: bool = False) -> None:
        """Draw a stroke."""
        marks = {"x1": line.x1, "y1": line.y1, "x2": line.x2, "y2": line.y2}
        dash = {"stroke-dasharray": "3 3"} if dashed else {}
        self._put("line", marks, stroke=LIGHT[colour], **{"stroke-width": f"{width:g}"}, **dash)

    def box(self, box: Box, colour: str, *, fill: bool = False, dashed: bool = False) -> None:
        """Draw a box, its edge or filled."""
        marks = box._asdict()
        if fill:
            self._put("rect", marks, fill=LIGHT[colour])
            return
        dash = {"stroke-dasharray": "3 3"} if dashed else {}
        self._put("rect", marks, fill="none", stroke=LIGHT[colour], **dash)

    def wedge(self, x: float, y: float, width: float, height: float, colour: str) -> None:
        """Draw the binary point: a solid wedge standing on (x, y)."""
        corners = ((x - width / 2, y), (x + width / 2, y), (x, y - height))
        points = " ".join(f"{_short(across)},{_short(down)}" for across, down in corners)
        self._put("polygon", {}, points=points, fill=LIGHT[colour])

    def words(self, x: float, y: float, text: str, size: float, **setting: Unpack[Setting]) -> None:
        """Write *text* with its baseline at *y*: bits in a monospaced face, exponents raised."""
        then, anchor = setting.get("then", ""), setting.get("anchor", "start")
        if not text and not then:
            return
        more = {"font-weight": "700"} if setting.get("bold") else {}
        if anchor != "start":
            more["text-anchor"] = anchor
        if setting.get("halo"):
            more |= {"stroke": LIGHT["paper"], "stroke-width": _short(size / 5), "paint-order": "stroke"}
        colour = LIGHT[setting.get("colour", "ink")]
        element = self._put("text", {"x": x, "y": y, "font-size": size}, fill=colour, **more)
        raised = _set(element, text, size)
        if then:
            small = setting.get("then_size", size)
            after = ET.SubElement(element, "tspan", {"font-size": _short(small), "fill": LIGHT["soft"]})
            after.attrib |= {"dy": _short(0.35 * size)} if raised else {}
            _set(after, then, small)

    def finish(self, width: float, height: float) -> str:
        """Return the drawing on a sheet of this size, in px."""
        size = {"width": _short(width), "height": _short(height)}
        self.root.attrib |= size | {"viewBox": f"0 0 {size['width']} {size['height']}"}
        self._paper.attrib |= size
        for parent, margin in (
            (self._sheet, "\n    "),
            (self.root, "\n  "),
        ):  # none within words: it would show
            parent.text = margin
            for child in parent:
                child.tail = margin
            parent[-1].tail = margin[:-2]
        return ET.tostring(self.root, encoding="unicode") + "\n"

    def _put(self, tag: str, marks: dict[str, float], **attributes: str) -> ET.Element:
        measured = {name: _short(value) for name, value in marks.items()}
        return ET.SubElement(self._sheet, tag, measured | attributes)


def _set(
    element: ET.Element,
    text: str,
    size: float,
) -> bool:
    """Write *text* into *element*, its bits and exponents in spans of their own; tell whether it ends raised."""
    raised = False
    for piece, is_bits in bits_in(text):
        mono = is_bits and len(piece) > 1
        for part, is_power in [(piece, False)] if mono else powers_in(piece):
            up = 0.35 * size * (is_power - raised)
            if up or mono:
                marks = ({"dy": _short(-up)} if up else {}) | ({"font-family": MONO} if mono else {})
                span = ET.SubElement(
                    element, "tspan", marks | ({"font-size": _short(0.7 * size)} if is_power else {})
                )
                span.text = part
            elif len(element):
                element[-1].tail = (element[-1].tail or "") + part
            else:
                element.text = (element.text or "") + part
            raised = is_power
    return raised


def _short(x: float) -> str:
    """Return a measure with two places at most.

    >>> _short(3.0), _short(2.345)
    ('3', '2.35')
    """
    return f"{x:.2f}".rstrip("0").rstrip(".")
