"""A scene as a printed working: one tagged PDF, or the data from which a longer document sets it."""

from __future__ import annotations

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing.layout import grid
from chalkpoint.publishing.parts import Check, Rail, Scene
from chalkpoint.publishing.typst.compiling import compile_pdf
from chalkpoint.publishing.typst.literals import Length, literal
from chalkpoint.publishing.typst.rows import MEASURES, RowBuilder, alt_of, pieces, ruler_data

__all__ = ["pdf", "source_of", "working_data"]

SAY = 46.0  # mm, the words beside the rails
LABEL_CHARACTER, LABEL_ROOM = 1.85, 2.5  # mm, one of a label, and before its row
LEAST_LABELS = 18.0  # mm, room for "place value", which is set smaller
SAY_GAP = 4.0  # mm, what labels may take of the gap after the words beside the rails
LARGEST, LEAST_UPRIGHT = 8.0, 5.2  # mm, a cell's width
LEAST_TURNED = 3.4  # mm, on a page that lies: narrower cells have their decimal value below them
RULER_U = 8.0  # mm
PORTRAIT, LANDSCAPE = 186.0, 273.0  # mm, the width of the type
HIGH, LOW = 240.0, 150.0  # mm, the height of it that the rows of one step may take, upright and turned
ROW, BELOW = 1.57, 2.5  # u, the height of a row with its gap, of place values
CHARACTER, SMALL_CHARACTER = 2.5, 2.05  # mm, one of a decimal value, of what was lost
LEAST_NAMED = 4.5  # mm, a cell's width: a narrower sign has no room for its name
MOST_VALUE = 60.0  # mm; longer values are set smaller
VALUE_SIZE, NOTE_SIZE = 11.0, 9.0  # pt
STEP_GAP = 4.0  # mm


def pdf(scene: Scene) -> bytes:
    """Return *scene* as a tagged PDF/UA-1 file, A4; long rails lie across the page."""
    return compile_pdf(source_of(scene))


def source_of(scene: Scene) -> str:
    """Return the typst source of *scene*, to follow the library of `compiling`."""
    return f"#working({literal(working_data(scene))}, {literal(MEASURES)})\n"


def working_data(scene: Scene, *, theme: str = "print", upright: bool = False) -> JsonObject:
    """Return everything `working.typ` needs to set *scene*; *upright* where its page cannot be turned."""
    longest = _longest_value(scene)
    value = min(MOST_VALUE, longest)
    labels = max(LEAST_LABELS, scene.longest_label * LABEL_CHARACTER + LABEL_ROOM)
    room, width = PORTRAIT - value - labels, grid(scene).width + 1
    beside, above = (room - SAY + SAY_GAP) / width, room / width
    flipped = above < LEAST_UPRIGHT and not upright
    drawn = sum(any(isinstance(item, Rail) for item in block.items) for block in scene.blocks)
    words_above = beside < LEAST_UPRIGHT or 2 * drawn < len(scene.blocks)  # mostly words: across the page
    turned = (LANDSCAPE - value - labels) / width
    below = flipped and turned < LEAST_TURNED
    turned = (LANDSCAPE - labels) / width if below else turned
    most_rows = max(
        (sum(isinstance(item, Rail) for item in block.items) for block in scene.blocks), default=0
    )
    fits = (LOW if flipped else HIGH) / (ROW * most_rows + BELOW)  # the rows of a step are never separated
    u = min(LARGEST, turned if flipped else above if words_above else beside, fits)
    labels -= 0 if words_above else SAY_GAP
    row_builder = RowBuilder(scene, labels=labels / u, values_below=below)
    headed = scene.headed
    return {
        "title": scene.title,
        "title_pieces": pieces(scene.title),
        "method": scene.method,
        "notes": list(scene.notes),
        "theme": theme,
        "flipped": flipped,
        "footer": scene.course or "chalkpoint",
        "u": Length(u),
        "value_size": VALUE_SIZE * (0.8 if below else value / longest),
        "note_size": NOTE_SIZE * (0.8 if below else value / longest),
        "ruler_u": Length(RULER_U),
        "labels": labels / u,
        "say": Length(SAY),
        "step_gap": Length(STEP_GAP),
        "words_above": words_above,
        "wide": width + (labels + (0 if below else value)) / u,
        "headings": [
            (min(x, (LANDSCAPE - len(name) * LABEL_CHARACTER) / u) if below else x, name)
            for x, name in row_builder.headings(value=not below)
            if name != "sign" or u >= LEAST_NAMED
        ],
        "blocks": [
            {
                "number": block.number,
                "title": block.title,
                "detail": pieces(block.detail),
                "rows": row_builder.rows(block.items),
                "wall": row_builder.wall(block.tray),
                "alt": alt_of(block.items) or block.spoken,
                "headed": block is headed,
            }
            for block in scene.blocks
        ],
        "check": _check(scene.check, row_builder),
    }


def _check(check: Check, row_builder: RowBuilder) -> JsonObject:
    return {
        "number": check.number,
        "title": check.title,
        "detail": pieces(check.detail),
        "left": [row_builder.left_in(left) | {"alt": left.words} for left in check.left],
        "lines": [(label, pieces(text)) for label, text in check.lines],
        "ruler": ruler_data(check.ruler) | {"alt": check.ruler.words} if check.ruler else None,
        "verdict": pieces(check.verdict),
        "reasons": [pieces(reason) for reason in check.reasons],
    }


def _longest_value(scene: Scene) -> float:
    """Return the width of the longest decimal value in mm, what was lost standing below it."""
    values = [len(rail.value) * CHARACTER for rail in scene.rails]
    lost = [(len(rail.aside) + 4) * SMALL_CHARACTER for rail in scene.rails if rail.aside]
    left = [] if scene.after else [len(left.worth) * SMALL_CHARACTER for left in scene.check.left]
    return max([4 * CHARACTER, *values, *lost, *left])
