"""`chalkpoint set`: papers from a blueprint, with their mark schemes, key and sheets."""

from __future__ import annotations

import json as json_text
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace as but
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from chalkpoint.cli.commands import Flag
from chalkpoint.cli.output import WholeNumber, start_file
from chalkpoint.numbers.errors import EntryError

if TYPE_CHECKING:
    from chalkpoint.working.question import Question

__all__ = ["set_papers"]


def set_papers(
    blueprint: Path | None = None,
    /,
    *,
    variants: WholeNumber = 1,
    seed: WholeNumber = 0,
    out: Path | None = None,
    replace: Flag = False,
    solutions: Flag = False,
    qti: Flag = False,
    word: Flag = False,
    scan: Flag = False,
    only: Literal["papers", "scheme", "solutions"] | None = None,
    without: list[Path] | None = None,
    new: Path | None = None,
    json: Flag = False,
) -> None:
    """Set papers from a blueprint: variants of equal demand, mark schemes, a key and sheets.

    Parameters
    ----------
    blueprint
        a TOML file that says what is asked
    variants
        how many papers, 1 to 1000
    seed
        a whole number; the same one makes the same papers, byte for byte
    out
        the folder to write, whole or not at all
    replace
        put the papers in place of those in the folder
    solutions
        draw every working too (practice and starters always have theirs)
    qti
        write the final answers as items for other systems too, in QTI 3.0: items.zip
    word
        write each variant as a document for a word processor too: paper-1.docx
    scan
        print for reading by machine, as scan = true in the blueprint: boxes apart, a number to cross
    only
        of the files to print, write the papers, the scheme or the solutions alone
    without
        a papers.json that this class had: none of its questions is asked again; repeat it for more
    new
        write a commented blueprint to start from to this file
    json
        print the papers as one JSON object
    """
    if new is not None:
        from chalkpoint.setting.blueprint import STARTING

        start_file(new, STARTING)
        return
    if blueprint is None:
        raise EntryError(
            "set needs a blueprint, such as chalkpoint set paper.toml --variants 30 --out papers; "
            "--new FILE writes one to start from"
        )
    if out is None and not json:
        raise EntryError("set needs a folder to write to; give --out FOLDER, or --json to print the papers")
    from chalkpoint.publishing.papers.folder import check_free, write_folder
    from chalkpoint.setting.blueprint import read_blueprint
    from chalkpoint.setting.setter import set_papers as set_them

    if out is not None:
        check_free(out, replace=replace)
    asked = read_blueprint(blueprint)
    if scan:
        asked = but(asked, printing=but(asked.printing, scan=True))
    papers = set_them(
        asked,
        variants=variants,
        seed=seed,
        had=questions_had(without or ()),
        watch=progress("Choosing questions"),
    )
    if out is not None:
        names = write_folder(
            papers,
            out,
            replace=replace,
            solutions=solutions,
            qti=qti,
            word=word,
            only=only or "",
            watch=progress("Writing files"),
        )
    if json:
        print(json_text.dumps(papers.to_dict(), ensure_ascii=False, indent=2))
    else:
        print(papers.report[0])
        print(papers.report[-1])
        print(f"Written: {out}, {len(names)} files; report.txt says how equal the papers are.")


def questions_had(files: Sequence[Path]) -> list[Question]:
    """Return the questions of papers that were set before."""
    from chalkpoint.setting.paperfile import read_papers

    return [
        asked.question
        for file in files
        for variant in read_papers(file).variants.values()
        for asked in variant.questions
    ]


def progress(what: str) -> Callable[[int, int], None] | None:
    """Return what shows parts done on a terminal's standard error; nothing where there is none."""
    if not sys.stderr.isatty():
        return None

    def show(done: int, of: int) -> None:
        print(f"\r{what}: {done} of {of}", end="\n" if done == of else "", file=sys.stderr, flush=True)

    return show
