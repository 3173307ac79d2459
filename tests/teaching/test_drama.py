"""What a teacher says of each step: worked out by hand before it was run."""

import pytest

from chalkpoint.teaching.lessonfile import lesson_of
from chalkpoint.teaching.parts import storyboard
from chalkpoint.teaching.storyboard import Cells, Cue, Moment
from chalkpoint.working.work import work
from chalkpoint.working.working import Working


def cues(working: Working, title: str) -> list[Cue]:
    """Return what is said of the step called *title*."""
    told = storyboard(lesson_of(working))
    return [cue for shot in told.shots if shot.view.title == title for cue in shot.cues]


def said(working: Working, title: str) -> list[str]:
    """Return the words alone."""
    return [cue.written.replace("\u2060", "") for cue in cues(working, title) if not cue.silent]


def moments(working: Working, title: str) -> list[Moment]:
    """Return what stands on the board at each of them, where that is not all."""
    return [cue.moment for cue in cues(working, title) if cue.moment]


def test_operands_go_by_their_names() -> None:
    """What is negated has a name, and it is inverted bit by bit all the same."""
    working = work("subtract", "8.875", "3.6875", names=("gauge", "datum"))

    assert said(working, "Read")[1] == "The gauge has exponent 4; the datum has exponent 2."
    assert said(working, "Negate the datum") == [
        "Taking away is adding the opposite, so turn the datum into its opposite.",
        "First, invert every bit: noughts become ones, ones become noughts.",
        "Then add one, in the last place.",
        "That makes \u22123.625.",
    ]


def test_one_is_added_with_its_carries() -> None:
    """By hand: 0.0011100 inverted is 1.1100011; adding one carries into places 6 and 5: 1.1100100."""
    working = work("subtract", "8.875", "3.5")
    adding = [moment for moment in moments(working, "Negate the second") if moment.carried]

    assert [moment.carried for moment in adding] == [(6,), (6, 5)]
    assert adding[0].aside == "1 + 1 = 10"
    assert "The carry runs on through two places, and stops at the first nought." in said(
        working, "Negate the second"
    )


def test_a_product_has_a_row_for_each_one() -> None:
    """By hand: 1.703125 is 0.1101101 \u00d7 2, whose ones stand in places 7, 5, 4, 2 and 1 from the right."""
    working = work("multiply", "2.3", "-1.7")
    looked = [cell for moment in moments(working, "Multiply the mantissas") for cell in moment.marked]

    assert looked == [Cells(1, place, place) for place in (7, 5, 4, 1)]
    assert said(working, "Multiply the mantissas") == [
        "Then multiply the sizes. The sign comes at the end.",
        "Every one in the lower number gives a row. Noughts give none.",
        "From the right: the one in place 7 writes the upper number, moved seven places.",
        "The one in place 5: moved five places.",
        "The one in place 4: moved four places.",
        "And so on, a row for every one.",
        "Now add the rows.",
        "The signs differ, so negate it.",
        "With its exponent, 3, that is about \u22123.8853.",
    ]


def test_a_divisor_is_taken_away_where_it_goes() -> None:
    """By hand: 0.625 \u00f7 0.75 is 0.1101..., so it goes in places 1 and 2, and then not before place 4."""
    words = said(work("divide", "2.5", "-1.5"), "Divide the sizes")

    assert words[1:4] == [
        "It goes first in place 1: write a one there, take it away, and see what is left.",
        "It goes in the next place, too.",
        "Then not before place 4, so noughts up to there.",
    ]
    assert words[-1] == "There is still a remainder, so the digits would go on."


def test_sizes_are_unpacked_and_added_column_by_column() -> None:
    """By hand: 6.5 is 1.101 \u00d7 2^2, 5.25 is 1.0101 \u00d7 2^2, both stored as 17; together 10.1111."""
    working = work("add", "6.5", "5.25", format="binary16")
    combined = [moment for moment in moments(working, "Combine") if moment.aside]

    assert "An exponent is kept with 15 added. So the first has 17 take away 15: 2." in said(
        working, "Unpack"
    )
    assert [moment.column for moment in combined] == [13, 5, 4, 3, 2, 1, 0, -1]
    assert [moment.aside for moment in combined] == [
        "0 + 0 = 0",
        "0 + 0 = 0",
        "0 + 1 = 1",
        "1 + 0 = 1",
        "0 + 1 = 1",
        "1 + 0 = 1",
        "1 + 1 = 10",
        "0 + 0 + 1 = 1",
    ]
    assert said(working, "Renormalise") == [
        "There are two digits in front of the point now, and there may be only one.",
        "One place right, and one more on the exponent: 2 becomes 3.",
    ]


def test_the_smaller_size_is_taken_away_with_its_borrow() -> None:
    """By hand: 1.0001 \u2212 1.00001: nothing up to place 6, a one borrowed in place 5, paid back in place 4."""
    working = work("subtract", "8.5", "8.25", format="binary16")
    words, asides = said(working, "Combine"), [m.aside for m in moments(working, "Combine") if m.aside]

    assert words[1:5] == [
        "Nought take away nought: nought.",
        "The same in the next seven columns.",
        "Nought take away one: one, borrowing one.",
        "One take away nought and the one borrowed: nought.",
    ]
    assert asides[2:4] == ["10 \u2212 1 = 1", "1 \u2212 0 \u2212 1 = 0"]


def test_long_numbers_are_told_apart_and_not_read_out() -> None:
    """0.3 in binary32 has 24 digits; what is said of it ends where the difference shows."""
    told = storyboard(lesson_of(work("add", "1009.2", "0.3", format="binary32")))
    words = [cue.written for shot in told.shots for cue in shot.cues]

    assert words[0] == "1009.2 plus 0.3."
    assert "The second, 0.3, cannot be kept exactly: it is stored as about 0.300000012." in words
    assert "The exact answer is about 1009.500012." in words
    assert not [said for said in words for word in said.split() if sum(map(str.isdigit, word)) > 13]


@pytest.mark.parametrize("format", ["8+4", "binary16", "24+8"])
@pytest.mark.parametrize("operation", ["add", "subtract", "multiply", "divide"])
def test_no_sentence_is_left_with_a_gap(operation: str, format: str) -> None:
    """Every field of every sentence has its fact; a sentence begins with a capital or a figure."""
    for operands in (("6.5", "-1.25"), ("-6.5", "-6.5"), ("0.1", "3")):
        told = storyboard(lesson_of(work(operation, *operands, format=format)))
        for shot in told.shots:
            for cue in shot.cues:
                assert "{" not in cue.written
                assert not cue.written[:1].islower() or cue.silent


def test_a_pattern_is_read_one_by_one() -> None:
    """By hand: 0011 is 2 + 1; 0.1101000 is 1/2 + 1/4 + 1/16 = 13/16, and three places on it is 110.1, 6.5."""
    working = work("decode", "01101000 0011")

    assert said(working, "Read the exponent") == [
        "Here is the pattern. Begin with its exponent.",
        "Its ones are worth 2 and 1: together, 3.",
    ]
    assert [m.aside for m in moments(working, "Read the mantissa")][1:] == [
        "1/2",
        "1/2 + 1/4",
        "1/2 + 1/4 + 1/16",
        "1/2 + 1/4 + 1/16 = 13/16",
    ]
    assert [m.column for m in moments(working, "Read the mantissa")][1:4] == [1, 2, 4]
    assert said(working, "Scale") == [
        "The exponent is 3, so the point goes three places to the right.",
        "Read it off: 6.5.",
    ]


def test_a_fraction_is_written_by_doubling() -> None:
    """By hand: 5 is 4 + 1; 0.1875 doubled is 0.375, 0.75, 1.5 and, without its whole, 1."""
    working = work("encode", "5.1875")

    assert [m.aside for m in moments(working, "Write the size") if m.aside] == [
        "5 = 4 + 1",
        "2 \u00d7 0.1875 = 0.375",
        "2 \u00d7 0.375 = 0.75",
        "2 \u00d7 0.75 = 1.5",
        "2 \u00d7 0.5 = 1",
    ]
    assert said(working, "Place the point") == [
        "The point belongs behind the sign bit, where the first two bits differ.",
        "It goes three places left, so the exponent is 3.",
    ]


@pytest.mark.parametrize(
    ("asked", "expects"),
    [
        (("decode", "10110000 1010"), "Before any sums: the first bit is 1, so expect a negative number."),
        (("encode", "0.3"), "Before any bits: 0.3 lies between 1/4 and 1/2, so expect exponent \u22121."),
        (("range",), "Before any bits: the highest exponent is 7, so expect a little under 2^7."),
        (("add", "5", "-3"), "In decimal that is 2. Now in bits."),
        (("error", "0.1"), "Before any bits: places end at 1/1024 here, so expect to lose less than that."),
    ],
)
def test_every_question_says_what_to_expect(asked: tuple[str, ...], expects: str) -> None:
    """By hand: 0.3 is over a quarter; 0.1 has exponent \u22123, so its seventh place is worth 1/1024."""
    told = storyboard(lesson_of(work(*asked)))

    assert told.shots[0].cues[1].written == expects


def test_whole_numbers_are_told_by_what_their_places_are_worth() -> None:
    """By hand: 3 is 11, so 5 is written once and twice over; 20 has a 3 four times, then twice, and 2 is left."""
    assert said(work("multiply", "5", "-3", format="8"), "Multiply")[2:4] == [
        "From the right: the one worth 1 writes the upper number, times 1.",
        "The one worth 2: times 2.",
    ]
    words = said(work("divide", "20", "3", format="8"), "Divide")
    assert "It goes first where a one is worth 4" in words[1]
    assert words[-1] == "2 is left over: the remainder."


def test_a_carry_is_brought_round_column_by_column() -> None:
    """By hand: 00000101 + 11111100 carries out of the last column; 00000001 and that 1 make 00000010."""
    working = work("add", "5", "-3", format="8 ones-complement")
    asides = [m.aside for m in moments(working, "End-around carry") if m.aside]

    assert asides[:2] == ["1 + 1 = 10", "0 + 0 + 1 = 1"]


def test_a_cut_that_is_not_nearest_is_not_called_best() -> None:
    """By hand: 20/3 is nearer to 7 than to 6."""
    words = said(work("divide", "20", "3", format="8"), "Check in decimal")

    assert not any("nothing nearer" in one or "No pattern comes any nearer" in one for one in words)
