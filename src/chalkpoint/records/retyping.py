"""Correcting what was typed wrong: the audit keeps the old text, and it can be put back."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy.orm import Session

from chalkpoint.marking.cells import cell_text
from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import audit, scripts
from chalkpoint.working.question import Question

__all__ = ["Retyped", "retype", "retyped_of"]

RETYPED = "retyped"
#: How the audit tells of a line: as it tells of decisions, the pupil first, so that a pupil who is erased goes from it.
TOLD = re.compile(
    r"(?P<student>.+?), question (?P<question>\d+), (?P<line>[^:]+): (?P<written>.*)", re.DOTALL
)
LONGEST = 1000  # characters of a line


@dataclass(frozen=True, slots=True)
class Retyped:
    """One line that was typed anew: the old text and the new; "" is nothing written."""

    at: str
    student: str
    question: int
    line: str
    before: str
    after: str


def retype(
    db: Session, teacher: str, papers: str, student: str, asked: tuple[int, Question], line: str, written: str
) -> None:
    """Put *written* in the place of what a pupil's script has on a line of a question.

    asked  the number of the question, and the question itself

    Raises NotKept for a script that is not there, EntryError for what is too long.
    """
    number, question = asked
    if len(written) > LONGEST:
        raise EntryError(f"the line has {len(written)} characters; give at most {LONGEST}")
    script = scripts.script_of(db, teacher, papers, student)
    of_question = script.written.setdefault(number, {})
    before = of_question.get(line, "")
    text, trouble = cell_text(written, question, line, f"question {number}, {line}")
    if text:
        of_question[line] = text
    else:
        of_question.pop(line, None)
    place = f"question {number}, {line}"
    script.troubles = [one for one in script.troubles if one.place != place] + ([trouble] if trouble else [])
    scripts.put_script(db, teacher, papers, script, over=True)
    where = f"{student}, question {number}, {line}: "
    audit.note(db, teacher, RETYPED, papers, where + before, where + text)


def retyped_of(db: Session, teacher: str, papers: str, student: str | None = None) -> Sequence[Retyped]:
    """Return every line that was typed anew, the latest first; of one pupil where one is named."""
    found = []
    for noted in audit.audit_of(db, teacher, papers)[::-1]:
        before, after = TOLD.match(noted.before), TOLD.match(noted.after)
        if noted.what == RETYPED and before and after and student in {None, before["student"]}:
            where = before["student"], int(before["question"]), before["line"]
            found.append(Retyped(noted.at, *where, before["written"], after["written"]))
    return found
