"""The whole story on one machine and on two processes, with script and without."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from chalkpoint.records import kept, teachers
from conftest_web import Served
from story import tell


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_a_class_is_found_set_marked_and_taught_again(browser: Browser, served: Served, script: bool) -> None:
    """From a request to the board, with mistakes on the way, and every step by the page's own links and forms.

    Whichever process answers, the teacher notices nothing, and what is kept is in one place.
    """
    tell(browser, served.address, script=script)
    with served.store.write() as db:
        me = teachers.local_teacher(db).id
        assert [kept.count_of(db, me, kind) for kind in ("blueprint", "papers", "lesson")] == [1, 1, 1]
