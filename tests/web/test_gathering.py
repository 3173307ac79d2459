"""What many ask at once is done in one turn, and one that cannot be done spoils no other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from threading import Event

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records.store import LOST
from chalkpoint.web import gathering
from chalkpoint.web.gathering import Gathering
from chalkpoint.web.lanes import BusyError

PATIENCE = 20


class Desk:
    """Counts its turns; the first goes on until it is let go, so that others gather meanwhile."""

    def __init__(self) -> None:
        self.turns: list[list[int]] = []
        self.began, self.go = Event(), Event()
        self.doubling: Gathering[int, int] = Gathering("doubling", self.work)

    def work(self, numbers: Sequence[int]) -> dict[int, int | Exception]:
        """Double numbers; 7 breaks the whole turn, 8 is refused by itself, 9 is left out."""
        self.turns.append(list(numbers))
        self.began.set()
        self.go.wait(PATIENCE)
        if 7 in numbers:
            raise ZeroDivisionError
        given: dict[int, int | Exception] = {number: 2 * number for number in numbers if number != 9}
        return given | ({8: EntryError("8 is not taken")} if 8 in numbers else {})


@pytest.fixture
def desk() -> Iterator[Desk]:
    """A desk whose first turn, for 1, is under way."""
    made = Desk()
    first = made.doubling.ask(1)
    assert made.began.wait(PATIENCE)
    yield made
    made.go.set()
    made.doubling.close()
    assert first.result(PATIENCE) == 2


def test_what_gathers_while_a_turn_is_under_way_is_done_in_the_next(desk: Desk) -> None:
    """Five ask, two of them alike: one turn of four."""
    asked = [desk.doubling.ask(number) for number in (2, 3, 3, 8, 9)]
    desk.go.set()
    assert [one.result(PATIENCE) for one in (*asked[:3], asked[4])] == [4, 6, 6, None]
    with pytest.raises(EntryError, match="8 is not taken"):
        asked[3].result(PATIENCE)
    assert desk.turns == [[1], [2, 3, 8, 9]]


def test_one_that_breaks_spoils_no_other(desk: Desk) -> None:
    """A turn that breaks is taken again, each by itself."""
    asked = [desk.doubling.ask(number) for number in (2, 7, 3)]
    desk.go.set()
    assert (asked[0].result(PATIENCE), asked[2].result(PATIENCE)) == (4, 6)
    with pytest.raises(ZeroDivisionError):
        asked[1].result(PATIENCE)
    assert desk.turns[1:] == [[2, 7, 3], [2], [7], [3]]


def test_a_database_that_is_away_is_told_to_all_at_once() -> None:
    """It is not asked again for each of them."""
    turns = []

    def work(asked: Sequence[str]) -> dict[str, str | Exception]:
        turns.append(asked)
        raise LOST[0]("", None, Exception())

    away: Gathering[str, str] = Gathering("away", work, pause=0.1)
    asked = [away.ask("heron"), away.ask("dune")]
    for one in asked:
        with pytest.raises(LOST):
            one.result(PATIENCE)
    away.close()
    assert turns == [["heron", "dune"]]


def test_too_many_are_turned_away(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who asks beyond the limit is told to try again."""
    monkeypatch.setattr(gathering, "MOST", 2)
    desk.doubling.ask(2)
    desk.doubling.ask(3)
    with pytest.raises(BusyError):
        desk.doubling.ask(4)
