"""How often simulated pupils are diagnosed from papers that multiply, divide, store at a cost and ask for a range.

Run: python benchmarks/mixed_papers.py [PAPERS]
Papers are drawn, not chosen. Simulated pupils follow a model; real ones do not.
"""

import random
import sys
from collections import Counter

from chalkpoint.marking.diagnosis import Diagnoser
from chalkpoint.marking.observed import observe_answer
from chalkpoint.marking.ways import Way, held_method
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import BETWEEN, answer_by, parts_of
from chalkpoint.working.question import Question, ask

COURSE = Course()
FMT = COURSE.number_format
DIAGNOSER = Diagnoser(COURSE, frozenset({"multiply", "divide", "error", "range"}))
SLIPS = 0.08
SEED = 301


def factor(rng: random.Random) -> str:
    """Draw a pattern in normal form."""
    size = rng.randrange(1 << (FMT.places - 1), 1 << FMT.places)
    return FMT.write(Pattern(rng.choice((size, -size - 1)), rng.randint(-4, 4)))


def paper(rng: random.Random) -> list[Question]:
    """Draw eight questions: three products, two quotients, two costs and a range."""
    pairs = ["multiply"] * 3 + ["divide"] * 2
    values = [f"{rng.choice(('', '-'))}{rng.randrange(11, 990) / 10}" for _ in range(2)]
    return [
        *(ask(name, factor(rng), factor(rng), course=COURSE) for name in pairs),
        *(ask("error", value, course=COURSE) for value in values),
        ask("range", course=COURSE),
    ]


def written(question: Question, way: Way) -> str:
    """Return what *way* writes to *question*."""
    operation = question.operation.name
    if not way.convention:
        return answer_by(held_method(way, operation, COURSE), question)
    number = DIAGNOSER.ways.index(way)
    return BETWEEN.join(
        DIAGNOSER.item(question, part).by(number) for part in parts_of(operation, COURSE) or ("",)
    )


def slipped(rng: random.Random, text: str) -> str:
    """Return *text* with one digit changed."""
    places = [at for at, character in enumerate(text) if character in "01"]
    if not places:
        return text
    at = rng.choice(places)
    return f"{text[:at]}{'10'[int(text[at])]}{text[at + 1 :]}"


def named(rng: random.Random, questions: list[Question], way: Way) -> list[tuple[str, ...]]:
    """Return the classes of beliefs named from the answers of a pupil who works by *way*."""
    seen = []
    for number, question in enumerate(questions, start=1):
        text = written(question, way)
        seen += observe_answer(
            DIAGNOSER, number, question, slipped(rng, text) if rng.random() < SLIPS else text
        )
    return [finding.among for finding in DIAGNOSER.diagnose_with_chances(seen)[0].named]


def main() -> None:
    """Print every figure."""
    rng = random.Random(SEED)
    counts: Counter[str] = Counter()
    for _ in range(int(sys.argv[1]) if len(sys.argv) > 1 else 20):
        questions = paper(rng)
        for way in DIAGNOSER.ways:
            if len(way.beliefs) > 1:
                continue
            found = named(rng, questions, way)
            if not way.beliefs:
                counts["right by some book"] += 1
                counts["of them accused"] += bool(found)
                continue
            shows = sum(written(question, way) != written(question, Way()) for question in questions)
            kind = "twice or more" if shows > 1 else "once" if shows else "never"
            counts[f"holders of a belief that shows {kind}"] += 1
            counts[f"holders of a belief that shows {kind}: named"] += any(
                way.beliefs[0] in one for one in found
            )
            counts["wrongly named"] += any(way.beliefs[0] not in one for one in found)
    for what, count in sorted(counts.items()):
        print(f"{count:>6}  {what}")


if __name__ == "__main__":
    main()
