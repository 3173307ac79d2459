"""Workings to draw, and readers that take the bits back out of what was drawn."""

import re
from dataclasses import dataclass
from xml.etree import ElementTree as ET

import html5lib
from hypothesis import strategies as st

import chalkpoint as cp
from chalkpoint.publishing.layout import CELL_HEIGHT, DIGIT
from chalkpoint.publishing.svgrows import U
from chalkpoint.working.methods import METHODS
from chalkpoint.working.written import Row

__all__ = ["HERON", "Bits", "html_rows", "svg_rows", "truth", "workings"]

HERON = cp.Course(name="12 Heron")
SVG = "{http://www.w3.org/2000/svg}"
OPERATIONS = ("add", "subtract", "normalise", "negate", "decode", "encode", "error", "range")


@dataclass(frozen=True)
class Bits:
    """What a row shows: extra sign place, digits kept, digits lost, exponent (bits, or an integer)."""

    lead: str
    kept: str
    lost: str
    exponent: str


def truth(working: cp.Working) -> list[Bits]:
    """Return what every row of *working* has to show."""
    return [_bits(row) for step in working.steps for row in step.rows if not row.carries]


def _bits(row: Row) -> Bits:
    exponent = row.exponent_bits or ("" if row.exponent is None else str(row.exponent).replace("-", "\u2212"))
    return Bits(row.lead, row.bits, row.lost, exponent)


@st.composite
def workings(draw: st.DrawFn, *, sizes: tuple[int, int] = (64, 16)) -> cp.Working:
    """Draw a working of any operation, by any method, under any format up to *sizes*."""
    operation = draw(st.sampled_from(OPERATIONS))
    m, e = draw(st.integers(2, sizes[0])), draw(st.integers(2, sizes[1]))
    course = cp.Course(
        format=f"{m}+{e}",
        method=draw(st.sampled_from(list(METHODS))),
        rounding=draw(st.sampled_from(["cut", "cut size", "nearest", "nearest away"])),
        underflow=draw(st.sampled_from(["word", "zero", "un-normalised"])),
        exponent=draw(st.sampled_from(["last", "first"])),
        point=draw(st.sampled_from([".", ","])),
    )
    if operation in {"encode", "error"}:
        return cp.work(operation, draw(st.fractions(-200, 200)), course=course)
    count = {"add": 2, "subtract": 2, "range": 0}.get(operation, 1)
    patterns = (draw(st.integers(0, (1 << m + e) - 1)) for _ in range(count))
    return cp.work(operation, *(f"{pattern:0{m + e}b}" for pattern in patterns), course=course)


# === Readers ===


def html_rows(page: str) -> list[Bits]:
    """Return what each rail of *page* shows."""
    tree = html5lib.parse(page, namespaceHTMLElements=False)
    return [_html_row(line) for line in _with_class(tree, "line") if "rail" in _classes(line)]


def _html_row(line: ET.Element) -> Bits:
    shown = {"lead": "", "kept": "", "lost": "", "exponent": ""}
    for field in _with_class(line, "places"):
        for cell in field.iter("b"):
            kind = next((name for name in ("lost", "op") if name in _classes(cell)), "kept")
            kind = "lead" if _classes(cell) & {"keep", "drop"} else kind
            shown[kind] = shown.get(kind, "") + "".join(cell.itertext())
    for field in _with_class(line, "x"):
        shown["exponent"] = "".join(field.itertext()).strip()
    return Bits(shown["lead"], shown["kept"], shown["lost"], shown["exponent"])


def _with_class(tree: ET.Element, name: str) -> list[ET.Element]:
    return [element for element in tree.iter() if name in _classes(element)]


def _classes(element: ET.Element) -> set[str]:
    return set(element.get("class", "").split())


def svg_rows(drawing: str) -> list[str]:
    """Return the digits of each rail of *drawing*, from left to right, top to bottom."""
    rows: dict[float, list[tuple[float, str]]] = {}
    for element in ET.fromstring(drawing).iter(f"{SVG}text"):  # noqa: S314 -- it is our own
        if float(element.get("font-size", "0")) == round(DIGIT * U, 2):
            at = rows.setdefault(float(element.get("y", "0")), [])
            at.append((float(element.get("x", "0")), "".join(element.itertext())))
    assert all(
        below - above > CELL_HEIGHT * U / 2
        for above, below in zip(sorted(rows), sorted(rows)[1:], strict=False)
    )
    return ["".join(digit for _, digit in sorted(rows[y])) for y in sorted(rows)]


def text_digits(line: str) -> str:
    """Return the digits on a line of text, without point, walls, hatch and plus sign."""
    return re.sub(r"[^01\u2026~]", "", line)
