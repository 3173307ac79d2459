"""Variants: different numbers, the same demands, chosen nearest to the class's middle; none twice in a class."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from random import Random
from statistics import median_low, mode

from chalkpoint.finding.find import find
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.families import FLOATING
from chalkpoint.setting.asking import Asked, Blueprint
from chalkpoint.setting.contexts import fits_a_context
from chalkpoint.setting.drawing import draw_for, pins_for, shown_in
from chalkpoint.setting.drawn import is_plain
from chalkpoint.setting.fairness import Fairness, judge_all
from chalkpoint.setting.kinds import MISTAKES_IN, mistakes_of
from chalkpoint.setting.measures import measure
from chalkpoint.setting.papers import Candidate
from chalkpoint.setting.sources import PAIR_OPERATIONS, QuestionKey, key_of
from chalkpoint.working.question import OPERATIONS, Question, ask
from chalkpoint.working.work import work_question

__all__ = ["Slot", "choose", "looked_at"]

SAMPLE = 48  # questions looked at to see what is usual for a request
MOST_HANDY_BITS = 12  # decimals of wider mantissas are long whatever is asked
TOGETHER = 64  # questions judged in one stroke
DRAWN = 3  # questions drawn for each candidate looked for, since some are unfair
DRAWN_PLAIN = 8  # where no traits keep the numbers alike, more are drawn
HANDY = "at-most-d-places <= 6"  # first choice: decimals that can be written
HANDY_SINGLES = {
    "decode": ("decimal-places <= 7",),
    "negate": ("decimal-places <= 7",),
    "multiply": ("decimal-places <= 8",),
    "normalise": ("decimal-places <= 9", "not exponent-underflow"),
}
HANDY_IN_CONTEXT = "at-most-d-places <= 5"


@dataclass(frozen=True, slots=True, eq=False)
class Slot:
    """One question of the paper in all its variants.

    chosen    one candidate a variant
    shared    what every variant has in common, as terms
    loosened  terms that could not be kept, for want of questions
    refused   reasons questions were turned down, with counts
    """

    asked: Asked
    chosen: tuple[Candidate, ...]
    shared: tuple[str, ...]
    loosened: tuple[str, ...]
    refused: dict[str, int]

    @property
    def writing(self) -> tuple[int, int]:
        """The least and the most characters to write."""
        amounts = [candidate.measure.writing for candidate in self.chosen]
        return min(amounts), max(amounts)

    @property
    def difficulty(self) -> tuple[int, int]:
        """The least and the most beliefs exposed."""
        amounts = [candidate.measure.difficulty for candidate in self.chosen]
        return min(amounts), max(amounts)

    @property
    def met(self) -> dict[str, tuple[int, ...]]:
        """What a pupil meets, by name: one number a variant."""
        measures = [candidate.measure for candidate in self.chosen]
        found = {
            "carries": tuple(one.carries for one in measures),
            "longest chain of carries": tuple(one.chain for one in measures),
            "characters to write": tuple(one.writing for one in measures),
            "beliefs exposed": tuple(one.difficulty for one in measures),
            "answer alone earns full marks (1 yes, 0 no)": tuple(int(one.alone) for one in measures),
        }
        adds = self.asked.operation in PAIR_OPERATIONS
        return {name: values for name, values in found.items() if adds or "carries" not in name}

    @property
    def equal(self) -> bool:
        """Whether every variant is within tolerance of the class's middle."""
        return are_equal(self.chosen)


def are_equal(chosen: Sequence[Candidate]) -> bool:
    """Tell whether *chosen* have the same steps, and each is within tolerance of their middle."""
    writing, difficulty = _middle(chosen)
    first = chosen[0].measure
    return all(one.measure.same_steps(first) and one.measure.near(writing, difficulty) for one in chosen)


def choose(blueprint: Blueprint, asked: Asked, variants: int, seed: str, used: set[QuestionKey]) -> Slot:
    """Return a question for each variant, equal by the declared measure.

    used  keys of questions already asked in this class; those chosen are added

    Raises EntryError, naming the blueprint's line, where nothing fair meets the request.
    """
    if asked.is_fixed:
        return Slot(asked, _fixed(blueprint, asked) * variants, (), (), {})
    refused: Counter[str] = Counter()
    wanted = variants + max(SAMPLE, variants // 3)
    handy = _handy(asked)
    sample = _sample(blueprint, asked, handy, seed, used, refused)
    if not sample and handy:
        handy = ()
        sample = _sample(blueprint, asked, handy, seed, used, refused)
    if not sample:
        raise EntryError(_nothing(blueprint, asked, refused))
    kinds = Counter((pins_for(asked, one.working), one.measure.lines, one.measure.points) for one in sample)
    (pins, lines, points), _ = kinds.most_common(1)[0]
    terms = [*handy, *pins]
    loosened: list[str] = []
    drawn = DRAWN_PLAIN if is_plain(shown_in(asked)) else DRAWN
    while True:
        found = _fresh(
            asked,
            terms,
            drawn * wanted,
            f"{seed}/{len(terms)}",
            used,
        )
        fair = looked_at(found, blueprint, asked, refused)
        alike = (one for one in fair if one.measure.lines == lines and one.measure.points == points)
        pool = _enough(alike, variants, wanted)
        if len(pool) >= variants:
            break
        if not terms:
            raise EntryError(_too_few(blueprint, asked, len(pool), variants, refused))
        loosened.append(terms.pop())
    chosen = _nearest(pool, variants, Random(f"{seed}/order"))
    used.update(key_of(one.question) for one in chosen)
    return Slot(asked, tuple(chosen), tuple(terms), tuple(loosened), dict(refused))


def _fixed(blueprint: Blueprint, asked: Asked) -> tuple[Candidate]:
    """Return the one question that every variant asks.

    Raises EntryError where it is not fair.
    """
    question = ask(asked.operation, *asked.operands, course=asked.course)
    refused: Counter[str] = Counter()
    for candidate in looked_at([question], blueprint, asked, refused):
        return (candidate,)
    line = f"{asked.operation} {', '.join(asked.operands)}"
    raise EntryError(
        f"{_at(blueprint, asked)}{line} is not asked: {next(iter(refused))}; give "
        'other operands, or set methods = "list the answers" or accidental = "needs working"'
    )


def _sample(
    blueprint: Blueprint,
    asked: Asked,
    terms: tuple[str, ...],
    seed: str,
    used: set[QuestionKey],
    refused: Counter[str],
) -> list[Candidate]:
    """Return some fair questions that meet the request, to see what is usual."""
    return list(looked_at(_fresh(asked, terms, SAMPLE, f"{seed}/sample", used), blueprint, asked, refused))


def _handy(asked: Asked) -> tuple[str, ...]:
    """Return the term that keeps decimals short, unless the teacher asked about them or about exponents."""
    operation = shown_in(asked).operation
    if is_plain(shown_in(asked)):
        return ()
    spoken = any(
        word in term for term in asked.where for word in ("places", "exponent-o", "exponent-u", "lost-value")
    )
    fmt = asked.course.number_format
    long = fmt.family == FLOATING and fmt.mantissa_bits > MOST_HANDY_BITS
    if spoken or long:
        return ()
    if operation not in PAIR_OPERATIONS:
        return HANDY_SINGLES.get(operation, ())
    return (HANDY_IN_CONTEXT,) if asked.context else (HANDY,)


def _fresh(
    asked: Asked, terms: Iterable[str], n: int, seed: str, used: set[QuestionKey]
) -> Iterator[Question]:
    """Yield up to *n* questions that meet the request and *terms*, none of them used."""
    pairs = OPERATIONS[asked.operation].operands == 2
    factor = (12 if pairs else 2) if asked.context else 1  # few pairs of numbers suit a story
    found = draw_for(asked, terms, n * factor, seed)
    fresh = (question for question in found if key_of(question) not in used)
    if asked.context:
        fresh = (question for question in fresh if fits_a_context(question))
    return islice(fresh, n)


def looked_at(
    questions: Iterable[Question], blueprint: Blueprint, asked: Asked, refused: Counter[str]
) -> Iterator[Candidate]:
    """Yield the fair ones, worked and measured; count why others are *refused*."""
    for question, fairness in _judged(questions):
        reason = fairness.refusal(blueprint)
        if reason:
            refused[reason] += 1
            continue
        working = work_question(question)
        seen = measure(working, fairness)
        if seen.points < max(asked.marks or 1, 1):
            refused[f"has {seen.points} marking points"] += 1
            continue
        candidate = Candidate(question, working, fairness, seen)
        if asked.kind == "mistake" and asked.operation in MISTAKES_IN and not mistakes_of(candidate):
            refused["has no mistake that shows on one line"] += 1
            continue
        yield candidate


def _judged(questions: Iterable[Question]) -> Iterator[tuple[Question, Fairness]]:
    """Yield each question with what methods and beliefs make of it, a handful of them judged together."""
    source = iter(questions)
    while some := list(islice(source, TOGETHER)):
        yield from zip(some, judge_all(some), strict=True)


def _enough(alike: Iterator[Candidate], variants: int, wanted: int) -> list[Candidate]:
    """Return *wanted* of those alike; more where a class's worth of them would not be equal."""
    pool = list(islice(alike, wanted))
    while len(pool) >= variants and not are_equal(_sorted(pool)[:variants]):
        more = list(islice(alike, wanted))
        if not more:
            break
        pool += more
    return pool


def _middle(pool: Iterable[Candidate]) -> tuple[int, int]:
    measures = [one.measure for one in pool]
    return median_low(m.writing for m in measures), median_low(m.difficulty for m in measures)


def _nearest(pool: list[Candidate], n: int, rng: Random) -> list[Candidate]:
    """Return the *n* nearest to the middle of *pool*, in an order of chance."""
    chosen = _sorted(pool)[:n]
    rng.shuffle(chosen)
    return chosen


def _sorted(pool: list[Candidate]) -> list[Candidate]:
    """Return *pool*, those nearest to its middle first."""
    writing, difficulty = _middle(pool)
    carries = mode(one.measure.carries for one in pool)
    return sorted(pool, key=lambda one: one.measure.away(writing, difficulty, carries))


def _at(blueprint: Blueprint, asked: Asked) -> str:
    return f"{blueprint.where}, line {asked.line}: " if asked.line else ""


def _nothing(blueprint: Blueprint, asked: Asked, refused: Counter[str]) -> str:
    asks = " and ".join(asked.where) or "any"
    if not refused:
        if asked.operation in PAIR_OPERATIONS and asked.where:
            excluding = find(asked.operation, course=asked.course, where=asked.where).contradiction
            if excluding:
                proved = f"{' and '.join(excluding)} exclude each other in {asked.course.format}"
                return f"{_at(blueprint, asked)}{proved}; leave one out"
        story = " that suits a word problem" if asked.context else ""
        return (
            f"{_at(blueprint, asked)}no {asked.operation} question{story} was found with {asks} in "
            f"{asked.course.format}; leave out a trait or widen one"
        )
    reason, count = refused.most_common(1)[0]
    return (
        f"{_at(blueprint, asked)}every {asked.operation} question found with {asks} was refused, most of them because: "
        f'{reason} ({count}); change where, or set methods = "list the answers" or accidental = "needs working"'
    )


def _too_few(blueprint: Blueprint, asked: Asked, found: int, wanted: int, refused: Counter[str]) -> str:
    asks = " and ".join(asked.where) or "any"
    turned = f" ({sum(refused.values())} more were refused as unfair)" if refused else ""
    return (
        f"{_at(blueprint, asked)}{wanted} different {asked.operation} questions with {asks} are needed in "
        f"{asked.course.format}, and {found} were found{turned}; ask for fewer variants, or widen a trait"
    )
