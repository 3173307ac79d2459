"""Typing a class in by exception: final answers first, then at most two lines of a script that matter most.

A line matters where the answer is wrong: it can earn method marks, or tell beliefs apart that give the
same answer. What is typed is saved after each script.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from chalkpoint.marking.answer import read_answer
from chalkpoint.marking.cells import tame
from chalkpoint.marking.manners import Answer
from chalkpoint.marking.marks import mark_question
from chalkpoint.marking.patterns import Reading
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.papers import Asked, Paper, Papers
from chalkpoint.working.procedures import BETWEEN, parts_of
from chalkpoint.working.work import work_question

__all__ = [
    "Count",
    "Entering",
    "Place",
    "expected_answer",
    "keys_pressed",
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


def keys_pressed(place: Place, written: str, earlier: Sequence[str] = ()) -> int:
    """Return the least keys that take *written* down on the page of entry, where *earlier* unlike answers are known.

    Enter takes the expected answer, or what is left of it; 0 and 1 fill a box and a space leaves it as expected; E
    leads to the exponent; S takes the latest earlier answer that begins as typed; T begins any other text. A blank
    is a key.

    >>> from chalkpoint.setting.paperfile import papers_from
    >>> paper = papers_from({"schema": "chalkpoint.papers/1", "papers": [
    ...     {"questions": [{"operation": "subtract", "operands": ["6.5", "1.25"], "format": "6+4"}]}]}).first
    >>> place = places_of(paper.questions[0])[0]  # 010101 0011 is expected
    >>> [keys_pressed(place, text) for text in ("0.10101 0011", "", "010100 0011", "010101 0100", "010101 3", "no")]
    [1, 1, 7, 5, 3, 4]
    >>> keys_pressed(place, "000110 0010", ["000110 0010"])
    3
    """
    question, line, expected = place.asked.question, place.line, place.expected
    answer = read_answer(question, written, line)
    if not any(sign.isalnum() for sign in written):
        return 1
    as_expected = read_answer(question, expected, line).spelling
    if answer.readable and not answer.manners and not answer.several and answer.spelling == as_expected:
        return 1
    return min(_ways(place, written, answer, earlier))


def _ways(place: Place, written: str, answer: Answer, earlier: Sequence[str]) -> Iterator[int]:
    """Yield the keys of each way to take down what is not as expected."""
    question, expected = place.asked.question, place.expected
    fields = [len(field) for field in expected.split()] if set(expected) <= set("01 ") else []
    yield len(written) + 1 + bool(fields)  # typed in full, with Enter
    mantissa = fields[0] if fields else 0
    if fields and not answer.manners and not answer.several and _fits(answer.spelling, fields):
        runs = [read_answer(question, text, place.line).spelling.replace(" ", "") for text in earlier]
        yield from _in_boxes(expected.replace(" ", ""), answer.spelling.replace(" ", ""), mantissa, runs)
        return
    if answer.manners == ("exponent in decimal",) and answer.spelling[:mantissa] == expected[:mantissa]:
        yield 2 + len((answer.reading or Reading("")).text.split()[-1])  # E, the number, Enter
    for at in range(1, len(written)):
        if next((text for text in earlier if text.startswith(written[:at])), "") == written:
            yield at + 1 + bool(fields)
            return


def _fits(spelling: str, fields: list[int]) -> bool:
    return [len(field) for field in spelling.split()] == fields and set(spelling) <= set("01 ")


def _in_boxes(expected: str, run: str, first_field: int, earlier: Sequence[str]) -> Iterator[int]:
    """Yield the keys of each way to fill boxes: to the last that differs, from the exponent on, or as one before."""
    apart = [at for at, (one, other) in enumerate(zip(run, expected, strict=True)) if one != other]
    start = (
        first_field - 1 if apart[0] >= first_field else 0
    )  # E is a key, and saves those of the first field
    yield apart[-1] + 1 - start + (apart[-1] < len(run) - 1)
    begun = run[: apart[0] + 1]
    if next((other for other in earlier if other.startswith(begun)), "") == run:
        yield apart[0] + 2 - start


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
