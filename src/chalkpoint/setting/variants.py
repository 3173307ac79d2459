"""Variants: different numbers, the same demands, chosen nearest to the class's middle; none twice in a class."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from random import Random
from statistics import median_low

from chalkpoint.finding.find import find
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.families import FLOATING
from chalkpoint.setting.asking import DEMANDS, Blueprint, BlueprintQuestion
from chalkpoint.setting.contexts import fits_a_context
from chalkpoint.setting.drawing import draw_for, pins_for, shown_in
from chalkpoint.setting.drawn import is_plain
from chalkpoint.setting.fairness import Judged, judge_in_turn, remedy
from chalkpoint.setting.kinds import MISTAKES_IN, has_a_mistake
from chalkpoint.setting.met import Met
from chalkpoint.setting.papers import Candidate
from chalkpoint.setting.slots import Slot, are_equal, middle_of
from chalkpoint.setting.sources import PAIR_OPERATIONS, QuestionKey, key_of
from chalkpoint.working.question import OPERATIONS, Question, ask
from chalkpoint.working.wording.said import plural
from chalkpoint.working.work import work_question

__all__ = ["choose", "looked_at", "refuse_had"]

SAMPLE = 48  # questions looked at to see what is usual for a request
MOST_HANDY_BITS = 12  # decimals of wider mantissas are long whatever is asked
TOGETHER = 64  # questions judged in one stroke; of those that are drawn in one stroke too, more
TOGETHER_IN_PAIRS = 256
DRAWN = 3  # questions drawn for each candidate looked for, since some are unfair
DRAWN_PLAIN = 8  # where no traits keep the numbers alike, more are drawn
ROUNDS = 2  # draws of one kind of question before another kind is tried
KINDS_TRIED = 2
HANDY = "at-most-d-places <= 6"  # first choice: decimals that can be written
HANDY_SINGLES = {
    "decode": ("decimal-places <= 7",),
    "negate": ("decimal-places <= 7",),
    "multiply": ("decimal-places <= 8",),
    "normalise": ("decimal-places <= 9", "not exponent-underflow"),
}
HANDY_IN_CONTEXT = "at-most-d-places <= 5"


def choose(
    blueprint: Blueprint, asked: BlueprintQuestion, variants: int, seed: str, used: set[QuestionKey]
) -> Slot:
    """Return a question for each variant, equal by the declared measure.

    used  keys of questions already asked in this class; those chosen are added

    Raises EntryError, naming the blueprint's line, where nothing fair meets the request.
    """
    if asked.is_fixed:
        return Slot(asked, _fixed(blueprint, asked) * variants, (), (), {})
    refused: Counter[str] = Counter()
    handy = _handy(asked)
    sample = _sample(blueprint, asked, handy, seed, used, refused)
    if not sample and handy:
        handy = ()
        sample = _sample(blueprint, asked, handy, seed, used, refused)
    if not sample:
        raise EntryError(_nothing(blueprint, asked, refused))
    kept, usual = _as_hard(sample, asked.demand)
    kinds = Counter((pins_for(asked, one.working), *one.kind) for one in kept)
    target = median_low(one.measure.effort for one in kept) if usual else None
    draw = _Draw(blueprint, asked, variants, seed, used, refused, target)
    rng = Random(f"{seed}/order{_again(asked)}")
    most = kinds.most_common(KINDS_TRIED)
    for (pins, lines, points), _ in most:  # those that cannot be made equal are drawn again, of another kind
        pool, equal = draw((*handy, *pins), lines, points)
        if equal:
            return _slot(asked, draw, pool, (*handy, *pins), (), rng, usual)
    (pins, lines, points), _ = most[0]
    terms = [*handy, *pins]
    loosened: list[str] = []
    while True:
        pool, _ = draw(terms, lines, points)
        if len(pool) >= variants:
            return _slot(asked, draw, pool, tuple(terms), tuple(loosened), rng, usual)
        if not terms:
            raise EntryError(_too_few(blueprint, asked, len(pool), variants, refused))
        loosened.append(terms.pop())


def _again(asked: BlueprintQuestion) -> str:
    """Return what a later draw adds to a seed; the first adds nothing."""
    return f"/draw {asked.draw}" if asked.draw > 1 else ""


def _slot(
    asked: BlueprintQuestion,
    draw: _Draw,
    pool: list[Candidate],
    shared: tuple[str, ...],
    loosened: tuple[str, ...],
    rng: Random,
    usual: tuple[int, int, int] | None,
) -> Slot:
    """Return the slot of those chosen from *pool*, in an order of chance."""
    blocks = max(len(pool) // draw.variants, 1)
    start = (asked.draw - 1) % blocks * draw.variants
    chosen = pool[start : start + draw.variants]
    if asked.draw > blocks:  # there are no more that have not been drawn: any that are equal
        near = [one for one in pool if are_equal([*pool[: draw.variants], one])]
        chosen = rng.sample(near, draw.variants) if len(near) >= draw.variants else chosen
    rng.shuffle(chosen)
    draw.used.update(key_of(one.question) for one in chosen)
    return Slot(asked, tuple(chosen), shared, loosened, dict(draw.refused), usual)


def _as_hard(sample: list[Candidate], demand: str) -> tuple[list[Candidate], tuple[int, int, int] | None]:
    """Return the fifth of *sample* that is as hard as asked for, and the usual effort; all of it where none is."""
    if demand == "usual":
        return sample, None
    ordered = sorted(sample, key=lambda one: one.measure.effort)
    size = len(ordered)
    fifth = DEMANDS.index(demand)
    first = size * fifth // len(DEMANDS)
    return (
        ordered[first : max(size * (fifth + 1) // len(DEMANDS), first + 1)],
        ordered[size // 2].measure.effort,
    )


@dataclass
class _Draw:
    """Draws pools of questions that are alike: called with terms, lines and points."""

    blueprint: Blueprint
    asked: BlueprintQuestion
    variants: int
    seed: str
    used: set[QuestionKey]
    refused: Counter[str]
    target: tuple[int, int, int] | None

    def __call__(
        self, terms: Sequence[str], lines: tuple[str, ...], points: int
    ) -> tuple[list[Candidate], bool]:
        """Return questions to choose from, the best first, and whether as many as are needed are equal.

        More are drawn until they are, as long as there are any and it does not take too long.
        """
        wanted = self.variants + max(SAMPLE, self.variants // 3)
        drawn = (DRAWN_PLAIN if is_plain(shown_in(self.asked)) else DRAWN) * wanted
        pool: dict[QuestionKey, Candidate] = {}
        for number in range(ROUNDS):
            seed = f"{self.seed}/{len(terms)}{f'/{number}' if number else ''}"
            found = _fresh(self.asked, terms, drawn, seed, self.used)
            new = (question for question in found if key_of(question) not in pool)
            fair = looked_at(new, self.blueprint, self.asked, self.refused)
            alike = (one for one in fair if one.kind == (lines, points))
            before = len(pool)
            while more := list(islice(alike, wanted)):
                pool |= {key_of(one.question): one for one in more}
                for group in self._groups(pool.values()):
                    if len(group) >= self.variants:  # the others are not worth measuring
                        best = _nearest_first(group)
                        if are_equal(best[: self.variants]):
                            return best, True
            if len(pool) == before:  # there are no others
                break
        return [one for group in self._groups(pool.values()) for one in _nearest_first(group)], False

    def _groups(self, pool: Iterable[Candidate]) -> list[list[Candidate]]:
        """Return those of *pool* that meet the same, together: the most first, or those nearest to the target."""
        groups: dict[Met, list[Candidate]] = {}
        for one in pool:
            groups.setdefault(one.met, []).append(one)
        if self.target is None:
            return sorted(groups.values(), key=len, reverse=True)
        carries, chain, _ = self.target
        return sorted(
            groups.values(),
            key=lambda group: (
                abs(group[0].met.carries - carries),
                abs(group[0].met.chain - chain),
                -len(group),
            ),
        )


def _nearest_first(group: list[Candidate]) -> list[Candidate]:
    """Return *group*, those nearest to its middle first."""
    writing, difficulty = middle_of(group)
    return sorted(group, key=lambda one: one.measure.away(writing, difficulty))


def refuse_had(blueprint: Blueprint, had: set[QuestionKey]) -> None:
    """Raise EntryError for a question of the teacher's own that the class had before."""
    for asked in blueprint.questions:
        if asked.operands and key_of(ask(asked.operation, *asked.operands, course=asked.course)) in had:
            line = f"{asked.operation} {', '.join(asked.operands)}"
            raise EntryError(
                f"{_at(blueprint, asked)}{line} was asked in the earlier papers; give other operands, or allow it again"
            )


def _fixed(blueprint: Blueprint, asked: BlueprintQuestion) -> tuple[Candidate]:
    """Return the one question that every variant asks.

    Raises EntryError where it is not fair.
    """
    question = ask(asked.operation, *asked.operands, course=asked.course)
    refused: Counter[str] = Counter()
    for candidate in looked_at([question], blueprint, asked, refused):
        return (candidate,)
    line, reason = f"{asked.operation} {', '.join(asked.operands)}", next(iter(refused))
    raise EntryError(
        f"{_at(blueprint, asked)}{line} is not asked: {reason}; give other operands{remedy(reason)}"
    )


def _sample(
    blueprint: Blueprint,
    asked: BlueprintQuestion,
    terms: tuple[str, ...],
    seed: str,
    used: set[QuestionKey],
    refused: Counter[str],
) -> list[Candidate]:
    """Return some fair questions that meet the request, to see what is usual."""
    size = SAMPLE if asked.demand == "usual" else SAMPLE * len(DEMANDS)
    return list(looked_at(_fresh(asked, terms, size, f"{seed}/sample", used), blueprint, asked, refused))


def _handy(asked: BlueprintQuestion) -> tuple[str, ...]:
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
    asked: BlueprintQuestion, terms: Iterable[str], n: int, seed: str, used: set[QuestionKey]
) -> Iterator[Question]:
    """Yield up to *n* questions that meet the request and *terms*, none of them used."""
    pairs = OPERATIONS[asked.operation].operands == 2
    factor = (12 if pairs else 2) if asked.context else 1  # few pairs of numbers suit a story
    found = draw_for(asked, terms, n * factor, seed)
    fresh = (question for question in found if key_of(question) not in used)
    if asked.context:
        fresh = (question for question in fresh if fits_a_context(question, asked.told))
    return islice(fresh, n)


def looked_at(
    questions: Iterable[Question], blueprint: Blueprint, asked: BlueprintQuestion, refused: Counter[str]
) -> Iterator[Candidate]:
    """Yield the fair ones, worked and measured; count why others are *refused*."""
    drawn_at_once = asked.operation in PAIR_OPERATIONS and not asked.context
    for question, judged in _judged(questions, TOGETHER_IN_PAIRS if drawn_at_once else TOGETHER):
        reason = judged.common().refusal(blueprint)
        if reason:
            refused[reason] += 1
            continue
        candidate = Candidate(question, work_question(question), judged)
        count = len(candidate.points)
        if count < max(asked.marks or 1, 1):
            refused[f"it has {plural(count, 'marking point')}, and marks = {asked.marks} asks for more"] += 1
            continue
        if asked.kind == "mistake" and asked.operation in MISTAKES_IN and not has_a_mistake(candidate):
            refused["it has no mistake that shows on one line"] += 1
            continue
        yield candidate


def _judged(questions: Iterable[Question], together: int) -> Iterator[tuple[Question, Judged]]:
    """Yield each question with what methods and beliefs make of it, so many of them judged *together*."""
    source = iter(questions)
    while some := list(islice(source, together)):
        yield from zip(some, judge_in_turn(some), strict=True)


def _at(blueprint: Blueprint, asked: BlueprintQuestion) -> str:
    return f"{blueprint.where}, line {asked.line}: " if asked.line else ""


def _nothing(blueprint: Blueprint, asked: BlueprintQuestion, refused: Counter[str]) -> str:
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
        f"{reason} ({count}); change where{remedy(reason)}"
    )


def _too_few(
    blueprint: Blueprint, asked: BlueprintQuestion, found: int, wanted: int, refused: Counter[str]
) -> str:
    asks = " and ".join(asked.where) or "any"
    turned = f" ({sum(refused.values())} more were refused as unfair)" if refused else ""
    return (
        f"{_at(blueprint, asked)}{wanted} different {asked.operation} questions with {asks} are needed in "
        f"{asked.course.format}, and {found} were found{turned}; ask for fewer variants, or widen a trait"
    )
