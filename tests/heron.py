"""Papers, pupils and scripts of the invented class 12 Heron, for tests of marking."""

from typing import Any

from chalkpoint.marking.ways import Way, held_method
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.papers import Asked, Papers
from chalkpoint.working.procedures import answer_by
from chalkpoint.working.question import Question

__all__ = ["EIGHT", "answers_by", "one_question", "papers_of", "table_by"]

#: Eight questions on which common beliefs show two or three times each.
EIGHT = [
    ("subtract", "6.5", "1.25"),
    ("subtract", "5.5", "-2.25"),
    ("subtract", "3.5", "1.25"),
    ("subtract", "2.75", "2.5"),
    ("add", "2.75", "-1.5"),
    ("add", "3.25", "2.75"),
    ("add", "7", "-5"),
    ("add", "2.5", "0.75"),
]


def papers_of(*questions: tuple[str, ...], variants: int = 1, **course: Any) -> Papers:
    """Return papers that ask *questions*, each an operation and its operands, alike in every variant."""
    asked = [{"operation": name, "operands": list(operands)} for name, *operands in questions or EIGHT]
    return papers_from(
        {
            "schema": "chalkpoint.papers/1",
            "title": "Gauge readings",
            "course": {"name": "12 Heron"} | course,
            "papers": [{"variant": number, "questions": asked} for number in range(1, variants + 1)],
        }
    )


def one_question(*question: str, **course: Any) -> Asked:
    """Return one question with its usual scheme."""
    return papers_of(question, **course).first.questions[0]


def answers_by(papers: Papers, *beliefs: str, method: str = "") -> list[tuple[Question, str]]:
    """Return what a holder of *beliefs* writes to each question."""
    way = Way(method, beliefs)
    questions = [asked.question for asked in papers.first.questions]
    return [
        (question, answer_by(held_method(way, question.operation.name, question.course), question))
        for question in questions
    ]


def table_by(papers: Papers, pupils: dict[str, tuple[str, ...]]) -> list[list[str]]:
    """Return a wide table of answers: by pupil, the beliefs held."""
    heads = ["student", *(str(asked.number) for asked in papers.first.questions)]
    return [
        heads,
        *([name, *(text for _, text in answers_by(papers, *held))] for name, held in pupils.items()),
    ]
