"""Diagnosing papers: questions chosen together, so that what a pupil writes tells which way they work."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import Any

from chalkpoint.finding.registry import trait_named
from chalkpoint.setting.asking import Asked, Blueprint
from chalkpoint.setting.hypotheses import RIGHT, hypotheses
from chalkpoint.setting.papers import Candidate
from chalkpoint.setting.separating import Answers, Separation, choose_separating, separation
from chalkpoint.setting.sources import PAIR_OPERATIONS, case_from, draw, key_of
from chalkpoint.setting.variants import looked_at
from chalkpoint.working.procedures import answer_by
from chalkpoint.working.question import Question

__all__ = ["Diagnosis", "answers_to", "choose_diagnosing", "ways_of"]

POOL = 36  # questions of each kind asked for, to choose among
RARE = (  # what a fair draw seldom has, and some beliefs need
    "exponent-overflow",
    "norm-shift >= 2",
    "mantissa-overflow",
    "repair-loses-bit",
    "needs-exponent-sign-change",
)
OF_EACH = 4
TELLS_ORDER = ("shifted-operand = second", "not align-loses-bits")  # an order of steps from a forgotten one
STEADY_SHARE = 2  # at least one in two has one answer under every usual method


@dataclass(frozen=True, slots=True, eq=False)
class Diagnosis:
    """Questions chosen together, and what they can tell.

    alone       separation of methods and single beliefs
    with_pairs  the same with pairs of beliefs
    """

    chosen: tuple[tuple[Asked, Candidate], ...]
    alone: Separation
    with_pairs: Separation


def ways_of(questions: list[Question], *, pairs: bool) -> tuple[str, ...]:
    """Return the names of every way of working some of *questions*, the right one first."""
    names: dict[str, None] = {RIGHT: None}
    for question in questions:
        for way in hypotheses(question.operation.name, question.course, pairs=pairs):
            names.setdefault(way.name)
    return tuple(names)


def answers_to(question: Question, *, pairs: bool) -> Answers:
    """Return what each way of working writes in the answer's place.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> answers_to(ask("subtract", "6.5", "1.25", course=Course()), pairs=False)["invert-only"]
    '01010011 0011'
    """
    ways = hypotheses(question.operation.name, question.course, pairs=pairs)
    return {way.name: answer_by(way.method, question) for way in ways}


def choose_diagnosing(blueprint: Blueprint, seed: str, used: set[Any]) -> Diagnosis:
    """Return the questions of one diagnosing paper, as few as separate what can be separated."""
    pool: list[tuple[Asked, Candidate]] = []
    for number, asked in enumerate(blueprint.questions):
        pool += [(asked, one) for one in _pool(blueprint, asked, f"{seed}/{number}", used)]
    questions = [one.question for _, one in pool]
    answers = [answers_to(question, pairs=True) for question in questions]
    names = ways_of(questions, pairs=True)
    singles = tuple(name for name in names if " + " not in name)
    steady = [_is(question, "variant-stable") for question in questions]
    start = next(([at] for at, question in enumerate(questions) if _tells_order(question)), [])
    for asked in blueprint.questions:  # at least one of each kind that was asked for
        if all(pool[at][0] is not asked for at in start):
            own = [row if pool[at][0] is asked else {} for at, row in enumerate(answers)]
            start = choose_separating(own, names, len(start) + 1, start=start)
    # Single beliefs first: their pairs are so many that they would drown a rare belief.
    start = choose_separating(answers, singles, blueprint.most, start=start[: blueprint.most])
    places = choose_separating(answers, names, blueprint.most, start=start)
    places = _half_steady(places, steady, answers, singles)
    chosen = tuple(pool[at] for at in places)
    used.update(key_of(one.question) for _, one in chosen)
    picked = [answers[at] for at in places]
    return Diagnosis(chosen, separation(picked, singles), separation(picked, names))


def _pool(blueprint: Blueprint, asked: Asked, seed: str, used: set[Any]) -> list[Candidate]:
    # Methods that differ and beliefs that come out right are what is told apart here: no reason to refuse.
    lenient = replace(blueprint, methods="list the answers", accidental="needs working")
    wanted = [*asked.where, *(("not palindromic-bits",) if asked.operation in PAIR_OPERATIONS else ())]
    handy = [*wanted, "at-most-d-places <= 8"] if asked.operation in PAIR_OPERATIONS else wanted
    found = draw(asked.operation, asked.course, handy, POOL, seed)
    for trait in RARE if asked.operation in PAIR_OPERATIONS else ():
        found += draw(asked.operation, asked.course, [*wanted, trait], OF_EACH, f"{seed}/{trait}")
    if asked.operation == "subtract":
        found += draw("subtract", asked.course, [*handy, *TELLS_ORDER], 2, f"{seed}/order")
    fresh = {key_of(question): question for question in found if key_of(question) not in used}
    return list(looked_at(fresh.values(), lenient, asked, Counter()))


def _is(question: Question, trait: str) -> bool:
    operation = question.operation.name
    if operation not in PAIR_OPERATIONS:
        return True
    look = trait_named(trait, operation).look
    return look is None or bool(look(case_from(question)))


def _tells_order(question: Question) -> bool:
    if question.operation.name != "subtract":
        return False
    case = case_from(question)
    return bool(case.second_shift > 0) and not _is(question, "align-loses-bits")


def _half_steady(
    places: list[int], steady: list[bool], answers: list[Answers], names: tuple[str, ...]
) -> list[int]:
    """Return *places* with enough of the last ones exchanged that half have one answer under every usual method."""
    kept = list(places)
    while STEADY_SHARE * sum(steady[at] for at in kept) < len(kept):
        shaky = [at for at in kept if not steady[at]]
        allowed = [answers[at] if steady[at] or at in kept else {} for at in range(len(answers))]
        rest = [at for at in kept if at != shaky[-1]]
        again = choose_separating(allowed, names, len(kept), start=rest)
        kept = rest if len(again) <= len(rest) or not steady[again[-1]] else again
    return kept
