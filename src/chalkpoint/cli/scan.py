"""`chalkpoint mark --scan STACK PAPERS`: handwritten papers read, looked through by the teacher, and marked."""

from __future__ import annotations

import csv
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from chalkpoint.cli.output import show_progress, write_file
from chalkpoint.numbers.errors import EntryError, missing_extra

if TYPE_CHECKING:
    from chalkpoint.scanning.folder import Folder
    from chalkpoint.scanning.printed import Printed
    from chalkpoint.scanning.stack import Stack

__all__ = ["read_handwriting", "write_ink"]

MOST_SAID = 20  # matters printed; all are in pages.csv


def stack_and_papers(given: Sequence[Path], papers: Path | None) -> tuple[list[Path], Path]:
    """Return the files of the stack and the papers.json, which may be the last of what follows --scan.

    >>> stack_and_papers([Path("stack.pdf"), Path("papers.json")], None)[1].name
    'papers.json'
    """
    stack = [path for path in given if path.suffix.lower() != ".json"]
    papers = papers or next((path for path in given if path.suffix.lower() == ".json"), None)
    if papers is None:
        raise EntryError(
            "mark --scan needs the papers.json of the set; "
            "such as chalkpoint mark --scan stack.pdf papers.json --out marks"
        )
    if not stack:
        raise EntryError("mark --scan needs the scanner's PDF, photographs, or a folder of them")
    return stack, papers


def read_handwriting(
    given: Sequence[Path],
    papers: Path | None,
    read: Path | None,
    out: Path | None,
    *,
    in_order: bool,
    every: bool,
) -> tuple[Path, Path | None]:
    """Return the papers.json and the answers of a stack; None for the answers while anything waits for the teacher."""
    files, papers = stack_and_papers(given, papers)
    folder = read or (out.with_name(f"{out.name}-read") if out else Path("read"))
    return papers, scan_stack(files, papers, folder, in_order=in_order, every=every)


def scan_stack(
    stack_files: Sequence[Path], papers: Path, folder: Path, *, in_order: bool, every: bool
) -> Path | None:
    """Read a stack into *folder*, or take what the teacher said of it; return the answers once nothing waits.

    in_order  whether each pupil's sides lie together, in order
    every     whether every box is looked at, and not only those in doubt and those drawn by lot
    """
    try:
        from chalkpoint.scanning.folder import Folder
        from chalkpoint.scanning.printed import Printed
    except ImportError as reason:
        raise missing_extra("Reading a stack", reason.name or "opencv", "scan") from reason
    printed, kept = Printed.beside(papers), Folder(folder, every=every)
    stack = (
        _again(kept, stack_files, printed)
        if kept.begun
        else _first(kept, stack_files, papers, printed, in_order)
    )
    kept.save(stack)
    return _said(stack, kept)


def _first(kept: Folder, files: Sequence[Path], papers: Path, printed: Printed, in_order: bool) -> Stack:  # noqa: FBT001
    from chalkpoint.scanning.pictures import sources_in
    from chalkpoint.scanning.reading import read_stack
    from chalkpoint.setting.paperfile import read_papers

    title = read_papers(papers).title
    sources = sources_in(files)
    watch = show_progress("Reading page")
    return read_stack(sources, printed, title=title, keep=kept.keep, watch=watch, in_order=in_order)


def _again(kept: Folder, files: Sequence[Path], printed: Printed) -> Stack:
    from chalkpoint.scanning.pictures import sources_in
    from chalkpoint.scanning.reading import read_again

    stack = kept.load()
    named = kept.take(stack)
    sources = sources_in(files)
    if [str(source) for source in sources] != [page.source for page in stack.pages]:
        raise EntryError(
            f"{str(kept.path)!r} holds another stack; give the same files as before, or another folder with --read"
        )
    for page in named:
        read_again(stack, sources[page.number - 1], page.number, printed, kept.keep)
    return stack


def _said(stack: Stack, kept: Folder) -> Path | None:
    """Say what was read and what waits; write the answers once nothing does."""
    from chalkpoint.scanning.answers import HEADS, answer_rows, left_out
    from chalkpoint.scanning.audit import audit_of
    from chalkpoint.scanning.pupils import matters_of

    read = sum(1 for _ in stack.used())
    print(f"{read} of {len(stack.pages)} pages read.")
    matters = matters_of(stack)
    for matter in matters[:MOST_SAID]:
        print(f"page {matter.page}: {matter.what}" if matter.page else matter.what, file=sys.stderr)
    if len(matters) > MOST_SAID:
        print(f"and {len(matters) - MOST_SAID} more, in {kept.path / 'pages.csv'}", file=sys.stderr)
    waiting = sum(sheet.count for sheet in kept.sheets(stack))
    if waiting:
        print(
            f"{waiting} places wait for you: open {kept.path / 'review.html'}, save review.csv there, "
            "and give the same command again. No mark is made before."
        )
        return None
    print(f"Audit: {audit_of(stack).sentence}")
    missing = left_out(stack)
    if missing:
        print(f"Left out until their pages are whole: {', '.join(sorted(missing))}.", file=sys.stderr)
    path = kept.path / "answers.csv"
    rows = list(answer_rows(stack))
    if not rows:
        raise EntryError("no pupil's paper is whole, so there is nothing to mark; scan the missing sides")
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([HEADS, *rows])
    return path


def write_ink(answers: Path | None, out: Path) -> None:
    """Write the page with every mark beside the ink, where the stack is kept, and say so."""
    from chalkpoint.marking.histories import read_marks
    from chalkpoint.scanning.folder import Folder
    from chalkpoint.scanning.inked import ink_page

    assert answers is not None  # noqa: S101 - marks were made of them
    kept = Folder(answers.parent)
    entries = read_marks(out / "marks.json")["students"]
    page = ink_page(kept.load(), entries, lambda number: f"pages/{number:03}.jpg")
    write_file(kept.path / "ink.html", page)
    print(f"Every mark beside the ink: {kept.path / 'ink.html'}")
