"""The security log: sign-ins, refusals, sessions ended and passwords changed, with nothing of a pupil's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from chalkpoint.records.schema import SecurityRow

__all__ = ["Logged", "latest", "note"]

LONGEST_BROWSER = 80
SHOWN = 50


@dataclass(frozen=True, slots=True)
class Logged:
    """One line of the log."""

    at: str
    what: str
    browser: str


def note(db: Session, what: str, *, teacher: str | None = None, browser: str = "") -> None:
    """Write a line.

    teacher  whose account it is about; None where the name that was typed is nobody's, which is not kept: it may
             be a password typed in the wrong place
    """
    db.add(SecurityRow(what=what, teacher=teacher, browser=browser[:LONGEST_BROWSER]))


def latest(db: Session, teacher: str) -> Sequence[Logged]:
    """Return the last lines about a teacher's account, the latest first."""
    query = (
        select(SecurityRow).where(SecurityRow.teacher == teacher).order_by(SecurityRow.at.desc()).limit(SHOWN)
    )
    return [Logged(row.at, row.what, row.browser) for row in db.scalars(query)]
