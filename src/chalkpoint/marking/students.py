"""One pupil marked and diagnosed: a script in, an entry of chalkpoint.marks/1 out.

The entry is plain data, so that it can be made in one process and reported in another.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeAlias, TypeVar

from chalkpoint.marking.answers import Script
from chalkpoint.marking.asking import decide, diagnoser_for, other_courses
from chalkpoint.marking.chances import Seen
from chalkpoint.marking.diagnosis import Diagnoser, Diagnosis
from chalkpoint.marking.marks import QuestionMarks, mark_question
from chalkpoint.marking.observed import observe
from chalkpoint.marking.overrides import Decisions, Rulings, decide_points
from chalkpoint.marking.ways import is_workable, operations_in
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Asked, Paper, Papers
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.question import Question

__all__ = ["Entry", "Marker", "entry_of", "is_diagnosed", "shows_skill", "skill_of"]

Entry: TypeAlias = JsonObject
Kept = TypeVar("Kept")
KEPT_ANSWERS = 6_000  # whose marks are kept: the usual ones of a class's variants
KEPT_SCRIPTS = 3_000  # whose diagnoses are kept: few pupils write the same throughout

SKILLS = {
    "decode": "read",
    "encode": "write",
    "normalise": "normalise",
    "range": "range",
    "error": "error",
    "convert": "convert",
    "sum": "sums",
    "choose-format": "choose a format",
    "explain": "explain",
}
SUM_SKILLS = {
    "answer": "normalise",
    "decimal": "check",
    "unpack": "read",
    "combine": "add",
    "round": "normalise",
    "invert": "negate",
    "remainder": "quotient",
}


def skill_of(operation: str, rule: str) -> str:
    """Return the skill a marking point is about.

    >>> skill_of("subtract", "answer"), skill_of("decode", "mantissa"), skill_of("add", "align")
    ('normalise', 'read', 'align')
    """
    return SKILLS.get(operation) or SUM_SKILLS.get(rule, rule)


def shows_skill(point: Entry) -> bool:
    """Tell whether a point is evidence of its skill: a line written, and judged against what was asked.

    Nothing is known of a line that is not written or only implied, of one that follows from a wrong line, which may
    have made it easier, and of what the teacher still decides.

    >>> shows_skill({"status": "off", "for_teacher": False}), shows_skill({"status": "implied", "for_teacher": False})
    (True, False)
    """
    return not point["for_teacher"] and point["status"] not in {"implied", "absent", "follow-through"}


def is_diagnosed(question: Question) -> bool:
    """Tell whether answers to *question* say something about beliefs."""
    family = family_of(question.format)
    return is_workable(question) and any(beliefs_for(name, family) for name in operations_in(question))


@dataclass(eq=False)
class Marker:
    """Marks the scripts of one set of papers; what many pupils write alike is marked once.

    decisions  a teacher's, by student, question and line
    rulings    a teacher's for every answer alike in what is doubtful, by what that is
    """

    papers: Papers
    decisions: Decisions = field(default_factory=dict)
    rulings: Rulings = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._marked: dict[Hashable, QuestionMarks] = {}
        self._diagnosed: dict[Hashable, Diagnosis] = {}
        self._diagnosable = tuple(
            asked.question
            for paper in self.papers.variants.values()
            for asked in paper.questions
            if is_diagnosed(asked.question)
        )

    def entry(self, script: Script) -> Entry:
        """Return *script* marked and diagnosed."""
        paper = self.papers.variants.get(script.variant, self.papers.first)
        marked = [
            self._question(paper, asked, script.written.get(asked.number, {})) for asked in paper.questions
        ]
        marked = [self._decided(script.student, one) for one in marked]
        diagnosis = self._diagnosis(paper, marked, script)
        return {
            "student": script.student,
            "variant": paper.variant,
            "marks": sum(one.marks for one in marked),
            "could": sum(one.most for one in marked),
            "of": paper.marks,
            "absent": not script.written,
            "questions": [entry_of(one, script.written.get(one.asked.number, {})) for one in marked],
            **diagnosis.to_dict(),
            "strays": list(diagnosis.strays),
            "troubles": [str(trouble) for trouble in script.troubles],
        }

    def _question(self, paper: Paper, asked: Asked, written: Mapping[str, str]) -> QuestionMarks:
        key = paper.variant, asked.number, tuple(written.items())
        return _kept(self._marked, KEPT_ANSWERS, key, lambda: mark_question(asked, written))

    def _decided(self, student: str, marked: QuestionMarks) -> QuestionMarks:
        if not self.decisions and not self.rulings:
            return marked
        points = decide_points(marked.points, student, marked.asked.number, self.decisions, self.rulings)
        return marked if points == marked.points else replace(marked, points=points)

    def _diagnosis(self, paper: Paper, marked: list[QuestionMarks], script: Script) -> Diagnosis:
        known = [one for one in marked if is_diagnosed(one.asked.question) and one.asked.kind != "mistake"]
        written = tuple(
            (one.asked.number, tuple(script.written.get(one.asked.number, {}).items())) for one in known
        )

        def make() -> Diagnosis:
            wrong = any(_answered_wrongly(one, script) for one in known)
            diagnoser = self._diagnoser(paper, pairs=wrong)
            seen = [seen for one in known for seen in _observed(diagnoser, one, script, astray=wrong)]
            return decide(diagnoser, seen)

        return _kept(self._diagnosed, KEPT_SCRIPTS, (paper.variant, written), make)

    def _diagnoser(self, paper: Paper, *, pairs: bool) -> Diagnoser:
        """Return the diagnoser for a paper: of its course, and its operations and format."""
        asked = [one.question for one in paper.questions if is_diagnosed(one.question)]
        operations = frozenset[str]().union(*map(operations_in, asked))
        course = asked[0].course if asked else self.papers.course
        others = other_courses(course, asked)
        wider = diagnoser_for(course, operations, others=others)
        wider.expect(self._diagnosable)
        if pairs:
            return wider
        diagnoser = diagnoser_for(course, operations, pairs=False, others=others)
        diagnoser.expect(self._diagnosable, wider)
        return diagnoser


def _kept(kept: dict[Hashable, Kept], most: int, key: Hashable, make: Callable[[], Kept]) -> Kept:
    """Return what is kept under *key*, made now if it is not; of more than *most* the longest unused makes room."""
    if key in kept:
        kept[key] = kept.pop(key)
        return kept[key]
    if len(kept) >= most:
        del kept[next(iter(kept))]
    kept[key] = make()
    return kept[key]


def _observed(diagnoser: Diagnoser, marked: QuestionMarks, script: Script, *, astray: bool) -> list[Seen]:
    asked = marked.asked
    written = script.written.get(asked.number, {})
    marks = marked.account.marks if marked.account else ()
    return observe(diagnoser, asked.number, asked.question, written, marks, astray=astray)


def _answered_wrongly(marked: QuestionMarks, script: Script) -> bool:
    """Tell whether a line or the answer is wrong; a script without one needs no two beliefs to explain it."""
    if marked.first_wrong:
        return True
    written = script.written.get(marked.asked.number, {}).get("answer", "")
    answers = [point.status for point in marked.points if point.rule == "answer"]
    return bool(written) and any(status not in {"right", "recovered"} for status in answers)


def entry_of(marked: QuestionMarks, written: Mapping[str, str]) -> Entry:
    """Return a question's entry of chalkpoint.marks/1, from its marks and what is *written*, by line."""
    asked, operation = marked.asked, marked.asked.question.operation.name
    entry: Entry = {
        "question": asked.number,
        "marks": marked.marks,
        "of": asked.marks,
        "first_wrong": marked.first_wrong or None,
        "points": [_point_entry(mark, operation) for mark in marked.points],
    }
    if marked.reading:
        entry["reading"] = marked.reading
    if marked.notes:
        entry["notes"] = list(marked.notes)
    entry["operation"] = operation
    entry["answer"] = written.get("answer", "")
    if lines := {line: text for line, text in written.items() if line != "answer"}:
        entry["lines"] = lines
    return entry


def _point_entry(mark: Mark, operation: str) -> Entry:
    entry: Entry = {
        "rule": mark.rule,
        "marks": mark.given,
        "of": mark.marks,
        "status": mark.status,
        "why": mark.why,
        "for_teacher": mark.for_teacher,
    }
    if mark.part:
        entry["part"] = mark.part
    if mark.was is not None:
        entry["was"] = mark.was
    if mark.for_teacher:
        entry["could"] = mark.most
    if mark.group:
        entry["group"] = mark.group
    entry |= {"name": mark.name, "skill": skill_of(operation, mark.rule)}
    if mark.written:
        entry |= {"written": mark.written, "expects": mark.expects}
    if mark.among:
        entry["among"] = list(mark.among)
    return entry
