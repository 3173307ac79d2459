"""Which class was taught a lesson, and on what day: said by the teacher, kept with the lesson."""

from __future__ import annotations

from datetime import date

from sqlalchemy.orm import Session

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import kept
from chalkpoint.records.kept import Kept, Titled

__all__ = ["day_in", "say_taught", "taught_on", "taught_to"]

PREFIX = "taught "  # then the class
MOST_LESSONS = 500


def day_in(written: str) -> date:
    """Return a day as it is written.

    >>> day_in("2026-11-30")
    datetime.date(2026, 11, 30)

    Raises EntryError for anything else.
    """
    try:
        return date.fromisoformat(written)
    except ValueError as reason:
        raise EntryError(
            f"{written!r} is not a day; write year, month and day, such as 2026-11-30"
        ) from reason


def say_taught(db: Session, teacher: str, lesson: str, class_id: str, on: date | None) -> None:
    """Keep that a class was taught a lesson on a day, in place of what was said before; None takes it back.

    Raises NotKept where the lesson or the class is not the teacher's.
    """
    kept.one(db, teacher, "class", class_id)
    about = dict(kept.one(db, teacher, "lesson", lesson).about)
    about.pop(f"{PREFIX}{class_id}", None)
    kept.change(
        db, teacher, "lesson", lesson, about=about | ({f"{PREFIX}{class_id}": on.isoformat()} if on else {})
    )


def taught_on(lesson: Kept | Titled, class_id: str) -> date | None:
    """Return the day a class was taught a lesson; None where it was not."""
    written = lesson.about.get(f"{PREFIX}{class_id}")
    return date.fromisoformat(written) if written else None


def taught_to(db: Session, teacher: str, class_id: str) -> list[tuple[date, Titled]]:
    """Return the lessons that a class was taught, each with its day, oldest first."""
    lessons = kept.titles_of(db, teacher, "lesson", limit=MOST_LESSONS)
    found = [(on, one) for one in lessons if (on := taught_on(one, class_id))]
    return sorted(found, key=lambda pair: (pair[0], pair[1].title))
