"""Small seeded classes: nobody innocent is accused, and most holders are named. The whole table is a benchmark's."""

import random
from collections.abc import Iterator

from chalkpoint.marking.asking import diagnoser_for
from chalkpoint.marking.ways import Way, held_method
from chalkpoint.setting.asking import Blueprint, BlueprintQuestion
from chalkpoint.setting.setter import set_papers
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by
from chalkpoint.working.question import Question

COURSE = Course()
SUMS = frozenset({"add", "subtract"})
DIAGNOSER = diagnoser_for(COURSE, SUMS)
SINGLES = [way for way in DIAGNOSER.ways if len(way.beliefs) == 1 and not way.method]
RIGHT = [way for way in DIAGNOSER.ways if not way.beliefs and not way.convention]


def chosen() -> list[Question]:
    """Return the eight questions of a paper set to diagnose."""
    plan = Blueprint(
        "Small class", COURSE, "diagnose", tuple(BlueprintQuestion(name, COURSE) for name in sorted(SUMS))
    )
    return [item.question for item in set_papers(plan, seed=5).papers[0].questions]


def sat(ways: list[Way], seed: int) -> Iterator[tuple[Way, list[str]]]:
    """Yield each way's pupil, one digit wrong in every twelfth answer, and what is named."""
    rng, questions = random.Random(seed), chosen()
    for way in ways:
        answers = []
        for number, question in enumerate(questions, start=1):
            written = answer_by(held_method(way, question.operation.name, COURSE), question)
            if rng.random() < 1 / 12 and written[0] in "01":
                place = rng.randrange(8)
                written = f"{written[:place]}{'10'[int(written[place])]}{written[place + 1 :]}"
            answers.append((number, question, written))
        named = DIAGNOSER.diagnose(answers).named
        yield way, [name for finding in named for name in finding.among]


def test_nobody_innocent_is_accused() -> None:
    """Of 140 pupils who are right by some method, none is said to hold a belief."""
    assert [way for way, named in sat(RIGHT * 20, seed=5) if named] == []


def test_most_holders_are_named_and_none_wrongly() -> None:
    """Of the holders of each belief, three in four are named on eight questions, and none for another."""
    results = list(sat(SINGLES, seed=6))
    assert [way.beliefs for way, named in results if named and way.beliefs[0] not in named] == []
    assert sum(bool(named) for _, named in results) >= 0.75 * len(results)
