"""The whole story on two processes and a PostgreSQL: whichever process answers, the teacher notices nothing."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Browser

from chalkpoint.records import kept, teachers
from chalkpoint.records.store import open_store
from conftest_records import fresh_database
from conftest_web import together
from story import tell


def test_two_processes_tell_one_story(browser: Browser, postgresql_server: str, tmp_path: Path) -> None:
    """Found, set, marked, decided, taught again, deleted and brought back; what is kept is in one place."""
    url = fresh_database(postgresql_server)
    with together(url, tmp_path) as (address, _):
        tell(browser, address, script=True)
    store = open_store(url)
    with store.write() as db:
        me = teachers.local_teacher(db).id
        assert [kept.count_of(db, me, kind) for kind in ("blueprint", "papers", "lesson")] == [1, 1, 1]
    store.close()
