"""A fault of ours is told by kind and place: no pupil's code and no answer comes into the log."""

from __future__ import annotations

import logging
from pathlib import Path

import pytest
from sqlalchemy import text

from chalkpoint.records import kept
from chalkpoint.records.store import Store
from chalkpoint.web.app import create_app
from chalkpoint.web.settings import Settings
from conftest_web import ORIGIN, Client


@pytest.mark.parametrize("how", ["database", "page"])
def test_what_breaks_is_told_without_what_was_entered(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture, how: str
) -> None:
    """The page says that the fault is ours, with status 500; the log says the kind and the line of our code."""

    def breaks(db: object, *given: object, **more: object) -> None:
        if how == "page":
            raise KeyError("H01 wrote 0101")
        with store.write() as apart:
            for _ in range(2):
                row = {"id": "x", "name": "H01 wrote 0101"}
                words = "INSERT INTO teacher (id, name, local, created) VALUES (:id, :name, false, '')"
                apart.execute(text(words), row)

    client = Client(create_app(store, Settings(), cache=tmp_path / "made"), base_url=ORIGIN)
    client.get("/work")
    monkeypatch.setattr(kept, "deleted", breaks)
    with caplog.at_level(logging.DEBUG):
        answer = client.get("/kept")
    assert answer.status_code == 500
    assert "fault of Chalkpoint" in answer.text
    assert "a page broke: " + ("KeyError" if how == "page" else "IntegrityError (") in caplog.text
    assert "places/kept.py:" in caplog.text
    assert "H01" not in caplog.text + answer.text
    assert "0101" not in caplog.text + answer.text
