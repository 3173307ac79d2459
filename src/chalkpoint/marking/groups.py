"""What is decided once for a class: answers alike in what is doubtful about them, with the mark either ruling gives.

A group is a manner of writing, a slip, a line that is right but does not follow, something that cannot
be read; or a belief, on whose answers nothing waits. What a teacher rules for a manner is remembered with
the course; any other ruling becomes one decision for each answer of the group.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from chalkpoint.marking.overrides import Decision, Ruling
from chalkpoint.numbers.datafiles import JsonMapping, JsonObject
from chalkpoint.working.course import MANNERS, Course

__all__ = [
    "Group",
    "Groups",
    "Member",
    "decisions_for",
    "decisions_in",
    "forgotten",
    "groups_of",
    "is_manner",
    "remembered",
]

#: Doubts whose answers have nothing in common but the doubt: each has to be read by itself.
READ_ONE_BY_ONE = frozenset(
    {
        "cannot be read",
        "several answers",
        "in words",
        "a line that is not judged by itself",
        "a mistake named",
    }
)


@dataclass(frozen=True, slots=True)
class Member:
    """One answer of a group.

    student, question  whose it is, and to which question
    written            what is written there
    points             the points of the scheme that the ruling changes: name, marks now, marks it could have
    marks, could, of   the question's marks now, if the teacher rules for the pupil, and at most
    """

    student: str
    question: int
    written: str
    points: tuple[tuple[str, int, int], ...]
    marks: int
    could: int
    of: int


@dataclass(slots=True)
class Group:
    """Answers on which one ruling is wanted.

    kind     "manner" (of writing), "belief" or "doubt"
    name     the manner's name, the belief's id, or the doubt in words
    members  its answers, a pupil's to one question being one; of a large class the first of them
    more     how many answers it has beyond those, and what is at stake on them
    """

    kind: str
    name: str
    members: list[Member] = field(default_factory=list)
    more: tuple[int, int] = (0, 0)

    @property
    def pupils(self) -> tuple[str, ...]:
        """The pupils whose answers these are, each once."""
        return tuple(dict.fromkeys(member.student for member in self.members))

    @property
    def at_stake(self) -> int:
        """The marks that a ruling for the pupils would add, over the class."""
        return sum(member.could - member.marks for member in self.members) + self.more[1]

    @property
    def answers(self) -> int:
        """How many answers it has."""
        return len(self.members) + self.more[0]

    @property
    def decisions(self) -> int:
        """How many decisions it takes: one, unless each of its answers has to be read; of a belief none."""
        if self.kind == "belief":
            return 0
        return 1 if self.is_ruled_together else self.answers

    def add(self, member: Member, most: int | None = None) -> None:
        """Take one more answer; of more than *most* only the number and what is at stake is kept."""
        if most is None or len(self.members) < most:
            self.members.append(member)
        else:
            self.more = self.more[0] + 1, self.more[1] + member.could - member.marks

    @property
    def is_ruled_together(self) -> bool:
        """Whether one ruling for all its answers makes sense, without reading each."""
        return self.kind == "manner" or (self.kind == "doubt" and self.name not in READ_ONE_BY_ONE)

    @property
    def example(self) -> str:
        """What most of its answers say."""
        return Counter(member.written for member in self.members).most_common(1)[0][0]

    @property
    def scores(self) -> tuple[int, int, int] | None:
        """The marks now, the marks if accepted, and the marks there are; None where its answers differ in them."""
        scores = {(member.marks, member.could, member.of) for member in self.members}
        return scores.pop() if len(scores) == 1 else None

    def to_dict(self) -> JsonObject:
        """Return the group as plain data, for a page or a file."""
        return {
            "kind": self.kind,
            "name": self.name,
            "pupils": list(self.pupils),
            "at_stake": self.at_stake,
            "answers": [
                {
                    "student": member.student,
                    "question": member.question,
                    "written": member.written,
                    "marks": member.marks,
                    "could": member.could,
                }
                for member in self.members
            ],
        }


def groups_of(entries: Iterable[JsonMapping]) -> list[Group]:
    """Return the groups in the *entries* of a class, those with most at stake first; beliefs last.

    >>> from chalkpoint.marking.classes import mark
    >>> paper = {"schema": "chalkpoint.papers/1", "papers": [
    ...     {"questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}]}
    >>> rows = [["student", "1"], ["H01", "0.1010100 3"], ["H02", "0.10101 0011"], ["H03", "0.1010100 3"]]
    >>> marked = mark(paper, rows)
    >>> [(group.name, group.pupils, group.at_stake) for group in groups_of(marked["students"])]
    [('exponent in decimal', ('H01', 'H03'), 2), ('trailing zeros left off', ('H02',), 1)]
    """
    groups = Groups()
    for entry in entries:
        groups.add(entry)
    return groups.ordered()


@dataclass(slots=True)
class Groups:
    """The groups of a class, gathered a pupil at a time.

    most  answers kept of each; all of them where it is None
    """

    most: int | None = None
    found: dict[tuple[str, str], Group] = field(default_factory=dict)

    def add(self, entry: JsonMapping) -> None:
        """Take the answers of one pupil."""
        for question in entry["questions"]:
            for name, points in _doubts(question).items():
                kind = "manner" if is_manner(name) else "doubt"
                self._of(kind, name).add(_member(entry["student"], question, points), self.most)
            for name in dict.fromkeys(one for point in question["points"] for one in point.get("among", ())):
                self._of("belief", name).add(_member(entry["student"], question, ()), self.most)

    def _of(self, kind: str, name: str) -> Group:
        return self.found.setdefault((kind, name), Group(kind, name))

    def ordered(self) -> list[Group]:
        """Return the groups, those with most at stake first; beliefs last."""
        return sorted(
            self.found.values(),
            key=lambda one: (one.kind == "belief", -one.at_stake, -one.answers, one.name),
        )


def is_manner(name: str) -> bool:
    """Tell whether *name* is a manner of writing, or several at once.

    >>> is_manner("exponent in decimal and trailing zeros left off"), is_manner("cannot be read")
    (True, False)
    """
    return set(name.split(" and ")) <= set(MANNERS)


def decisions_in(entry: JsonMapping) -> int:
    """Return how many decisions wait on one pupil's answers: the points of an answer alike in doubt are one."""
    return sum(len(_doubts(question)) for question in entry["questions"])


def _doubts(question: JsonMapping) -> dict[str, list[JsonMapping]]:
    found: dict[str, list[JsonMapping]] = {}
    for point in question["points"]:
        if point["for_teacher"]:
            found.setdefault(point.get("group", ""), []).append(point)
    return found


def _member(student: str, question: JsonMapping, points: Iterable[JsonMapping]) -> Member:
    points = list(points)
    more = sum(point["could"] - point["marks"] for point in points)
    return Member(
        student,
        question["question"],
        question["answer"] or next((point["written"] for point in points if point.get("written")), ""),
        tuple((point["name"], point["marks"], point["could"]) for point in points),
        question["marks"],
        question["marks"] + more,
        question["of"],
    )


def remembered(course: Course, manner: str, *, taken: bool) -> Course:
    """Return *course* with a manner of writing, or several at once, taken from now on, or refused.

    >>> remembered(Course(), "exponent in decimal", taken=True).takes
    ('exponent in decimal',)
    """
    course, key = forgotten(course, manner), "takes" if taken else "refuses"
    return course.with_(**{key: (*getattr(course, key), *manner.split(" and "))})


def forgotten(course: Course, manner: str) -> Course:
    """Return *course* with nothing ruled on a manner of writing, or on several at once.

    >>> forgotten(Course(takes=("exponent in decimal",)), "exponent in decimal").takes
    ()
    """
    manners = manner.split(" and ")
    kept = {
        key: tuple(one for one in getattr(course, key) if one not in manners) for key in ("takes", "refuses")
    }
    return course.with_(**kept)


def decisions_for(group: Group, *, taken: bool, reason: str = "") -> dict[tuple[str, int, str], Decision]:
    """Return a ruling on *group* as one decision for each of its answers' points.

    >>> member = Member("H01", 1, "0.1010100 3", (("answer exponent", 0, 1),), 5, 6, 6)
    >>> decisions_for(Group("manner", "exponent in decimal", [member]), taken=True)
    {('H01', 1, 'answer exponent'): Decision(marks=1, reason='exponent in decimal: accepted')}
    """
    why = Ruling(taken, reason).said(group.name)
    return {
        (member.student, member.question, point): Decision(could if taken else now, why)
        for member in group.members
        for point, now, could in member.points
    }
