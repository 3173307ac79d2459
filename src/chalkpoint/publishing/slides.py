"""A storyboard as slides of native shapes: one step each, its words as notes, columns lined up from slide to slide."""

from __future__ import annotations

from collections.abc import Iterable

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing.frames import Frame, frames, together
from chalkpoint.publishing.parts import Check, Held, Names, PlaceValues, Rail, Threads
from chalkpoint.publishing.pptxdeck import Deck
from chalkpoint.publishing.pptxshapes import Sheet
from chalkpoint.publishing.sentences import raised
from chalkpoint.publishing.stage import HEIGHT, LABEL, LEFT, WIDTH, Stage
from chalkpoint.publishing.stagerows import Rows, RulerDrawer
from chalkpoint.publishing.typst.rows import pieces, ruler_data
from chalkpoint.teaching.digits import HELD
from chalkpoint.teaching.storyboard import Shot, Storyboard
from chalkpoint.teaching.telling import sentences
from chalkpoint.working.wording.words_pupils import NOT_WRITTEN, THREADS

__all__ = ["add_slides", "slides"]

TITLE, TEXT = 60, 48  # px: 30 and 24 pt
USUAL_LINES = 2  # of what is said above the rows
ROOM = WIDTH - 2 * LEFT
RULER_U, RULER_LEFT = 82.0, 1040
CHARACTER, LEADING = 0.6, 1.3  # of a size of type: a character's width, a line's height
Runs = list[tuple[str, str]]


def slides(told: Storyboard) -> bytes:
    """Return *told* as a .pptx file, the same bytes every time.

    Raises EntryError when the slides extra is not installed.
    """
    deck = Deck(told.title, WIDTH, HEIGHT)
    add_slides(deck, told)
    return deck.saved()


def add_slides(deck: Deck, told: Storyboard) -> None:
    """Add the slides of *told* to *deck*, on columns of their own."""
    pictures = list(together(frames(told)))
    stage = Stage.of(frame for _, frame in pictures)
    for shots, frame in pictures:
        sheet = Sheet()
        _draw(sheet, frame, stage)
        deck.add(sheet.xml(), _notes(shots))


def _notes(shots: Iterable[Shot]) -> str:
    """Return what is said during *shots*, a line a sentence."""
    lines = []
    for shot in shots:
        for cue in shot.cues:
            pause = f"(pause {cue.milliseconds // 1000} s, {cue.written})"
            lines.append(pause if cue.silent else cue.written.replace(HELD, " "))
    return "\n".join(lines)


def _draw(sheet: Sheet, frame: Frame, stage: Stage) -> None:
    mark = f"  ({frame.mark})" if frame.mark else ""
    sheet.title(LEFT, 50, ROOM, 90, f"{frame.number} {frame.title}{mark}".strip(), TITLE)
    detail = " ".join(_fitting(sentences(frame.detail), ROOM, 130)) if frame.detail else ""
    if detail:
        sheet.words(LEFT, 145, ROOM, 190, pieces(detail), TEXT, top=True, name="detail")
    lines = 1 + int(len(detail) * CHARACTER * TEXT / ROOM)
    clear = 145 + lines * TEXT * LEADING if lines > USUAL_LINES else 0.0
    if frame.items:
        _step(sheet, frame, stage, clear)
    if frame.lines:
        runs = _paragraphs([pieces(line) for line in frame.lines])
        sheet.words(LEFT, 220, 1600, 700, runs, TEXT, top=True, name="text")
    if frame.check:
        _check(sheet, frame, stage, clear)
    if frame.choices:
        _choices(sheet, frame)
    if frame.strip:
        runs = [
            run
            for at, name in enumerate(frame.strip)
            for run in ((name, "here" if at == frame.at else "soft"), ("     ", ""))
        ]
        top = _strip_top(frame)
        sheet.words(LEFT, top, ROOM, 1060 - top, runs, LABEL, name="steps")


def _step(sheet: Sheet, frame: Frame, stage: Stage, clear: float) -> None:
    """Draw the rows, further down where the sentence above them ends only at *clear*."""
    rows = stage.rows(frame)
    row_builder, drawing = stage.row_builder(frame), Rows(sheet, stage.measures)
    top = stage.top(rows)
    top = max(top, min(clear + 60, _strip_top(frame) - stage.height(rows) * stage.u))
    drawing.headings(row_builder.headings(value=False), top - 60)
    bottom = drawing.draw(rows, [_words(item, shown=shown) for item, shown in frame.items], top)
    if frame.decimals:
        runs: Runs = [("in decimal  ", "soft"), *pieces(frame.decimals)]
        x, needed = (
            drawing.x(row_builder.mantissa_at),
            len("in decimal  " + frame.decimals) * CHARACTER * TEXT,
        )
        if x + needed > WIDTH - LEFT:  # where it would break, it begins at the left edge
            x = LEFT
        lines = 1 + int(needed / (WIDTH - LEFT - x))
        if bottom + 10 + lines * TEXT * LEADING > _strip_top(frame):
            return  # no room above the names of the steps: the notes have it
        sheet.words(x, bottom + 10, WIDTH - LEFT - x, 90, runs, TEXT, top=True, name="decimal")


def _strip_top(frame: Frame) -> int:
    """Return where the names of the steps begin: higher where they take two lines."""
    lines = 1 + int(len("     ".join(frame.strip)) * CHARACTER * LABEL / ROOM)
    return 1000 - 50 * (lines - 1)


def _words(item: object, *, shown: bool) -> str:
    """Return what stands for a row: its sentence; for the strokes between rows, that they are strokes."""
    match item:
        case Held():
            return item.words
        case Rail():
            return item.words if shown else NOT_WRITTEN.format(label=item.label)
        case PlaceValues():
            return item.words
        case Threads():
            return THREADS
        case Names():
            return ", ".join(name for _, name in item.names)
    return "carries"


def _check(sheet: Sheet, frame: Frame, stage: Stage, clear: float) -> None:
    check = frame.check
    if check is None:
        return
    y = max(290.0, clear + 10)
    drawing = Rows(sheet, stage.measures)
    for left in check.left:
        y = drawing.floor(stage.left_in(frame, left), y, left.words) + 12
    ruler = ruler_data(check.ruler, character=CHARACTER * LABEL / RULER_U) if check.ruler else None
    room = ROOM if ruler is None else _before(ruler) - LEFT
    kept = _fitting([f"{label}  {text}" for label, text in _worth_most(check)], room, 750 - y)
    lines = _paragraphs(
        [[(f"{label}  ", "soft"), *pieces(text)] for label, text in check.lines if f"{label}  {text}" in kept]
    )
    sheet.words(LEFT, y + 10, room, 770 - y, lines, TEXT, top=True, name="check")
    if check.ruler and ruler:
        RulerDrawer(sheet, RULER_U).draw(ruler, check.ruler.words, RULER_LEFT, y + 20)
    verdict: Runs = [(raised(check.verdict), "bold")]
    reasons = _fitting([check.verdict, *check.reasons], ROOM, 220)[1:]
    runs = _paragraphs([verdict, *(pieces(reason) for reason in reasons)])
    sheet.words(LEFT, 780, ROOM, 220, runs, TEXT, top=True, name="verdict")


def _before(ruler: JsonObject) -> float:
    """Return where words beside a ruler have to end: before its captions, the longest of which stands out of it."""
    before = {"start": 0.0, "middle": 0.5, "end": 1.0}
    starts: list[float] = [
        RULER_LEFT + x * RULER_U - before[anchor] * sum(len(text) for text, _ in runs) * CHARACTER * LABEL
        for x, _, anchor, runs in ruler["captions"]
    ]
    return min(RULER_LEFT - 20.0, *(start - 20 for start in starts))


def _worth_most(check: Check) -> list[tuple[str, str]]:
    """Return the lines of a check, those first that a class needs most: the answer worked, the exact one."""
    order = {"worked": 0, "in decimal": 1}
    return sorted(check.lines, key=lambda line: order.get(line[0], 2))


def _fitting(texts: Iterable[str], width: float, height: float) -> list[str]:
    """Return as many of *texts*, wrapped to *width*, as are no higher than *height*; the notes have them all.

    >>> _fitting(["short", "a long sentence " * 20], 1000, 100)
    ['short']
    """
    kept: list[str] = []
    left = height
    for text in texts:
        left -= (1 + int(len(text) * CHARACTER * TEXT / width)) * TEXT * LEADING
        if left < 0 and kept:
            break
        kept.append(text)
    return kept


def _choices(sheet: Sheet, frame: Frame) -> None:
    for at, choice in enumerate(frame.choices):
        y = 230 + 185 * at
        right = frame.revealed and choice.right
        said = f"{choice.letter}: {choice.answer}" + (", right" if right else "")
        sheet.open("choice", said)
        sheet.line(LEFT, y, LEFT, y + 150, "change" if right else "rail", 14 if right else 3)
        runs: Runs = [(f"{choice.letter}  ", "bold"), (choice.answer, "bits")]
        runs += [("  right", "bold")] if right else []
        sheet.words(LEFT + 40, y, ROOM - 40, 80, runs, 64)
        if frame.revealed and choice.says:
            sheet.words(LEFT + 40, y + 82, ROOM - 40, 80, [(choice.says, "")], TEXT, top=True)
        sheet.close()


def _paragraphs(lines: Iterable[Runs]) -> Runs:
    runs: Runs = []
    for line in lines:
        runs += [("", "break")] if runs else []
        runs += line
    return runs
