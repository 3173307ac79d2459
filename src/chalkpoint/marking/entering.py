"""Typing a class in by exception: final answers first, then at most two lines of a script that matter most.

A line matters where the answer is wrong: it can earn method marks, or tell beliefs apart that give the
same answer. What is typed is saved after each script.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from chalkpoint.marking.cells import tame
from chalkpoint.marking.marks import mark_question
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.papers import Asked, Paper, Papers
from chalkpoint.working.procedures import BETWEEN, parts_of
from chalkpoint.working.work import work_question

__all__ = [
    "Count",
    "Entering",
    "Place",
    "expected_answer",
    "lines_that_matter",
    "places_of",
]

COLUMNS = ("student", "variant", "question", "line", "written")
BLANK = "-"
MOST_LINES = 2

Ask = Callable[[str], "str | None"]


@dataclass(slots=True)
class Count:
    """How much was typed."""

    scripts: int = 0
    keystrokes: int = 0

    def keystrokes_a_script(self) -> float:
        """Return the keys pressed for one script, Enter counted."""
        return self.keystrokes / self.scripts if self.scripts else 0.0


@dataclass(eq=False)
class Entering:
    """Answers typed in and saved to *path*, after those that are there already."""

    papers: Papers
    path: Path

    def __post_init__(self) -> None:
        self.count = Count()

    def run(self, ask: Ask) -> Count:
        """Take scripts from *ask* until it has no more; return how much was typed."""
        while name := self._typed(ask, "Pupil: "):
            variant = self._variant(ask)
            rows = self._script(ask, self.papers.variants[variant])
            if rows is None:
                break
            self._save([(name, str(variant), *row) for row in rows])
            self.count.scripts += 1
        return self.count

    def _typed(self, ask: Ask, prompt: str) -> str | None:
        text = ask(prompt)
        if text is not None:
            self.count.keystrokes += len(text) + 1
        return text.strip() if text is not None else None

    def _variant(self, ask: Ask) -> int:
        """Return which paper it is; not asked where there is only one."""
        known = self.papers.variants
        while len(known) > 1:
            text = self._typed(ask, f"Variant ({min(known)} to {max(known)}): ")
            if text is None:
                break
            if text.isdigit() and int(text) in known:
                return int(text)
        return min(known)

    def _script(self, ask: Ask, paper: Paper) -> list[tuple[str, str, str]] | None:
        """Return the rows of one script; None where the keyboard came to its end."""
        rows: list[tuple[str, str, str]] = []
        answers = {}
        for asked in paper.questions:
            expected = expected_answer(asked)
            text = self._typed(ask, f"{asked.number} [{expected}]: ")
            if text is None:
                return None
            answers[asked.number] = "" if text == BLANK else text or expected
            if answers[asked.number]:
                rows.append((str(asked.number), "answer", answers[asked.number]))
        for asked, line in lines_that_matter(paper, answers):
            text = self._typed(ask, f"{asked.number} {line} (Enter if not written): ")
            if text is None:
                return None
            if text:
                rows.append((str(asked.number), line, text))
        return rows

    def _save(self, rows: list[tuple[str, ...]]) -> None:
        fresh = not self.path.exists()
        with self.path.open("a", encoding="utf-8", newline="") as file:
            writer = csv.writer(file)
            if fresh:
                writer.writerow(COLUMNS)
            writer.writerows([tame(cell) for cell in row] for row in rows)


def expected_answer(asked: Asked) -> str:
    """Return the course's own answer, as it is typed; "" for an explanation, which has none."""
    return asked.values or final_answer(work_question(asked.question))


@dataclass(frozen=True, slots=True)
class Place:
    """One place where an answer is typed.

    line      its name: "answer", an extreme of a range, an error
    expected  what the course has there; "" where nothing can be expected
    """

    asked: Asked
    line: str
    expected: str


def places_of(asked: Asked) -> list[Place]:
    """Return the places of a question's answer: four for a range, one and each error for what storing costs.

    >>> from chalkpoint.setting.paperfile import papers_from
    >>> paper = papers_from({"schema": "chalkpoint.papers/1", "papers": [
    ...     {"questions": [{"operation": "error", "operands": ["4.6"], "format": "8+4"}]}]}).first
    >>> [(place.line, place.expected) for place in places_of(paper.questions[0])]
    [('answer', '01001001 0011'), ('absolute', '0.0375'), ('relative', '3/368')]
    """
    expected, name = expected_answer(asked), asked.question.operation.name
    parts = (
        tuple(work_question(asked.question).result.values)
        if name == "range"
        else tuple(parts_of(name, asked.question.course))
    )
    pieces = expected.split(BETWEEN.strip())
    if len(parts) != len(pieces) or len(parts) < 2:
        return [Place(asked, "answer", expected)]
    return [Place(asked, line, piece.strip()) for line, piece in zip(parts, pieces, strict=True)]


def lines_that_matter(paper: Paper, answers: dict[int, str]) -> list[tuple[Asked, str]]:
    """Return at most two lines of a script to look at, with their questions.

    First where several beliefs give the same wrong answer, then where nothing does, by the marks at
    stake: the first line with a method mark is asked for.
    """
    wanted = []
    for asked in paper.questions:
        written = answers.get(asked.number, "")
        if not written:
            continue
        marked = mark_question(asked, {"answer": written})
        if marked.marks == asked.marks:
            continue
        among = {name for point in marked.points for name in point.among}
        lines = [point.rule for point in marked.points if point.kind == "M" and not point.given]
        wanted += [((len(among) == 1, -len(lines)), at, asked, line) for at, line in enumerate(lines[-1:])]
    return [(asked, line) for _, _, asked, line in sorted(wanted, key=lambda one: (one[0], one[2].number))][
        :MOST_LINES
    ]
