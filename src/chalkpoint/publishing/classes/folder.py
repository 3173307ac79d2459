"""The folder of a marked class, written as pupils come, whole or not at all."""

from __future__ import annotations

import json
import re
import shutil
import tempfile
from collections.abc import Iterable
from pathlib import Path

from chalkpoint.marking.classes import SCHEMA
from chalkpoint.marking.overrides import Decisions, Rulings
from chalkpoint.marking.students import Entry
from chalkpoint.marking.summary import Summary
from chalkpoint.numbers.errors import EntryError, FileError
from chalkpoint.publishing.classes.pages import class_page
from chalkpoint.publishing.classes.pupils import student_page
from chalkpoint.publishing.classes.tables import MarksTable, write_decisions, write_workbook
from chalkpoint.setting.papers import Papers

__all__ = ["MOST_PAGES", "write_class"]

MOST_PAGES = 400  # pupils' pages; of larger classes the first ones


def write_class(
    papers: Papers,
    entries: Iterable[Entry],
    out: Path,
    *,
    decisions: Decisions | None = None,
    rulings: Rulings | None = None,
    replace: bool = False,
    pdf: bool = False,
) -> Summary:
    """Write marks.json, marks.csv, marks.xlsx, decisions.csv, class.html and students/ into *out*; return the summary.

    decisions, rulings  those by which the entries were marked, kept in decisions.csv beside what waits
    pdf                 write class.pdf and students.pdf too

    Raises EntryError where *out* is there already and is not to be replaced, FileError where it cannot
    be written.
    """
    if out.exists() and not replace:
        raise EntryError(f"{str(out)!r} is there already; give --replace to write it anew, or another folder")
    try:
        fresh = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent))
    except OSError as reason:
        raise FileError(
            f"{str(out)!r} cannot be written ({reason.strerror}); give a folder you may write to"
        ) from reason
    try:
        summary = _write(papers, entries, fresh, pdf=pdf)
        write_decisions(fresh / "decisions.csv", summary, decisions or {}, rulings or {})
        fresh.chmod(0o755)
        if out.exists():
            shutil.rmtree(out)
        fresh.rename(out)
    except BaseException:
        shutil.rmtree(fresh, ignore_errors=True)
        raise
    return summary


def _write(papers: Papers, entries: Iterable[Entry], folder: Path, *, pdf: bool) -> Summary:
    summary = Summary(papers)
    pages = folder / "students"
    pages.mkdir()
    taken: set[str] = set()
    printed: list[Entry] = []
    with (
        (folder / "marks.json").open("w", encoding="utf-8") as file,
        MarksTable(folder / "marks.csv", papers) as table,
    ):
        file.write(f'{{"schema": "{SCHEMA}", "title": {json.dumps(papers.title)}, "students": [')
        for number, entry in enumerate(entries):
            file.write(("," if number else "") + "\n" + json.dumps(entry, ensure_ascii=False))
            table.add(entry)
            summary.add(entry)
            if number < MOST_PAGES:
                name = _file_name(entry["student"], taken)
                printed += [entry] if pdf else []
                (pages / f"{name}.html").write_text(student_page(entry, papers), encoding="utf-8")
        file.write("\n]}\n")
    write_workbook(folder / "marks.xlsx", folder / "marks.csv")
    (folder / "class.html").write_text(class_page(summary), encoding="utf-8")
    if pdf:
        from chalkpoint.publishing.classes.printed import class_pdf
        from chalkpoint.publishing.classes.pupilsprinted import students_pdf

        (folder / "class.pdf").write_bytes(class_pdf(summary))
        (folder / "students.pdf").write_bytes(students_pdf(printed, papers))
    return summary


def _file_name(student: str, taken: set[str]) -> str:
    """Return a file name for a pupil's page that every system takes and no other pupil has."""
    base = re.sub(r"[^\w-]+", "-", student).strip("-")[:60].lower() or "pupil"
    name, number = base, 2
    while name in taken:
        name, number = f"{base}-{number}", number + 1
    taken.add(name)
    return name
