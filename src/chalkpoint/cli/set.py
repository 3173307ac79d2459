"""`chalkpoint set`: papers from a blueprint, with their mark schemes, key and sheets."""

from __future__ import annotations

import json as json_text
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from chalkpoint.cli.output import WholeNumber, start_file
from chalkpoint.numbers.errors import EntryError

__all__ = ["set_papers"]


def set_papers(
    blueprint: Path | None = None,
    /,
    *,
    variants: WholeNumber = 1,
    seed: WholeNumber = 0,
    out: Path | None = None,
    replace: Annotated[bool, Parameter(negative=(), show_default=False)] = False,
    solutions: Annotated[bool, Parameter(negative=(), show_default=False)] = False,
    qti: Annotated[bool, Parameter(negative=(), show_default=False)] = False,
    new: Path | None = None,
    json: Annotated[bool, Parameter(negative=(), show_default=False)] = False,
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
    from chalkpoint.setting.setter import set_papers as set_them

    if out is not None:
        check_free(out, replace=replace)
    papers = set_them(blueprint, variants=variants, seed=seed, watch=progress("Choosing questions"))
    if out is not None:
        names = write_folder(
            papers, out, replace=replace, solutions=solutions, qti=qti, watch=progress("Writing files")
        )
    if json:
        print(json_text.dumps(papers.to_dict(), ensure_ascii=False, indent=2))
    else:
        print(papers.report[0])
        print(papers.report[-1])
        print(f"Written: {out}, {len(names)} files; report.txt says how equal the papers are.")


def progress(what: str) -> Callable[[int, int], None] | None:
    """Return what shows parts done on a terminal's standard error; nothing where there is none."""
    if not sys.stderr.isatty():
        return None

    def show(done: int, of: int) -> None:
        print(f"\r{what}: {done} of {of}", end="\n" if done == of else "", file=sys.stderr, flush=True)

    return show
