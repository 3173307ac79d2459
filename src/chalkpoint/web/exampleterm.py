"""A whole term of the invented class 12 Heron, for a database that holds nothing else: taught, set, marked."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from chalkpoint.marking.exampleclass import CLASS, example_scripts
from chalkpoint.records import kept, marks, scripts, taught, teachers
from chalkpoint.records.ids import time_text
from chalkpoint.records.store import Store
from chalkpoint.setting.blueprint import STARTING, parse_blueprint
from chalkpoint.setting.setter import set_papers
from chalkpoint.web.examples import ANSWERED
from chalkpoint.web.lessons import lesson_of_questions
from chalkpoint.web.markers import Markers
from chalkpoint.working.course import Course

__all__ = ["fill"]

EXAMPLE = {"example": "yes"}
TITLE = "12 Heron"
COURSE = Course(name=TITLE, format="8+4")

READING = """\
title = "Reading gauges"

[course]
name = "12 Heron"
format = "8+4"

[[question]]
operation = "decode"
where = ["sign-pattern = -"]
count = 2

[[question]]
operation = "decode"
where = ["sign-pattern = +"]
"""

STORING = """\
title = "Storing readings"

[course]
name = "12 Heron"
format = "8+4"

[[question]]
operation = "encode"
where = ["exact-result", "sign-pattern = -"]
count = 2

[[question]]
operation = "normalise"
count = 2
"""


@dataclass(frozen=True, slots=True)
class Sitting:
    """A paper that the class sat.

    weeks    how many weeks ago
    beliefs  by pupil, what they hold then; the others hold none
    """

    weeks: int
    blueprint: str
    beliefs: Mapping[str, tuple[str, ...]]


LESSONS: tuple[tuple[int, str, str], ...] = (
    (8, "To read a pattern", "decode 1.0110000 1110"),
    (6, "To write a reading and normalise it", "encode -5.25"),
    (4, "To align and add", "add 8.875, 3.25"),
    (3, "To negate, so as to subtract", "subtract 8.875, 3.6875"),
)
SITTINGS: tuple[Sitting, ...] = (
    Sitting(7, READING, dict.fromkeys(("H02", "H05", "H08", "H10"), ("mantissa-sign-mag",))),
    Sitting(5, STORING, dict.fromkeys(("H02", "H06", "H10"), ("invert-only",))),
    Sitting(2, ANSWERED, {code: beliefs for code, (beliefs, _) in CLASS.items()}),
    Sitting(
        0,
        STARTING,
        dict.fromkeys(("H02", "H06", "H10", "H12"), ("invert-only",)) | {"H04": ("repair-exponent-same",)},
    ),
)


def fill(store: Store, say: Callable[[str], None]) -> None:
    """Fill an empty database with the term; *say* is told what is being made, since it takes some seconds."""
    now = datetime.now(UTC)
    with store.write() as db:
        teacher = teachers.local_teacher(db).id
        own = kept.keep(db, teacher, "class", TITLE, "\n".join(CLASS), about=EXAMPLE).id
        for weeks, title, question in LESSONS:
            on = now - timedelta(weeks=weeks)
            text = lesson_of_questions(title, COURSE, [{"kind": "worked", "question": question}])
            lesson = kept.keep(db, teacher, "lesson", title, text, about=EXAMPLE, created=time_text(on))
            taught.say_taught(db, teacher, lesson.id, own, on.date())
    for seed, sitting in enumerate(SITTINGS, start=1):
        _sit(store, teacher, own, sitting, now - timedelta(weeks=sitting.weeks), seed, say)


def _sit(
    store: Store,
    teacher: str,
    own: str,
    sitting: Sitting,
    on: datetime,
    seed: int,
    say: Callable[[str], None],
) -> None:
    """Set a paper, hand in what the class writes, and mark it."""
    plan = parse_blueprint(sitting.blueprint)
    say(f"Setting and marking {plan.title!r} ...")
    body = json.dumps(set_papers(plan, variants=1, seed=seed).to_dict(), ensure_ascii=False)
    markers = Markers()
    pupils = {code: (sitting.beliefs.get(code, ()), manner) for code, (_, manner) in CLASS.items()}
    handed_in = example_scripts(markers.papers(body), pupils)
    entries = markers.mark(body, handed_in, {}, lambda done, of: None)
    about = {"blueprint": sitting.blueprint, "variants": "1", "seed": str(seed), "class": own, **EXAMPLE}
    with store.write() as db:
        at = time_text(on)
        papers = kept.keep(db, teacher, "papers", plan.title, body, about=about, created=at)
        scripts.put_scripts(db, teacher, papers.id, handed_in, at=at)
        marks.keep_marks(db, teacher, papers.id, entries, created=at)
