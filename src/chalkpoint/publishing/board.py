"""The board view: a lesson as one HTML file that needs nothing else and works from a memory stick.

Every picture is drawn and every sentence written beforehand; the script only shows and hides them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files

from chalkpoint.publishing.frames import Frame, frames
from chalkpoint.publishing.html import templates
from chalkpoint.publishing.parts import Carries, Names, PlaceValues, Rail, Ruler, Threads
from chalkpoint.publishing.stage import LEFT, Stage
from chalkpoint.publishing.stagerows import Rows, RulerDrawer
from chalkpoint.publishing.svgsheet import SvgSheet
from chalkpoint.publishing.typst.rows import ruler_data
from chalkpoint.teaching.digits import HELD
from chalkpoint.teaching.lesson import Lesson, Part
from chalkpoint.teaching.parts import storyboard
from chalkpoint.teaching.storyboard import Shot, Storyboard

__all__ = ["board", "board_script"]

HEADING = 60  # px above the rows
RULER_U = 82.0


@dataclass(slots=True)
class Section:
    """One picture of the board, and its states: which of its rows are still hidden in each.

    notes  what the teacher may say in each state
    """

    frame: Frame
    part: int
    states: list[frozenset[int]] = field(default_factory=list)
    notes: list[list[str]] = field(default_factory=list)
    svg: str = ""
    rows: list[tuple[int, str, str]] = field(default_factory=list)  # (row, label, words)
    decimals: list[tuple[int, str]] = field(default_factory=list)

    @property
    def written_states(self) -> str:
        """The states as the script reads them: rows parted by spaces, states by bars."""
        return "|".join(" ".join(map(str, sorted(state))) for state in self.states)


@dataclass(frozen=True, slots=True)
class Deck:
    """Sections shown one after the other: the lesson, or one parallel of a part."""

    sections: list[Section]
    part: int = -1


def board(lesson: Lesson, told: Storyboard | None = None, *, home: str = "") -> str:
    """Return *lesson* as a board page.

    told  its storyboard, where a teacher changed the words
    home  the address that its way back leads to; a board in a file has none
    """
    main = _sections(frames(told or storyboard(lesson)))
    parallels = [
        Deck(_sections(frames(storyboard(_parallel(lesson, part, at)))), index)
        for index, part in enumerate(lesson.parts)
        for at in range(len(part.parallels))
    ]
    decks = [Deck(main), *parallels]
    stage = Stage.of(section.frame for deck in decks for section in deck.sections)
    for deck in decks:
        for section in deck.sections:
            _draw(section, stage)
    template = templates().get_template("board.html.jinja")
    return template.render(
        lesson=lesson,
        home=home,
        decks=decks,
        with_parallels=sorted({deck.part for deck in parallels}),
        style=_file("board.css"),
        script=_file("board.js"),
    )


def board_script() -> str:
    """Return the one script of every board page, as it stands between its tags."""
    return f"\n{_file('board.js')}\n"


@cache
def _file(name: str) -> str:
    return (files("chalkpoint.publishing") / "templates" / name).read_text(encoding="utf-8").strip()


def _parallel(lesson: Lesson, part: Part, at: int) -> Lesson:
    """Return a lesson of one more question of *part*'s kind."""
    from dataclasses import replace

    working = part.parallels[at]
    kind = part.kind if part.kind in {"worked", "try", "faded"} else "worked"
    blanks = tuple(rule for rule in part.blanks if rule in {step.rule for step in working.steps})
    again = replace(
        part,
        kind=kind,
        title=f"Another one: {working.title}",
        says=(),
        working=working,
        blanks=blanks,
        parallels=(),
    )
    return replace(lesson, parts=(again,))


def _sections(shown: Iterable[tuple[Shot, Frame]]) -> list[Section]:
    """Return the pictures, shots of one step or one list of lines together."""
    found: list[Section] = []
    last: Shot | None = None
    for shot, frame in shown:
        if last is None or not _one_picture(last, shot):
            found.append(Section(frame, shot.part))
        section = found[-1]
        section.frame = frame  # the last shot shows everything
        section.states.append(_hidden(shot, frame))
        section.notes.append([_note(cue.written, cue.milliseconds, silent=cue.silent) for cue in shot.cues])
        last = shot
    for section in found:
        if section.frame.lines:
            every = range(len(section.frame.lines))
            section.states = [
                frozenset(row for row in every if row > at) for at in range(len(section.states))
            ]
    return found


def _one_picture(one: Shot, other: Shot) -> bool:
    a, b = one.view, other.view
    same = (a.kind, a.title, a.step, a.mark) == (b.kind, b.title, b.step, b.mark)
    return same and a.working is b.working and one.part == other.part and a.detail in {b.detail, ""}


def _hidden(shot: Shot, frame: Frame) -> frozenset[int]:
    if shot.view.kind == "choices":
        return frozenset() if frame.revealed else frozenset({0})
    return frozenset(row for row, (item, shown) in _numbered(frame) if isinstance(item, Rail) and not shown)


def _note(written: str, milliseconds: int, *, silent: bool) -> str:
    return f"(pause {milliseconds // 1000} s, {written})" if silent else written.replace(HELD, " ")


def _numbered(frame: Frame) -> Iterator[tuple[int, tuple[object, bool]]]:
    """Yield each item with the number of the rail it comes with: threads with that below, carries with the last."""
    rails = sum(isinstance(item, Rail) for item, _ in frame.items)
    row = -1
    for item, shown in frame.items:
        row += isinstance(item, Rail)
        number = rails - 1 if isinstance(item, Carries) else row + 1 if isinstance(item, Threads) else row
        yield number, (item, shown)


# === Drawing ===


def _draw(section: Section, stage: Stage) -> None:
    frame = section.frame
    if frame.items:
        _draw_step(section, stage)
    elif frame.check:
        _draw_check(section, stage)


def _draw_step(section: Section, stage: Stage) -> None:
    frame, u = section.frame, stage.u
    rows, rower = stage.rows(frame), stage.rower(frame)
    numbers = [number for number, _ in _numbered(frame)]
    hidden_at_first = set().union(*section.states)
    parts: list[str] = []
    base = SvgSheet(u, "base")
    for x, name in rower.headings(value=False):
        base.words(LEFT + x * u, 0, 500, 50, [(name, "")], 32, colour="soft")
    parts.append(base.markup())
    y = float(HEADING)
    drawing = Rows(base, stage)  # keeps what moved from threads to the row below
    for row, number, (item, _) in zip(rows, numbers, frame.items, strict=True):
        if isinstance(item, Rail) and number in hidden_at_first:
            blank = SvgSheet(u, "blank")
            Rows(blank, stage).draw([stage.blank(row) | {"wall": None}], [""], y)
            parts.append(blank.markup())
        sheet = SvgSheet(u)
        sheet.row = None if isinstance(item, PlaceValues | Names) else number
        drawing.sheet = sheet
        y = drawing.draw([row], [""], y)
        parts.append(sheet.markup())
        if isinstance(item, Rail):
            section.rows.append((number, item.label, item.words))
            if item.value:
                lost = f" and {item.lost_words}" if item.worth else ""
                section.decimals.append((number, f"{item.label} {item.value}{lost}"))
    section.svg = _svg("".join(parts), y + 6)


def _draw_check(section: Section, stage: Stage) -> None:
    check = section.frame.check
    if check is None:
        return
    sheet = SvgSheet(stage.u, "base")
    drawing, y = Rows(sheet, stage), 4.0
    for at, left in enumerate(check.left):
        y = drawing.floor(stage.left_in(section.frame, left), y, left.words) + 16
        section.rows.append((at, left.label, left.words))
    if check.ruler:
        y = _ruler(sheet, check.ruler, section, y)
    if y > 4:
        section.svg = _svg(sheet.markup(), y)


def _ruler(sheet: SvgSheet, ruler: Ruler, section: Section, y: float) -> float:
    plan = ruler_data(ruler)
    RulerDrawer(sheet, RULER_U).draw(plan, ruler.words, 540, y)
    section.rows.append((len(section.rows), "ruler", ruler.words))
    return y + float(plan["height"]) * RULER_U + 10


def _svg(drawn: str, height: float) -> str:
    return f'<svg viewBox="0 0 1920 {round(height)}" aria-hidden="true" focusable="false">{drawn}</svg>'
