"""The tally: alike lines are one, each counted once, marked when the teacher says, and never a seat."""

import json

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.judged import judge_line
from chalkpoint.teaching.live.letters import parse_letters
from chalkpoint.teaching.live.room import (
    ask_hinge,
    close_round,
    follow,
    go_on,
    open_room,
    open_round,
    reveal,
)
from chalkpoint.teaching.live.tally import TallyLine, check_line, gather, tally, tally_of

FRESH = open_room(["subtract 8.875, 3.6875", "add 1.5, 2.5"])
ANSWERS = open_round(FRESH, "answer")
CLASS = {
    **dict.fromkeys(range(1, 12), "0.1010100 0011"),
    **dict.fromkeys(range(12, 16), "01010010 0011"),
    **dict.fromkeys(range(16, 19), "0.0101010 0100"),
    **dict.fromkeys(range(19, 21), "0.1010100 0100"),
    **dict.fromkeys(range(21, 23), "0.1010011|0011"),
    23: "0.1100100 0100",
}


def by_line(lines: tuple[TallyLine, ...]) -> dict[str, TallyLine]:
    """Return lines by what is written."""
    return {line.written: line for line in lines}


def test_a_class_side_by_side() -> None:
    """Counts, values and explanations of a whole class, the commonest line first."""
    seen = tally(reveal(ANSWERS), CLASS, came=24)

    assert seen.says == "23 of 24 have written."
    assert [(line.written, line.value, line.count, line.words) for line in seen.lines] == [
        ("0.1010100 0011", "5.25", 11, "right"),
        ("0.1010010 0011", "5.125", 4, "right by another method or convention"),
        ("0.0101010 0100", "5.25", 3, "What comes out is the answer."),
        ("0.1010011 0011", "5.1875", 2, "right by another method or convention"),
        ("0.1010100 0100", "10.5", 2, "To normalise I move the digits left until the first two differ."),
        ("0.1100100 0100", "12.5", 1, "I add the two numbers."),
    ]


def test_every_explanation_is_given_with_its_evidence() -> None:
    """A method that is no fault, and the beliefs that give the same."""
    line = by_line(tally(reveal(ANSWERS), CLASS).lines)["0.1010010 0011"]

    assert [(thought.kind, thought.name) for thought in line.thoughts] == [
        ("method", "negate-then-align"),
        ("belief", "invert-only"),
        ("belief", "rounds-when-told-to-cut"),
    ]
    assert all(thought.evidence for thought in line.thoughts if thought.kind == "belief")


def test_several_explanations_suggest_a_line_to_see() -> None:
    """The line on which all of them differ."""
    asks = dict(tally(reveal(ANSWERS), CLASS).asks)

    assert asks["0.1010010 0011"] == "0.1010010 0011 has 3 explanations. Ask to see the align line."


def test_nothing_is_marked_before_the_teacher_says() -> None:
    """Each line stands with a thought, the right one too; none has a kind, evidence or a suggestion."""
    seen = tally(close_round(ANSWERS), CLASS)

    assert not seen.marked
    assert seen.asks == ()
    assert {line.kind for line in seen.lines} == {""}
    assert {
        (thought.kind, thought.name, thought.evidence) for line in seen.lines for thought in line.thoughts
    } == {("", "", "")}
    assert by_line(seen.lines)["0.1010100 0011"].words == "align, then negate; lost bits are cut"
    assert "right" not in json.dumps([line.words for line in seen.lines])


def test_the_teachers_own_screen_is_marked_before() -> None:
    """Where the teacher asks for it."""
    assert tally(ANSWERS, CLASS, marked=True).lines[0].kind == "right"


def test_spellings_apart_a_line_is_one_line() -> None:
    """Whoever wrote it how."""
    room = open_round(FRESH)
    seen = tally(room, {1: "00011101", 2: "0.0011101", 3: "0001 1101", 4: " ", 5: "00011100"})

    assert [(line.written, line.count) for line in seen.lines] == [("0.0011101", 3), ("0.0011100", 1)]
    assert seen.answered == 4


def test_a_slip_and_what_nothing_explains() -> None:
    """Neither is named a belief."""
    seen = by_line(tally(reveal(ANSWERS), {1: "0.1010101 0011", 2: "0.1110100 0100"}).lines)

    assert seen["0.1010101 0011"].kind == "slip"
    assert seen["0.1010101 0011"].words == "a slip: one bit changed"
    assert (seen["0.1110100 0100"].kind, seen["0.1110100 0100"].words) == ("off", "unexplained")


def test_a_slip_beside_a_belief_is_given_and_not_counted() -> None:
    """One rule gives the line; that a hand may have slipped stands beside it."""
    room = open_round(go_on(close_round(open_round(FRESH))))
    (line,) = tally(room, {1: "11100010"}, marked=True).lines

    assert line.words == "To change the sign I invert every bit."
    assert [thought.kind for thought in line.thoughts] == ["belief", "slip"]


def test_from_a_wrong_line_what_follows_is_right() -> None:
    """And the right working's own line is said to come from elsewhere."""
    room = open_round(follow(close_round(open_round(go_on(close_round(open_round(FRESH))))), "11100010"))
    seen = by_line(tally(reveal(room), {1: "00101001", 2: "00101010"}).lines)

    assert seen["0.0101001"].kind == "follow-through"
    assert seen["0.0101010"].kind == "recovered"


def test_no_seat_is_in_a_tally() -> None:
    """What is shown depends on the lines alone: whichever seats wrote them."""
    moved = {seat + 40: text for seat, text in CLASS.items()}

    assert tally(reveal(ANSWERS), CLASS).to_dict() == tally(reveal(ANSWERS), moved).to_dict()


def test_a_tally_is_json() -> None:
    """With its schema."""
    data = json.loads(json.dumps(tally(reveal(ANSWERS), CLASS, came=24).to_dict()))

    assert data["schema"] == "chalkpoint.tally/1"
    assert sum(line["count"] for line in data["lines"]) == data["answered"] == 23


def test_a_large_class_costs_a_judgement_a_line() -> None:
    """300 pupils with 12 distinct lines are 12 judgements, and none the second time."""
    distinct = [f"0.1{number:04b}11 0010" for number in range(12)]
    lines = {seat: distinct[seat % 12] for seat in range(300)}
    judge_line.cache_clear()
    tally(ANSWERS, lines, marked=True)
    first = judge_line.cache_info().misses
    seen = tally(ANSWERS, lines, marked=True)

    assert first == judge_line.cache_info().misses == 12
    assert sum(line.count for line in seen.lines) == 300


# === Letter cards ===

HINGE = ask_hinge(FRESH)


def test_typed_letters_are_the_same_view() -> None:
    """Four answers in the order of their letters, those nobody chose with 0."""
    seen = tally_of(reveal(HINGE), parse_letters(HINGE, "A 12, B 7, C 3"), came=24)

    assert [(line.letter, line.count) for line in seen.lines] == [("A", 12), ("B", 7), ("C", 3), ("D", 0)]
    assert [line.kind for line in seen.lines].count("right") == 1
    assert seen.says == "22 of 24 have written."


def test_letters_from_phones_and_hands_are_counted_alike() -> None:
    """A seat's letter is one hand."""
    letters = {seat: check_line(HINGE, 1, text) for seat, text in {1: "a", 2: "B", 3: " a "}.items()}

    assert tally(HINGE, letters) == tally_of(HINGE, parse_letters(HINGE, "A 2; B 1"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no letters are given"),
        ("A 12, E 3", "'E' is not one of the answers"),
        ("A 12, A 3", "A is given twice, 12 and 3"),
        ("twelve", "is not a letter and a number"),
        ("A 12 B", "is not a letter and a number"),
        ("A 1000", "more hands than a room has"),
    ],
)
def test_letters_that_cannot_be_counted_are_refused(text: str, said: str) -> None:
    """One sentence each."""
    with pytest.raises(EntryError, match=said):
        parse_letters(HINGE, text)


# === A pupil's line ===


@pytest.mark.parametrize(
    ("room", "number", "text", "said"),
    [
        (FRESH, 1, "0", "no lines are taken"),
        (close_round(ANSWERS), 1, "0.1010100 0011", "no lines are taken"),
        (ANSWERS, 2, "0.1010100 0011", "this line is over"),
        (ANSWERS, 1, "  ", "nothing is written"),
        (ANSWERS, 1, "dunno", "cannot be read"),
        (HINGE, 1, "E", "not one of the answers"),
    ],
)
def test_a_line_that_cannot_be_taken_is_refused(room: object, number: int, text: str, said: str) -> None:
    """The pupil reads one sentence, and the entry stays."""
    with pytest.raises(EntryError, match=said):
        check_line(room, number, text)  # type: ignore[arg-type]  # a room, whatever its state


def test_a_line_is_kept_in_one_spelling() -> None:
    """So that what is kept is what is shown."""
    assert check_line(ANSWERS, 1, " 01010100|0011 ") == "0.1010100 0011"


def test_a_seat_that_writes_again_is_counted_once() -> None:
    """The last line counts; what was handed in is left as it was."""
    first = gather(ANSWERS, {}, 7, 1, "0.1100100 0100")
    second = gather(ANSWERS, first, 7, 1, "01010100 0011")

    assert first == {7: "0.1100100 0100"}
    assert second == {7: "0.1010100 0011"}
    assert tally(ANSWERS, second).answered == 1
    with pytest.raises(EntryError, match="from 1 to 99"):
        gather(ANSWERS, first, 100, 1, "overflow")


def test_between_rounds_there_is_nothing_to_count() -> None:
    """It is said."""
    with pytest.raises(EntryError, match="open a round first"):
        tally(FRESH, {})
