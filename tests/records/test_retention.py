"""What pupils wrote is forgotten by age: after a month's notice, and never younger than said."""

from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import update

from chalkpoint.marking.answers import Script
from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import kept, retention, scripts
from chalkpoint.records.ids import time_text
from chalkpoint.records.schema import ScriptRow, SecurityRow
from chalkpoint.records.store import Store

START = datetime(2030, 9, 1, 8, 0, tzinfo=UTC)


def tend(store: Store, day: int) -> bool:
    """Look at what is old, on a day."""
    return retention.tend(store, lambda: on(day))


def on(day: int) -> datetime:
    """Return the time so many days after the start."""
    return START + timedelta(days=day)


@pytest.fixture
def papers(store: Store, teacher: str) -> str:
    """Papers with one script, written on day 0; scripts are kept for 400 days."""
    with store.write() as db:
        retention.keep_for(db, 400)
        made = kept.keep(db, teacher, "papers", "Gauges", "{}").id
    hand_in(store, teacher, made, "H01", 0)
    return made


def hand_in(store: Store, teacher: str, papers: str, code: str, day: int) -> None:
    """Keep a script as if it were that day."""
    with store.write() as db:
        scripts.put_script(db, teacher, papers, Script(code, 1, {1: {"answer": "1"}}))
        written = update(ScriptRow).where(ScriptRow.student == code)
        db.execute(written.values(changed=time_text(on(day)), created=time_text(on(day))))


def left(store: Store, teacher: str, papers: str) -> set[str]:
    """Return whose scripts are there."""
    with store.read() as db:
        return scripts.codes_of(db, teacher, papers)


def test_a_month_goes_by_between_the_notice_and_the_forgetting(
    store: Store, teacher: str, papers: str
) -> None:
    """Nothing before day 370; a notice from then on; on day 401 it is done, and what is younger stays."""
    hand_in(store, teacher, papers, "H02", 20)
    tended = {day: tend(store, day) for day in (100, 369, 371, 400)}
    assert not any(tended.values())
    with store.read() as db:
        notice = retention.notice_of(db)
    assert notice is not None
    assert (notice.before, notice.on) == (time_text(on(1)), time_text(on(401)))
    assert left(store, teacher, papers) == {"H01", "H02"}
    assert tend(store, 401)
    assert left(store, teacher, papers) == {"H02"}
    with store.read() as db:
        assert retention.notice_of(db) is None


def test_after_years_without_a_look_the_notice_comes_first(store: Store, teacher: str, papers: str) -> None:
    """Whoever opens it again has a month, and what they write meanwhile stays."""
    assert not tend(store, 2000)
    hand_in(store, teacher, papers, "H02", 2001)
    assert not tend(store, 2029)
    assert tend(store, 2030)
    assert left(store, teacher, papers) == {"H02"}


def test_longer_takes_the_notice_back_and_for_ever_forgets_nothing(
    store: Store, teacher: str, papers: str
) -> None:
    """The script written on day 0 is there on day 5000."""
    tend(store, 380)
    with store.write() as db:
        retention.keep_for(db, 800)
        assert retention.notice_of(db) is None
    assert not tend(store, 420)
    with store.write() as db:
        retention.keep_for(db, retention.FOR_EVER)
    assert not tend(store, 5000)
    assert left(store, teacher, papers) == {"H01"}


def test_there_is_a_period_where_nobody_said_one(store: Store) -> None:
    """And one that is too short is refused."""
    with store.write() as db:
        assert retention.days_kept(db) == retention.USUAL_DAYS
        with pytest.raises(EntryError, match="30 days is not taken; give from 90"):
            retention.keep_for(db, 30)


def test_the_security_log_is_forgotten_with_the_rest(store: Store, teacher: str, papers: str) -> None:
    """A line as old as the script goes when it goes."""
    with store.write() as db:
        db.add(SecurityRow(what="signed in", teacher=teacher, at=time_text(on(0))))
        db.add(SecurityRow(what="signed in", teacher=teacher, at=time_text(on(300))))
    for day in (371, 401):
        tend(store, day)
    with store.read() as db:
        assert [row.at for row in db.query(SecurityRow)] == [time_text(on(300))]
    assert left(store, teacher, papers) == set()
