"""Ready examples of the Brackwater tide station: what each place shows until something of one's own is kept there."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from chalkpoint.finding.find import Find, find
from chalkpoint.marking.judging import judge
from chalkpoint.marking.saying import Said, say
from chalkpoint.publishing.html import Drawing, drawing
from chalkpoint.publishing.scene import scene
from chalkpoint.setting.blueprint import STARTING, parse_blueprint
from chalkpoint.web.conditions import sentence_of
from chalkpoint.working.course import Course
from chalkpoint.working.work import work
from chalkpoint.working.working import Working

__all__ = [
    "ANSWERED",
    "JUDGED",
    "PAPERS",
    "REQUESTS",
    "Request",
    "found_example",
    "judged_example",
    "move",
    "paper_example",
    "worked_example",
]

EXAMPLE_FORMAT = "8+4"


@dataclass(frozen=True, slots=True)
class Request:
    """A request by what its questions do.

    says   what they do, as a teacher would put it
    where  its conditions
    """

    operation: str
    says: str
    where: tuple[str, ...]


#: The first is drawn in the place Find; the others are a click away.
REQUESTS: tuple[Request, ...] = (
    Request(
        "subtract",
        "both positive, the second moved 2 places, and just one 1 is lost",
        ("sign-pattern = ++", "shifted-operand = second", "align-shift = 2", "lost-ones = 1"),
    ),
    Request(
        "add",
        "two 1s are lost and the answer is still the nearest there is",
        ("lost-ones = 2", "error-ulps < 1/2"),
    ),
    Request("add", "a first sum: exponents one apart, nothing lost", ("align-shift = 1", "exact-result")),
    Request(
        "add", "two positives whose sum does not fit the mantissa", ("sign-pattern = ++", "mantissa-overflow")
    ),
    Request(
        "add",
        "a carry leaves the sign place and is dropped",
        ("carry-dropped", "align-shift = 1", "exact-result"),
    ),
    Request(
        "subtract", "nearly equal numbers: most of the digits cancel", ("norm-shift >= 4", "exact-result")
    ),
    Request("subtract", "whoever only inverts is found out", ("exposes:invert-only", "align-shift = 1")),
    Request("subtract", "one operand is too small to change the other", ("absorbed",)),
)

STARTER = """\
title = "Five minutes: reading and storing"
purpose = "starter"

[course]
name = "12 Heron"
format = "8+4"

[[question]]
operation = "decode"
where = ["sign-pattern = +"]

[[question]]
operation = "encode"
"""

#: What the example class answered: enough questions for a belief to show itself more than once.
ANSWERED = """\
title = "Levels and gauges"

[course]
name = "12 Heron"
format = "8+4"
accepts = ["negate-then-align"]

[[question]]
operation = "decode"
where = ["sign-pattern = -"]

[[question]]
operation = "add"
where = ["align-shift = 2", "exact-result"]
count = 2

[[question]]
operation = "add"
where = ["align-shift = 1", "mantissa-overflow", "exact-result"]
count = 2

[[question]]
operation = "subtract"
where = ["align-shift = 2", "exact-result"]
count = 3
"""

#: By name: a paper to open, what it is, and how many variants of it are made.
PAPERS: dict[str, tuple[str, str, int]] = {
    "test": (STARTING, "Gauge readings: a test of four questions", 5),
    "starter": (STARTER, "Five minutes: reading and storing", 1),
}

#: A question and what a pupil wrote to it.
JUDGED = {"question": "subtract 19.25, 6.125", "format": EXAMPLE_FORMAT, "answer": "0.1101000 0100"}


@cache
def found_example() -> tuple[Working, Find]:
    """Return the simplest question of the first request, worked, and what was found of that request."""
    asked = REQUESTS[0]
    found = find(asked.operation, format=EXAMPLE_FORMAT, where=asked.where)
    return found.simplest(1)[0].work(), found


@cache
def paper_example() -> list[tuple[str, str, int]]:
    """Return what the example test asks, kind by kind: the operation, what its numbers do, how many of it."""
    return [
        (asked.operation, "; ".join(sentence_of(text, asked.operation) for text in asked.where), asked.count)
        for asked in parse_blueprint(STARTING).questions
    ]


@cache
def worked_example() -> Working:
    """Return the question that the example lesson works."""
    return work("subtract", "8.875", "3.6875", format=EXAMPLE_FORMAT, names=("gauge", "datum"))


@cache
def move(working: Working) -> Drawing:
    """Return the step of *working* that matches the exponents, drawn alone."""
    return drawing(scene(working), only="align", tag="h3")


@cache
def judged_example() -> tuple[str, Said]:
    """Return the title of the judged question, and what is said of its answer."""
    course = Course(format=JUDGED["format"])
    judgement = judge(JUDGED["question"], {}, JUDGED["answer"], course=course)
    return work("subtract", "19.25", "6.125", format=EXAMPLE_FORMAT).title, say(judgement)
