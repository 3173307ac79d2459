"""A live room: the board, which line is being written, and what may happen next.

A room is plain data; each function here takes a room and returns the room after one act of the teacher's, or
refuses with one sentence. Lines that pupils write are no part of it: many hands write at once, so whoever
keeps the room keeps them beside it, by round and seat, and hands them to `tally`.

    open_room -> open_round -> close_round -> reveal -> go_on      (from the right line)
                                                     -> follow     (from a wrong line, to see where it leads)
                 and so on, line by line, to the answer; then next_question.

A round is open (lines are taken), closed (they are looked at) or shown (right ones are marked). A round has a
number of its own in the room, so that a line sent late for another round is not taken for this one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from chalkpoint.marking.lines_ahead import ANSWER, Onward
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.teaching.board import Kept, left_to_write, question_on, written
from chalkpoint.teaching.choosing import hinge_choices
from chalkpoint.teaching.judged import judge_line
from chalkpoint.teaching.lesson import Choice
from chalkpoint.teaching.lines import read_line
from chalkpoint.teaching.live.words import read_word
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = [
    "CLOSED",
    "LETTERS",
    "LINE",
    "OPEN",
    "SEATS",
    "SHOWN",
    "Room",
    "Round",
    "ask_hinge",
    "close_round",
    "follow",
    "go_back",
    "go_on",
    "next_question",
    "open_room",
    "open_round",
    "question_of",
    "read_seat",
    "reopen_round",
    "reveal",
    "to_write",
]

OPEN, CLOSED, SHOWN = "open", "closed", "shown"
LINE, LETTERS = "line", "letters"
SEATS = 99
MOST_SEATS = 999  # of a lecture hall
MOST_QUESTIONS = 40


@dataclass(frozen=True, slots=True)
class Round:
    """One line (or one hinge question) put to the class.

    number   of all rounds of this room, from 1
    rule     the line asked for, or "answer"
    title    its heading
    kind     LINE, or LETTERS for four answers to choose from
    state    OPEN, CLOSED or SHOWN
    choices  for LETTERS: the four answers
    """

    number: int
    rule: str
    title: str
    kind: str = LINE
    state: str = OPEN
    choices: tuple[Choice, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A live class.

    word       the two words pupils come in by, or ""
    course     the class's conventions
    questions  question lines, such as "subtract 8.875, 3.6875"
    seats      seats are numbered from 1 to this
    at         which question is on the board, from 0
    kept       the lines on the board
    round      what is being asked, or None between rounds
    rounds     how many rounds there have been
    """

    word: str
    course: Course
    questions: tuple[str, ...]
    seats: int = SEATS
    at: int = 0
    kept: tuple[Kept, ...] = ()
    round: Round | None = None
    rounds: int = 0

    @property
    def asked(self) -> str:
        """The question on the board, as a line."""
        return self.questions[self.at]

    @property
    def is_open(self) -> bool:
        """Whether lines are taken."""
        return self.round is not None and self.round.state == OPEN

    @property
    def follows(self) -> bool:
        """Whether the class is following a wrong line."""
        return any(not line.right for line in self.kept)

    @property
    def lines(self) -> dict[str, str]:
        """The lines on the board, by rule."""
        return written(self.kept)


# === What can be asked of a room ===


def question_of(room: Room) -> Question:
    """Return the question on the board."""
    return question_on(room.course, room.asked)


def to_write(room: Room) -> tuple[Onward, ...]:
    """Return the lines still to be written on the board, each from the one before it: where the working leads.

    >>> room = open_room(["subtract 8.875, 3.6875"])
    >>> [line.rule for line in to_write(room)]
    ['align', 'negate', 'add', 'normalise', 'answer']
    """
    return left_to_write(room.course, room.asked, room.kept)


def read_seat(room: Room, text: str) -> int:
    """Return the seat number in *text*; raise EntryError where the room has no such seat.

    >>> read_seat(open_room(["add 1.5, 2.5"]), " 07 ")
    7
    """
    plain = text.strip()
    if not (plain.isascii() and plain.isdigit() and 1 <= int(plain[:6]) <= room.seats):
        raise EntryError(f"{plain!r} is not a seat here; give your seat's number, from 1 to {room.seats}")
    return int(plain)


# === What the teacher does ===


def open_room(
    questions: Sequence[str], *, course: Course | None = None, word: str = "", seats: int = SEATS
) -> Room:
    """Return a new room with *questions* to work through.

    questions  question lines, such as "subtract 8.875, 3.6875"
    word       the room's word (`new_word`); none is needed where nobody comes in by phone

    Raises EntryError for a question that cannot be read or is not judged line by line.
    """
    if not questions:
        raise EntryError("a room needs a question; give one, such as subtract 8.875, 3.6875")
    if len(questions) > MOST_QUESTIONS:
        raise EntryError(
            f"{len(questions)} questions are too many for one room; give {MOST_QUESTIONS} at most"
        )
    if not 1 <= seats <= MOST_SEATS:
        raise EntryError(f"a room cannot have {seats} seats; give a number from 1 to {MOST_SEATS}")
    texts = tuple(line.strip() for line in questions)
    room = Room(word=read_word(word) if word else "", course=course or Course(), questions=texts, seats=seats)
    for at in range(len(texts)):
        to_write(replace(room, at=at))
    return room


def open_round(room: Room, rule: str = "") -> Room:
    """Return *room* with a round open for the next line, or for the one called *rule*, which may be further on.

    >>> open_round(open_room(["subtract 8.875, 3.6875"]), "answer").round.title
    'Answer'
    """
    if room.is_open:
        raise EntryError("lines are being taken already; close this round first")
    left = to_write(room)
    if not left:
        raise EntryError("the answer is on the board; go on to the next question, or go back")
    names = [line.rule for line in left]
    if rule and rule not in names:
        raise EntryError(f"{rule!r} is not a line still to be written; {near_misses(rule, names)}")
    line = left[names.index(rule)] if rule else left[0]
    return _with_round(room, Round(room.rounds + 1, line.rule, line.title))


def ask_hinge(room: Room, beliefs: Sequence[str] = ()) -> Room:
    """Return *room* with four answers to choose from: the right one, and three that beliefs lead to.

    beliefs  ids of beliefs whose answers are wanted; by default the commonest

    Raises EntryError where beliefs give too few different answers to this question.
    """
    if room.is_open:
        raise EntryError("answers are being taken already; close this round first")
    choices = hinge_choices(work_question(question_of(room)), beliefs)
    return _with_round(room, Round(room.rounds + 1, ANSWER, "Answer", kind=LETTERS, choices=choices))


def close_round(room: Room) -> Room:
    """Return *room* with no more lines taken."""
    return _in_state(room, CLOSED, {OPEN: ""})


def reopen_round(room: Room) -> Room:
    """Return *room* with lines taken again, where the right ones have not been shown."""
    return _in_state(
        room, OPEN, {CLOSED: "", SHOWN: "the right lines have been shown; open the next round instead"}
    )


def reveal(room: Room) -> Room:
    """Return *room* with the right lines marked; a round that was open is closed."""
    return _in_state(room, SHOWN, {OPEN: "", CLOSED: "", SHOWN: ""})


def go_on(room: Room) -> Room:
    """Return *room* with the right line on the board, and every line before it; the round is over.

    While the class pursues a wrong line, the right line is the one that follows from the board.
    """
    asked = _closed_round(room)
    added = []
    for line in to_write(room):
        added.append(Kept(line.rule, line.title, line.expects))
        if line.rule == asked.rule:
            break
    return replace(room, kept=(*room.kept, *added), round=None)


def follow(room: Room, line: str) -> Room:
    """Return *room* with *line*, one of the tally (or its letter), on the board; the class goes on from it.

    Raises EntryError where it cannot be read, or is right: then `go_on`.
    """
    asked = _closed_round(room)
    chosen = {choice.letter: choice.answer for choice in asked.choices}
    own = next(line.expects for line in to_write(room) if line.rule == asked.rule)
    read = read_line(question_of(room), asked.rule, chosen.get(line, line), own=own)
    judged = judge_line(room.course, room.asked, tuple(room.lines.items()), asked.rule, read.spelling)
    if judged.kind in {"right", "follow-through"}:
        raise EntryError(f"{read.spelling} is right; go on from the right line")
    kept = Kept(asked.rule, asked.title, read.spelling, judged.kind)
    return replace(room, kept=(*room.kept, kept), round=None)


def go_back(room: Room, to: int | None = None) -> Room:
    """Return *room* with the last line taken off the board, or all but the first *to*; no round is open.

    After a wrong line was pursued to its end, this returns to where the class parted from the right one.
    """
    if room.is_open:
        raise EntryError("lines are being taken; close this round first")
    if not room.kept and room.round is None:
        raise EntryError("the board is empty, so there is nothing to take back")
    keep = max(0, len(room.kept) - (room.round is None)) if to is None else to
    if not 0 <= keep <= len(room.kept):
        raise EntryError(f"{keep} lines cannot be kept; the board has {len(room.kept)}")
    return replace(room, kept=room.kept[:keep], round=None)


def next_question(room: Room) -> Room:
    """Return *room* with the next question on an empty board."""
    if room.at + 1 >= len(room.questions):
        raise EntryError("this was the last question; close the room, or open another with more questions")
    return replace(room, at=room.at + 1, kept=(), round=None)


# === Helpers ===


def _with_round(room: Room, asked: Round) -> Room:
    return replace(room, round=asked, rounds=asked.number)


def _needs_round(room: Room) -> Round:
    if room.round is None:
        raise EntryError("no line has been asked for; open a round first")
    return room.round


def _closed_round(room: Room) -> Round:
    asked = _needs_round(room)
    if asked.state == OPEN:
        raise EntryError("lines are still being taken; close this round first")
    return asked


def _in_state(room: Room, state: str, came_from: dict[str, str]) -> Room:
    """Return *room* with its round in *state*; *came_from* says from which it may come, or why it may not."""
    asked = _needs_round(room)
    refusal = came_from.get(asked.state, f"this round is {asked.state}")
    if refusal and asked.state != state:
        raise EntryError(refusal)
    return replace(room, round=replace(asked, state=state))
