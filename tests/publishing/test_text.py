"""Working in plain text: whole cases, the width of a page, and every bit in its place."""

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import chalkpoint as cp
from chalkpoint.publishing.parts import Rail, Scene
from chalkpoint.publishing.scene import scene
from chalkpoint.publishing.text import text
from chalkpoint.publishing.textgrid import choose_grid, split_grid
from chalkpoint.working.methods import METHODS
from drawn import EVERY_OPERATION, HERON, SPELLINGS, example_of, named_workings, text_digits, truth, workings

GOLDEN = Path(__file__).parent / "golden"
BESIDE = (
    ["exponent"],
    ["sign", "exponent"],
    ["exponent", "sign"],
    ["sign"],
)  # heads of what is beside a long row
SIGN_INSIDE = cp.Course(
    format="8+4 sign-and-magnitude", exponent="first"
)  # the sign stands behind the exponent
BRACKWATER = cp.work("subtract", "8.875", "3.6875", course=HERON, names=("gauge", "datum"))
DRIFT = cp.work("add", "0.1", "-3.7", course=HERON.with_(format="24+8"), names=("drift", "offset"))
CASES: dict[str, tuple[cp.Working, dict[str, object]]] = {
    "gauge-less-datum": (BRACKWATER, {}),
    "gauge-less-datum-ascii": (BRACKWATER, {"plain": True}),
    "gauge-less-datum-narrow": (BRACKWATER, {"width": 40}),
    "gauge-less-datum-colour": (BRACKWATER, {"colour": True}),
    "exponent-first": (cp.work("add", "2.75", "3.5", course=HERON.with_(exponent="first")), {}),
    "guard-bit": (cp.work("subtract", "01000111 0100", "00101111 0001", method="one-guard-bit"), {}),
    "rounded-up": (cp.work("encode", "5.29", course=HERON.with_(rounding="nearest")), {}),
    "ieee-add": (cp.work("add", "6.5", "1.375", format="1+4+3", names=("tide", "surge")), {}),
    "ieee-infinity": (cp.work("subtract", "-200", "100", format="1+4+3"), {}),
    "whole-multiply": (cp.work("multiply", "13", "-11", format="8"), {}),
    "machine-1750a": (cp.work("add", "1.5", "-2.7", format="1750A-32"), {}),
    "converted": (cp.work("convert", "-0.1", "8+4", format="1+4+3"), {}),
    "drift-24-8": (DRIFT, {}),
    "drift-24-8-narrow": (DRIFT, {"width": 40}),
}


@pytest.mark.parametrize("name", list(CASES))
def test_a_whole_case_reads_as_it_did(name: str, request: pytest.FixtureRequest) -> None:
    """The wording and layout of a whole working, reviewed as a file."""
    working, options = CASES[name]
    written = text(scene(working), **options)  # type: ignore[arg-type]
    path = GOLDEN / f"{name}.txt"
    if request.config.getoption("--write-golden"):
        path.write_text(written, encoding="utf-8")

    assert path.read_text(encoding="utf-8") == written


def rails_of(drawn: Scene) -> list[Rail]:
    """Return every rail, top to bottom."""
    return [item for block in drawn.blocks for item in block.items if isinstance(item, Rail)]


def digit_lines(drawn: Scene, width: int) -> list[str]:
    """Return the digits that each line of bits has to show, top to bottom, from what is drawn alone."""
    grid = choose_grid(drawn, width)
    lines = []
    for block in drawn.blocks:
        rails = [item for item in block.items if isinstance(item, Rail)]
        exponents = ["".join(cell.digit for cell in rail.exponent) for rail in rails]
        exponents = [
            bits or text_digits(rail.exponent_text) for bits, rail in zip(exponents, rails, strict=True)
        ]
        signs = ["".join(cell.digit for cell in rail.sign) for rail in rails]
        for piece in split_grid(grid) if grid.broken else [grid]:
            for rail, exponent, sign in zip(rails, exponents, signs, strict=True):
                cells = "".join(cell.digit for cell in rail.cells if cell.column in piece.columns)
                before, after = (exponent, "") if rail.exponent_first else ("", exponent)
                before = before + sign if drawn.sign_inside else sign + before
                lines.append(cells if grid.broken else before + cells + after)
        apart = [
            exponent + sign if drawn.sign_inside else sign + exponent
            for sign, exponent in zip(signs, exponents, strict=True)
        ]
        lines += apart if grid.broken else []
    return [line for line in lines if line]


def shown_lines(drawn: Scene, width: int) -> list[str]:
    """Return the digits of each line of bits as written, to the right of a rail's label."""
    grid = choose_grid(drawn, width)
    labels = {rail.label for rail in rails_of(drawn)}
    found, valued = [], not grid.broken
    for line in text(drawn, width=width).split(f"\n{drawn.check.number} ")[0].splitlines():
        if grid.broken and not line.startswith("    "):
            valued = False  # a new step: bits first
        if grid.broken and line.split() in BESIDE:
            valued = True  # exponents follow, with values
        label = line[4 : grid.text_at - 2].rstrip(" +\u2503")
        named = line.startswith("    ") and {label, label.rstrip(" +01\u2503")} & labels
        if named and "\u2594" not in line and "= " not in line:
            found.append(text_digits(line[grid.text_at - 2 : grid.value_at - 1 if valued else width]))
    return [line for line in found if line]


@given(workings(sizes=(24, 8)) | named_workings())
@settings(max_examples=120)
def test_every_bit_drawn_is_a_bit_of_the_working(working: cp.Working) -> None:
    """The scene's rails hold exactly the rows' digits."""
    shown = [
        (
            "".join(cell.digit for cell in rail.cells if cell.kind in {"extra", "dropped"}),
            rail.bits,
            "".join(cell.digit for cell in rail.lost),
            "".join(cell.digit for cell in rail.exponent) + rail.exponent_text,
            "".join(cell.digit for cell in rail.sign),
        )
        for rail in rails_of(scene(working))
    ]

    assert [(bits.lead, bits.kept, bits.lost, bits.exponent, bits.sign) for bits in truth(working)] == shown


@given(workings() | named_workings(), st.sampled_from([40, 60, 80, 120]))
@settings(max_examples=120)
def test_no_line_is_longer_than_the_page(working: cp.Working, width: int) -> None:
    """Any operation, format and method, down to 40 characters."""
    lines = text(scene(working), width=width).splitlines()

    assert max(len(line) for line in lines) <= width


@pytest.mark.parametrize("method", list(METHODS))
@pytest.mark.parametrize("operation", ["add", "subtract"])
def test_8_4_fits_80_columns_at_every_shift(operation: str, method: str) -> None:
    """The widest workings of 8+4: patterns as far apart as they go."""
    for second in ("01000001 1000", "00000001 1000", "10111111 1010", "11111111 0000"):
        lines = text(scene(cp.work(operation, "01111111 0111", second, method=method))).splitlines()

        assert max(len(line) for line in lines) <= 80


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_every_operation_is_drawn_in_every_format(spelling: str) -> None:
    """A table of plain workings: all their bits, on lines that fit 80 columns."""
    workings = [example_of(operation, spelling) for operation in EVERY_OPERATION]
    drawn = [scene(working) for working in workings if working is not None]

    assert len(drawn) > 5
    for one in drawn:
        assert digit_lines(one, 80) == shown_lines(one, 80)
        assert max(len(line) for line in text(one).splitlines()) <= 80


@given(workings() | named_workings(), st.sampled_from([40, 80]))
@settings(max_examples=60)
def test_plain_text_is_ascii(working: cp.Working, width: int) -> None:
    """Every sign has a stand-in."""
    written = text(scene(working), plain=True, width=width)

    assert written.isascii()
    assert "?" not in written


@given(workings(sizes=(16, 6)))
@settings(max_examples=60)
def test_colour_only_adds(working: cp.Working) -> None:
    """Without its codes, coloured text is the text."""
    drawn = scene(working)
    coloured = text(drawn, colour=True)
    for code in ("1;38;5;166", "1", "2", "0"):
        coloured = coloured.replace(f"\x1b[{code}m", "")

    assert coloured == text(drawn)


@given(workings() | named_workings(), st.sampled_from([40, 80, 120]))
@settings(max_examples=200)
@example(BRACKWATER, 80)
@example(DRIFT, 40)
@example(cp.work("range", course=SIGN_INSIDE), 40)
@example(cp.work("subtract", "2.75", "-3.6875", course=SIGN_INSIDE), 40)
def test_every_bit_stands_on_its_line(working: cp.Working, width: int) -> None:
    """Read back from the lines of text: all bits of all rows, in order, whole or in pieces."""
    drawn = scene(working)

    assert digit_lines(drawn, width) == shown_lines(drawn, width)


def test_places_keep_their_column() -> None:
    """The sign bit of every row stands under the one before."""
    lines = [line for line in text(scene(BRACKWATER)).splitlines() if "▴" in line]

    assert len({line.index("▴") for line in lines}) == 1
    assert len(lines) == 12


def test_walls_run_from_the_loss_to_the_check() -> None:
    """From the row that lost a 1 on, every row has the tray's wall in one column; none before."""
    lines = text(scene(BRACKWATER)).splitlines()
    rows = [line for line in lines if "▴" in line or "left in tray" in line]
    walls = [[at for at, character in enumerate(line) if character == "┃"] for line in rows]

    assert walls == [[]] * 3 + [[34, 39]] * 10


def test_names_in_any_letters_stay_readable_in_ascii() -> None:
    """Accents are left out, not the letters."""
    drawn = scene(cp.work("add", "1.5", "2", names=("mar\u00e9e", "d\u00e9rive")))

    assert "maree" in text(drawn, plain=True)
