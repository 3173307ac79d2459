"""One question across a class: every different answer once, with its pupils, its marks and what can be ruled on it.

Answers that read alike are one row, however they are spelt; what waits is kept apart from what is settled, so that a
ruling on a row means the same for all its pupils.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TypeAlias

from chalkpoint.marking.answer import read_answer
from chalkpoint.numbers.datafiles import JsonMapping, JsonObject
from chalkpoint.setting.papers import Papers
from chalkpoint.working.question import Question

__all__ = ["AnswerRow", "QuestionTable", "Ruling", "SameLines", "Tables", "rulings_on"]

Points: TypeAlias = "list[JsonObject]"
ENDS = ("answer", "decimal")  # points that are no line of the working
KEY = 10  # characters of a row's name


@dataclass(slots=True)
class SameLines:
    """Pupils with the same answer who wrote the same lines and have the same marks.

    answer  as the first of them wrote it
    lines   what they wrote beside it, by line
    points  the points of the scheme, as `chalkpoint.marks/1` has them
    """

    answer: str
    lines: Mapping[str, str]
    points: Points
    marks: int
    first_wrong: str
    pupils: list[str] = field(default_factory=list)


@dataclass(slots=True)
class AnswerRow:
    """One answer to one question, and everybody who gave it.

    key     its name, the same as long as the same is written and waits
    waits   whether a ruling is wanted on it
    group   what is doubtful, in the words of `marking.groups`; "" where nothing is
    """

    key: str
    variant: int
    of: int
    waits: bool
    group: str
    ways: list[SameLines] = field(default_factory=list)

    @property
    def pupils(self) -> list[str]:
        """Everybody who gave it."""
        return [code for way in self.ways for code in way.pupils]

    @property
    def most_common(self) -> SameLines:
        """What most of them wrote."""
        return max(self.ways, key=lambda way: (len(way.pupils), -len(way.lines)))

    @property
    def answer(self) -> str:
        """The answer, as most of them wrote it; "" where nothing is written."""
        return self.most_common.answer

    @property
    def marks(self) -> list[int]:
        """The marks it has, the least first: several where lines beside it differ."""
        return sorted({way.marks for way in self.ways})

    @property
    def otherwise(self) -> list[tuple[int, list[str]]]:
        """The marks that others have than most of its pupils, each with those who have them."""
        found: dict[int, list[str]] = {}
        for way in self.ways:
            found.setdefault(way.marks, []).extend(way.pupils)
        most = self.most_common.marks
        return sorted((given, pupils) for given, pupils in found.items() if given != most)

    @property
    def waiting(self) -> Points:
        """The points that wait: the same for all its pupils."""
        return [point for point in self.ways[0].points if point["for_teacher"]]

    @property
    def among(self) -> tuple[str, ...]:
        """The beliefs of which each gives this; none where no rule does."""
        return next((tuple(point["among"]) for point in self.most_common.points if point.get("among")), ())

    @property
    def told(self) -> JsonObject:
        """The point that says most of it: the first that waits, else the first that lost a mark, else the last.

        Of those that lost one, what a belief explains says more than what it does not, and what is written more than
        a line that is not.
        """
        points = self.most_common.points
        lost = [point for point in points if point["marks"] < point["of"]]
        belief = [point for point in lost if point.get("among")]
        written = [point for point in lost if point["status"] != "absent"]
        return (self.waiting or belief or written or lost or points[-1:])[0]


@dataclass(frozen=True, slots=True)
class Ruling:
    """What may be ruled on a row: the marks of each point that waits, and what its pupils have by it.

    name   "accept", "lines" (the method marks only) or "stand"
    marks  by point
    more   how many marks a pupil has by it beyond those now
    """

    name: str
    words: str
    marks: Mapping[str, int]
    more: int


def rulings_on(row: AnswerRow) -> list[Ruling]:
    """Return what may be ruled on *row*, the most marks first; nothing where nothing waits."""
    waiting = row.waiting
    if not waiting:
        return []
    now = {point["name"]: point["marks"] for point in waiting}
    could = {point["name"]: point["could"] for point in waiting}
    lines = {point["name"]: point["could"] for point in waiting if point["rule"] not in ENDS}
    offered = [("accept", "Accept it", could)]
    if lines and lines != could:
        offered.append(("lines", "Give the marks for the lines only", now | lines))
    offered.append(("stand", "Let it stand", now))
    return [
        Ruling(name, words, marks, sum(marks.values()) - sum(now.values())) for name, words, marks in offered
    ]


@dataclass(slots=True)
class QuestionTable:
    """One question: its rows, in the order in which they are looked at, and its figures.

    number   of the question
    of       its marks
    pupils   how many answered the paper
    total    the marks they have together
    """

    number: int
    of: int
    pupils: int = 0
    total: int = 0
    rows: list[AnswerRow] = field(default_factory=list)

    @property
    def waiting(self) -> list[AnswerRow]:
        """The rows that a ruling is wanted on."""
        return [row for row in self.rows if row.waits]

    @property
    def settled(self) -> list[AnswerRow]:
        """All others: right ones first, then those of most pupils, what is not written last."""
        return [row for row in self.rows if not row.waits]

    @property
    def mean(self) -> float:
        """The mean mark."""
        return self.total / self.pupils if self.pupils else 0.0

    def mean_with(self, row: AnswerRow, ruling: Ruling) -> float:
        """Return the mean mark that *ruling* on *row* gives."""
        return (self.total + ruling.more * len(row.pupils)) / self.pupils if self.pupils else 0.0

    def row(self, key: str) -> AnswerRow | None:
        """Return the row called *key*; None where there is none, or no longer."""
        return next((row for row in self.rows if row.key == key), None)


@lru_cache(4)
def _spellings(papers: Papers) -> dict[tuple[int, int, str], str]:
    """Return the spellings known of answers to *papers*: a class marked again writes what it wrote before."""
    del papers  # it is only what they are known by
    return {}


@dataclass(slots=True)
class Tables:
    """Every question of a set of papers across its class, gathered a pupil at a time.

    >>> from chalkpoint.marking.classes import mark
    >>> from chalkpoint.setting.paperfile import papers_from
    >>> paper = {"schema": "chalkpoint.papers/1", "papers": [
    ...     {"questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}]}
    >>> rows = [["student", "1"], ["H01", "0.1010100 3"], ["H02", "0.1010100 0011"], ["H03", "01010100 +3"]]
    >>> table = Tables.of(papers_from(paper), mark(paper, rows)["students"]).questions[1]
    >>> [(row.pupils, row.marks, row.waits) for row in table.rows]
    [(['H01', 'H03'], [5], True), (['H02'], [6], False)]
    >>> [(ruling.name, ruling.more, table.mean_with(table.rows[0], ruling)) for ruling in rulings_on(table.rows[0])]
    [('accept', 1, 6.0), ('stand', 0, 5.333333333333333)]
    """

    papers: Papers
    questions: dict[int, QuestionTable] = field(default_factory=dict)
    absent: list[str] = field(default_factory=list)
    _rows: dict[tuple[object, ...], AnswerRow] = field(default_factory=dict)
    _ways: dict[tuple[object, ...], SameLines] = field(default_factory=dict)
    _spelt: dict[tuple[int, int, str], str] = field(init=False)
    _asked: dict[tuple[int, int], Question] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._spelt = _spellings(self.papers)
        for variant, paper in self.papers.variants.items():
            for asked in paper.questions:
                self._asked[variant, asked.number] = asked.question
                self.questions.setdefault(asked.number, QuestionTable(asked.number, asked.marks))

    @classmethod
    def of(cls, papers: Papers, entries: Iterable[JsonMapping]) -> Tables:
        """Return the tables of a marked class."""
        tables = cls(papers)
        for entry in entries:
            tables.add(entry)
        return tables.ordered()

    def add(self, entry: JsonMapping) -> None:
        """Put one pupil's answers in their rows."""
        if entry["absent"]:
            self.absent.append(entry["student"])
            return
        for question in entry["questions"]:
            table = self.questions.get(question["question"])
            if table is not None:
                table.pupils += 1
                table.total += question["marks"]
                self._way(table, entry["variant"], question).pupils.append(entry["student"])

    def _way(self, table: QuestionTable, variant: int, question: JsonMapping) -> SameLines:
        number, points, lines = table.number, question["points"], question.get("lines", {})
        answer = question["answer"] if any(sign.isalnum() for sign in question["answer"]) else ""
        spelt = self._spelling(variant, number, answer)
        doubt = tuple(
            (point["name"], point["marks"], point["could"], point["group"])
            for point in points
            if point["for_teacher"]
        )
        beside = (
            () if spelt else tuple(lines.items())
        )  # where there is no answer, the lines are what is answered
        row_of = variant, number, spelt, beside, doubt
        given = tuple(point["marks"] for point in points)
        way_of = *row_of, tuple(lines.items()), given
        if way_of in self._ways:
            return self._ways[way_of]
        if row_of not in self._rows:
            name = hashlib.sha256(json.dumps(row_of).encode()).hexdigest()[:KEY]
            groups = dict.fromkeys(group for *_, group in doubt)
            self._rows[row_of] = AnswerRow(name, variant, table.of, bool(doubt), next(iter(groups), ""))
            table.rows.append(self._rows[row_of])
        way = SameLines(answer, lines, points, question["marks"], question["first_wrong"] or "")
        self._ways[way_of] = way
        self._rows[row_of].ways.append(way)
        return way

    def _spelling(self, variant: int, number: int, text: str) -> str:
        """Return an answer in the one spelling of all that read alike, or as it was written, its manner apart."""
        key = variant, number, text
        if key not in self._spelt:
            asked = self._asked.get((variant, number))
            answer = read_answer(asked, text) if asked and text else None
            plain = " ".join(text.split())
            firm = answer is not None and answer.readable and not answer.several
            self._spelt[key] = " ".join([answer.spelling, *answer.manners]) if answer and firm else plain
        return self._spelt[key]

    def ordered(self) -> Tables:
        """Put every table's rows in the order in which they are looked at."""
        for table in self.questions.values():
            table.rows.sort(key=_order)
        return self


def _order(row: AnswerRow) -> tuple[object, ...]:
    """Return what a row is placed by: waiting rows first, those with most marks at stake before the others."""
    count = len(row.pupils)
    at_stake = sum(point["could"] - point["marks"] for point in row.waiting) * count if row.waits else 0
    blank = not row.answer and not row.most_common.lines
    return not row.waits, -at_stake, blank, row.marks != [row.of], -count, row.variant, row.answer
