"""What a class report says, gathered one pupil at a time; what is kept does not grow with the class.

Counts are exact. Facility is the share of a question's marks that the class got; discrimination is the
correlation of a question's marks with the marks on the rest of the paper (classical item analysis).
"""

from __future__ import annotations

import random
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from itertools import islice
from math import sqrt
from statistics import median

from chalkpoint.marking.entering import expected_answer
from chalkpoint.marking.groups import Group, Groups
from chalkpoint.marking.students import Entry, shows_skill, skill_of
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.setting.papers import Papers

__all__ = [
    "MOST_AGAIN",
    "MOST_NAMES",
    "MOST_ROWS",
    "MOST_WAITING",
    "BeliefCount",
    "QuestionCount",
    "Summary",
]

MOST_ROWS = 60  # pupils shown in the table of skills
MOST_WAITING = 200  # decisions listed
MOST_NAMES = 12  # pupils named beside a belief
MOST_SHOWN = 3  # answers shown beside a belief
SAMPLE = 6  # scripts drawn for a second marker
MOST_AGAIN = 3  # things taught again at once
LESSON_FIRST = 0.5  # a belief that more of the class than this shares points to the lesson


@dataclass(slots=True)
class QuestionCount:
    """Marks of one question over the class: those lost by line, and by skill where it was shown."""

    number: int
    operation: str
    of: int
    marks: Counter[int] = field(default_factory=Counter)
    lost: Counter[str] = field(default_factory=Counter)
    wrong: Counter[str] = field(default_factory=Counter)
    rest: int = 0
    squares: int = 0
    rest_squares: int = 0
    products: int = 0

    def add(self, marks: int, rest: int) -> None:
        """Count one pupil: the marks here and on the rest of the paper."""
        self.marks[marks] += 1
        self.rest += rest
        self.squares += marks * marks
        self.rest_squares += rest * rest
        self.products += marks * rest

    @property
    def pupils(self) -> int:
        """How many pupils were marked."""
        return self.marks.total()

    @property
    def total(self) -> int:
        """The marks they got together."""
        return sum(marks * count for marks, count in self.marks.items())

    @property
    def mean(self) -> float:
        """The mean mark."""
        return self.total / self.pupils if self.pupils else 0.0

    @property
    def facility(self) -> float:
        """The share of the marks that was got."""
        return self.mean / self.of if self.of else 0.0

    @property
    def discrimination(self) -> float | None:
        """The correlation with the rest of the paper; None where either does not vary."""
        n = self.pupils
        spread = (n * self.squares - self.total**2) * (n * self.rest_squares - self.rest**2)
        return (n * self.products - self.total * self.rest) / sqrt(spread) if spread > 0 else None


@dataclass(slots=True)
class BeliefCount:
    """A named belief over the class.

    among   the beliefs named together
    pupils  how many pupils
    names   the first of them
    shown   (line, question, what is written, what was expected) of the first that show it, each once
    shows   how many answers show it, and on how many it could have shown
    lost    the marks lost in the questions where it shows
    """

    among: tuple[str, ...]
    pupils: int = 0
    names: list[str] = field(default_factory=list)
    shown: list[tuple[str, int, str, str]] = field(default_factory=list)
    shows: int = 0
    could: int = 0
    lost: int = 0


@dataclass(eq=False)
class Summary:
    """A class, summed up.

    questions  by number
    beliefs    by the beliefs named together
    shown      by skill, the marks of lines that were written; *shown_lost*, those of them that were lost
    waiting    (student, question, point) for each point that the teacher decides
    ruled      what the teacher has decided, in the words of the groups
    rows       the first pupils: name, marks, and marks lost by skill where it was shown
    could      the marks they have if all that waits is ruled for them, where that is more
    unseen     of those, by pupil and skill, the marks of which nothing is known
    """

    papers: Papers
    sample_seed: int = 1

    def __post_init__(self) -> None:
        first = self.papers.first
        self.questions = {
            asked.number: QuestionCount(asked.number, asked.question.operation.name, asked.marks)
            for asked in first.questions
        }
        self.skills: dict[str, int] = defaultdict(int)
        for asked in first.questions:
            for point in asked.points:
                self.skills[skill_of(asked.question.operation.name, point.rule)] += point.marks
        self.totals: Counter[int] = Counter()
        self.shown: Counter[str] = Counter()
        self.shown_lost: Counter[str] = Counter()
        self.beliefs: dict[tuple[str, ...], BeliefCount] = {}
        self.methods: Counter[str] = Counter()
        self.contrary: dict[str, list[str]] = {}
        self.open: list[tuple[str, Entry]] = []
        self.waiting: list[tuple[str, int, Entry]] = []
        self.gathered = Groups(MOST_WAITING)
        self.ruled: set[str] = set()
        self.could: dict[str, int] = {}
        self.could_totals: Counter[int] = Counter()
        self.rows: list[tuple[str, int, dict[str, int], bool]] = []
        self.unseen: dict[str, Counter[str]] = {}
        self.troubles: list[tuple[str, str]] = []
        self.pupils = self.absent = 0
        self.sample: list[Entry] = []
        self._expected: dict[tuple[int, int], str] = {}
        self._rng = random.Random(self.sample_seed)

    def add(self, entry: Entry) -> None:
        """Count one pupil."""
        self.pupils += 1
        student = entry["student"]
        wrong: Counter[str] = Counter()
        unseen: Counter[str] = Counter()
        if entry["absent"]:
            self.absent += 1
        else:
            self.totals[entry["marks"]] += 1
            # markings made before it was counted do not say what the marks could be
            self.could_totals[entry["could"] if "could" in entry else entry["marks"]] += 1
            self.gathered.add(entry)
            for question in entry["questions"]:
                self._question(student, question, entry["marks"], wrong, unseen)
            self._draw(entry)
        if len(self.rows) < MOST_ROWS:
            self.rows.append((student, entry["marks"], dict(wrong), entry["absent"]))
            self.unseen[student] = unseen
            if entry.get("could", 0) > entry["marks"]:
                self.could[student] = entry["could"]
        self._beliefs(entry)
        if len(self.troubles) < MOST_WAITING:
            self.troubles += [(student, trouble) for trouble in entry["troubles"]]

    def _question(
        self, student: str, question: Entry, total: int, wrong: Counter[str], unseen: Counter[str]
    ) -> None:
        count = self.questions.get(question["question"])
        if count is None:
            return
        count.add(question["marks"], total - question["marks"])
        for point in question["points"]:
            gone = point["of"] - point["marks"]
            if shows_skill(point):
                self.shown[point["skill"]] += point["of"]
                self.shown_lost[point["skill"]] += gone
                wrong[point["skill"]] += gone
                count.wrong[point["skill"]] += gone
            else:
                unseen[point["skill"]] += point["of"]
            if gone:
                count.lost[point["name"]] += gone
            if "was" in point and "group" in point:
                self.ruled.add(point["group"])
            if point["for_teacher"] and len(self.waiting) < MOST_WAITING:
                self.waiting.append((student, question["question"], point))

    def _draw(self, entry: Entry) -> None:
        """Keep a fair sample of the scripts, whatever their number (reservoir sampling)."""
        if len(self.sample) < SAMPLE:
            self.sample.append(entry)
            return
        place = self._rng.randrange(self.totals.total())
        if place < SAMPLE:
            self.sample[place] = entry

    def _beliefs(self, entry: Entry) -> None:
        for name, chance in entry["methods"].items():
            if chance >= LESSON_FIRST:
                self.methods[name] += 1
                if contrary := entry.get("contrary", {}).get(name):
                    questions = ", ".join(map(str, contrary))
                    self.contrary.setdefault(name, []).append(f"{entry['student']} on {questions}")
        by_number = {question["question"]: question for question in entry["questions"]}
        for belief in entry["beliefs"]:
            if not belief["named"]:
                if len(self.open) < MOST_ROWS:
                    self.open.append(
                        (entry["student"], {**belief, "next_questions": entry["next_questions"]})
                    )
                continue
            among = tuple(belief["among"])
            count = self.beliefs.setdefault(among, BeliefCount(among))
            count.pupils += 1
            count.shows += len(belief["shown_on"])
            count.could += len(belief["could_show_on"])
            where = [by_number[number] for number in belief["shown_on"] if number in by_number]
            count.lost += sum(question["of"] - question["marks"] for question in where)
            if len(count.names) < MOST_NAMES:
                count.names.append(entry["student"])
            if len(count.shown) < MOST_SHOWN:
                shown = (self._shown(entry["variant"], by_number[number]) for number in belief["shown_on"])
                count.shown += islice((one for one in shown if one not in count.shown), 1)

    def _shown(self, variant: int, question: JsonObject) -> tuple[str, int, str, str]:
        """Return (line, question, written, expected) where a belief shows: a row beside a row, or answers whole."""
        number = question["question"]
        for point in question["points"]:
            if point.get("among") and not point["marks"] and point["rule"] != "answer":
                return point["rule"], number, point["written"], point["expects"]
        if (variant, number) not in self._expected:
            paper = self.papers.variants.get(variant, self.papers.first)
            asked = next(one for one in paper.questions if one.number == number)
            self._expected[variant, number] = expected_answer(asked)
        return "answer", number, question["answer"], self._expected[variant, number]

    @property
    def marked(self) -> int:
        """How many pupils handed something in."""
        return self.pupils - self.absent

    @property
    def mean(self) -> float:
        """The mean mark of those who handed something in."""
        total = sum(marks * count for marks, count in self.totals.items())
        return total / self.marked if self.marked else 0.0

    @property
    def median(self) -> float:
        """The median mark."""
        return median(self.totals.elements()) if self.totals else 0.0

    @property
    def median_if_accepted(self) -> float:
        """The median mark if all that waits is ruled for the pupils."""
        return median(self.could_totals.elements()) if self.could_totals else 0.0

    @property
    def groups(self) -> list[Group]:
        """What waits for the teacher, alike answers together, those with most at stake first."""
        return [group for group in self.gathered.ordered() if group.decisions]

    @property
    def waiting_count(self) -> int:
        """How many decisions wait: one a group, and one for each answer that has to be read by itself."""
        return sum(group.decisions for group in self.groups)

    @property
    def waiting_answers(self) -> int:
        """On how many answers they are."""
        return sum(group.answers for group in self.groups)

    def shared_by_most(self, count: BeliefCount) -> bool:
        """Tell whether so much of the class shares a belief that the lesson should be looked at first."""
        return self.marked > 2 and count.pupils > LESSON_FIRST * self.marked

    def to_teach_again(self) -> list[BeliefCount]:
        """Return the few beliefs that cost the class most marks: what to do on Monday."""
        by_loss = sorted(self.beliefs.values(), key=lambda count: (-count.lost, -count.pupils, count.among))
        return [count for count in by_loss if count.lost][:MOST_AGAIN]

    def most_common(self) -> list[BeliefCount]:
        """Return the beliefs named, those of most pupils first."""
        return sorted(self.beliefs.values(), key=lambda count: (-count.pupils, count.among))
