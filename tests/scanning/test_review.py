"""What the teacher looks at, and the audit by lot."""

from __future__ import annotations

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.scanning.audit import DRAWN, audit_of
from chalkpoint.scanning.review import every_box, say, sheets_of, waits
from chalkpoint.scanning.stack import Page, Place, Stack


def stack_of(sure: int, doubtful: dict[str, int] | None = None) -> Stack:
    """Return a stack of one page with so many sure ones, and doubtful boxes by reading, the later the less doubtful."""
    stack = Stack("Gauge readings", pages=[Page(1, "a.jpg", "TKZV25/1", "H01")])
    readings = ["1"] * sure + [reading for reading, count in (doubtful or {}).items() for _ in range(count)]
    for at, reading in enumerate(readings):
        place = Place(
            1,
            at,
            at // 8,
            "align",
            "mantissa",
            at % 8 + 1,
            "bit",
            0,
            0,
            8,
            9,
            reading,
            1 / (at + 1),
            at < sure,
        )
        stack.places[place.id] = place
    return stack


def as_read(stack: Stack) -> None:
    """Say of everything on the sheets that it is as it was read."""
    say(stack, {place.id: place.reading for sheet in sheets_of(stack) for place in sheet.places})


def test_like_readings_come_together_least_sure_first() -> None:
    """A sheet holds 90; the first of each reading is the most doubtful; those that could not be read come first."""
    sheets = sheets_of(stack_of(10, {"1": 100, "0": 3, "marred": 2}))
    assert [(one.name, one.count, one.start) for one in sheets] == [
        ("read-marred-1", 2, "?"),
        ("read-1-1", 90, "1"),
        ("read-1-2", 10, "1"),
        ("read-0-1", 3, "0"),
    ]
    doubts = [place.doubt for place in sheets[1].places]
    assert doubts == sorted(doubts, reverse=True)


def test_what_was_written_over_is_shown_with_what_it_is_taken_for() -> None:
    """Boxes that are marred wait by what they seem to say; a guess alone settles none of them."""
    stack = stack_of(332)
    for at, guess in zip(
        (304, 312, 320, 328), ("1", "?", "0", "1"), strict=True
    ):  # each in a line of its own
        place = stack.places[f"1.{at}"]
        place.reading, place.sure, place.guess = "marred", False, guess
    sheets = sheets_of(stack)
    assert [(one.name, one.title, one.start) for one in sheets] == [
        ("read-marred-1", "These could not be read", "?"),
        ("read-marred-1-1", "Written over or corrected, and taken for 1", "1"),
        ("read-marred-0-1", "Written over or corrected, and taken for 0", "0"),
    ]
    assert [place.guess for sheet in sheets for place in sheet.places] == ["?", "1", "1", "0"]
    assert not any(place.settled for sheet in sheets for place in sheet.places)
    assert Stack.from_dict(stack.to_dict()).places == stack.places


def test_the_audit_waits_even_where_nothing_is_in_doubt() -> None:
    """300 of the sure boxes are drawn, the same ones each time; none wrong of 300: at most 1 in 100 of the rest."""
    stack = stack_of(500)
    assert waits(stack) == DRAWN == sum(one.count for one in sheets_of(stack))
    assert stack.audits == [list(sheet) for sheet in Stack.from_dict(stack.to_dict()).audits]
    assert "nothing is known" in audit_of(stack).sentence
    as_read(stack)
    assert waits(stack) == 0
    assert audit_of(stack).sentence.startswith(
        "0 wrong of 300 drawn by lot: of the 200 not looked at, at most 1.0 in 100"
    )


def test_a_wrong_one_draws_the_next_sheet() -> None:
    """Until a sheet is right throughout, or every box was looked at."""
    stack = stack_of(1000)
    sheets_of(stack)
    say(stack, dict.fromkeys(stack.audits[0][1:], "1") | {stack.audits[0][0]: "0"})
    assert waits(stack) == DRAWN
    assert len(stack.audits) == 2
    as_read(stack)
    assert waits(stack) == 0
    audit = audit_of(stack)
    assert (audit.wrong, audit.seen, audit.left) == (1, 600, 400)


def test_every_box_can_be_looked_at() -> None:
    """The second safety: whatever nobody has looked at yet."""
    stack = stack_of(400)
    sheets_of(stack)
    as_read(stack)
    assert sum(one.count for one in every_box(stack)) == 100
    say(stack, {place.id: "1" for sheet in every_box(stack) for place in sheet.places})
    assert audit_of(stack).sentence.endswith("every box was looked at.")


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"1.99": "0"}, r"no box or line of this stack"),
        ({"1.0": "7"}, r"'7' cannot be said of box 1.0; give one of: 0, 1"),
    ],
)
def test_what_cannot_be_said_is_refused_whole(said: dict[str, str], why: str) -> None:
    """One sentence, and nothing of it is taken."""
    stack = stack_of(2)
    with pytest.raises(EntryError, match=why):
        say(stack, {"1.1": "0"} | said)
    assert not stack.places["1.1"].said


def test_no_sheet_shows_a_mark_or_what_is_expected() -> None:
    """A sheet knows places, readings and doubts: nothing on it could say which reading pays."""
    fields = set(Place.__dataclass_fields__)
    assert not fields & {"expected", "expects", "mark", "marks", "answer", "scheme"}
