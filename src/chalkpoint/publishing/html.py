"""A scene as one accessible page, or as a part of a page that is not ours (a notebook's).

The page needs nothing else: no script, no other file. Its templates and style sheets are in
`templates/`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing.htmlview import Shower
from chalkpoint.publishing.layout import LONG_LINE, SIGN_GAP, Line, chunks, grid, plan_ruler
from chalkpoint.publishing.parts import Left, Scene, Tray
from chalkpoint.publishing.sentences import bits_in, powers_in, raised

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

__all__ = ["Drawing", "drawing", "fragment", "page", "rails_sheet", "template_text", "templates"]

LONGEST_HELD = 20  # characters of bits kept on one line, so that 320 px never scroll


def page(scene: Scene) -> str:
    """Return *scene* as an HTML page, complete in itself."""
    return _render("page.html.jinja", scene, ("rails.css", "page.css"), tag="h2")


def fragment(scene: Scene) -> str:
    """Return *scene* as an HTML element with its own styles, for any page.

    It has no headings, which would disturb those of the page around it.
    """
    return _render("fragment.html.jinja", scene, ("rails.css", "part.css"), tag="p")


@dataclass(frozen=True, slots=True)
class Drawing:
    """A working drawn, for a page of ours that has the sheet of rails.

    markup  the drawing
    styles  the rules that size this one
    """

    markup: Markup
    styles: Markup


def drawing(scene: Scene, *, tag: str = "h2", only: str = "") -> Drawing:
    """Return *scene* drawn, apart from its styles.

    tag   the element of its headings
    only  the rule whose step is drawn alone, without the check
    """
    from markupsafe import Markup

    environment, fit = templates(), fit_of(scene)
    own = environment.get_template("fit.css.jinja").render(fit=fit)
    made = environment.get_template("working.html.jinja").render(_shown(scene, fit, tag) | {"only": only})
    return Drawing(Markup(made), Markup(own))  # noqa: S704 - made by templates that escape


def rails_sheet() -> str:
    """Return the style sheet of rails, which every drawing needs."""
    return template_text("rails.css")


def _render(template: str, scene: Scene, sheets: Iterable[str], *, tag: str) -> str:
    environment, fit = templates(), fit_of(scene)
    own = environment.get_template("fit.css.jinja").render(fit=fit)
    styles = "\n".join([*(template_text(name) for name in sheets), own])
    return environment.get_template(template).render(_shown(scene, fit, tag) | {"styles": styles})


def _shown(scene: Scene, fit: Fit, tag: str) -> JsonObject:
    return {
        "scene": scene,
        "show": Shower(scene),
        "fit": fit.name,
        "tag": tag,
        "plan": plan_ruler(scene.check.ruler) if scene.check.ruler else None,
        "left_tray": _left_tray,
        "only": "",
    }


@cache
def templates() -> Environment:
    """Return the templates; imported here, because the command starts without them."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("chalkpoint.publishing"),
        autoescape=True,
        auto_reload=False,  # else every row that is drawn looks whether its template has changed
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters |= {"set": _set_sentence, "raise": raised, "stroke": _stroke, "measure": _measure}
    return environment


@cache
def template_text(name: str) -> str:
    """Return the sheet or the script called *name*."""
    return (files("chalkpoint.publishing") / "templates" / name).read_text(encoding="utf-8").strip()


def _set_sentence(sentence: str) -> Markup:
    """Return *sentence* with its bits set apart and its exponents raised, "to the power" for those who listen."""
    from markupsafe import Markup, escape

    found = Markup("")
    for piece, is_bits in bits_in(sentence):
        if is_bits:
            classes = "bits held" if len(piece) <= LONGEST_HELD else "bits"
            found += Markup('<span class="{}">{}</span>').format(classes, piece)
            continue
        for part, is_power in powers_in(piece):
            power = Markup('<sup><span class="words">to the power </span>{}</sup>')
            found += power.format(part) if is_power else escape(part)
    return found


def _measure(x: float) -> str:
    """Return a measure with three places at most."""
    return f"{x:.3f}".rstrip("0").rstrip(".")


def _stroke(line: Line) -> str:
    return f"M{_measure(line.x1)} {_measure(line.y1)}L{_measure(line.x2)} {_measure(line.y2)}"


def _left_tray(left: Left) -> Tray:
    return Tray(left.cells[0].column, len(left.cells))


# === How a working gives way ===

SAY, LABEL = 16.5, 5.75  # rem
LABEL_ROOM, LABEL_CHARACTER = 0.9, 0.5  # rem, after a label; a character of it
LEAST_VALUE, MOST_VALUE = 8.5, 18.5
LONG_VALUE = 14  # characters; longer ones are set smaller
LARGEST_CELL, ROOMY_CELL, SMALL_CELL, LEAST_CELL = 2.25, 1.6875, 1.125, 1.0625
BROKEN_LABEL = 4.6  # rem


@dataclass(frozen=True, slots=True)
class Fit:
    """The numbers from which a style sheet sizes one working; widths in rem.

    columns      of the mantissa's grid
    sign, before, after  of the sign's, and the exponent's on either side
    fields       of all that stands outside the mantissa's grid, where it stands on a line of its own
    lead, right  before the sign place; up to the last place kept
    label        of the labels
    width        columns and gaps of a whole line
    beside       what a line takes besides its cells, with the words beside the rails; and above them
    beside_from  from which width the words stand beside the rails; the decimal value beside its row; the
                 exponent beside the mantissa; the mantissa whole; broken rails in long lines
    full         the most a line can use
    """

    name: str
    columns: int
    sign: int
    before: int
    after: int
    fields: float
    lead: int
    right: int
    label: float
    width: float
    beside: float
    above: float
    beside_from: float
    above_from: float
    fields_from: float
    whole_from: float
    long_from: float
    full: float
    chunks: int
    long_lines: int
    longest_chunk: int
    longest_line: int


def fit_of(scene: Scene) -> Fit:
    """Return from which widths *scene* gives way, and how."""
    across = grid(scene)
    parts = chunks(scene)
    value, label = _value_width(scene), _label_width(scene)
    long_lines = [parts[at : at + LONG_LINE] for at in range(0, len(parts), LONG_LINE)]
    longest_line = max(sum(len(part) for part in line) for line in long_lines)
    whole_from = (across.columns + 0.25) * LEAST_CELL
    return Fit(
        name=_name(scene, across.columns, round(value * 4), round(label * 4)),
        columns=across.columns,
        sign=scene.sign,
        before=scene.before,
        after=scene.after,
        fields=scene.exponent_bits + (scene.sign + SIGN_GAP if scene.sign else 0),
        lead=max(0, min(0, scene.heading_column) - scene.first),
        right=min(across.columns, scene.places + 1 - scene.first),
        label=label,
        width=across.width,
        beside=SAY + label + value,
        above=label + value,
        beside_from=SAY + label + value + across.width * ROOMY_CELL,
        above_from=label + value + across.width * SMALL_CELL,
        fields_from=label + across.width * SMALL_CELL,
        whole_from=whole_from,
        long_from=min(whole_from, BROKEN_LABEL + (longest_line + 0.25) * LEAST_CELL),
        full=label + value + across.width * LARGEST_CELL,
        chunks=len(parts),
        long_lines=len(long_lines),
        longest_chunk=max(len(part) for part in parts),
        longest_line=longest_line,
    )


def _name(scene: Scene, columns: int, value: int, label: int) -> str:
    fields = [columns, scene.exponent_bits, value, -scene.first]
    if scene.sign or scene.before or not scene.exponent_bits:
        fields += [scene.sign, scene.before, scene.after]
    fields += [label] if label > LABEL * 4 else []
    return "-".join(["fit", *map(str, fields)])


def _label_width(scene: Scene) -> float:
    """Return the width kept for the labels of rows: a little more for long names."""
    return max(LABEL, LABEL_ROOM + scene.longest_label * LABEL_CHARACTER)


def _value_width(scene: Scene) -> float:
    """Return the width kept for decimal values: the longest, as far as it is not very long."""
    sizes = [len(rail.value) * (0.75 if len(rail.value) <= LONG_VALUE else 0.625) for rail in scene.rails]
    beside = [max(len(rail.lost_words), len(rail.note)) * 0.625 for rail in scene.rails]
    longest = max([*sizes, *beside], default=0)
    return min(MOST_VALUE, max(LEAST_VALUE, 1.5 + round(longest * 4) / 4))
