"""What a blueprint asks for: its keys, what each accepts, and the records they become."""

from __future__ import annotations

from dataclasses import dataclass, field

from chalkpoint.setting.contexts import Context
from chalkpoint.working.course import Course

__all__ = [
    "ASKED_KEYS",
    "BLUEPRINT_KEYS",
    "DEMANDS",
    "MOST_QUESTIONS",
    "MOST_TERMS",
    "PRINT_KEYS",
    "PURPOSES",
    "Blueprint",
    "BlueprintQuestion",
    "Key",
    "Printing",
]

PURPOSES = ("paper", "practice", "diagnose", "starter")
MOST_COUNT = 40
MOST_QUESTIONS = 200  # of one paper: each is worked, and drawn
MOST_MARKS = 20
MOST_TERMS = 6  # of a sum on paper
MOST_DRAWS = 999
MOST_ROOM = 4
#: How hard the questions of a kind are, among those that meet the same conditions.
DEMANDS = ("easiest", "easier", "usual", "harder", "hardest")


@dataclass(frozen=True, slots=True)
class Key:
    """What a key of a blueprint accepts.

    kind     str, int, bool or list
    choices  the words a str may be, or none where any is taken
    most     the largest int taken; the least is 1
    example  how a right line looks
    """

    kind: type
    example: str
    choices: tuple[str, ...] = ()
    most: int = 0

    @property
    def accepted(self) -> str:
        """What is accepted, in words."""
        if self.choices:
            return " or ".join(f'"{choice}"' for choice in self.choices)
        if self.kind is int:
            return f"a whole number from 1 to {self.most}"
        return {str: "text in quotes", bool: "true or false", list: "a list of texts in quotes"}[self.kind]

    def takes(self, value: object) -> bool:
        """Tell whether *value*, as TOML gives it, is accepted."""
        if type(value) is not self.kind:  # True is no number here
            return False
        if self.choices:
            return value in self.choices
        match value:
            case bool():
                return True
            case int():
                return 1 <= value <= self.most
            case str():
                return bool(value.strip())
        return isinstance(value, list) and all(isinstance(entry, str) for entry in value)


BLUEPRINT_KEYS: dict[str, Key] = {
    "title": Key(str, 'title = "Gauge readings"'),
    "purpose": Key(str, 'purpose = "paper"', PURPOSES),
    "methods": Key(str, 'methods = "same answer"', ("same answer", "name the method", "list the answers")),
    "accidental": Key(str, 'accidental = "refuse"', ("refuse", "needs working")),
    "working": Key(str, 'working = "required"', ("optional", "required")),
    "most": Key(int, "most = 8", most=MOST_COUNT),
}
ASKED_KEYS: dict[str, Key] = {
    "operation": Key(str, 'operation = "subtract"'),
    "format": Key(str, 'format = "8+4"'),
    "operands": Key(list, 'operands = ["8.875", "3.6875"]'),
    "to": Key(str, 'to = "binary16"'),
    "about": Key(str, 'about = "subtract"'),
    "terms": Key(int, "terms = 3", most=MOST_TERMS),
    "where": Key(list, 'where = ["align-shift = 2"]'),
    "marks": Key(int, "marks = 6", most=MOST_MARKS),
    "count": Key(int, "count = 2", most=MOST_COUNT),
    "context": Key(bool, "context = true"),
    "kind": Key(str, 'kind = "work"', ("work", "faded", "mistake", "values")),
    "demand": Key(str, 'demand = "usual"', DEMANDS),
    "draw": Key(int, "draw = 2", most=MOST_DRAWS),
    "story": Key(str, 'story = "A gauge reads {first}, later {second}. Add."'),
    "unit": Key(str, 'unit = "mm"'),
    "step": Key(str, 'step = "0.2"'),
    "between": Key(str, 'between = "0 to 40"'),
    "answer": Key(str, 'answer = "0 to 40"'),
    "room": Key(int, "room = 1", most=MOST_ROOM),
}
PRINT_KEYS: dict[str, Key] = {
    "paper": Key(str, 'paper = "A4"', ("A4", "Letter")),
    "text": Key(str, 'text = "usual"', ("usual", "large")),
    "spacing": Key(str, 'spacing = "usual"', ("usual", "wide")),
    "tint": Key(str, 'tint = "none"', ("none", "cream", "blue", "green", "rose")),
    "scan": Key(bool, "scan = true"),
}


@dataclass(frozen=True, slots=True)
class BlueprintQuestion:
    """One ``[[question]]`` of a blueprint.

    operation  the operation
    course     the class's conventions, in this question's format
    where      the traits its questions have
    marks      marks for each, or None for one for each marking point
    count      how many of them
    context    whether each is put as a word problem
    kind       "work", "faded" (a worked example with lines left out), "mistake" (find the wrong line) or "values" (a
               range by its values, not its patterns)
    line       its line in the file, or 0
    operands   of the one question that every variant asks; or none, and the question is chosen
    to         for `convert`: the format converted into
    about      for `explain`: the operation whose working is explained
    terms      for `sum`: how many numbers are added
    demand     how hard among the questions of its kind: one of DEMANDS
    draw       which draw of such questions, from 1: another one swaps the question for others as hard
    told       a word problem of the teacher's own, or None
    room       how much more room there is to write, in steps of 6 mm a row
    """

    operation: str
    course: Course
    where: tuple[str, ...] = ()
    marks: int | None = None
    count: int = 1
    context: bool = False
    kind: str = "work"
    line: int = 0
    operands: tuple[str, ...] = ()
    to: str = ""
    about: str = ""
    terms: int = 3
    demand: str = "usual"
    draw: int = 1
    room: int = 0
    told: Context | None = None

    @property
    def is_fixed(self) -> bool:
        """Whether every variant asks the same question."""
        return bool(self.operands) or self.operation == "range"


@dataclass(frozen=True, slots=True)
class Printing:
    """How papers are printed.

    paper    "A4" or "Letter"
    text     "usual" or "large"
    spacing  "usual" or "wide": more room between letters, words and lines
    tint     colour of the page: "none", "cream", "blue", "green" or "rose"
    scan     whether the filled papers will be read by machine: boxes are set apart, a pupil's number is crossed
    """

    paper: str = "A4"
    text: str = "usual"
    spacing: str = "usual"
    tint: str = "none"
    scan: bool = False


@dataclass(frozen=True, slots=True)
class Blueprint:
    """A plan for papers.

    title       the title of each
    course      the class's conventions
    purpose     "paper", "practice", "diagnose" or "starter"
    questions   what is asked, in order
    methods     what is done where accepted methods give different answers
    accidental  what is done where a common belief ends at the right answer by wrong working
    working     "required" where a right answer alone earns the answer's marks only, on every question
    most        the most questions a diagnosing paper may have
    printing    how it is printed
    where       the file it is from, for the sentences of errors
    """

    title: str
    course: Course
    purpose: str = "paper"
    questions: tuple[BlueprintQuestion, ...] = ()
    methods: str = "same answer"
    accidental: str = "refuse"
    working: str = "optional"
    most: int = 8
    printing: Printing = field(default_factory=Printing)
    where: str = ""
