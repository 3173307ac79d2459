"""A line of working from its boxes, and what only the teacher can rule."""

from __future__ import annotations

import pytest

from chalkpoint.scanning.lines import open_rulings, withheld, written_in
from chalkpoint.scanning.review import say, sheets_of
from chalkpoint.scanning.stack import Page, Place, Stack

READ = {"0": "0", "1": "1", " ": "blank", "*": "marred"}


def line(
    name: str, mantissa: str, exponent: str, tray: str = "", ticks: str = "", **fields: str
) -> list[Place]:
    """Return a line's places: "0", "1", " " for an empty box, "*" for a marred one."""
    found = [
        place(
            name,
            field,
            at,
            "tray" if field == "tray" else "bit",
            READ[sign],
            90.0 if fields.get("below") == field else 80.0,
            sure=sign != "*",
        )
        for field, text in (("mantissa", mantissa), ("tray", tray), ("exponent", exponent))
        for at, sign in enumerate(text, start=1)
    ]
    for word in ticks.split():
        reading = "ticked" if word.startswith("!") else "blank"
        found += [place(name, word.strip("!"), 1, "tick", reading, 80.0)]
    return found


def place(name: str, field: str, bit: int, kind: str, reading: str, y: float, *, sure: bool = True) -> Place:
    """Return one place on page 1, question 2; its number comes with `stack_of`."""
    return Place(1, 0, 2, name, field, bit, kind, 50.0 + 8 * bit, y, 8.0, 9.0, reading, 0.0, sure)


def stack_of(*lines: list[Place]) -> Stack:
    """Return a stack of one page with these lines."""
    stack = Stack("Gauge readings", pages=[Page(1, "a.jpg", "TKZV25/2", "H01")])
    for number, one in enumerate(place for row in lines for place in row):
        one.box = number
        stack.places[one.id] = one
    return stack


def text_of(stack: Stack, name: str) -> tuple[str, str]:
    """Return what a line of the page says."""
    return written_in(stack, f"1.2.{name}", stack.rows()[f"1.2.{name}"])


@pytest.mark.parametrize(
    ("row", "written"),
    [
        (("01010100", "0011"), "01010100 0011"),
        (("0101010 ", "0011"), "0101010 0011"),  # a zero at the end left off: marking knows that manner
        (("01 10100", "0011"), "01?10100 0011"),  # a gap is never closed up: it would be another number
        (("01010100", "    "), "mantissa: 01010100"),
        (("        ", "    "), ""),
        (("00001010", "0100", "11  "), "00001010|11 0100"),
    ],
)
def test_boxes_become_what_a_teacher_would_type(row: tuple[str, ...], written: str) -> None:
    """Fields apart, bits that fell after a bar, empty boxes at the end left off."""
    assert text_of(stack_of(line("answer", *row)), "answer") == ("answer", written)


def test_fields_under_each_other_are_named() -> None:
    """On paper an exponent may be under its mantissa, whatever the order in which the format writes them."""
    stack = stack_of(line("answer", "01010100", "0011", below="exponent"))
    assert text_of(stack, "answer")[1] == "mantissa: 01010100, exponent: 0011"


def test_a_spare_line_takes_the_place_of_the_one_that_is_ticked() -> None:
    """One tick, one line; without a tick, or with two, the teacher says which."""
    ticked = stack_of(line("spare", "01010100", "0011", ticks="align !answer"))
    assert text_of(ticked, "spare") == ("answer", "01010100 0011")
    assert open_rulings(ticked) == []

    for ticks in ("align answer", "!align !answer"):
        stack = stack_of(line("spare", "01010100", "0011", ticks=ticks))
        (ruling,) = open_rulings(stack)
        assert ruling.offers == ("align", "answer", "not used")
        assert text_of(stack, "spare") == ("not used", "")
        say(stack, {"1.2.spare": "align"})
        assert text_of(stack, "spare") == ("align", "01010100 0011")
    assert open_rulings(stack_of(line("spare", "        ", "    ", ticks="align answer"))) == []


def test_a_line_crossed_out_is_ruled_on_once_and_its_boxes_are_not_asked_for() -> None:
    """Half of what is written is marred: is the line crossed out? If so, nothing in it counts."""
    stack = stack_of(line("add", "0******0", "0011"))
    (sheet,) = sheets_of(stack)
    assert sheet.kind == "rule"
    assert len(withheld(stack)) == 12

    say(stack, {"1.2.add": "crossed out"})
    assert text_of(stack, "add") == ("add", "")
    stack.rulings["1.2.add"] = "box by box"
    assert [one.places[0].reading for one in sheets_of(stack)] == ["marred"]


def test_a_word_ticked_beside_bits_is_not_guessed() -> None:
    """Overflow ticked and bits written: the teacher says which is the answer; ticked alone it is the word."""
    alone = stack_of(line("answer", "        ", "    ", ticks="!overflow underflow"))
    assert text_of(alone, "answer") == ("answer", "overflow")
    both = stack_of(line("answer", "01010100", "0011", ticks="!overflow underflow"))
    (ruling,) = open_rulings(both)
    assert ruling.offers == ("overflow", "box by box")
    say(both, {"1.2.answer": "box by box"})
    assert text_of(both, "answer") == ("answer", "01010100 0011")


def test_a_box_that_cannot_be_read_stays_one() -> None:
    """The teacher says "?", and marking is told so; "crossed" counts as nothing written."""
    stack = stack_of(line("answer", "010101*0", "001*"))
    names = [place.id for place in stack.places.values() if place.reading == "marred"]
    say(stack, {names[0]: "?", names[1]: "crossed"})
    assert text_of(stack, "answer")[1] == "010101?0 001"
