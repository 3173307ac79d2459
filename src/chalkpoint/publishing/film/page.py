"""The page that stays: finished steps stay in sight, small and in their columns; the step at work is large."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from chalkpoint.numbers.exact import write_value
from chalkpoint.publishing.film.block import BOTTOM, BlockDrawer
from chalkpoint.publishing.film.checks import draw_check
from chalkpoint.publishing.film.done import done_rows, rails_of, unchanged
from chalkpoint.publishing.film.items import Item, Strokes, Words
from chalkpoint.publishing.film.lettering import WIDTH, fitting, text_width
from chalkpoint.publishing.film.measures import Heights, Measures, heights
from chalkpoint.publishing.film.picture import Picture
from chalkpoint.publishing.film.row import Cell, Row
from chalkpoint.publishing.film.rows import EXPONENT, SIGN, plain_style, style_of
from chalkpoint.publishing.film.shortening import shortened
from chalkpoint.publishing.frames import place_values_of
from chalkpoint.publishing.parts import Block, Carries, Names, PlaceValues, Rail, Scene, Threads
from chalkpoint.publishing.typst.rows import RowBuilder
from chalkpoint.teaching.seen import found_by
from chalkpoint.teaching.storyboard import Moment, View
from chalkpoint.working.wording.heading import asked_heading

__all__ = ["BOTTOM", "LEDGE", "TOP", "Page"]

TOP, LEDGE = 196.0, 966.0
HEADINGS = 182.0
WEIGHT = 30.0  # size of place values


class Page:
    """Draws one state of one working."""

    def __init__(self, picture: Picture, scene: Scene, view: View, measures: Measures, prefix: str) -> None:
        self.picture = picture
        self.scene = scene
        self.view = view
        self.measures = measures
        self.prefix = prefix
        self.u = measures.u
        self.row_builder: RowBuilder = measures.row_builder(scene)
        self.done = list(done_rows(scene, view.step))
        found = found_by(view.working) if view.working else None
        #: The step up to which no row of an earlier one tells its value, because it is what is asked.
        self.unread = found if found is not None and view.step <= found else 0
        self.walls: list[tuple[float, float, float]] = []  # (x, top, width) of each row that lost something

    def x(self, column: float) -> float:
        """Return the left edge of a mantissa column."""
        return (self.row_builder.x(0) + column) * self.u

    @property
    def exponent_first(self) -> bool:
        """Whether the exponent comes before the mantissa."""
        return any(rail.exponent_first for block in self.scene.blocks for rail in rails_of(block).values())

    def put(self, name: str, item: Item, *born: str) -> str:
        """Put *item* on the page and return its whole name."""
        whole = f"{self.prefix}{name}"
        self.picture.items[whole] = item
        if born:
            self.picture.born[whole] = tuple(f"{self.prefix}{each}" for each in born)
        return whole

    def draw(self, moment: Moment) -> None:
        """Draw the top, the rows that are done, and the step or the check."""
        self.top()
        if self.view.kind == "check":
            high = heights(len(self.done), [], BOTTOM - 330 - TOP, self.u, 0)
            bottom = self.folded(high)
            self.headings()
            draw_check(self, moment, bottom)
            return
        block = self.scene.blocks[self.view.step]
        entries = list(self._entries(block))
        weights = 2.4 * self.weight_size() + 22
        high = heights(len(self.done), [kind for kind, _, _ in entries], BOTTOM - TOP, self.u, weights)
        if high.crowded:  # then the places are not weighed
            entries = [entry for entry in entries if entry[0] != "weights"]
            high = heights(len(self.done), [kind for kind, _, _ in entries], BOTTOM - TOP, self.u, 0)
        bottom = self.folded(high)
        BlockDrawer(self, block, entries, high, moment).draw(bottom)
        self.headings()

    def weight_size(self) -> float:
        """Return the size of place values."""
        return max(16.0, min(WEIGHT, 0.36 * self.u))

    def _entries(self, block: Block) -> Iterator[tuple[str, int, object]]:
        """Yield what the step shows, as (kind, row, what): rows it works on, then its own items."""
        for at, (step, row) in enumerate(self.view.subject, start=1):
            rail = rails_of(self.scene.blocks[step])[row]
            known = (done.label for done in self.done if (step, row) in done.places)
            label = next(known, rail.label)
            yield "rail", -at, replace(unchanged(rail), label=label, value="" if self.unread else rail.value)
        if block.rule in {"negate", "combine"} and block.items:
            yield "carries", -100, None
        row = -1
        for item in block.items:
            match item:
                case Rail():
                    row += 1
                    yield "rail", row, item
                case Carries():
                    row += 1
                    yield "carries", row, item
                case Threads():
                    yield "threads", row + 1, item
                case Names():
                    yield "names", row, item
        rails = [item for item in block.items if isinstance(item, Rail)]
        below = next((item for item in block.items if isinstance(item, PlaceValues)), None)
        if not rails and block.rule == "mantissa":
            rails = [rails_of(self.scene.blocks[step])[row] for step, row in self.view.subject]
        below = below or (place_values_of(rails[-1], self.scene) if rails else None)
        if below:
            yield "weights", row, below

    def gap_words(self, gap: Fraction) -> str:
        """Return how far the answer is from the exact one, as the course writes numbers."""
        point = self.view.working.question.course.point if self.view.working else "."
        return write_value(gap, point=point)

    # === The parts that stay ===

    def top(self) -> None:
        """Write the question, what to expect, and the steps by name."""
        view = self.view
        title = asked_heading(view.working.question) if view.working else view.title
        estimate = f"   {view.estimate}" if view.estimate else ""
        mark = f"  ({view.mark})" if view.mark else ""
        size = fitting(title + estimate + mark, (WIDTH - 140) / 1.1, 44, 22)
        runs = (
            (title, "bold"),
            *((text, kind) for text, kind in ((estimate, "soft"), (mark, "change")) if text),
        )
        self.put("question", Words(runs=runs, x=60, y=72, size=size))
        names = (*(block.rule for block in self.scene.blocks), "check")
        size, x = fitting("    ".join(names), WIDTH - 140, 30, 18), 60.0
        for at, name in enumerate(names):
            here = at == view.step
            self.put(f"strip{at}", Words(runs=((name, "bold" if here else "soft"),), x=x, y=122, size=size))
            wide = text_width(name, size, bold=here)
            if here:
                self.put("here", Strokes(ways=((x, x + wide, "fallen"),), y=134, h=0.0))
            x += wide + 1.1 * size

    def headings(self) -> None:
        """Name the fields over their columns."""
        size = max(18.0, min(28.0, 0.5 * self.u))
        for at, (x, name) in enumerate(self.row_builder.headings(value=not self.measures.values_below)):
            self.put(f"heading{at}", Words(runs=((name, "soft"),), x=x * self.u, y=HEADINGS, size=size))
        if self.walls:
            x = self.walls[0][0]
            self.put("tray", Words(runs=((self.scene.headings[3], "soft"),), x=x, y=HEADINGS, size=size))

    def folded(self, high: Heights, top: float = TOP) -> float:
        """Draw the rows that are done below *top* and return where they end."""
        y = top
        for done in self.done[high.dropped :]:
            rail = replace(done.rail, label=done.label, soft=False, operator="")
            rail = replace(rail, value="") if self.unread else rail
            row = self.row(rail, y, high.thin, tall=False)
            cells = tuple(
                replace(cell, style=plain_style(cell.style)) for cell in row.cells if cell.style != "dropped"
            )
            born = [f"row:{step}:{at}" for step, at in reversed(done.places)]
            self.put(done.name, replace(row, cells=cells, aside=""), *born)
            if rail.worth:
                self.wall(rail, y + high.thin)
            y += high.done
        return y

    def wall(self, rail: Rail, top: float) -> None:
        """Remember that a tray's walls begin at *top*."""
        lost = rail.lost
        self.walls.append((self.x(lost[0].column), top, len(lost) * self.u))

    def row(self, rail: Rail, y: float, h: float, *, tall: bool) -> Row:
        """Return *rail* as a row of the page, whole."""
        data = self.row_builder._rail(rail)  # noqa: SLF001  (one placing of cells for paper and page)
        mantissa = [
            Cell(cell["x"] * self.u, cell["digit"], style_of(cell), one.column, cell["edge"], cell["start"])
            for cell, one in zip(data["cells"], rail.cells, strict=True)
        ]
        beside = [
            Cell(
                cell["x"] * self.u,
                cell["digit"],
                style_of(cell),
                (SIGN if at < len(rail.sign) else EXPONENT) + at,
                cell["edge"],
                cell["start"],
            )
            for at, cell in enumerate(data["exponent"])
        ]
        text = None
        if rail.exponent_text:
            text = (data["exponent_at"] * self.u, data["exponent_width"] * self.u, rail.exponent_text)
        return Row(
            label=rail.label,
            cells=(*mantissa, *beside),
            y=y,
            h=h,
            u=self.u,
            label_x=self.measures.label_x,
            value=shortened(rail.value),
            value_x=self.row_builder.value_at * self.u,
            value_below=self.measures.values_below,
            aside=shortened(rail.aside),
            point=None if data["point"] is None else data["point"] * self.u,
            operator=data["operator"],
            operator_at=data["operator_at"] * self.u,
            text=text,
            soft=rail.soft,
            tall=tall,
            words=rail.words,
        )
