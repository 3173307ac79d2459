"""How often simulated pupils are diagnosed rightly, wrongly or not at all.

Run: python benchmarks/simulated_classes.py [--tuning] [--quick] [--lines]
With --lines the pupils of the target's cell hand in their lines of working too, beside the same pupils without.
Population, slips and scoring stand in population.toml. Simulated pupils follow a model; real ones do
not, so every figure here is an upper bound.
"""

import argparse
import random
import time
import tomllib
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import chain, product
from pathlib import Path
from typing import Any

from chalkpoint.marking.diagnosis import Diagnoser, Diagnosis
from chalkpoint.marking.judging import judge_question, sheet_for
from chalkpoint.marking.observed import observe
from chalkpoint.marking.ways import Way, held_method
from chalkpoint.numbers.formats import Pattern
from chalkpoint.setting.asking import Blueprint, BlueprintQuestion
from chalkpoint.setting.setter import set_papers
from chalkpoint.working.adding import written_answer
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by, begin
from chalkpoint.working.question import Question, ask

POPULATION = tomllib.loads((Path(__file__).parent / "population.toml").read_text(encoding="utf-8"))
COURSE = Course(format=POPULATION["format"])
OPERATIONS = frozenset(POPULATION["operations"])
FMT = COURSE.number_format


@cache
def diagnoser(left_out: str = "") -> Diagnoser:
    """Return the diagnoser, or one that has never heard of a belief."""
    return Diagnoser(COURSE, OPERATIONS, frozenset({left_out} if left_out else ()))


# === Questions ===


def draw(rng: random.Random) -> Question:
    """Draw one question: normalised operands, exponents near each other."""
    low, high = POPULATION["exponents"]
    first = rng.randint(low, high)
    apart = POPULATION["most_apart"]
    second = rng.randint(max(low, first - apart), min(high, first + apart))
    operands = [_pattern(rng, exponent) for exponent in (first, second)]
    return ask(rng.choice(sorted(OPERATIONS)), *operands, course=COURSE)


def _pattern(rng: random.Random, exponent: int) -> str:
    half = 1 << (FMT.places - 1)
    mantissa = rng.choice((rng.randrange(half, 2 * half), rng.randrange(-2 * half, -half)))
    return FMT.write(Pattern(mantissa, exponent))


def random_set(rng: random.Random, size: int) -> list[Question]:
    """Draw *size* questions."""
    return [draw(rng) for _ in range(size)]


@cache
def diagnosing_papers(size: int, seed: int) -> tuple[tuple[Question, ...], ...]:
    """Return the questions of the papers that `chalkpoint set` makes to diagnose, a paper an entry."""
    asked = tuple(BlueprintQuestion(name, COURSE) for name in sorted(OPERATIONS))
    plan = Blueprint("Simulated class", COURSE, "diagnose", asked, most=size)
    papers = set_papers(plan, variants=POPULATION["sets_a_seed"], seed=seed).papers
    return tuple(tuple(item.question for item in paper.questions) for paper in papers)


SETS = ("diagnose", "random")


# === Pupils ===


@dataclass(frozen=True)
class Pupil:
    """A simulated pupil: what kind, and the way of working at each question."""

    kind: str
    ways: tuple[Way, ...]

    @property
    def held(self) -> frozenset[str]:
        """The beliefs held throughout."""
        return frozenset(self.ways[0].beliefs) if len(set(self.ways)) == 1 else frozenset()


def pupils(rng: random.Random, size: int) -> Iterator[Pupil]:
    """Yield the pupils who sit one set."""
    counts, ways = POPULATION["pupils"], diagnoser().ways
    singles = [way for way in ways if len(way.beliefs) == 1]
    pairs = [way for way in ways if len(way.beliefs) == 2]
    methods = [way for way in ways if way.method and not way.beliefs]
    for way in singles * counts["singles"]:
        yield Pupil("single", (way,) * size)
    for way in rng.choices(pairs, k=counts["pairs"]):
        yield Pupil("pair", (way,) * size)
    for _ in range(counts["right"]):
        yield Pupil("right", (Way(),) * size)
    for way in rng.choices(methods, k=counts["methods"]):
        yield Pupil("method", (way,) * size)
    for _ in range(counts["unstable"]):
        yield Pupil("unstable", tuple(rng.choices(singles, k=size)))


def answers(rng: random.Random, pupil: Pupil, questions: Sequence[Question], slip_rate: float) -> list[str]:
    """Return what *pupil* writes."""
    return [
        slip(rng, question, way) if rng.random() < slip_rate else answer(question, way)
        for question, way in zip(questions, pupil.ways, strict=True)
    ]


@cache
def numbers() -> dict[Way, int]:
    """Return the number of each way."""
    return {way: number for number, way in enumerate(diagnoser().ways)}


def answer(question: Question, way: Way) -> str:
    """Return what *way* writes for a question of the set."""
    return diagnoser().item(question).by(numbers()[way])


def answer_to_another(question: Question, way: Way) -> str:
    """Return what *way* writes for a question that is in no set."""
    if way.convention:
        return answer(question, way)
    method = held_method(way, question.operation.name, COURSE)
    return answer_by(method, question)


def slip(rng: random.Random, question: Question, way: Way) -> str:
    """Return an answer with a slip in it, of a kind drawn by the shares of population.toml."""
    kinds = POPULATION["slips"]
    (kind,) = rng.choices(list(kinds), weights=list(kinds.values()))
    if way.convention and kind in {"line", "copied"}:  # a convention is no method with lines of its own
        kind = "digit"
    return SLIPS[kind](rng, question, way)


def slip_digit(rng: random.Random, question: Question, way: Way) -> str:
    """Change one digit of the answer; a word becomes the pattern of the last line."""
    written = answer(question, way)
    places = [at for at, digit in enumerate(written) if digit in "01"]
    return _flipped(written, rng.choice(places)) if places else _pattern(rng, 0)


def _flipped(written: str, at: int) -> str:
    return written[:at] + "10"[int(written[at])] + written[at + 1 :]


def slip_exchanged(rng: random.Random, question: Question, way: Way) -> str:
    """Exchange two neighbouring digits that differ."""
    written = answer(question, way)
    places = [at for at in range(len(written) - 1) if {written[at], written[at + 1]} == {"0", "1"}]
    if not places:
        return slip_digit(rng, question, way)
    at = rng.choice(places)
    return written[:at] + written[at + 1] + written[at] + written[at + 2 :]


def slip_line(rng: random.Random, question: Question, way: Way) -> str:
    """Change one digit of one row in the middle of the working."""
    method = held_method(way, question.operation.name, COURSE)
    page = begin(question)
    lines = [line for line in method.lines if line.name in {"align", "negate", "add", "normalise"}]
    wrong = rng.choice(lines)
    row = {"align": "first", "negate": "second"}.get(wrong.name, "total")
    for line in method.lines:
        page = method.apply(line, page, FMT)
        if line is wrong:
            slipped = getattr(page, row) ^ (1 << rng.randrange(FMT.places))
            if row != "total" and abs(slipped) > 1 << (FMT.places - 1):  # no row a sum can be made from
                return slip_digit(rng, question, way)
            page = page._replace(**{row: slipped})
    return written_answer(page, FMT)


def slip_copied(rng: random.Random, question: Question, way: Way) -> str:
    """Copy one digit of an operand wrongly."""
    operands = question.operands
    which = rng.randrange(2)
    places = [at for at, digit in enumerate(operands[which]) if digit in "01"]
    operands[which] = _flipped(operands[which], rng.choice(places))
    return answer_to_another(ask(question.operation.name, *operands, course=COURSE), way)


def slip_length(rng: random.Random, question: Question, way: Way) -> str:
    """Leave a digit out or write it twice."""
    written = answer(question, way)
    at = rng.randrange(len(written))
    return (
        written[:at] + written[at + 1 :] if rng.random() < 0.5 else written[:at] + written[at] + written[at:]
    )


def slip_other(rng: random.Random, question: Question, way: Way) -> str:
    """Write what another belief would give."""
    wrong = sorted(diagnoser().item(question).wrong)
    return rng.choice(wrong) if wrong else slip_digit(rng, question, way)


SLIPS = {
    "digit": slip_digit,
    "exchanged": slip_exchanged,
    "line": slip_line,
    "copied": slip_copied,
    "length": slip_length,
    "other": slip_other,
}


# === Scoring ===


def score(pupil: Pupil, held: frozenset[str], diagnosis: Diagnosis) -> str:
    """Return "exact", "class", "both", "wrong" or "withheld"."""
    named = diagnosis.named
    if any(not held & set(finding.among) for finding in named):
        return "wrong"
    if not named:
        return "withheld"
    if len(held) == 2 and all(any(belief in finding.among for finding in named) for belief in held):
        return "both"
    return "exact" if all(len(finding.among) == 1 for finding in named) else "class"


def sit(
    rng: random.Random, pupil: Pupil, questions: Sequence[Question], slip_rate: float, by: Diagnoser
) -> Diagnosis:
    """Return the diagnosis of one pupil on one set."""
    written = answers(rng, pupil, questions, slip_rate)
    return by.diagnose([(at, *pair) for at, pair in enumerate(zip(questions, written, strict=True), start=1)])


# === Lines of working ===

WRITTEN = ("align", "negate", "add")


def lines_written(question: Question, way: Way) -> dict[str, str]:
    """Return the lines that *way* writes on its way to the answer, without their exponents, as pupils do."""
    if way.convention:  # the course's own method on patterns written otherwise: its rows show no more
        return {}
    method = held_method(way, question.operation.name, COURSE)
    sheet = sheet_for(question)
    page, found = sheet.start, {}
    for line in method.lines:
        before, page = page, method.apply(line, page, FMT)
        if line.name in WRITTEN and before != page:
            found[line.name] = sheet.says(line.name, before, page).split("; ")[-1].split(" \u00d7")[0]
    return found


def sit_with_lines(
    rng: random.Random, pupil: Pupil, questions: Sequence[Question], slip_rate: float, by: Diagnoser
) -> Diagnosis:
    """Return the diagnosis of one pupil who handed in lines of working."""
    written = answers(rng, pupil, questions, slip_rate)
    seen = []
    for at, (question, way, text) in enumerate(zip(questions, pupil.ways, written, strict=True), start=1):
        lines = lines_written(question, way)
        marks = judge_question(question, lines, text).marks
        seen += observe(by, at, question, {**lines, "answer": text}, marks)
    return by.diagnose_with_chances(seen)[0]


def lines_beside_answers(seeds: Iterable[int], sets: int) -> dict[str, Counter[str]]:
    """Return, by kind of pupil and with lines or without, how often each score was reached on the target's cell."""
    target = POPULATION["target"]
    scores: dict[str, Counter[str]] = {}
    for seed in seeds:
        for number in range(sets):
            questions = chosen_set("diagnose", target["questions"], seed, number)
            for name, sitting in (("answers alone", sit), ("lines too", sit_with_lines)):
                rng = random.Random(f"lines {seed} {number}")
                for pupil in pupils(rng, len(questions)):
                    result = score(
                        pupil, pupil.held, sitting(rng, pupil, questions, target["slip_rate"], diagnoser())
                    )
                    scores.setdefault(f"{pupil.kind}, {name}", Counter())[result] += 1
    return scores


def cell(kind: str, size: int, slip_rate: float, seeds: Iterable[int]) -> dict[str, Counter[str]]:
    """Return, by kind of pupil, how often each score was reached."""
    scores: dict[str, Counter[str]] = {}
    numbers = product(seeds, range(POPULATION["sets_a_seed"]))
    sets = {(seed, number): chosen_set(kind, size, seed, number) for seed, number in numbers}
    diagnoser().expect(tuple(chain.from_iterable(sets.values())))
    for (seed, number), questions in sets.items():
        rng = random.Random(f"{kind} {size} {slip_rate} {seed} {number}")
        for pupil in pupils(rng, size):
            result = score(pupil, pupil.held, sit(rng, pupil, questions, slip_rate, diagnoser()))
            scores.setdefault(pupil.kind, Counter())[result] += 1
    return scores


@cache
def chosen_set(kind: str, size: int, seed: int, number: int) -> tuple[Question, ...]:
    """Return a set of questions, the same for the same seed."""
    if kind == "diagnose":
        return diagnosing_papers(size, seed)[number]
    return tuple(random_set(random.Random(f"{kind} {seed} {number}"), size))


def innocents(seeds: Sequence[int]) -> Counter[str]:
    """Return how many of the target's innocents are accused, by kind."""
    target, accused = POPULATION["target"], Counter[str]()
    methods = [way for way in diagnoser().ways if not way.beliefs]
    rng = random.Random(f"innocents {seeds}")
    for number in range(target["innocents"]):
        way = methods[0] if number % 2 else methods[1 + number // 2 % (len(methods) - 1)]
        questions = chosen_set(
            "diagnose", target["questions"], seeds[number % len(seeds)], number % POPULATION["sets_a_seed"]
        )
        pupil = Pupil("innocent", (way,) * len(questions))
        diagnosis = sit(rng, pupil, questions, target["slip_rate"], diagnoser())
        accused[f"{way.method or 'right'} {'accused' if diagnosis.named else 'not accused'}"] += 1
    return accused


def left_out(seeds: Iterable[int]) -> Counter[str]:
    """Return how holders of a belief that the catalogue lacks are scored, over all beliefs."""
    target, scores = POPULATION["target"], Counter[str]()
    singles = [way for way in diagnoser().ways if len(way.beliefs) == 1]
    for seed in seeds:
        for number in range(POPULATION["sets_a_seed"]):
            questions = chosen_set("diagnose", target["questions"], seed, number)
            rng = random.Random(f"left out {seed} {number}")
            for way in singles:
                (belief,) = way.beliefs
                pupil = Pupil("left out", (way,) * len(questions))
                diagnosis = sit(rng, pupil, questions, target["slip_rate"], diagnoser(belief))
                result = "wrong" if diagnosis.named else "withheld"
                scores[result] += 1
                for finding in diagnosis.named:
                    scores[f"{belief} taken for {finding.misconception}"] += 1
    return scores


def calibration(seeds: Sequence[int]) -> list[tuple[int, float, float]]:
    """Return for each tenth of probability: how many beliefs had it, what was claimed, and the share held."""
    target, model = POPULATION["target"], diagnoser().model
    rng = random.Random(f"calibration {seeds}")
    ways = diagnoser().ways
    kinds = {
        "right": ([ways[0]], model.right),
        "methods": ([way for way in ways if way.method and not way.beliefs], model.methods),
        "singles": ([way for way in ways if len(way.beliefs) == 1], model.singles),
        "pairs": ([way for way in ways if len(way.beliefs) == 2], model.pairs),
        "unstable": ([], model.unexplained),
    }
    bins: list[list[tuple[float, bool]]] = [[] for _ in range(POPULATION["scoring"]["bins"])]
    for number in range(POPULATION["scoring"]["calibration_pupils"]):
        questions = chosen_set(
            "diagnose", target["questions"], seeds[number % len(seeds)], number % POPULATION["sets_a_seed"]
        )
        (kind,) = rng.choices(list(kinds), weights=[share for _, share in kinds.values()])
        pupil = drawn_pupil(rng, kind, kinds[kind][0], len(questions))
        diagnosis = sit(rng, pupil, questions, target["slip_rate"], diagnoser())
        for finding in diagnosis.findings:
            held = bool(pupil.held & set(finding.among))
            bins[min(int(finding.probability * len(bins)), len(bins) - 1)].append((finding.probability, held))
    return [
        (len(entries), sum(p for p, _ in entries) / len(entries), sum(h for _, h in entries) / len(entries))
        if entries
        else (0, 0.0, 0.0)
        for entries in bins
    ]


def drawn_pupil(rng: random.Random, kind: str, ways: list[Way], size: int) -> Pupil:
    """Draw one pupil of a kind, beliefs by their weight."""
    if kind == "unstable":
        singles = [way for way in diagnoser().ways if len(way.beliefs) == 1]
        return Pupil(kind, tuple(rng.choices(singles, k=size)))
    weights = [weight_of(way) for way in ways]
    return Pupil(kind, tuple(rng.choices(ways, weights=weights)) * size)


def weight_of(way: Way) -> int:
    """Return how common a way is among its kind."""
    weight = 1
    for belief in way.beliefs:
        weight *= BELIEFS[belief].weight
    return weight


# === The table ===


def percent(counts: Counter[str], *names: str) -> str:
    """Return the share of some scores, in percent."""
    return f"{100 * sum(counts[name] for name in names) / max(counts.total(), 1):.1f}"


HEAD = (
    "| set | questions | slips | single named (exactly / in a class) | wrong | withheld | both of a pair | "
    "pair: wrong | right accused | method accused | unstable: wrongly named |"
)


def rows(seeds: Sequence[int]) -> Iterator[str]:
    """Yield the table's rows."""
    yield HEAD
    yield "|" + " --- |" * (HEAD.count("|") - 1)
    for kind in SETS:
        for size in POPULATION["questions"]:
            for slip_rate in POPULATION["slip_rates"]:
                found = cell(kind, size, slip_rate, seeds)
                single, pair = found["single"], found["pair"]
                yield (
                    f"| {kind} | {size} | {slip_rate:.0%} "
                    f"| {percent(single, 'exact', 'class')} ({percent(single, 'exact')} / {percent(single, 'class')}) "
                    f"| {percent(single, 'wrong')} | {percent(single, 'withheld')} "
                    f"| {percent(pair, 'both')} | {percent(pair, 'wrong')} "
                    f"| {percent(found['right'], 'wrong')} | {percent(found['method'], 'wrong')} "
                    f"| {percent(found['unstable'], 'wrong')} |"
                )


def main() -> None:
    """Print the table and the figures beside it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--tuning", action="store_true", help="use the tuning seeds")
    parser.add_argument("--quick", action="store_true", help="the target's cell only")
    parser.add_argument("--lines", action="store_true", help="the target's cell with lines of working too")
    parser.add_argument(
        "--sets", type=int, default=POPULATION["sets_a_seed"], help="sets a seed, with --lines"
    )
    options = parser.parse_args()
    seeds: list[int] = POPULATION["tuning_seeds" if options.tuning else "seeds"]
    start = time.perf_counter()
    if options.lines:
        for kind, counts in lines_beside_answers(seeds, options.sets).items():
            print(kind, dict(counts))
        print(f"\n{time.perf_counter() - start:.0f} s")
        return
    if options.quick:
        target = POPULATION["target"]
        found: dict[str, Any] = cell("diagnose", target["questions"], target["slip_rate"], seeds)
        for kind, counts in found.items():
            print(kind, dict(counts))
    else:
        print("\n".join(rows(seeds)))
    print("\ninnocents:", dict(innocents(seeds)))
    print("\nleft out:", dict(left_out(seeds)))
    print("\ncalibration:", calibration(seeds))
    print(f"\n{time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
