"""A full disk: one sentence, nothing half-written, and all is well once there is room."""

from __future__ import annotations

import errno
import tempfile
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from chalkpoint.cli import main
from chalkpoint.records.store import Store, open_store
from chalkpoint.setting.blueprint import STARTING
from chalkpoint.web.app import create_app
from chalkpoint.web.settings import Settings
from conftest_web import ORIGIN, Client

SAID = "the disk is full, so nothing was kept"


def fill(store: Store) -> None:
    """Let a file grow no more, as if its disk were full."""
    with store.engine.connect() as connection:
        used = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
    store.engine.dispose()

    def limit(connection: Any, _: object) -> None:
        connection.execute(f"PRAGMA max_page_count = {used}")

    event.listen(store.engine, "connect", limit)


def test_a_form_that_finds_no_room_is_refused_whole(tmp_path: Path) -> None:
    """The page says so with status 507, and what was there is there still."""
    store = open_store(f"sqlite:///{(tmp_path / 'store.db').as_posix()}")
    with Client(create_app(store, Settings(), cache=tmp_path / "made"), base_url=ORIGIN) as client:
        client.submit("/mark/classes/new", title="12 Heron", codes="3")
        fill(store)
        many = " ".join(f"P{number:05}-of-a-large-class-by-the-estuary" for number in range(400))
        answer = client.submit("/mark/classes/new", title="12 Dune", codes=many)
        assert (answer.status_code, answer.text[1:].startswith(SAID[1:])) == (507, True)
        shown = client.get("/mark").text
        assert "12 Heron" in shown
        assert "12 Dune" not in shown


def files(folder: Path) -> list[Path]:
    """Return what is in a folder, but for what a database writes beside its file."""
    return sorted(path for path in folder.rglob("*") if not path.name.startswith("store.db-"))


def no_room(*_: object, **__: object) -> Any:
    """Write as to a full disk."""
    raise OSError(errno.ENOSPC, "No space left on device")


@pytest.mark.parametrize(
    "words",
    [
        ["work", "add", "1.5", "2.5", "--html", "out.html"],
        ["set", "paper.toml", "--variants", "1", "--out", "papers"],
        ["records", "export", "all.jsonl", "--database", "sqlite:///store.db"],
    ],
    ids=lambda words: words[0],
)
def test_a_command_that_finds_no_room_leaves_nothing_half_written(
    words: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 2 and one sentence; no file is there that was not before."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "paper.toml").write_text(STARTING, encoding="utf-8")
    open_store("sqlite:///store.db").close()
    before = files(tmp_path)
    for name in ("write_text", "write_bytes"):
        monkeypatch.setattr(Path, name, no_room)
    monkeypatch.setattr(tempfile, "mkstemp", no_room)
    monkeypatch.setattr("chalkpoint.records.exchange.export_all", no_room)
    with pytest.raises(SystemExit) as left:
        main(words)
    said = capsys.readouterr().err
    assert left.value.code == 2, said
    assert len(said.splitlines()) == 1
    assert "No space left on device" in said or SAID in said
    assert files(tmp_path) == before
