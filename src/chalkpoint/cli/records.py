"""`chalkpoint records`: what is kept, carried away, brought in, backed up, forgotten and brought up to date."""

from __future__ import annotations

import json
import sys
from getpass import getpass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import cyclopts
from cyclopts import Parameter

from chalkpoint.cli.commands import KEEPING, Flag, epilogue
from chalkpoint.numbers.errors import EntryError, FileError, missing_extra

if TYPE_CHECKING:
    from chalkpoint.records.store import Store, Transaction

__all__ = ["EXAMPLES", "app"]

#: Two examples of each command, which its help shows and a test runs in this order.
EXAMPLES: dict[str, tuple[str, str]] = {
    "records": ("chalkpoint records backup copy.db", "chalkpoint records purge --older-than 400 --dry-run"),
    "export": (
        "chalkpoint records export all.jsonl",
        "chalkpoint records export other.jsonl --database sqlite:///school.db",
    ),
    "import": (
        "chalkpoint records import all.jsonl",
        "chalkpoint records import all.jsonl --database sqlite:///other.db",
    ),
    "backup": (
        "chalkpoint records backup monday.db",
        "chalkpoint records backup tuesday.db --database sqlite:///school.db",
    ),
    "purge": (
        "chalkpoint records purge --older-than 400 --dry-run",
        "chalkpoint records purge --older-than 400 --yes",
    ),
    "pupil": (
        "chalkpoint records pupil H01 H01.json",
        "chalkpoint records pupil H02 H02.json --database sqlite:///school.db",
    ),
    "erase": ("chalkpoint records erase H01 --yes", "chalkpoint records erase H02 --dry-run"),
    "retention": ("chalkpoint records retention", "chalkpoint records retention 400"),
    "migrate": ("chalkpoint records migrate", "chalkpoint records migrate --database sqlite:///school.db"),
    "teacher": (
        "chalkpoint records teacher marlow",
        "chalkpoint records teacher marlow --database sqlite:///school.db",
    ),
}

app = cyclopts.App(
    name="records",
    help=KEEPING,
    help_epilogue=epilogue(*EXAMPLES["records"]),
)


def _open(database: str | None) -> Store:
    try:
        from chalkpoint.records.store import open_store
    except ModuleNotFoundError as reason:
        raise _not_installed(reason) from reason
    return open_store(database)


def _not_installed(reason: ModuleNotFoundError) -> EntryError:
    return missing_extra("the database", str(reason.name), "serve")


@app.command(name="export", help_epilogue=epilogue(*EXAMPLES["export"]))
def export_records(file: Path, /, *, database: str | None = None) -> None:
    """Write everything that is kept to one file of JSON lines; passwords and sessions are left out.

    Parameters
    ----------
    file
        the file to write; it must not be there
    database
        where everything is kept; the file in your data folder by default
    """
    store = _open(database)
    from chalkpoint.records.exchange import export_all

    if file.exists():
        raise FileError(f"{str(file)!r} is there already; give another name")
    fresh = file.with_name(f".{file.name}-making")
    try:
        with fresh.open("w", encoding="utf-8", newline="\n") as out:
            counts = export_all(store, out)
        fresh.replace(file)
    except OSError as reason:
        fresh.unlink(missing_ok=True)
        raise FileError(
            f"{str(file)!r} cannot be written ({reason.strerror}); give a file you may write to"
        ) from reason
    print(f"Written: {file}, {sum(counts.values()):,} rows.")


@app.command(name="import", help_epilogue=epilogue(*EXAMPLES["import"]))
def import_records(file: Path, /, *, teacher: str | None = None, database: str | None = None) -> None:
    """Bring in what an export wrote, all of it or nothing.

    Parameters
    ----------
    file
        the file that `export` wrote
    teacher
        whose a laptop's things are here: the name of a teacher added before
    database
        where everything is kept; the file in your data folder by default
    """
    store = _open(database)
    from chalkpoint.records.exchange import import_all

    try:
        with file.open(encoding="utf-8") as lines:
            counts = import_all(store, lines, teacher=teacher)
    except (OSError, UnicodeDecodeError) as reason:
        why = getattr(reason, "strerror", None) or "not text in UTF-8"
        raise FileError(f"{str(file)!r} cannot be read ({why}); give a file that an export wrote") from reason
    print(f"Brought in: {sum(counts.values()):,} rows that were not here.")


@app.command(help_epilogue=epilogue(*EXAMPLES["backup"]))
def backup(file: Path, /, *, database: str | None = None) -> None:
    """Copy the database while it is in use.

    Parameters
    ----------
    file
        the file to write; it must not be there
    database
        where everything is kept; the file in your data folder by default
    """
    store = _open(database)
    from chalkpoint.records.store import back_up

    back_up(store, file)
    print(f"Written: {file}")


@app.command(help_epilogue=epilogue(*EXAMPLES["purge"]))
def purge(*, older_than: int, dry_run: Flag = False, yes: Flag = False, database: str | None = None) -> None:
    """Forget what pupils wrote, marks, deleted things and sessions that are older than so many days.

    Parameters
    ----------
    older_than
        days
    dry_run
        say what would be forgotten, and forget nothing
    yes
        do not ask first
    database
        where everything is kept; the file in your data folder by default
    """
    store = _open(database)
    from chalkpoint.records.purge import purge as forget

    counts = forget(store, older_than, dry_run=True)
    for what, count in counts.items():
        print(f"{count:,} {what}")
    if dry_run:
        return
    if not yes and not _agreed("Forget them for good? "):
        raise EntryError("nothing was forgotten; answer yes, or give --yes")
    forget(store, older_than)
    print("Forgotten.")


Class = Annotated[str | None, Parameter(name="--class")]


@app.command(help_epilogue=epilogue(*EXAMPLES["pupil"]))
def pupil(
    code: str, file: Path, /, *, group: Class = None, teacher: str | None = None, database: str | None = None
) -> None:
    """Write all that is kept under one pupil's code to a file of JSON.

    Parameters
    ----------
    code
        the pupil's code
    file
        the file to write; it must not be there
    group
        the title of the pupil's class; all papers of the teacher by default
    teacher
        whose pupil it is, where several teachers keep things here
    database
        where everything is kept; the file in your data folder by default
    """
    store = _open(database)
    from chalkpoint.records.one_pupil import export_pupil

    with store.write() as db:
        found = export_pupil(db, *_whose(db, code, group, teacher))
    try:
        with file.open("x", encoding="utf-8", newline="\n") as out:
            json.dump(found, out, ensure_ascii=False, indent=1)
    except OSError as reason:
        raise FileError(
            f"{str(file)!r} cannot be written ({reason.strerror}); give the name of a file that is not there"
        ) from reason
    print(f"Written: {file}, {len(found['papers'])} sets of papers. {found['backups']}")


@app.command(help_epilogue=epilogue(*EXAMPLES["erase"]))
def erase(
    code: str,
    /,
    *,
    group: Class = None,
    teacher: str | None = None,
    dry_run: Flag = False,
    yes: Flag = False,
    database: str | None = None,
) -> None:
    """Erase all that is kept under one pupil's code: scripts, marks, decisions and what the audit says of it.

    Parameters
    ----------
    code
        the pupil's code
    group
        the title of the pupil's class; all papers of the teacher by default
    teacher
        whose pupil it is, where several teachers keep things here
    dry_run
        say what would be erased, and erase nothing
    yes
        do not ask first
    database
        where everything is kept; the file in your data folder by default
    """
    store = _open(database)
    from platformdirs import user_cache_path

    from chalkpoint.records.one_pupil import BACKUPS, erase_pupil
    from chalkpoint.web.artefacts import Artefacts

    with store.write() as db:
        whose = _whose(db, code, group, teacher)
        erased = erase_pupil(db, *whose)
        for what, count in erased.counts.items():
            print(f"{count:,} {what}")
        if dry_run or not erased.counts:
            db.rollback()
            print("Nothing is kept under that code." if not erased.counts else "Nothing was erased.")
            return
        if not yes and not _agreed("Erase them for good? "):
            raise EntryError("nothing was erased; answer yes, or give --yes")
    made = Artefacts(user_cache_path("chalkpoint") / "made")
    for papers, run in erased.runs:
        made.forget("marks", papers, run)
    store.forget_traces()
    print(f"Erased. {BACKUPS}")


def _whose(db: Transaction, code: str, group: str | None, teacher: str | None) -> tuple[str, str, str | None]:
    """Return the teacher's id, the pupil's code and the class's id."""
    from chalkpoint.records import kept, teachers

    owner = teachers.one_meant(db, teacher).id
    if group is None:
        return owner, code, None
    classes = kept.titles_of(db, owner, "class", limit=kept.count_of(db, owner, "class"))
    found = [one.id for one in classes if one.title == group]
    if len(found) != 1:
        known = ", ".join(repr(one.title) for one in classes) or "none"
        raise EntryError(f"{len(found)} classes are called {group!r}; there are: {known}")
    return owner, code, found[0]


@app.command(help_epilogue=epilogue(*EXAMPLES["retention"]))
def retention(days: int | None = None, /, *, database: str | None = None) -> None:
    """Say for how many days what pupils wrote is kept, or change it; a month's notice goes before any forgetting.

    Parameters
    ----------
    days
        days, or 0 to forget nothing but by `purge`; without it, only say how it is
    database
        where everything is kept; the file in your data folder by default
    """
    store = _open(database)
    from chalkpoint.records.retention import days_kept, keep_for, notice_of

    if days is not None:
        with store.write() as db:
            keep_for(db, days)
    with store.read() as db:
        lasts, notice = days_kept(db), notice_of(db)
    print(
        f"What pupils wrote is kept for {lasts} days."
        if lasts
        else "What pupils wrote is not forgotten by itself."
    )
    if notice:
        print(f"On {notice.on[:10]} what was written before {notice.before[:10]} is forgotten.")


def _agreed(question: str) -> bool:
    try:
        return input(question).strip().lower() in {"y", "yes"}
    except EOFError:
        return False


@app.command(help_epilogue=epilogue(*EXAMPLES["migrate"]))
def migrate(*, database: str | None = None) -> None:
    """Bring a database up to date; back it up first.

    Parameters
    ----------
    database
        where everything is kept; the file in your data folder by default
    """
    try:
        from chalkpoint.records.store import bring_up_to_date
    except ModuleNotFoundError as reason:
        raise _not_installed(reason) from reason
    before, after = bring_up_to_date(database)
    print(f"From {before or 'nothing'} to {after}.")


@app.command(help_epilogue=epilogue(*EXAMPLES["teacher"]))
def teacher(name: str, /, *, database: str | None = None) -> None:
    """Add a teacher, or give one a new password, which ends every session of that teacher.

    Parameters
    ----------
    name
        the name to sign in with
    database
        where everything is kept; the file in your data folder by default
    """
    store = _open(database)
    from chalkpoint.records import sessions, teachers

    password = _password()
    with store.write() as db:
        known = teachers.teacher_called(db, name) or teachers.add_teacher(db, name)
        teachers.set_password(db, known, password)
        sessions.close_all(db, known)
    print(f"{name} can sign in.")


def _password() -> str:
    """Return a password typed twice; or one line of standard input, where nobody types."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    first = getpass("Password, 10 characters or more: ")
    if getpass("The same again: ") != first:
        raise EntryError("the two passwords differ; start again")
    return first
