"""The board view: a lesson as one HTML file that needs nothing else and works from a memory stick.

Every picture is drawn and every sentence written beforehand; the script only shows and hides them. A press goes
one change on or back: a row, and in an addition one column.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from chalkpoint.publishing.film.items import Band, Item
from chalkpoint.publishing.film.pages import Pages
from chalkpoint.publishing.film.picture import Picture, Way
from chalkpoint.publishing.film.row import Row
from chalkpoint.publishing.film.svgpen import SvgPen
from chalkpoint.publishing.frames import Frame, frames
from chalkpoint.publishing.html import template_text, templates
from chalkpoint.teaching.digits import HELD
from chalkpoint.teaching.lesson import Lesson, Part
from chalkpoint.teaching.parts import storyboard
from chalkpoint.teaching.storyboard import Cue, Shot, Storyboard

__all__ = ["board", "board_script"]

TOP, BOTTOM = 150.0, 960.0  # px of the page that stand between the title and the controls
DRAWN = ("step", "check", "split")


@dataclass(slots=True)
class Section:
    """One step of the board, and its states: which of its things are still hidden in each.

    notes   what the teacher may say in each state, with what it is worth in time
    covers  rows that can be covered, by what covers them
    """

    frame: Frame
    part: int
    states: list[frozenset[int]] = field(default_factory=list)
    notes: list[list[str]] = field(default_factory=list)
    cues: list[int] = field(default_factory=list)  # the number of the first cue said in each state
    svg: str = ""
    rows: list[tuple[int, str]] = field(default_factory=list)  # (thing, words)
    covers: list[tuple[str, str]] = field(default_factory=list)  # (name, label)
    last: int = -1  # what only the last state shows

    @property
    def written_cues(self) -> str:
        """Of each state the number of its first cue and how many are said over it, for a recording's turns."""
        return "|".join(f"{first} {len(said)}" for first, said in zip(self.cues, self.notes, strict=True))

    @property
    def written_states(self) -> str:
        """The states as the script reads them: spaces between things, bars between states."""
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
    decks = [Deck(_sections(told or storyboard(lesson)))]
    decks += [
        Deck(_sections(storyboard(_parallel(lesson, part, at))), index)
        for index, part in enumerate(lesson.parts)
        for at in range(len(part.parallels))
    ]
    template = templates().get_template("board.html.jinja")
    return template.render(
        lesson=lesson,
        home=home,
        decks=decks,
        with_parallels=sorted({deck.part for deck in decks[1:]}),
        style=template_text("board.css"),
        script=template_text("board.js"),
    )


def board_script() -> str:
    """Return the one script of every board page, as it stands between its tags."""
    return f"\n{template_text('board.js')}\n"


def _parallel(lesson: Lesson, part: Part, at: int) -> Lesson:
    """Return a lesson of one more question of *part*'s kind."""
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


# === States ===


def _sections(told: Storyboard) -> list[Section]:
    """Return the pictures of *told*, the shots of one step or one list of lines together."""
    pages = Pages(told.workings)
    found: list[Section] = []
    number = 0
    for shots in _together(frames(told)):
        frame = shots[-1][1]  # the last shot shows everything
        section = Section(frame, shots[0][0].part)
        if shots[0][0].view.kind in DRAWN:
            _drawn_states(section, [shot for shot, _ in shots], pages, number)
        else:
            _written_states(section, [shot for shot, _ in shots], number)
        number += sum(len(shot.cues) for shot, _ in shots)
        found.append(section)
    return found


def _together(shown: Iterable[tuple[Shot, Frame]]) -> Iterator[list[tuple[Shot, Frame]]]:
    held: list[tuple[Shot, Frame]] = []
    for shot, frame in shown:
        if held and not _one_picture(held[-1][0], shot):
            yield held
            held = []
        held.append((shot, frame))
    if held:
        yield held


def _one_picture(one: Shot, other: Shot) -> bool:
    a, b = one.view, other.view
    same = (a.kind, a.title, a.step, a.mark) == (b.kind, b.title, b.step, b.mark)
    return same and a.working is b.working and one.part == other.part and a.detail in {b.detail, ""}


def _written_states(section: Section, shots: list[Shot], number: int) -> None:
    """Give a section of words its states: a line more each time, or the right answer at the end."""
    frame = section.frame
    lines = range(len(frame.lines))
    for at, shot in enumerate(shots):
        if shot.view.kind == "choices":
            hidden = [frozenset[int]() if shot.view.revealed else frozenset({0})]
            said = [list(shot.cues)]
        elif shot.view.kind == "question" and frame.lines:
            hidden, said = [frozenset({0}), frozenset()], [list(shot.cues[:1]), list(shot.cues[1:])]
        else:
            hidden, said = [frozenset(line for line in lines if line > at)], [list(shot.cues)]
        for state, cues in zip(hidden, said, strict=True):
            section.states.append(state)
            section.notes.append([_note(cue) for cue in cues])
            section.cues.append(number)
            number += len(cues)


def _drawn_states(section: Section, shots: list[Shot], pages: Pages, number: int) -> None:
    """Draw everything a step shows, each thing once, and tell which of it each state shows."""
    things: dict[tuple[str, Item], int] = {}
    shown_in: list[set[int]] = []
    drawn: list[str] = []
    before: Picture | None = None
    for shot, cue in _moments(shots):
        picture = pages.picture(shot.view, cue.moment if cue else None, ledge=False)
        number += 1
        if before is not None and picture.items == before.items:
            section.notes[-1] += [_note(cue)] if cue else []
            continue
        shown = set()
        for name, item in picture.items.items():
            key = (name, item)
            if key not in things:
                things[key] = len(things)
                group = _group(things[key], name, item, picture, before)
                drawn.insert(
                    0 if isinstance(item, Band) else len(drawn), group
                )  # the pointer stands under all
                if isinstance(item, Row) and item.tall and item.words:
                    section.rows.append((things[key], item.words))
                    if (name, item.label) not in section.covers:
                        section.covers.append((name, item.label))
            shown.add(things[key])
        shown_in.append(shown)
        section.notes.append([_note(cue)] if cue else [])
        section.cues.append(number - 1)
        before = picture
    everything = set(range(len(things)))
    section.last = len(things)
    section.states = [frozenset(everything - shown) | {section.last} for shown in shown_in]
    section.states[-1] -= {section.last}
    section.covers.sort()
    box = f"0 {TOP:.0f} 1920 {BOTTOM - TOP:.0f}"
    section.svg = f'<svg viewBox="{box}" aria-hidden="true" focusable="false">{"".join(drawn)}</svg>'


def _moments(shots: list[Shot]) -> Iterator[tuple[Shot, Cue | None]]:
    """Yield each cue with its shot; then, where the last cue leaves something open, the whole picture."""
    for shot in shots:
        yield from ((shot, cue) for cue in shot.cues)
    last = shots[-1]
    if not last.cues or last.cues[-1].moment:
        yield last, None


def _note(cue: Cue) -> str:
    if cue.silent:
        return f"(pause {cue.milliseconds // 1000} s, {cue.written})"
    return cue.written.replace(HELD, " ")


# === Drawing ===


def _group(number: int, name: str, item: Item, picture: Picture, before: Picture | None) -> str:
    """Return one thing as a group that can be hidden, its digits knowing where they came from."""
    old = before.items.get(name) if before else None
    had = {cell.column for cell in old.cells if cell.digit} if isinstance(old, Row) else set()
    came = {}
    if isinstance(item, Row):
        for cell in item.cells:
            way = picture.ways.get((name, cell.column))
            if way and cell.digit and cell.column not in had:
                came[round(cell.x + item.u / 2)] = _far(way, cell.x + item.u / 2, item.y + item.h / 2)
    pen = SvgPen(came, gather=isinstance(item, Row))
    item.draw(pen)
    kind = "rail" if isinstance(item, Row) else type(item).__name__.lower()
    if isinstance(item, Row) and not item.tall:
        kind = "done"
    return f'<g class="{kind}" data-row="{number}" data-name="{name}">{pen.markup()}</g>'


def _far(way: Way, x: float, y: float) -> tuple[float, float, int]:
    return way.x - x, way.y - y, 60 * way.turn
