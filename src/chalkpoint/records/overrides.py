"""A teacher's decisions on marks: added and withdrawn, never changed, and each told in the audit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from sqlalchemy import select
from sqlalchemy.orm import Session

from chalkpoint.marking.overrides import ACCEPT, STAND, Decision, Ruling
from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import audit, kept
from chalkpoint.records.ids import now
from chalkpoint.records.kept import NotKept
from chalkpoint.records.looking import find
from chalkpoint.records.schema import DecisionRow

__all__ = [
    "Decided",
    "decide",
    "decided_together",
    "decisions_of",
    "rule",
    "rulings",
    "standing",
    "undo",
    "withdraw",
]

LONGEST = 1000  # characters of a reason
#: Whose answer a ruling is on: that of every pupil, those who hand in late too.
EVERYONE = ""
BETWEEN = "\n"  # in the reason of a ruling's row: what is ruled on, which is one line, then why


@dataclass(frozen=True, slots=True)
class Decided:
    """A decision as it was written down; a ruling for the whole class has no pupil and no question.

    group  of a ruling, what is doubtful about the answers it is on
    """

    id: str
    student: str
    question: int
    line: str
    marks: int
    reason: str
    at: str
    withdrawn: str | None
    group: str = ""

    @property
    def is_ruling(self) -> bool:
        """Whether it is for every answer alike in what is doubtful."""
        return self.student == EVERYONE

    @property
    def said(self) -> str:
        """Why it was made, in words; of a ruling, what was ruled."""
        return self.ruling.said(self.group) if self.is_ruling else self.reason

    @property
    def ruling(self) -> Ruling:
        """The ruling, as marking takes it."""
        return Ruling(self.line == ACCEPT, self.reason)

    @property
    def place(self) -> str:
        """What it is on, in words."""
        return (
            "the whole class" if self.is_ruling else f"{self.student}, question {self.question}, {self.line}"
        )


def decide(
    db: Session,
    teacher: str,
    papers: str,
    *,
    student: str,
    question: int,
    line: str,
    marks: int,
    reason: str,
    before: str = "",
    at: str = "",
) -> Decided:
    """Write down a decision; *before* is the old state, for the audit.

    at  when it was made, now by default; decisions of one moment can be undone together

    Raises NotKept for papers that are not the teacher's, EntryError for a decision without a reason.
    """
    kept.one(db, teacher, "papers", papers)
    if not reason or len(reason) > LONGEST:
        raise EntryError(f"the reason has {len(reason)} characters; give one of 1 to {LONGEST}")
    row = DecisionRow(
        papers=papers,
        teacher=teacher,
        student=student,
        question=question,
        line=line,
        marks=marks,
        reason=reason,
        at=at or now(),
    )
    db.add(row)
    db.flush()
    made = _decided(row)
    after = made.said if made.is_ruling else f"{marks}, {reason}"
    audit.note(db, teacher, "decided", papers, f"{made.place}: {before}", f"{made.place}: {after}")
    return made


def rule(
    db: Session, teacher: str, papers: str, group: str, ruling: Ruling, *, before: str = "", at: str = ""
) -> Decided:
    """Write down one ruling on every answer that is doubtful as *group* says, those that come later too."""
    return decide(
        db, teacher, papers, student=EVERYONE, question=0, line=ACCEPT if ruling.accepted else STAND, marks=0,
        reason=BETWEEN.join([group, ruling.reason] if ruling.reason else [group]), before=before, at=at,
    )  # fmt: skip


def withdraw(db: Session, teacher: str, papers: str, id: str) -> Decided:
    """Take a decision back; it stays written down.

    Raises NotKept where there is none, or it was withdrawn.
    """
    kept.one(db, teacher, "papers", papers)
    row = find(db, DecisionRow, id)
    if row is None or row.papers != papers or row.withdrawn:
        raise NotKept(f"there is no decision {id!r} here, or it was withdrawn; open it from the pupil's page")
    row.withdrawn = now()
    gone = _decided(row)
    before = gone.said if gone.is_ruling else f"{gone.marks}, {gone.reason}"
    audit.note(db, teacher, "withdrawn", papers, f"{gone.place}: {before}", f"{gone.place}: as marked")
    db.flush()
    return gone


def undo(db: Session, teacher: str, papers: str, at: str) -> list[Decided]:
    """Take back, and return, what was decided at one moment and not withdrawn; twice is as good as once."""
    made = [one for one in decisions_of(db, teacher, papers) if one.at == at and not one.withdrawn]
    return [withdraw(db, teacher, papers, one.id) for one in made]


def decided_together(db: Session, teacher: str, papers: str) -> list[list[Decided]]:
    """Return the decisions that were not withdrawn, those of one moment together, the latest first."""
    made = [one for one in decisions_of(db, teacher, papers) if not one.withdrawn]
    made.sort(key=lambda one: (one.at, one.student, one.question, one.line))
    return [list(few) for _, few in groupby(made, key=lambda one: one.at)][::-1]


def standing(db: Session, teacher: str, papers: str) -> dict[tuple[str, int, str], Decision]:
    """Return the decisions that were not withdrawn, as marking takes them; of two on one line the later one."""
    return {
        (one.student, one.question, one.line): Decision(one.marks, one.reason)
        for one in decisions_of(db, teacher, papers)
        if not one.withdrawn and not one.is_ruling
    }


def rulings(db: Session, teacher: str, papers: str) -> dict[str, Ruling]:
    """Return the rulings for the whole class that were not withdrawn, by what they are on; of two the later one."""
    found = decisions_of(db, teacher, papers, EVERYONE)
    return {one.group: one.ruling for one in found if not one.withdrawn}


def decisions_of(db: Session, teacher: str, papers: str, student: str | None = None) -> Sequence[Decided]:
    """Return every decision on a set of papers, or on one pupil's, withdrawn ones too, oldest first."""
    kept.one(db, teacher, "papers", papers)
    query = select(DecisionRow).where(DecisionRow.papers == papers)
    if student is not None:
        query = query.where(DecisionRow.student == student)
    return [_decided(row) for row in db.scalars(query.order_by(DecisionRow.at, DecisionRow.id))]


def _decided(row: DecisionRow) -> Decided:
    group, _, reason = row.reason.partition(BETWEEN) if row.student == EVERYONE else ("", "", row.reason)
    return Decided(
        row.id, row.student, row.question, row.line, row.marks, reason, row.at, row.withdrawn, group
    )
