"""Summaries: gathered once a marking, and again for another one."""

from __future__ import annotations

import json

import pytest

from chalkpoint.marking.answers import Script
from chalkpoint.marking.students import Marker
from chalkpoint.records import kept, marks, teachers
from chalkpoint.records.store import Store
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.web import summaries
from chalkpoint.web.summaries import Summaries
from conftest_web import PAPERS


def test_a_marking_is_summed_up_once(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another marking has a summary of its own, and the longest unused makes room."""
    monkeypatch.setattr(summaries, "MOST", 1)
    papers = papers_from(PAPERS)
    entry = Marker(papers).entry(Script("H01", 1, {1: {"answer": "010100 0011", "align": "000101"}}))
    with store.write() as db:
        me = teachers.local_teacher(db).id
        one = kept.keep(db, me, "papers", "Gauges", json.dumps(PAPERS)).id
        first = marks.keep_marks(db, me, one, [entry])
        second = marks.keep_marks(db, me, one, [])
    known = Summaries()
    summed = known.of(store, first, papers)
    assert summed.all.pupils == 1
    assert sum(summed.waiting.values()) == summed.all.waiting_answers
    assert known.of(store, first, papers) is summed
    assert known.of(store, second, papers).all.pupils == 0
    assert known.of(store, first, papers) is not summed
