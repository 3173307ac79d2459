"""The tally: what a class wrote, line beside distinct line, each with how many wrote it and what it says.

Lines that read alike are one line, whatever their spelling. Nothing here knows who wrote what: seats are
counted and left behind. Until the teacher reveals, no line is marked; each is shown with the thought that
would give it, the right one among the others.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from chalkpoint.marking.lines_ahead import ANSWER
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.board import question_on
from chalkpoint.teaching.judged import Judged, Thought, judge_line
from chalkpoint.teaching.lines import LineRead, read_line
from chalkpoint.teaching.live.asking import ask_to_see
from chalkpoint.teaching.live.room import LETTERS, SHOWN, Room, Round, question_of, read_seat, to_write
from chalkpoint.working.course import Course
from chalkpoint.working.wording import words_lessons as prompts
from chalkpoint.working.wording.heading import heading

__all__ = ["Tally", "TallyLine", "check_line", "gather", "tally", "tally_of"]

UNREAD, SLIP = "unread", "slip"
MOST_ASKED = 3


@dataclass(frozen=True, slots=True)
class TallyLine:
    """One distinct line.

    written   in one spelling, or as typed where it cannot be read
    count     how many wrote it
    value     in decimal, or ""
    kind      what it was judged to be (`Judged.kind`), or "unread"; "" while nothing is marked
    words     that in a few words, such as "right", "3 explanations", or the one thought that gives it
    thoughts  every explanation known here; without evidence while nothing is marked
    mantissa  the row's digits with their point, for drawing; "" where they are no mantissa of the format
    exponent  the exponent's bits where one is written, or ""
    letter    of a hinge question's answer, or ""
    """

    written: str
    count: int
    value: str
    kind: str
    words: str
    thoughts: tuple[Thought, ...]
    mantissa: str = ""
    exponent: str = ""
    letter: str = ""


@dataclass(frozen=True, slots=True)
class Tally:
    """A round as the teacher sees it.

    question  the question as a heading, such as "8.875 − 3.6875 in 8+4"
    rule      the line asked for
    title     its heading
    answered  how many have written
    came      how many have come in; 0 where nobody counted
    lines     the distinct lines, the commonest first; for letters, A to D
    marked    whether the lines are marked
    asks      for each line with several explanations: (line, what would tell them apart)
    """

    question: str
    rule: str
    title: str
    answered: int
    came: int
    lines: tuple[TallyLine, ...]
    marked: bool
    asks: tuple[tuple[str, str], ...] = ()

    @property
    def says(self) -> str:
        """How many have written, in words."""
        return (
            f"{self.answered} of {self.came} have written." if self.came else f"{self.answered} have written."
        )

    def to_dict(self) -> JsonObject:
        """Return the tally as JSON keys (chalkpoint.tally/1)."""
        return {
            "schema": "chalkpoint.tally/1",
            "question": self.question,
            "rule": self.rule,
            "title": self.title,
            "answered": self.answered,
            "came": self.came,
            "marked": self.marked,
            "says": self.says,
            "lines": [_line_dict(line) for line in self.lines],
            "asks": [{"written": written, "says": says} for written, says in self.asks],
        }


def _line_dict(line: TallyLine) -> JsonObject:
    thoughts = [
        {"kind": thought.kind, "name": thought.name, "says": thought.says, "evidence": thought.evidence}
        for thought in line.thoughts
    ]
    return {
        "letter": line.letter,
        "written": line.written,
        "count": line.count,
        "value": line.value,
        "mantissa": line.mantissa,
        "exponent": line.exponent,
        "kind": line.kind,
        "words": line.words,
        "thoughts": thoughts,
    }


def check_line(room: Room, number: int, text: str) -> str:
    """Return a pupil's line as it is to be kept, in one spelling; an empty line is refused.

    number  of the round it was written for

    Raises EntryError where no lines are taken, they are taken for another round, or it cannot be read.
    """
    asked = room.round
    if asked is None or not room.is_open:
        raise EntryError("no lines are taken at the moment; wait for the next one")
    if number != asked.number:
        raise EntryError("this line is over; look at the board for the one being written now")
    if not text.strip():
        raise EntryError("nothing is written; write the line, then send it")
    if asked.kind == LETTERS:
        return _letter(asked, text)
    return _read(room, asked, text).spelling


def gather(room: Room, lines: Mapping[int, str], seat: int, number: int, text: str) -> dict[int, str]:
    """Return *lines* with what *seat* wrote for the round *number*; a seat that writes again has one line still.

    Raises EntryError as `check_line` does, and where the room has no such seat.
    """
    read_seat(room, str(seat))
    return {**lines, seat: check_line(room, number, text)}


def tally(room: Room, lines: Mapping[int, str], *, came: int = 0, marked: bool | None = None) -> Tally:
    """Return what the class wrote in the round that *room* is in.

    lines   by seat, what was written; what several wrote alike is one line
    came    how many have come in
    marked  whether lines are marked; by default once the teacher has revealed. For the teacher's own
            screen, True shows the marks before that.

    >>> from chalkpoint.teaching.live.room import open_room, open_round
    >>> room = open_round(open_room(["subtract 8.875, 3.6875"]), "answer")
    >>> seen = tally(room, {1: "0.1010100 0011", 2: "01010100 0011", 3: "0.1100100 0100"}, came=4)
    >>> seen.says, [(line.written, line.count, line.value) for line in seen.lines]
    ('3 of 4 have written.', [('0.1010100 0011', 2, '5.25'), ('0.1100100 0100', 1, '12.5')])
    >>> seen.lines[1].words
    'I add the two numbers.'

    Raises EntryError between rounds.
    """
    return tally_of(room, Counter(text for text in lines.values() if text.strip()), came=came, marked=marked)


def tally_of(room: Room, counts: Mapping[str, int], *, came: int = 0, marked: bool | None = None) -> Tally:
    """Return the tally of *counts*: how many wrote each line, or for a hinge question chose each letter."""
    asked = room.round
    if asked is None:
        raise EntryError("no line has been asked for, so there is nothing to count; open a round first")
    shown = asked.state == SHOWN if marked is None else marked
    rows = list(_chosen(room, asked, counts) if asked.kind == LETTERS else _written(room, asked, counts))
    answered = sum(count for _, count, _, _ in rows)
    lines = tuple(_line(read, count, judged, letter, marked=shown) for read, count, judged, letter in rows)
    asks = tuple(_asks(room, asked, rows)) if shown else ()
    return Tally(heading(question_of(room)), asked.rule, asked.title, answered, came, lines, shown, asks)


Row = tuple[LineRead, int, Judged, str]


def _written(room: Room, asked: Round, counts: Mapping[str, int]) -> Iterator[Row]:
    """Yield each distinct line, the commonest first."""
    found: Counter[LineRead] = Counter()
    unread: Counter[str] = Counter()
    for text, count in counts.items():
        try:
            found[_read(room, asked, text)] += count
        except EntryError:
            unread[text.strip()] += count
    for read, count in sorted(found.items(), key=lambda pair: (-pair[1], pair[0].spelling)):
        yield read, count, _judged(room, asked.rule, read.spelling), ""
    for text, count in sorted(unread.items(), key=lambda pair: (-pair[1], pair[0])):
        yield LineRead(text, ""), count, Judged(UNREAD, (), ""), ""


def _chosen(room: Room, asked: Round, counts: Mapping[str, int]) -> Iterator[Row]:
    """Yield the four answers of a hinge question, in the order of their letters."""
    for choice in asked.choices:
        read = read_line(question_of(room), ANSWER, choice.answer)
        yield read, counts.get(choice.letter, 0), _judged(room, ANSWER, read.spelling), choice.letter


def _read(room: Room, asked: Round, text: str) -> LineRead:
    own = next((line.expects for line in to_write(room) if line.rule == asked.rule), "")
    return _line_read(room.course, room.asked, asked.rule, text, own)


@lru_cache(4096)
def _line_read(course: Course, asked: str, rule: str, text: str, own: str) -> LineRead:
    """Return a line, read once for all who write it and each time it is counted."""
    return read_line(question_on(course, asked), rule, text, own=own)


def _judged(room: Room, rule: str, spelling: str) -> Judged:
    return judge_line(room.course, room.asked, tuple(room.lines.items()), rule, spelling)


def _letter(asked: Round, text: str) -> str:
    letters = [choice.letter for choice in asked.choices]
    plain = text.strip().upper()
    if plain not in letters:
        raise EntryError(f"{text.strip()!r} is not one of the answers; choose {', '.join(letters)}")
    return plain


# === What a line says ===


def _line(read: LineRead, count: int, judged: Judged, letter: str, *, marked: bool) -> TallyLine:
    thoughts = judged.thoughts if marked else tuple(_unmarked(judged.thoughts))
    words = prompts.MARKED.get(judged.kind, "") if marked or judged.kind == UNREAD else ""
    kind = judged.kind if marked else ""
    return TallyLine(
        read.spelling,
        count,
        read.value,
        kind,
        words or _in_words(thoughts),
        thoughts,
        read.mantissa,
        read.exponent,
        letter,
    )


def _unmarked(thoughts: Iterable[Thought]) -> Iterator[Thought]:
    """Yield what was thought, without what would tell a faulty rule from a right one."""
    for thought in _rules(thoughts):
        yield Thought("", "", thought.says)


def _in_words(thoughts: tuple[Thought, ...]) -> str:
    """Return the one thought that gives the line, or how many do; a slip is said where nothing else is."""
    said = _rules(thoughts) or thoughts
    if len(said) > 1:
        return prompts.EXPLANATIONS.format(count=len(said))
    return said[0].says if said else prompts.UNEXPLAINED


def _rules(thoughts: Iterable[Thought]) -> tuple[Thought, ...]:
    return tuple(thought for thought in thoughts if thought.kind != SLIP)


def _asks(room: Room, asked: Round, rows: Iterable[Row]) -> Iterator[tuple[str, str]]:
    """Yield, for the commonest lines with several explanations, what would tell them apart."""
    kept = tuple(room.lines.items())
    several = [(read, _rules(judged.thoughts)) for read, count, judged, _ in rows if count]
    for read, thoughts in [pair for pair in several if len(pair[1]) > 1][:MOST_ASKED]:
        said = ask_to_see(room.course, room.asked, kept, asked.rule, thoughts)
        if said:
            counted = prompts.EXPLANATIONS.format(count=len(thoughts))
            yield read.spelling, f"{read.spelling} has {counted}. {said}"
