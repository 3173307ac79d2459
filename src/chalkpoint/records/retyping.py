"""What was typed wrong is put right in place: the audit keeps what stood there before, and it can be put back."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace

from sqlalchemy.orm import Session

from chalkpoint.marking.cells import cell_text
from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import audit, scripts
from chalkpoint.records.audit import Noted
from chalkpoint.working.question import Question

__all__ = ["Retyped", "in_words", "retype", "retyped_of"]

RETYPED = "retyped"
LONGEST = 1000  # characters of a line


@dataclass(frozen=True, slots=True)
class Retyped:
    """One line that was typed anew: what stood there, and what stands there since; "" is nothing written."""

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
    what = {"student": student, "question": number, "line": line}
    told = [json.dumps(what | {"written": one}, ensure_ascii=False) for one in (before, text)]
    audit.note(db, teacher, RETYPED, papers, *told)


def in_words(noted: Noted) -> Noted:
    """Return a line of the audit as it is read: who, where and what was written, before and after.

    >>> place = '{"student": "H01", "question": 1, "line": "answer", "written": "%s"}'
    >>> told = in_words(Noted("", RETYPED, "", place % "010101 3", place % ""))
    >>> told.before, told.after
    ('H01, question 1, answer: 010101 3', 'H01, question 1, answer: nothing')
    """
    if noted.what != RETYPED:
        return noted
    before, after = (
        f"{one['student']}, question {one['question']}, {one['line']}: {one['written'] or 'nothing'}"
        for one in map(json.loads, (noted.before, noted.after))
    )
    return replace(noted, before=before, after=after)


def retyped_of(db: Session, teacher: str, papers: str, student: str | None = None) -> Sequence[Retyped]:
    """Return every line that was typed anew, the latest first; of one pupil where one is named."""
    found = []
    for noted in audit.audit_of(db, teacher, papers)[::-1]:
        if noted.what == RETYPED:
            before, after = json.loads(noted.before), json.loads(noted.after)
            if student in {None, before["student"]}:
                where = before["student"], before["question"], before["line"]
                found.append(Retyped(noted.at, *where, before["written"], after["written"]))
    return found
