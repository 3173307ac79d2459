"""The step at work: its rows at one moment, what moves between them, the pointer, the carries."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from chalkpoint.publishing.film.done import row_key
from chalkpoint.publishing.film.items import Band, Bit, Rules, Strokes, Walls, Words
from chalkpoint.publishing.film.lettering import WIDTH, fitting, text_width
from chalkpoint.publishing.film.measures import SLOTS, Heights
from chalkpoint.publishing.film.picture import Way
from chalkpoint.publishing.film.row import Row
from chalkpoint.publishing.film.rows import EXPONENT, marked, partly
from chalkpoint.publishing.film.shortening import shortened
from chalkpoint.publishing.parts import Block, Carries, Names, PlaceValues, Rail, Threads
from chalkpoint.teaching.storyboard import Cells, Moment

if TYPE_CHECKING:
    from chalkpoint.publishing.film.page import Page

__all__ = ["BlockDrawer"]

BOTTOM = 944.0
LONGEST_SUM = "1 + 1 + 1 = 11"


class BlockDrawer:
    """Draws the step at work: its rows at one moment, what moves between them, the pointer."""

    def __init__(
        self, page: Page, block: Block, entries: list[tuple[str, int, object]], high: Heights, moment: Moment
    ) -> None:
        self.page = page
        self.block = block
        self.entries = entries
        self.high = high
        self.moment = moment
        self.step = page.view.step
        self.parts: dict[int, Cells] = {cells.row: cells for cells in moment.written}
        self.placed: dict[int, Row] = {}
        self.rails: dict[int, Rail] = {}

    def draw(self, bottom: float) -> None:
        """Draw everything below *bottom*."""
        size = self.page.weight_size()
        kinds = [kind for kind, _, _ in self.entries]
        block = sum(SLOTS[kind] for kind in kinds) * self.high.tall + (2.4 * size + 22) * kinds.count(
            "weights"
        )
        y = bottom + 24 + max(0.0, min(90.0, (BOTTOM - bottom - block - 40) / 3))
        start = y
        above: int | None = None
        carries_at: tuple[int, float] | None = None
        for kind, row, what in self.entries:
            h = SLOTS[kind] * self.high.tall
            match kind, what:
                case "rail", Rail():
                    self._rail(row, what, y, above)
                    above = row
                case "carries", _:
                    carries_at = (row, y)
                case "threads", Threads() if self._whole(row):
                    self._threads(row, what, y)
                case "names", Names():
                    marks = tuple((self.page.x(at + 0.5), name, "", "") for at, name in what.names)
                    rules = Rules(label="", marks=marks, y=y, label_x=self.page.measures.label_x, size=24)
                    self.page.put("names", rules)
                case "weights", PlaceValues():
                    self._weights(what, y + 14, size)
                    h = 2.4 * size + 10
            y += h
        last = max((row.y + row.h for row in self.placed.values()), default=y)
        if carries_at:
            self._carried(*carries_at)
        if self.moment.column is not None:
            first = carries_at[1] if carries_at else start - 8
            band = Band(x=self.page.x(self.moment.column), y=first, w=self.page.u, h=last - first)
            self.page.put("band", band)
            self.page.picture.to_back(f"{self.page.prefix}band")
        self._aside(last, y)
        for at, (x, top, width) in enumerate(self.page.walls):
            self.page.put(f"walls{at}", Walls(x=x, y=top, w=width, h=max(0.0, last - top)))

    def _whole(self, row: int) -> bool:
        return row not in self.page.view.hidden and row not in self.parts

    def _rail(self, row: int, rail: Rail, y: float, above: int | None) -> None:
        page, whole = self.page, self._whole(row)
        drawn = page.row(rail, y, self.high.tall, tall=True)
        later = [each for kind, each, _ in self.entries if kind == "rail" and each > row]
        soft = rail.soft and all(map(self._whole, later))
        if not whole:
            drawn = partly(drawn, self.parts.get(row) if row not in page.view.hidden else None)
            cells_of = self.parts.get(row, Cells(row, 1, 0))
            if self.moment.aside and cells_of.last < EXPONENT:  # the little sum is where the exponent will be
                drawn = replace(drawn, cells=tuple(c for c in drawn.cells if c.column < EXPONENT))
        drawn = marked(drawn, [cells for cells in self.moment.marked if cells.row == row])
        if row in self.moment.exponents:
            cells = (replace(c, style="marked") if c.column >= EXPONENT else c for c in drawn.cells)
            drawn = replace(drawn, cells=tuple(cells))
        drawn = replace(drawn, soft=soft)
        name = page.put(self._name(row), drawn, *self._born(row, rail))
        self.placed[row], self.rails[row] = drawn, rail
        if whole and rail.worth:
            page.wall(rail, y + self.high.tall)
        if above is not None and not self.block_moves(row):
            self._fall(name, drawn, self.placed[above], self.rails[above])

    def block_moves(self, row: int) -> bool:
        """Tell whether threads lead to *row*: then its digits come by them."""
        return any(kind == "threads" and each == row for kind, each, _ in self.entries)

    def _name(self, row: int) -> str:
        return f"row:{self.step}:{row}"

    def _born(self, row: int, rail: Rail) -> list[str]:
        """Return what the row was before: a done row of the same digits."""
        if not self._whole(row):
            return []
        alike = [done.name for done in self.page.done if row_key(done.rail) == row_key(rail)]
        return alike[-1:]

    def _fall(self, name: str, row: Row, above: Row, rail: Rail) -> None:
        """Let the digits of *row* come from the same columns of the row above, as inverting, adding and cutting do."""
        size, y = above.size, above.y + above.h / 2
        kind = {"negate": "invert", "sign": "invert", "add": "sum"}.get(self.block.rule, "move")
        sources = {cell.column for cell in above.cells if cell.digit}
        along = self._point_moved()
        fresh = sorted(cell.column for cell in row.cells if cell.digit and cell.column < EXPONENT)
        for turn, column in enumerate(fresh if kind == "invert" else reversed(fresh)):
            if column + along in sources:
                x = self.page.x(column + along + 0.5)
                self.page.picture.ways[name, column] = Way(x, y, size, kind, turn)

    def _point_moved(self) -> int:
        """Return how many columns further right the digits are in the row above, where the point is moved."""
        facts = self.page.view.working.steps[self.step].facts if self.page.view.working else {}
        match self.block.rule:
            case "scale":
                return int(Fraction(str(facts.get("power", 0))))
            case "point" | "store-point":
                return -int(str(facts.get("exponent", 0)))
        return 0

    def _threads(self, row: int, threads: Threads, y: float) -> None:
        page, above = self.page, self.placed.get(row - 1)
        ways = tuple((page.x(t.start + 0.5), page.x(t.end + 0.5), t.kind) for t in threads.threads)
        page.put(f"threads{row}", Strokes(ways=ways, y=y + 4, h=SLOTS["threads"] * self.high.tall - 18))
        if above is None:
            return
        moving = sorted((t for t in threads.threads if t.kind != "copied"), key=lambda t: -t.start)
        if moving and moving[0].end < moving[0].start:
            moving.reverse()
        copied = sorted((t for t in threads.threads if t.kind == "copied"), key=lambda t: -t.end)
        name = f"{page.prefix}{self._name(row)}"
        for turn, thread in enumerate([*moving, *copied]):
            way = Way(page.x(thread.start + 0.5), above.y + above.h / 2, above.size, "move", turn)
            page.picture.ways[name, thread.end] = way

    def _weights(self, below: PlaceValues, y: float, size: float) -> None:
        data = self.page.row_builder._row(below)  # noqa: SLF001
        u = self.page.u
        marks = tuple((each["x"] * u, each["top"], each["bottom"], each["power"]) for each in data["weights"])
        widest = max((text_width(text, size) for _, *texts, _ in marks for text in texts), default=0)
        if widest > 1.25 * u:
            size = max(12.0, size * 1.25 * u / widest)
        rules = Rules(label=below.label, marks=marks, y=y, label_x=self.page.measures.label_x, size=size)
        self.page.put("weights", rules)

    def _carried(self, row: int, y: float) -> None:
        """Draw the carries as far as they are known; one out of the sign place is put beside the sum."""
        page, size = self.page, min(36.0, 0.5 * self.page.u)
        item = next((what for kind, each, what in self.entries if kind == "carries" and each == row), None)
        if isinstance(item, Carries):
            columns = {cell.column for cell in item.cells} if row not in page.view.hidden else set()
            if self.moment.carried is not None:
                columns = set(self.moment.carried)
        else:
            columns = set(self.moment.carried or ()) if self.moment.over is not None else set()
        rows = sorted(self.placed)
        total = self.placed[rows[-1]]
        inside = {cell.column for cell in total.cells if cell.style != "dropped"}
        for column in sorted(columns):
            x = page.x(column + 0.5)
            if column in inside:
                bit = Bit(digit="1", x=x, y=y + 0.26 * self.high.tall, size=size)
            elif self.rails[rows[-1]].cells[0].kind == "dropped":
                bit = Bit(digit="1", x=x, y=total.y + total.h / 2, size=total.size, colour="soft")
            else:
                continue
            name = page.put(f"carry{column}", bit)
            way = Way(page.x(column + 1.5), total.y + total.h / 2, total.size, "rise")
            page.picture.ways[name, 0] = way
        if columns or isinstance(item, Carries):
            y += 0.26 * self.high.tall + 11
            label = Words(runs=(("carries", "soft"),), x=page.measures.label_x, y=y, size=28, anchor="end")
            page.put("carries", label)

    def _aside(self, last: float, end: float) -> None:
        """Write the little sum: in the place of a half written row's exponent, or below all that is there."""
        if not self.moment.aside:
            return
        page, text = self.page, shortened(self.moment.aside)
        lowest = max(self.placed, default=None)
        wide = max(text_width(LONGEST_SUM, 48, bold=True), text_width(text, 48, bold=True))
        x, y = page.row_builder.exponent_at(first=False) * page.u, last - 0.32 * self.high.tall
        ordered = page.x(0) < x  # the exponent's field is right of the digits
        half = lowest is not None and lowest in self.parts and self.parts[lowest].last < EXPONENT
        room = WIDTH - 40 - x
        if half and page.exponent_first and self.moment.column is not None:
            x = page.row_builder.exponent_at(first=True) * page.u
            room = 0.95 * (page.x(self.placed[lowest or 0].cells[0].column) - x)
        elif self.moment.column is None or not half or not ordered or x + wide > WIDTH - 30:
            firsts = [
                cell.x
                for row in self.placed.values()
                for cell in row.cells
                if -EXPONENT < cell.column < EXPONENT
            ]
            x, y = min([*firsts, page.x(0)]), min(BOTTOM - 10, max(last, end) + 76)
            pointed = page.x(self.moment.column + 0.5) if self.moment.column is not None else -wide
            if end <= last and x - 60 < pointed < x + wide + 60:  # clear of the pointer
                x = pointed + 60
            room = WIDTH - 40 - x
        size = fitting(text, room / 1.1, 48, 22)
        page.put("aside", Words(runs=((text, "bold"),), x=x, y=y, size=size))
