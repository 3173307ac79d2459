"""A scene as one SVG drawing in the light look: words left, or above long rails; rails; the check below."""

from __future__ import annotations

from chalkpoint.publishing import layout
from chalkpoint.publishing.layout import Line
from chalkpoint.publishing.parts import Block, Check, Scene, Tray
from chalkpoint.publishing.sentences import wrap
from chalkpoint.publishing.stagerows import Rows
from chalkpoint.publishing.svgpen import AVERAGE, Box, Pen
from chalkpoint.publishing.svgsheet import VALUE, SvgSheet, U, svg_measures
from chalkpoint.publishing.typst.rows import RowBuilder

__all__ = ["svg"]

MARGIN = 32.0
SAY, LABEL = 266.0, 92.0  # the words beside the rails, the labels
LABEL_CHARACTER, LABEL_GAP = 7.9, 14.0
NUMBER = 26.0  # before a step's words
GAP, STEP_GAP = 10.0, 36.0  # after the tray's floor, between steps
LONGEST_SAY = 620.0  # where the words stand above
LONG_RAILS = 30  # columns; beyond, the words stand above the rails
TITLE, STEP, TEXT, SMALL, VERDICT = 26.0, 17.0, 14.0, 13.0, 20.0  # sizes
LEADING = 1.5
BOLD = 1.17  # how much wider bold letters are


def svg(scene: Scene) -> str:
    """Return *scene* as the text of an SVG file."""
    return Drawing(scene).draw()


class Drawing:
    """Draws one scene from top to bottom; *y* is where the next thing goes."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.pen = Pen(scene.title, scene.words)
        grid = layout.grid(scene)
        self.above = grid.width > LONG_RAILS
        self.labels = max(LABEL, scene.longest_label * LABEL_CHARACTER + LABEL_GAP)
        self.left = MARGIN + (0 if self.above else SAY) + self.labels
        self.layout = RowBuilder(scene, labels=0)
        self.rows = Rows(SvgSheet(self.pen), svg_measures(self.left))
        ruler = layout.RULER_WIDTH * U if scene.check.ruler else 0  # wider than a working without rails
        self.width = (
            max(self.rows.x(self.layout.value_at) + _longest_value(scene), self.left + ruler) + MARGIN
        )
        self.y = MARGIN
        self.walls: tuple[Tray, float] | None = None  # the tray that stands, and where its walls start

    def draw(self) -> str:
        """Return the finished drawing."""
        self._lines(MARGIN, self.scene.title, TITLE)
        if self.scene.method:
            self._lines(MARGIN, f"Method: {self.scene.method}.", SMALL, colour="soft")
        for note in self.scene.notes:
            self._lines(MARGIN, note, SMALL, colour="soft")
        self.y += STEP_GAP
        for block in self.scene.blocks:
            self._block(block, headed=block is self.scene.headed)
        self._check(self.scene.check)
        return self.pen.finish(self.width, self.y + MARGIN)

    def _lines(self, x: float, text: str, size: float, *, colour: str = "ink", bold: bool = False) -> None:
        """Write *text* from *x* to the right-hand margin, and move down past it."""
        for line in broken(text, self.width - MARGIN - x, size):
            self.y += size * LEADING
            self.pen.words(x, self.y, line, size, colour=colour, bold=bold)

    # === Steps ===

    def _say(self, number: int, title: str, detail: str) -> float:
        """Write a step's words and return where they end."""
        room = min(self.width - 2 * MARGIN, LONGEST_SAY) if self.above else SAY - 12
        y = self.y + STEP
        self.pen.words(MARGIN, y, str(number), STEP, colour="soft")
        for index, line in enumerate(broken(title, room - NUMBER, STEP * BOLD)):
            y += STEP * LEADING if index else 0
            self.pen.words(MARGIN + NUMBER, y, line, STEP, bold=True)
        y += 4
        for line in broken(detail, room - NUMBER, TEXT):
            y += TEXT * LEADING
            self.pen.words(MARGIN + NUMBER, y, line, TEXT)
        return y

    def _block(self, block: Block, *, headed: bool) -> None:
        said_to = self._say(block.number, block.title, block.detail)
        if self.above:
            self.y = said_to + 16
        if headed:
            self.rows.headings(self.layout.headings(), self.y + 2)
            self.y += SMALL + 8
        for item, row in zip(block.items, self.layout.rows(block.items), strict=True):
            self.y += row["gap"] * U
            self._stand(item.tray)
            self.y = self.rows.draw([row | {"wall": None, "gap": 0}], [""], self.y)
        self._stand(block.tray)
        self.y = max(self.y, said_to) + STEP_GAP

    def _stand(self, tray: Tray | None) -> None:
        """Let the walls of *tray* start here; those of another end here."""
        if self.walls and self.walls[0] != tray:
            tray_before, start = self.walls
            self.rows.walls(self.layout.wall(tray_before), start, self.y)
            self.walls = None
        if tray and not self.walls:
            self.walls = (tray, self.y)

    # === The check ===

    def _check(self, check: Check) -> None:
        said_to = self._say(check.number, check.title, check.detail)
        if self.above:
            self.y = said_to + 16
        for left in check.left:
            if self.walls and self.walls[0].left != left.cells[0].column:
                self._stand(None)
            self.y = self.rows.floor(self.layout.left_in(left), self.y, "")
            self._stand(None)
            self.y += GAP
        for label, text in check.lines:
            *above, last = broken(label, self.labels + 8, SMALL)
            for line in above:
                self.y += SMALL * LEADING
                self._label(line, self.y)
            self._label(last, self.y + TEXT * LEADING)
            self._lines(self.left, text, TEXT)
        self.y = max(self.y, said_to) + 24
        self._ruler(check)
        self._lines(self.left, check.verdict, VERDICT, bold=True)
        self.y += 4
        for reason in check.reasons:
            self._lines(self.left, reason, SMALL)

    def _label(self, text: str, y: float) -> None:
        self.pen.words(self.left - LABEL_GAP, y, text, SMALL, colour="soft", anchor="end")

    def _ruler(self, check: Check) -> None:
        if not check.ruler:
            return
        plan = layout.plan_ruler(check.ruler)
        x, y, width, height = plan.gap
        for stroke in plan.hatch:
            self.pen.line(self._on_sheet(stroke), "soft", 1)
        self.pen.box(Box(self.left + x * U, self.y + y * U, width * U, height * U), "ink")
        self.pen.line(self._on_sheet(plan.line), "ink", 2)
        for tick in plan.ticks:
            self.pen.line(self._on_sheet(tick), "ink", 1)
        for caption in plan.captions:
            at = (self.left + caption.x * U, self.y + caption.y * U)
            self.pen.words(*at, caption.text, SMALL, anchor=caption.anchor)
        self.y += plan.height * U

    def _on_sheet(self, line: Line) -> Line:
        """Return a stroke of the ruler where it stands on the sheet."""
        return Line(
            self.left + line.x1 * U, self.y + line.y1 * U, self.left + line.x2 * U, self.y + line.y2 * U
        )


def broken(sentence: str, width: float, size: float) -> list[str]:
    """Return *sentence* in lines of about *width* px, set in *size*."""
    return wrap(sentence, max(8, int(width / (size * AVERAGE))))


def _longest_value(scene: Scene) -> float:
    """Return the width of the longest value, or of what stands under it."""
    value, under = VALUE
    sizes = [len(rail.value) * value for rail in scene.rails]
    sizes += [(len(rail.aside) + 6) * under for rail in scene.rails if rail.aside]
    return max(sizes, default=0) * AVERAGE + 24
