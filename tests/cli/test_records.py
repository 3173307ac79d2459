"""The commands for what is kept: each does what it says, asks before it forgets, and refuses in a sentence."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from chalkpoint.cli import main
from chalkpoint.records import kept, teachers
from chalkpoint.records.store import open_store


@pytest.fixture
def url(tmp_path: Path) -> str:
    """A store with one thing in it, deleted."""
    url = f"sqlite:///{(tmp_path / 'store.db').as_posix()}"
    store = open_store(url)
    with store.write() as db:
        me = teachers.local_teacher(db).id
        one = kept.keep(db, me, "course", "12 Heron", "")
        kept.delete(db, me, "course", one.id)
    store.close()
    return url


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Callable[..., tuple[int, str, str]]:
    """What runs a command and gives its code and what it printed."""

    def go(*words: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as left:
            main(["records", *words])
        said = capsys.readouterr()
        return int(str(left.value.code)), said.out, said.err

    return go


def test_export_import_and_backup(run: Callable[..., tuple[int, str, str]], url: str, tmp_path: Path) -> None:
    """What goes out comes in elsewhere; what is there is not overwritten."""
    file, other = str(tmp_path / "all.jsonl"), f"sqlite:///{(tmp_path / 'other.db').as_posix()}"
    assert "2 rows" in run("export", file, "--database", url)[1]
    code, _, said = run("export", file, "--database", url)
    assert code == 2
    assert "there already" in said
    assert "2 rows" in run("import", file, "--database", other)[1]
    assert "0 rows" in run("import", file, "--database", other)[1]
    assert run("backup", str(tmp_path / "copy.db"), "--database", url)[0] == 0
    code, _, said = run("import", str(tmp_path / "copy.db"), "--database", other)
    assert code == 2
    assert "Traceback" not in said
    code, _, said = run("import", str(tmp_path / "none.jsonl"), "--database", other)
    assert (code, "cannot be read" in said) == (2, True)


def test_purge_asks_first(
    run: Callable[..., tuple[int, str, str]], url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a yes nothing is forgotten; a dry run only counts."""
    purge = ("purge", "--older-than", "0", "--database", url)
    assert "1 deleted things" in run(*purge, "--dry-run")[1]
    monkeypatch.setattr("builtins.input", lambda _: "no")
    code, _, said = run(*purge)
    assert code == 2
    assert "nothing was forgotten" in said
    assert "1 deleted things" in run(*purge, "--yes")[1]
    assert "0 deleted things" in run(*purge, "--dry-run")[1]


def test_migrate_says_from_where_to_where(run: Callable[..., tuple[int, str, str]], url: str) -> None:
    """On a database that is up to date it changes nothing."""
    assert re.search(r"From (\d+) to \1\.", run("migrate", "--database", url)[1])


@pytest.mark.parametrize("command", [("migrate",), ("export", "all.jsonl"), ("backup", "copy.db")])
@pytest.mark.parametrize("where", ["postgresql://heron@127.0.0.1:1/none", "sqlite:///{file}/store.db"])
def test_a_database_that_is_not_there_is_said_in_a_sentence(
    run: Callable[..., tuple[int, str, str]], tmp_path: Path, command: tuple[str, ...], where: str
) -> None:
    """Never a traceback, and no file is left."""
    (tmp_path / "note").write_text("a note where a folder should be")
    file = (tmp_path / "note").as_posix()
    words = (command[0], *(str(tmp_path / name) for name in command[1:]))
    code, _, said = run(*words, "--database", where.format(file=file))
    assert (code, "cannot be opened" in said) == (2, True)
    assert [path.name for path in tmp_path.iterdir()] == ["note"]


def test_a_laptops_things_are_given_to_a_teacher(
    run: Callable[..., tuple[int, str, str]], url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The teacher named has them; one who is not there is refused, and nothing is brought in."""
    file, school = str(tmp_path / "all.jsonl"), f"sqlite:///{(tmp_path / 'school.db').as_posix()}"
    run("export", file, "--database", url)
    code, _, said = run("import", file, "--teacher", "ada", "--database", school)
    assert (code, "there is no teacher 'ada' here" in said) == (2, True)
    monkeypatch.setattr("sys.stdin", io.StringIO("tide gauge at dawn\n"))
    assert run("teacher", "ada", "--database", school)[0] == 0
    assert "1 rows" in run("import", file, "--teacher", "ada", "--database", school)[1]
    store = open_store(school)
    with store.read() as db:
        ada = teachers.teacher_called(db, "ada")
        assert ada is not None
        assert [one.title for one in kept.deleted(db, ada.id)] == ["12 Heron"]
    store.close()


def test_one_pupil_is_written_out_and_erased(
    run: Callable[..., tuple[int, str, str]], url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By class or in all; --dry-run erases nothing, and what backups still hold is said."""
    store = open_store(url)
    with store.write() as db:
        me = teachers.local_teacher(db).id
        kept.keep(db, me, "class", "12 Heron", "HQ7\nHQ8")
    store.close()
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    file, where = tmp_path / "HQ7.json", ("--database", url)
    assert run("pupil", "HQ7", str(file), "--class", "12 Heron", *where)[0] == 0
    assert '"12 Heron"' in file.read_text(encoding="utf-8")
    assert run("pupil", "HQ7", str(file), *where)[0] == 2
    code, _, said = run("pupil", "HQ7", str(tmp_path / "x"), "--class", "12 Gull", *where)
    assert (code, "there are: '12 Heron'" in said) == (2, True)
    assert "Nothing was erased." in run("erase", "HQ7", "--dry-run", *where)[1]
    assert "Backups made before today" in run("erase", "HQ7", "--yes", *where)[1]
    assert "Nothing is kept under that code." in run("erase", "HQ7", "--yes", *where)[1]
    assert "1 entries in a class" in run("erase", "HQ8", "--dry-run", *where)[1]


def test_how_long_is_said_and_changed(run: Callable[..., tuple[int, str, str]], url: str) -> None:
    """A number of days, or none at all."""
    assert "for 760 days" in run("retention", "--database", url)[1]
    assert "for 400 days" in run("retention", "400", "--database", url)[1]
    assert run("retention", "5", "--database", url)[0] == 2
    assert "not forgotten by itself" in run("retention", "0", "--database", url)[1]
