"""The class's report as PDF, with the same words as the page."""

from __future__ import annotations

from importlib.resources import files

from chalkpoint.marking.groups import Group
from chalkpoint.marking.summary import MOST_NAMES, BeliefCount, QuestionCount, Summary
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing.classes.pages import Again, discrimination, monday, reteaching, says, singly
from chalkpoint.publishing.typst.compiling import compile_pdf
from chalkpoint.publishing.typst.literals import literal
from chalkpoint.setting.papers import Papers
from chalkpoint.working.wording.said import plural

__all__ = ["class_pdf"]

MOST_WAITING = 60


def class_pdf(summary: Summary, *, paper: str = "a4") -> bytes:
    """Return the teacher's report on a class as a tagged PDF."""
    papers = summary.papers
    skills = list(summary.skills)
    together = [group for group in summary.groups if group.is_ruled_together]
    data = {
        "title": papers.title or papers.course.name or "Class",
        "first": _first(summary),
        "shared": [
            f"More than half of the class shows one belief: {says(count.among)} Look at the lesson first."
            for count in summary.most_common()
            if summary.shared_by_most(count)
        ],
        "questions": [_question(count) for count in summary.questions.values()],
        "skills": ["pupil", *skills, "marks"],
        "rows": [
            [
                name,
                *(("\u2013",) * len(skills) if absent else (str(lost.get(one, 0)) for one in skills)),
                _marks(marks, absent),
            ]
            for name, marks, lost, absent in summary.rows
        ],
        "beliefs": [_belief(count, papers) for count in summary.most_common()],
        "monday": [_again(thing) for thing in monday(summary)],
        "waiting": [_waiting(group) for group in together[:MOST_WAITING]],
        "singly": [
            f"{student}, question {question}, {points}. {why}"
            for student, question, points, why in singly(summary, together)[:MOST_WAITING]
        ],
    }
    return compile_pdf(f"{_template()}\n#class-report({literal(data)}, {literal(paper)})\n")


def _first(summary: Summary) -> str:
    """Return how many were marked, their median, and what waits."""
    marked = f"{summary.marked} of {summary.pupils} papers marked, out of {summary.papers.first.marks}."
    if summary.marked:
        accepted = (
            f", {summary.median_if_accepted:g} if all that waits is accepted"
            if summary.median_if_accepted != summary.median
            else ""
        )
        marked += f" Median {summary.median:g}{accepted}."
    count = summary.waiting_count
    if not count:
        return f"{marked} Nothing waits for you."
    waits = f"{plural(count, 'decision')} {'waits' if count == 1 else 'wait'} for you"
    return f"{marked} {waits}, on {plural(summary.waiting_answers, 'answer')}."


def _again(thing: Again) -> JsonObject:
    """Return one thing to teach again: who needs it, what they wrote, the board and the question for the class."""
    more = f" and {thing.more} more" if thing.more else ""
    where = "where it shows" if thing.shown else "by it"
    return {
        "title": thing.title,
        "who": f"{', '.join(thing.names)}{more} lost {plural(thing.lost, 'mark')} {where}",
        "says": thing.says,
        "board": thing.board,
        "ask": thing.ask,
    }


def _waiting(group: Group) -> list[str]:
    """Return what is to be decided, whose answers they are, what most of them say, and the marks at stake."""
    return [group.name, ", ".join(group.pupils[:MOST_NAMES]), group.example, str(group.at_stake)]


def _marks(marks: int, absent: bool) -> str:  # noqa: FBT001 - a row of the summary
    return "absent" if absent else str(marks)


def _question(count: QuestionCount) -> list[str]:
    lost = ", ".join(f"{name} {marks}" for name, marks in count.lost.most_common(3)) or "\u2013"
    mean = f"{count.mean:.1f} of {count.of}"
    return [
        f"{count.number} {count.operation}",
        mean,
        f"{100 * count.facility:.0f}%",
        discrimination(count),
        lost,
    ]


def _belief(count: BeliefCount, papers: Papers) -> JsonObject:
    again = reteaching(count.among[0], papers)
    more = f" and {count.pupils - len(count.names)} more" if count.pupils > len(count.names) else ""
    evidence = f"Shown on {count.shows} of the {count.could} answers where it could show."
    return {
        "says": says(count.among),
        "pupils": f"{', '.join(count.names)}{more}. {evidence}",
        "shown": [
            [str(question), line, written, expected] for line, question, written, expected in count.shown
        ],
        "again": ""
        if again is None
        else f"A counter-example: {again['example']}. Ask the class: {again['hinge']}",
    }


def _template() -> str:
    return (files("chalkpoint.publishing") / "classes" / "class.typ").read_text(encoding="utf-8")
