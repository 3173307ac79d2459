"""Binary floating-point arithmetic by hand: worked, found, set, marked and taught.

>>> import chalkpoint as cp
>>> w = cp.work("subtract", "010111 0011", "010100 0001", format="6+4")
>>> w.result.bits
'010010 0011'
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from chalkpoint.numbers.errors import ChalkpointError, EntryError, FileError
from chalkpoint.working.course import Course, read_course
from chalkpoint.working.question import Question, ask
from chalkpoint.working.steps import Step
from chalkpoint.working.work import work, work_question
from chalkpoint.working.working import Result, Working

if TYPE_CHECKING:
    from chalkpoint.setting.asking import Blueprint
    from chalkpoint.setting.papers import Papers


def set_papers(
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
    seed       a whole number from 0; the same one makes the same papers
    out        the folder to write, whole or not at all
    replace    whether papers that are in the folder are replaced
    solutions  whether every working is drawn too

    Raises EntryError for a blueprint that cannot be met, FileError for a folder that cannot be written.
    """
    from chalkpoint.publishing.papers.folder import check_free, write_folder
    from chalkpoint.setting.setter import set_papers as set_them

    if out is not None:
        check_free(Path(out), replace=replace)
    papers = set_them(blueprint, variants=variants, seed=seed)
    if out is not None:
        write_folder(papers, Path(out), replace=replace, solutions=solutions)
    return papers


def _picture(working: Working) -> str:
    """Return *working* drawn for a notebook."""
    from chalkpoint.publishing.html import fragment
    from chalkpoint.publishing.scene import scene

    return fragment(scene(working))


Working.picture = _picture

__all__ = [
    "ChalkpointError",
    "Course",
    "EntryError",
    "FileError",
    "Question",
    "Result",
    "Step",
    "Working",
    "ask",
    "read_course",
    "set_papers",
    "work",
    "work_question",
]
