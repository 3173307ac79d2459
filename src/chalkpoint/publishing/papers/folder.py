"""The folder of papers: written whole or not at all, and never over another without being told to."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeAlias

from chalkpoint.numbers.errors import FileError
from chalkpoint.publishing.papers.printing import papers_pdf
from chalkpoint.publishing.papers.schemes import key_pdf, schemes_pdf, solutions_pdf
from chalkpoint.publishing.papers.sheets import answers_xlsx, key_csv, key_xlsx
from chalkpoint.setting import setter
from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.papers import Papers

__all__ = ["check_free", "contents", "set_papers", "write_folder"]

Watch: TypeAlias = Callable[[int, int], None]
WITH_SOLUTIONS = ("practice", "starter")


def set_papers(  # noqa: PLR0913 - the command's own options
    blueprint: Blueprint | str | Path,
    *,
    variants: int = 1,
    seed: int = 0,
    out: str | Path | None = None,
    replace: bool = False,
    solutions: bool = False,
) -> Papers:
    """Return the papers of a blueprint, and write them to a folder if one is given.

    blueprint  a Blueprint, or the path of its file
    variants   how many papers, equal in traits, marks, lines, writing and difficulty
    seed       a whole number from 0; the same one makes the same papers, byte for byte
    out        the folder to write, whole or not at all
    replace    whether papers that are in the folder are replaced
    solutions  whether every working is drawn too (practice and starters always have theirs)

    >>> from chalkpoint.setting.blueprint import STARTING, parse_blueprint
    >>> papers = set_papers(parse_blueprint(STARTING), variants=2, seed=7)
    >>> [paper.marks for paper in papers]
    [20, 20]

    Raises EntryError for a blueprint that cannot be met, FileError for a folder that cannot be written.
    """
    if out is not None:
        check_free(Path(out), replace=replace)
    papers = setter.set_papers(blueprint, variants=variants, seed=seed)
    if out is not None:
        write_folder(papers, Path(out), replace=replace, solutions=solutions)
    return papers


def contents(papers: Papers, *, solutions: bool = False) -> Iterator[tuple[str, Callable[[], bytes]]]:
    """Yield each file's name, and what makes its bytes.

    solutions  whether every working is drawn; practice and starters always have theirs
    """
    digits = len(str(len(papers.papers)))
    yield "papers.json", lambda: _json(papers)
    yield "report.txt", lambda: _report(papers)
    yield "key.csv", lambda: key_csv(papers)
    yield "key.xlsx", lambda: key_xlsx(papers)
    yield "answers.xlsx", lambda: answers_xlsx(papers)
    yield "key.pdf", lambda: key_pdf(papers)
    yield "mark-schemes.pdf", lambda: schemes_pdf(papers)
    if solutions or papers.blueprint.purpose in WITH_SOLUTIONS:
        yield "solutions.pdf", lambda: solutions_pdf(papers)
    yield "papers.pdf", lambda: papers_pdf(papers, papers.papers)
    for paper in papers:
        yield f"paper-{paper.variant:0{digits}}.pdf", lambda paper=paper: papers_pdf(papers, [paper])  # type: ignore[misc]


def _json(papers: Papers) -> bytes:
    return (json.dumps(papers.to_dict(), ensure_ascii=False, indent=1) + "\n").encode()


def _report(papers: Papers) -> bytes:
    return ("\n\n".join(papers.report) + "\n").encode()


def check_free(folder: Path, *, replace: bool) -> None:
    """Raise FileError where *folder* stands in the way, or there is no folder to put it in."""
    if not folder.resolve().parent.is_dir():
        raise FileError(
            f"the folder {str(folder.parent)!r} does not exist; make it first, or give another place"
        )
    if folder.exists() and not folder.is_dir():
        raise FileError(f"{str(folder)!r} is a file; give the name of a folder")
    if folder.is_dir() and any(folder.iterdir()):
        if not replace:
            raise FileError(
                f"{str(folder)!r} is not empty; give another folder, or --replace to put these papers there"
            )
        if not (folder / "papers.json").is_file():
            raise FileError(
                f"{str(folder)!r} holds no papers, so it is not replaced; give a folder of papers or a new one"
            )


def write_folder(
    papers: Papers,
    folder: Path,
    *,
    replace: bool = False,
    solutions: bool = False,
    watch: Watch | None = None,
) -> list[str]:
    """Write *papers* to *folder* whole or not at all; return the names of the files.

    replace  whether a folder of papers that is there is put away first
    watch    called with files done and files in all

    Raises FileError where the folder cannot be written or must not be replaced.
    """
    check_free(folder, replace=replace)
    parts = list(contents(papers, solutions=solutions))
    try:
        made = Path(tempfile.mkdtemp(dir=folder.resolve().parent, prefix=f".{folder.name}-"))
    except OSError as reason:
        raise FileError(
            f"{str(folder)!r} cannot be written ({reason.strerror}); give a place you may write to"
        ) from reason
    try:
        made.chmod(0o755)
        for number, (name, make) in enumerate(parts, start=1):
            (made / name).write_bytes(make())
            if watch:
                watch(number, len(parts))
        _put(made, folder)
    except OSError as reason:
        raise FileError(
            f"{str(folder)!r} cannot be written ({reason.strerror}); give a place you may write to"
        ) from reason
    finally:
        shutil.rmtree(made, ignore_errors=True)
    return [name for name, _ in parts]


def _put(made: Path, folder: Path) -> None:
    """Move the finished folder to its place; what was there goes only once the new one can take it."""
    if not folder.exists():
        made.replace(folder)
        return
    old = made.with_name(f"{made.name}-old")
    folder.replace(old)
    try:
        made.replace(folder)
    except OSError:
        old.replace(folder)
        raise
    shutil.rmtree(old, ignore_errors=True)
