"""The folder of papers: written whole or not at all, and never over another without being told to."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TypeAlias

from chalkpoint.numbers.errors import FileError
from chalkpoint.publishing.papers.booklet import booklet_source
from chalkpoint.publishing.papers.boxplaces import with_boxes
from chalkpoint.publishing.papers.press import Job, press
from chalkpoint.publishing.papers.printing import class_set_source, papers_source
from chalkpoint.publishing.papers.schemes import key_source, solutions_source
from chalkpoint.publishing.papers.sheets import answers_xlsx, key_csv, key_xlsx
from chalkpoint.setting import setter
from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.papers import SetPaper, SetPapers

__all__ = ["ONLY", "check_free", "set_papers", "sheets", "sources", "write_folder"]

Watch: TypeAlias = Callable[[int, int], None]
#: How the names of files to print begin, where some alone are wanted.
ONLY = {"papers": "paper", "scheme": "mark-schemes", "solutions": "solutions"}
A_BOOKLET = 60  # variants in one file of mark schemes, or of papers for the printer
WITH_SOLUTIONS = ("practice", "starter")


def set_papers(
    blueprint: Blueprint | str | Path,
    *,
    variants: int = 1,
    seed: int = 0,
    out: str | Path | None = None,
    replace: bool = False,
    solutions: bool = False,
) -> SetPapers:
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


def sheets(
    papers: SetPapers, *, qti: bool = False, word: bool = False
) -> dict[str, Callable[[SetPapers], bytes]]:
    """Return what makes each file that is not printed, by its name.

    qti   whether the final answers go out as items for other systems too
    word  whether each variant is written for a word processor too
    """
    made: dict[str, Callable[[SetPapers], bytes]] = {"items.zip": _items} if qti else {}
    if word:
        from chalkpoint.publishing.papers.worddocument import paper_docx

        made |= {
            name.replace(".pdf", ".docx"): partial(paper_docx, paper=paper)
            for name, paper in _variants(papers).items()
        }
    return made | {
        "papers.json": _json,
        "report.txt": _report,
        "key.csv": key_csv,
        "key.xlsx": key_xlsx,
        "answers.xlsx": answers_xlsx,
    }


def sources(papers: SetPapers, *, solutions: bool = False) -> dict[str, str]:
    """Return the typst source of each printed file, by its name.

    solutions  whether every working is drawn; practice and starters always have theirs
    """
    made = {"key.pdf": key_source(papers)}
    parts = [papers.papers[at : at + A_BOOKLET] for at in range(0, len(papers.papers), A_BOOKLET)]
    for at, part in enumerate(parts, start=1):
        made[_numbered("mark-schemes", at, len(parts))] = booklet_source(papers, part)
        made[_numbered("papers", at, len(parts))] = class_set_source(papers, part)
    if solutions or papers.blueprint.purpose in WITH_SOLUTIONS:
        made["solutions.pdf"] = solutions_source(papers)
    return made | {name: papers_source(papers, [paper]) for name, paper in _variants(papers).items()}


def _variants(papers: SetPapers) -> dict[str, SetPaper]:
    """Return each variant by the name of its file."""
    return {_numbered("paper", paper.variant, len(papers.papers), always=True): paper for paper in papers}


def _numbered(name: str, number: int, of: int, *, always: bool = False) -> str:
    return f"{name}-{number:0{len(str(of))}}.pdf" if of > 1 or always else f"{name}.pdf"


def _items(papers: SetPapers) -> bytes:
    from chalkpoint.publishing.qti import package

    return package(papers.to_dict())


def _json(papers: SetPapers) -> bytes:
    return (json.dumps(with_boxes(papers), ensure_ascii=False, separators=(",", ":")) + "\n").encode()


def _report(papers: SetPapers) -> bytes:
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
    papers: SetPapers,
    folder: Path,
    *,
    replace: bool = False,
    solutions: bool = False,
    qti: bool = False,
    word: bool = False,
    only: str = "",
    watch: Watch | None = None,
) -> list[str]:
    """Write *papers* to *folder* whole or not at all; return the names of the files.

    replace  whether a folder of papers that is there is put away first
    qti      whether items for other systems are written too
    word     whether each variant is written for a word processor too
    only     one of ONLY: of the files to print, these alone; "" for all
    watch    called with files done and files in all

    Raises FileError where the folder cannot be written or must not be replaced.
    """
    check_free(folder, replace=replace)
    written = sheets(papers, qti=qti, word=word)
    printed = sources(papers, solutions=solutions or only == "solutions")
    if only:
        printed = {name: text for name, text in printed.items() if name.startswith(ONLY[only])}
    names = [*written, *printed]
    count = 0

    def done(files: int) -> None:
        nonlocal count
        count += files
        if watch:
            watch(min(count, len(names)), len(names))

    try:
        made = Path(tempfile.mkdtemp(dir=folder.resolve().parent, prefix=f".{folder.name}-"))
    except OSError as reason:
        raise FileError(
            f"{str(folder)!r} cannot be written ({reason.strerror}); give a place you may write to"
        ) from reason
    try:
        made.chmod(0o755)

        def write_others() -> None:
            for name, make in written.items():
                (made / name).write_bytes(make(papers))
                done(1)

        press([Job(made / name, text) for name, text in printed.items()], done, write_others)
        _put(made, folder)
    except OSError as reason:
        raise FileError(
            f"{str(folder)!r} cannot be written ({reason.strerror}); give a place you may write to"
        ) from reason
    finally:
        shutil.rmtree(made, ignore_errors=True)
    return names


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
