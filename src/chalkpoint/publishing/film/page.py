"""The page that stays: what is done remains in sight, small and in its columns; the step at work stands large."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from chalkpoint.numbers.exact import write_value
from chalkpoint.publishing.film.checks import draw_check
from chalkpoint.publishing.film.items import (
    WIDTH,
    Band,
    Bit,
    Cell,
    Item,
    Ledge,
    Row,
    Rules,
    Strokes,
    Walls,
    Words,
    fitting,
    text_width,
)
from chalkpoint.publishing.film.measures import SLOTS, Heights, Measures, heights
from chalkpoint.publishing.film.picture import Picture, Way
from chalkpoint.publishing.film.wordpages import draw_choices, draw_question, draw_words
from chalkpoint.publishing.frames import Framer, place_values_of
from chalkpoint.publishing.parts import Block, Carries, Names, PlaceValues, Rail, Scene, Threads
from chalkpoint.publishing.typst.rows import Rower
from chalkpoint.teaching.storyboard import Cells, Moment, View
from chalkpoint.working.working import Working

__all__ = ["LEDGE", "Page", "Pages"]

TOP, LEDGE = 196.0, 966.0
HEADINGS = 182.0
BOTTOM = 944.0
WEIGHT = 30.0  # size of place values
SIDES = ("right", "often written instead")
EXPONENT, SIGN = 1000, -1000  # columns of those fields in a row's cells
#: What a row is called once it is done, where "after" would say nothing.
DONE_LABELS = {
    "align": "matched",
    "operands": "normalised",
    "normalise": "normalised",
    "spare": "spare place",
}


@dataclass(frozen=True, slots=True)
class Done:
    """A row that is done: the step and row where it was last written, and every place where it stands."""

    rail: Rail
    label: str
    places: tuple[tuple[int, int], ...]

    @property
    def name(self) -> str:
        """The name of it on the page, by where it was first written."""
        step, row = self.places[0]
        return f"done:{step}:{row}"


class Pages:
    """Makes the pictures of all workings of one lesson."""

    def __init__(self, workings: Iterable[Working]) -> None:
        kept = list(workings)
        self._framer = Framer(kept)
        self._kept = {id(working): number for number, working in enumerate(kept)}
        scenes = [self._framer.scene_of(working) for working in kept]
        self.measures = Measures.of(scenes)

    def picture(self, view: View, moment: Moment | None = None, *, ledge: bool = True) -> Picture:
        """Return what stands on the page in *view* at *moment*."""
        picture = Picture()
        if ledge:
            picture.items["ledge"] = Ledge(y=LEDGE)
        match view.kind:
            case "question":
                draw_question(picture, view, whole=moment is None)
            case "step" | "check" if view.working:
                scene = self._framer.scene_of(view.working)
                prefix = f"{self._kept.get(id(view.working), 0)}:"
                page = Page(picture, scene, view, self.measures, prefix)
                page.draw(moment or Moment())
            case "split" if view.working and view.beside:
                self._split(picture, view)
            case "choices":
                draw_choices(picture, view)
            case _:
                draw_words(picture, view)
        return picture

    def _split(self, picture: Picture, view: View) -> None:
        """Draw one step of two workings, the right one above; where they differ, the digits are marked."""
        upper, lower = (one for one in (view.working, view.beside) if one)
        both = [list(_rails(self._framer.scene_of(one).blocks[view.step]).values()) for one in (upper, lower)]
        page = Page(picture, self._framer.scene_of(upper), view, self.measures, "")
        page._top()  # noqa: SLF001
        page._headings()  # noqa: SLF001
        rows = max(1, sum(map(len, both)))
        tall = min(104.0, 1.5 * page.u + 12, (BOTTOM - TOP - 150) / (1.2 * rows))
        y = TOP + 50
        for side, rails in enumerate(both):
            other = [cell.digit for rail in both[1 - side] for cell in (*rail.cells, *rail.exponent)]
            name = Words(runs=((SIDES[side], "change" if side else "bold"),), x=60, y=y, size=36)
            picture.items[f"side{side}"] = name
            y += 16
            mine = iter(range(10_000))
            for at, rail in enumerate(rails):
                row = page.row(replace(_unchanged(rail), operator=rail.operator), y, tall, tall=True)
                apart = [other[k] != c.digit if (k := next(mine)) < len(other) else True for c in row.cells]
                cells = tuple(
                    replace(cell, style="marked") if differs else cell
                    for cell, differs in zip(row.cells, apart, strict=True)
                )
                picture.items[f"split:{view.step}:{side}:{at}"] = replace(row, cells=cells)
                y += 1.2 * tall
            y += 56


class Page:
    """Draws one state of one working."""

    def __init__(self, picture: Picture, scene: Scene, view: View, measures: Measures, prefix: str) -> None:
        self.picture = picture
        self.scene = scene
        self.view = view
        self.measures = measures
        self.prefix = prefix
        self.u = measures.u
        self.rower: Rower = measures.rower(scene)
        self.done = list(_done(scene, view.step))
        self.walls: list[tuple[float, float, float]] = []  # (x, top, width) of each row that lost something

    def x(self, column: float) -> float:
        """Return the left edge of a mantissa column."""
        return (self.rower.x(0) + column) * self.u

    def put(self, name: str, item: Item, *born: str) -> str:
        """Put *item* on the page and return its whole name."""
        whole = f"{self.prefix}{name}"
        self.picture.items[whole] = item
        if born:
            self.picture.born[whole] = tuple(f"{self.prefix}{each}" for each in born)
        return whole

    def draw(self, moment: Moment) -> None:
        """Draw the top, the rows that are done, and the step or the check."""
        self._top()
        if self.view.kind == "check":
            high = heights(len(self.done), [], BOTTOM - 330 - TOP, self.u, 0)
            bottom = self._folded(high)
            self._headings()
            draw_check(self, moment.stage, bottom)
            return
        block = self.scene.blocks[self.view.step]
        entries = list(self._entries(block))
        weights = 2.4 * self._weight_size() + 12
        high = heights(len(self.done), [kind for kind, _, _ in entries], BOTTOM - TOP, self.u, weights)
        bottom = self._folded(high)
        BlockDrawer(self, block, entries, high, moment).draw(bottom)
        self._headings()

    def _weight_size(self) -> float:
        return max(16.0, min(WEIGHT, 0.36 * self.u))

    def _entries(self, block: Block) -> Iterator[tuple[str, int, object]]:
        """Yield what the step shows, as (kind, row, what): rows it works on, then its own items."""
        for at, (step, row) in enumerate(self.view.subject, start=1):
            rail = _rails(self.scene.blocks[step])[row]
            known = (done.label for done in self.done if (step, row) in done.places)
            yield "rail", -at, replace(_unchanged(rail), label=next(known, rail.label))
        if block.rule == "negate" and block.items:
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
        below = below or (place_values_of(rails[-1], self.scene) if rails else None)
        if below:
            yield "weights", row, below

    def gap_words(self, gap: Fraction) -> str:
        """Return how far the answer is from the exact one, as the course writes numbers."""
        point = self.view.working.question.course.point if self.view.working else "."
        return write_value(gap, point=point)

    # === The parts that stay ===

    def _top(self) -> None:
        view = self.view
        title = view.working.title if view.working else view.title
        estimate = f"  {view.estimate}" if view.estimate else ""
        mark = f"  ({view.mark})" if view.mark else ""
        size = fitting(title + estimate + mark, (WIDTH - 140) / 1.09, 44, 22)
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

    def _headings(self) -> None:
        size = max(18.0, min(28.0, 0.5 * self.u))
        for at, (x, name) in enumerate(self.rower.headings(value=not self.measures.values_below)):
            self.put(f"heading{at}", Words(runs=((name, "soft"),), x=x * self.u, y=HEADINGS, size=size))
        if self.walls:
            x = self.walls[0][0]
            self.put("tray", Words(runs=((self.scene.headings[3], "soft"),), x=x, y=HEADINGS, size=size))

    def _folded(self, high: Heights) -> float:
        """Draw the rows that are done and return where they end."""
        y = TOP
        for done in self.done[high.dropped :]:
            rail = replace(done.rail, label=done.label, soft=False, operator="")
            row = self.row(rail, y, high.thin, tall=False)
            cells = tuple(
                replace(cell, style=_plain(cell.style)) for cell in row.cells if cell.style != "dropped"
            )
            born = [f"row:{step}:{at}" for step, at in reversed(done.places)]
            self.put(done.name, replace(row, cells=cells, aside=""), *born)
            if rail.worth:
                self.wall(rail, y + high.thin)
            y += high.done
        return y

    def wall(self, rail: Rail, top: float) -> None:
        """Remember that below *top* a tray's walls stand."""
        lost = rail.lost
        self.walls.append((self.x(lost[0].column), top, len(lost) * self.u))

    def row(self, rail: Rail, y: float, h: float, *, tall: bool) -> Row:
        """Return *rail* as a row of the page, whole."""
        data = self.rower._rail(rail)  # noqa: SLF001  (one placing of cells for paper and page)
        mantissa = [
            Cell(cell["x"] * self.u, cell["digit"], _style(cell), one.column, cell["edge"], cell["start"])
            for cell, one in zip(data["cells"], rail.cells, strict=True)
        ]
        beside = [
            Cell(
                cell["x"] * self.u,
                cell["digit"],
                _style(cell),
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
            value=rail.value,
            value_x=self.rower.value_at * self.u,
            value_below=self.measures.values_below,
            aside=rail.aside,
            point=None if data["point"] is None else data["point"] * self.u,
            operator=data["operator"],
            operator_at=data["operator_at"] * self.u,
            text=text,
            soft=rail.soft,
            tall=tall,
            words=rail.words,
        )


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
        size = self.page._weight_size()  # noqa: SLF001
        kinds = [kind for kind, _, _ in self.entries]
        block = sum(SLOTS[kind] for kind in kinds) * self.high.tall + (2.4 * size + 12) * kinds.count(
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
                    self._weights(what, y + 4, size)
                    h = 2.4 * size
            y += h
        last = max((row.y + row.h for row in self.placed.values()), default=y)
        if carries_at:
            self._carried(*carries_at)
        if self.moment.column is not None:
            first = carries_at[1] if carries_at else start - 8
            band = Band(x=self.page.x(self.moment.column), y=first, w=self.page.u, h=last - first)
            self.page.put("band", band)
            self.page.picture.to_back(f"{self.page.prefix}band")
        self._aside(last)
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
            drawn = _partly(drawn, self.parts.get(row) if row not in page.view.hidden else None)
            if self.moment.aside:  # the little sum stands where the exponent will
                drawn = replace(drawn, cells=tuple(c for c in drawn.cells if c.column < EXPONENT))
        drawn = _marked(drawn, [cells for cells in self.moment.marked if cells.row == row])
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
        alike = [done.name for done in self.page.done if _key(done.rail) == _key(rail)]
        return alike[-1:]

    def _fall(self, name: str, row: Row, above: Row, rail: Rail) -> None:
        """Let the digits of *row* come from the same columns of the row above, as inverting, adding and cutting do."""
        size, y = above.size, above.y + above.h / 2
        kind = {"negate": "invert", "add": "sum"}.get(self.block.rule, "move")
        sources = {cell.column for cell in above.cells if cell.digit}
        fresh = sorted(cell.column for cell in row.cells if cell.digit and cell.column < EXPONENT)
        for turn, column in enumerate(fresh if kind == "invert" else reversed(fresh)):
            if column in sources:
                x = self.page.x(column + 0.5)
                self.page.picture.ways[name, column] = Way(x, y, size, kind, turn)

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
        data = self.page.rower._row(below)  # noqa: SLF001
        u = self.page.u
        marks = tuple((each["x"] * u, each["top"], each["bottom"], each["power"]) for each in data["weights"])
        widest = max((text_width(text, size) for _, *texts, _ in marks for text in texts), default=0)
        if widest > 1.25 * u:
            size = max(12.0, size * 1.25 * u / widest)
        rules = Rules(label=below.label, marks=marks, y=y, label_x=self.page.measures.label_x, size=size)
        self.page.put("weights", rules)

    def _carried(self, row: int, y: float) -> None:
        """Draw the carries as far as they are known; one out of the sign place stands beside the sum."""
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

    def _aside(self, last: float) -> None:
        if not self.moment.aside:
            return
        page, text = self.page, self.moment.aside
        lowest = self.placed[max(self.placed)] if self.placed else None
        wide = text_width(text, 48, bold=True)
        x, y = page.rower.exponent_at(first=False) * page.u, last - 0.32 * self.high.tall
        if lowest is None or lowest.label == "" or self.moment.column is None or x + wide > WIDTH - 30:
            x, y = page.x(0), min(BOTTOM, last + 76)
        page.put("aside", Words(runs=((text, "bold"),), x=x, y=y, size=48))


# === Rows ===


def _rails(block: Block) -> dict[int, Rail]:
    """Return the rails of *block* by the index of their row in the step."""
    rows = [item for item in block.items if isinstance(item, Rail | Carries)]
    return {at: item for at, item in enumerate(rows) if isinstance(item, Rail)}


def _key(rail: Rail) -> tuple[str, ...]:
    """Return what makes a row the same row: all its digits and its exponent."""
    digits = ("".join(cell.digit for cell in cells) for cells in (rail.sign, rail.exponent))
    return rail.bits, *digits, rail.exponent_text


def _done(scene: Scene, step: int) -> Iterator[Done]:
    """Yield the rows of the steps before *step*, each once, as it was called last."""
    found: dict[tuple[str, ...], Done] = {}
    for index, block in enumerate(scene.blocks):
        here: set[tuple[str, ...]] = set()
        for row, rail in _rails(block).items():
            key = _key(rail)
            if key not in found and (rail.soft or index >= step):
                continue
            if key in here:  # two operands alike are two rows
                key = (*key, str(row))
            here.add(key)
            label = DONE_LABELS.get(block.rule, rail.label) if rail.label == "after" else rail.label
            known = found.get(key)
            if index >= step:  # still to come: it only lends the row its better name
                if known and not rail.soft and block.rule == "add" and known.label == "add one":
                    found[key] = replace(known, label=label)
            elif known is None:
                found[key] = Done(rail, label, ((index, row),))
            else:
                label = known.label if rail.soft else label
                found[key] = replace(known, label=label, places=(*known.places, (index, row)))
    yield from found.values()


def _unchanged(rail: Rail) -> Rail:
    """Return a row of an earlier step as it stands now: nothing in it is new."""
    cells = tuple(replace(cell, changed=False, copied=False) for cell in rail.cells)
    exponent = tuple(replace(cell, changed=False) for cell in rail.exponent)
    return replace(rail, cells=cells, exponent=exponent, soft=False, operator="")


def _style(cell: dict[str, object]) -> str:
    kind = str(cell["kind"])
    if kind in {"lost", "dropped", "extra"}:
        return kind
    return "copied" if cell["copied"] else "changed" if cell["changed"] else "kept"


def _plain(style: str) -> str:
    return "kept" if style in {"changed", "copied", "marked"} else style


def _partly(row: Row, cells: Cells | None) -> Row:
    """Return *row* with only *cells* written, or none: nothing beside it, nothing in its tray."""
    shown = tuple(
        cell if cells and cells.first <= cell.column <= cells.last else replace(cell, digit="", style="kept")
        for cell in row.cells
        if cell.style not in {"lost", "dropped", "extra"}
    )
    return replace(row, cells=shown, value="", aside="", text=None, words="")


def _marked(row: Row, marks: list[Cells]) -> Row:
    if not marks:
        return row
    cells = tuple(
        replace(cell, style="marked")
        if cell.style not in {"lost", "dropped"} and any(m.first <= cell.column <= m.last for m in marks)
        else cell
        for cell in row.cells
    )
    return replace(row, cells=cells)
