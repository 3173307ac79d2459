"""A question marked, and what two rulings make of it: the strict marks, and what waits for the teacher."""

from __future__ import annotations

from dataclasses import dataclass, replace

from chalkpoint.marking.walk import Account
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Asked

__all__ = ["QuestionMarks", "either", "ruled"]


@dataclass(frozen=True, slots=True)
class QuestionMarks:
    """One question marked.

    asked        the question and its scheme
    points       each point of the scheme
    first_wrong  the first line that went wrong, or ""
    method       the accepted method under which the marks are best
    reading      how the question was misread, where that reading is best, or ""
    account      every line judged; None where nothing was written
    notes        what else the teacher should know
    """

    asked: Asked
    points: tuple[Mark, ...]
    first_wrong: str = ""
    method: str = ""
    reading: str = ""
    account: Account | None = None
    notes: tuple[str, ...] = ()

    @property
    def marks(self) -> int:
        """Marks given."""
        return sum(point.given for point in self.points)

    @property
    def most(self) -> int:
        """Marks if everything that waits is ruled for the pupil."""
        return sum(point.most for point in self.points)

    @property
    def waiting(self) -> tuple[Mark, ...]:
        """The points a person should decide."""
        return tuple(point for point in self.points if point.for_teacher)

    @property
    def blank(self) -> bool:
        """Whether nothing was written."""
        return self.account is None


def either(
    lenient: QuestionMarks,
    strict: QuestionMarks,
    group: str,
    why: str,
    *,
    refused: bool = False,
    chosen: bool = True,
) -> QuestionMarks:
    """Return *strict*, each point that *lenient* would give more for left to the teacher.

    refused  whether the course has ruled against it already
    chosen   whether one answer was chosen; if none was, the answer waits though it would earn no more
    """
    points = []
    for less, more in zip(strict.points, lenient.points, strict=True):
        if more.most <= less.most and (chosen or less.rule != "answer"):
            points.append(less)
            continue
        said = f"{why}; {more.expects} was expected."
        status = "absent" if chosen and less.status != "off" else "off"
        held = replace(less, status=status, written=more.written, why=said)
        points.append(
            held if refused else replace(held.waits(group, said, could=more.most), given=less.given)
        )
    return replace(lenient, points=tuple(points))


def ruled(asked: Asked, mark: Mark, group: str) -> Mark:
    """Return a point whose answer is in another manner: withheld, and waiting unless the course has decided."""
    if not mark.given:
        return mark
    why = f"Right but for its manner: {group}; {mark.expects} was expected."
    if set(group.split(" and ")) & set(asked.question.course.refuses):
        return replace(mark, given=0, status="off", why=why)
    return replace(mark, status="off").waits(group, why, could=mark.given)
