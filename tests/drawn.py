"""Workings to draw, and readers that take the bits back out of what was drawn."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from xml.etree import ElementTree as ET

import html5lib
from hypothesis import reject
from hypothesis import strategies as st

import chalkpoint as cp
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.listed import list_formats
from chalkpoint.numbers.named import format_called
from chalkpoint.publishing.layout import CELL_HEIGHT, DIGIT
from chalkpoint.publishing.svgsheet import U
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import OPERATIONS
from chalkpoint.working.written import Row

__all__ = [
    "EVERY_OPERATION",
    "HERON",
    "SPELLINGS",
    "Bits",
    "example_of",
    "html_rows",
    "named_workings",
    "svg_rows",
    "truth",
    "workings",
]

HERON = cp.Course(name="12 Heron")
SVG = "{http://www.w3.org/2000/svg}"
SPELLINGS = tuple(one.spelling for one in list_formats())
EVERY_OPERATION = tuple(OPERATIONS)
SCHOOL_OPERATIONS = ("add", "subtract", "normalise", "negate", "decode", "encode", "error", "range")


@dataclass(frozen=True)
class Bits:
    """What a row shows: extra sign place, digits kept, digits lost, exponent (bits, or an integer), sign field."""

    lead: str
    kept: str
    lost: str
    exponent: str
    sign: str = ""


def truth(working: cp.Working) -> list[Bits]:
    """Return what every row of *working* has to show."""
    return [_bits(row) for step in working.steps for row in step.rows if not row.carries]


def _bits(row: Row) -> Bits:
    exponent = row.exponent_bits or ("" if row.exponent is None else str(row.exponent).replace("-", "\u2212"))
    return Bits(row.lead, row.bits, row.lost, exponent, row.sign)


@st.composite
def workings(draw: st.DrawFn, *, sizes: tuple[int, int] = (64, 16)) -> cp.Working:
    """Draw a working of any operation, by any method, under any format up to *sizes*."""
    operation = draw(st.sampled_from(SCHOOL_OPERATIONS))
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


@st.composite
def named_workings(draw: st.DrawFn) -> cp.Working:
    """Draw a working of any operation in any format that can be named, of any of its patterns."""
    spellings = (*SPELLINGS, "8+4 sign-and-magnitude")
    operation, spelling = draw(st.sampled_from(EVERY_OPERATION)), draw(st.sampled_from(spellings))
    bits = format_called(spelling).bits
    pattern = st.integers(0, (1 << bits) - 1).map(lambda code: f"{code:0{bits}b}")
    value = st.fractions(-100, 100, max_denominator=64)
    course = cp.Course(format=spelling, exponent=draw(st.sampled_from(["last", "first"])))
    choices: dict[str, Callable[[], list[Any]]] = {
        "encode": lambda: [draw(value)],
        "error": lambda: [draw(value)],
        "range": list,
        "sum": lambda: list(draw(st.lists(pattern, min_size=2, max_size=4))),
        "choose-format": lambda: [-draw(st.integers(1, 99)), draw(st.integers(1, 99)), "0.25"],
        "convert": lambda: [draw(pattern), draw(st.sampled_from(SPELLINGS))],
        "explain": lambda: ["add", draw(pattern), draw(pattern)],
    }
    plain = [pattern] * OPERATIONS[operation].operands
    operands = choices[operation]() if operation in choices else [draw(one) for one in plain]
    try:
        return cp.work(operation, *operands, course=course)
    except EntryError:  # not worked in this format, or divided by zero
        reject()


def example_of(operation: str, spelling: str) -> cp.Working | None:
    """Return a plain working of *operation* in *spelling*; None where there is none."""
    operands = {
        "encode": ["-1.3"],
        "error": ["1.3"],
        "range": [],
        "sum": ["1.5", "3", "1"],
        "choose-format": ["-10", "40", "0.25"],
        "convert": ["1.5", "binary16" if spelling != "binary16" else "8+4"],
        "explain": ["add", "1.5", "3"],
    }.get(operation, ["3", "1.5"][: OPERATIONS[operation].operands])
    try:
        return cp.work(operation, *operands, format=spelling)
    except EntryError:
        return None


# === Readers ===


def html_rows(page: str) -> list[Bits]:
    """Return what each rail of *page* shows."""
    tree = html5lib.parse(page, namespaceHTMLElements=False)
    return [_html_row(line) for line in _with_class(tree, "line") if "rail" in _classes(line)]


def _html_row(line: ET.Element) -> Bits:
    shown = {"lead": "", "kept": "", "lost": "", "exponent": "", "sign": ""}
    for field in _with_class(line, "places"):
        for cell in field.iter("b"):
            kind = next((name for name in ("lost", "op", "stays") if name in _classes(cell)), "kept")
            kind = "lead" if _classes(cell) & {"keep", "drop"} else kind
            shown[kind] = shown.get(kind, "") + "".join(cell.itertext())
    for field in _with_class(line, "x"):
        shown["exponent"] = "".join(field.itertext()).strip()
    for field in _with_class(line, "s"):
        shown["sign"] = "".join(field.itertext()).strip().removeprefix("+")
    return Bits(**{name: shown[name] for name in ("lead", "kept", "lost", "exponent", "sign")})


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
