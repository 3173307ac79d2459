"""The acts of a room: what each does, and what is refused in which state."""

from collections.abc import Callable

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.live.room import (
    Room,
    ask_hinge,
    close_round,
    follow,
    go_back,
    go_on,
    next_question,
    open_room,
    open_round,
    read_seat,
    reopen_round,
    reveal,
    to_write,
)
from chalkpoint.working.work import work

SUBTRACT = "subtract 8.875, 3.6875"
FRESH = open_room([SUBTRACT, "add 1.5, 2.5"])
OPENED = open_round(FRESH)
LOOKED_AT = close_round(OPENED)


def rules(room: Room) -> list[str]:
    """Return the lines still to be written."""
    return [line.rule for line in to_write(room)]


def test_a_class_goes_on_line_by_line_to_the_answer() -> None:
    """The board ends with what the working ends with."""
    room = FRESH
    while to_write(room):
        room = go_on(reveal(close_round(open_round(room))))

    assert [line.rule for line in room.kept] == ["align", "negate", "add", "normalise", "answer"]
    assert room.kept[-1].written.replace(".", "") == work("subtract", "8.875", "3.6875").result.bits
    assert room.rounds == 5
    assert not room.follows


def test_a_later_line_may_be_asked_for_and_brings_those_before_it() -> None:
    """So that the board has no gap."""
    room = go_on(close_round(open_round(FRESH, "add")))

    assert [line.rule for line in room.kept] == ["align", "negate", "add"]


def test_a_wrong_line_leads_where_its_own_rules_lead() -> None:
    """Inverting without adding one costs one unit in the last place, all the way down."""
    room = follow(close_round(open_round(go_on(LOOKED_AT))), "11100010")

    assert room.kept[-1].kind == "misconception"
    assert room.follows
    assert [(line.rule, line.expects) for line in to_write(room)] == [
        ("add", "0.0101001 × 2^4"),
        ("normalise", "0.1010010 × 2^3"),
        ("answer", "0.1010010 0011"),
    ]


def test_back_to_where_the_class_parted() -> None:
    """Taking lines back leaves the right ones."""
    parted = go_on(LOOKED_AT)
    room = follow(close_round(open_round(parted)), "11100010")
    room = go_on(close_round(open_round(room)))

    assert go_back(room).kept == room.kept[:-1]
    assert go_back(room, 1).kept == parted.kept
    assert not go_back(room, 1).follows


def test_giving_up_a_round_takes_no_line_back() -> None:
    """Only the round goes."""
    room = close_round(open_round(go_on(LOOKED_AT)))

    assert go_back(room).kept == room.kept
    assert go_back(room).round is None


def test_a_right_line_is_not_followed() -> None:
    """There is one way on from a right line."""
    with pytest.raises(EntryError, match="go on from the right line"):
        follow(LOOKED_AT, "0001 1101")


def test_a_letter_of_a_hinge_question_can_be_followed() -> None:
    """Its answer goes on the board."""
    room = close_round(ask_hinge(FRESH, ["invert-only", "align-skip", "sub-adds"]))
    wrong = (
        next(choice for choice in room.round.choices if choice.belief == "sub-adds") if room.round else None
    )

    assert wrong is not None
    assert follow(room, wrong.letter).kept[-1].written.replace(".", "") == wrong.answer


def test_the_next_question_has_an_empty_board() -> None:
    """Rounds are numbered through the whole room."""
    room = open_round(next_question(go_on(LOOKED_AT)))

    assert room.asked == "add 1.5, 2.5"
    assert room.kept == ()
    assert room.round is not None
    assert room.round.number == 2


def test_a_round_closed_by_mistake_opens_again() -> None:
    """Until the right lines have been seen."""
    assert reopen_round(LOOKED_AT) == OPENED
    with pytest.raises(EntryError, match="open the next round instead"):
        reopen_round(reveal(LOOKED_AT))


def test_showing_the_right_lines_ends_the_writing() -> None:
    """Nobody copies what is marked right."""
    assert not reveal(OPENED).is_open


def test_a_word_is_needed_only_where_pupils_come_in() -> None:
    """A room with letter cards has none; a word is read as it is typed."""
    assert FRESH.word == ""
    assert open_room(["add 1, 2"], word="Heron Dune").word == "heron dune"


REFUSED: list[tuple[Callable[[], object], str]] = [
    (lambda: open_room([]), "a room needs a question"),
    (lambda: open_room(["subtract 8.875"]), "takes two operands"),
    (lambda: open_room(["explain add, 1, 2"]), "not judged line by line"),
    (lambda: open_room(["add 1, 2"] * 41), "too many"),
    (lambda: open_room(["add 1, 2"], word="heron"), "is not a room's word"),
    (lambda: open_room(["add 1, 2"], seats=0), "cannot have 0 seats"),
    (lambda: open_round(OPENED), "close this round first"),
    (lambda: open_round(FRESH, "negte"), "did you mean negate"),
    (lambda: ask_hinge(OPENED), "close this round first"),
    (lambda: close_round(FRESH), "open a round first"),
    (lambda: close_round(reveal(LOOKED_AT)), "this round is shown"),
    (lambda: go_on(OPENED), "close this round first"),
    (lambda: go_on(FRESH), "open a round first"),
    (lambda: go_back(FRESH), "nothing to take back"),
    (lambda: go_back(go_on(LOOKED_AT), 5), "5 lines cannot be kept"),
    (lambda: next_question(next_question(FRESH)), "the last question"),
    (lambda: follow(LOOKED_AT, "hm"), "cannot be read"),
    (lambda: read_seat(FRESH, "100"), "from 1 to 99"),
    (lambda: read_seat(FRESH, "0"), "from 1 to 99"),
    (lambda: read_seat(FRESH, "seven"), "from 1 to 99"),
]


@pytest.mark.parametrize(("act", "said"), REFUSED, ids=range(len(REFUSED)))
def test_what_cannot_be_done_is_refused_in_one_sentence(act: Callable[[], object], said: str) -> None:
    """The sentence says what to do instead."""
    with pytest.raises(EntryError, match=said):
        act()


def test_an_answered_question_has_nothing_left_to_open() -> None:
    """The way on is the next question."""
    room = go_on(close_round(open_round(FRESH, "answer")))

    assert rules(room) == []
    with pytest.raises(EntryError, match="next question"):
        open_round(room)
