"""Diagnosing papers: questions chosen together, so that what a pupil writes tells which way they work."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from chalkpoint.finding.found import question_of
from chalkpoint.finding.registry import trait_named
from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.named import is_school
from chalkpoint.setting.asking import Blueprint, BlueprintQuestion
from chalkpoint.setting.drawing import draw_for
from chalkpoint.setting.drawn import is_plain
from chalkpoint.setting.hypotheses import RIGHT, hypotheses
from chalkpoint.setting.papers import Candidate
from chalkpoint.setting.separating import Answers, Separation, separation
from chalkpoint.setting.showing import choose_showing
from chalkpoint.setting.sources import PAIR_OPERATIONS, QuestionKey, case_from, draw, key_of
from chalkpoint.setting.variants import looked_at
from chalkpoint.working.beliefs.belief import BIASED
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.chained import MADE_OF_PARTS, results_of_chain
from chalkpoint.working.conventions import CONVENTIONS
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question
from chalkpoint.working.tables import MethodTable
from chalkpoint.working.under import written_under

__all__ = ["Diagnosis", "answers_to_all", "choose_diagnosing", "ways_of"]

POOL = 80  # questions of each kind asked for, to choose among
RARE = (  # what a fair draw seldom has, and some beliefs need
    "exponent-overflow",
    "exponent-underflow",
    "norm-shift >= 2",
    "mantissa-overflow",
    "repair-loses-bit",
    "needs-exponent-sign-change",
)
OF_EACH = 16
TELLS_ORDER = ("shifted-operand = second", "not align-loses-bits")  # an order of steps from a forgotten one


@dataclass(frozen=True, slots=True, eq=False)
class Diagnosis:
    """Questions chosen together, and what they can tell.

    alone       separation of methods and single beliefs
    with_pairs  the same with pairs of beliefs
    """

    chosen: tuple[tuple[BlueprintQuestion, Candidate], ...]
    alone: Separation
    with_pairs: Separation


def ways_of(questions: list[Question], *, pairs: bool) -> tuple[str, ...]:
    """Return the names of every way of working some of *questions*, the right one first."""
    names: dict[str, None] = {RIGHT: None}
    for question in questions:
        for operation, course in _worked_in(question):
            names |= dict.fromkeys(way.name for way in hypotheses(operation, course, pairs=pairs))
    return tuple(names)


def _worked_in(question: Question) -> tuple[tuple[str, Course], ...]:
    """Return the operations that *question* is worked by, each with its course: of its parts, where it has some."""
    course = question.course
    match question.operation.name:
        case "convert":
            return ("decode", course), ("encode", question.target or course)
        case "sum":
            return (("add", course),)
        case name:
            return ((name, course),)


def answers_to_all(questions: Sequence[Question], *, pairs: bool) -> list[Answers]:
    """Return what each way of working writes in the answer's place of each of *questions*.

    Those of one operation are worked together.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> answers_to_all([ask("subtract", "6.5", "1.25", course=Course())], pairs=False)[0]["invert-only"]
    '01010011 0011'
    """
    groups: dict[tuple[str, Course], list[int]] = defaultdict(list)
    found: dict[int, Answers] = {}
    for at, question in enumerate(questions):
        if question.operation.name in MADE_OF_PARTS:
            found[at] = _answers_in_parts(question, pairs=pairs)
        else:
            groups[question.operation.name, question.course].append(at)
    for (operation, course), places in groups.items():
        ways = hypotheses(operation, course, pairs=pairs)
        table = MethodTable([questions[at] for at in places], [way.method for way in ways])
        for number, at in enumerate(places):
            found[at] = dict(zip((way.name for way in ways), table.by_method(number), strict=True))
    return [found[at] for at in range(len(questions))]


def _answers_in_parts(question: Question, *, pairs: bool) -> Answers:
    """Return what each way writes for a conversion or a sum, the results on the way too: papers ask for those.

    Where a way has nothing to do in a part, that part is right.
    """
    methods = {
        (*place, way.name): way.method
        for place in _worked_in(question)
        for way in hypotheses(*place, pairs=pairs)
    }

    def answer(name: str) -> str:
        results = results_of_chain(
            question,
            lambda operation, course: methods.get(
                (operation, course, name), methods[operation, course, RIGHT]
            ),
        )
        return "; ".join(results)

    return {name: answer(name) for name in ways_of([question], pairs=pairs)}


def choose_diagnosing(blueprint: Blueprint, seed: str, used: set[QuestionKey]) -> Diagnosis:
    """Return the questions of one diagnosing paper, on which as many beliefs show as can, and as themselves."""
    pool: list[tuple[BlueprintQuestion, Question]] = []
    for number, asked in enumerate(blueprint.questions):
        pool += [(asked, question) for question in _pool(asked, f"{seed}/{number}", used)]
    chosen: list[tuple[BlueprintQuestion, Candidate]] = []
    while pool:
        places = _chosen(blueprint, pool)
        fair = {at: _looked_at(blueprint, *pool[at]) for at in places}
        chosen = [(pool[at][0], one) for at, one in fair.items() if one]
        if len(chosen) == len(places):
            break
        pool = [pair for at, pair in enumerate(pool) if fair.get(at, True)]  # and choose again
    used.update(key_of(one.question) for _, one in chosen)
    picked = answers_to_all([one.question for _, one in chosen], pairs=True)
    names = ways_of([question for _, question in pool], pairs=True)
    singles = tuple(name for name in names if " + " not in name)
    return Diagnosis(tuple(chosen), separation(picked, singles), separation(picked, names))


def _chosen(blueprint: Blueprint, pool: list[tuple[BlueprintQuestion, Question]]) -> list[int]:
    """Return the places in *pool* of the questions to ask."""
    questions = [question for _, question in pool]
    names = ways_of(questions, pairs=False)
    # A belief or method that has nothing to do in an operation leaves it right.
    every = zip(questions, answers_to_all(questions, pairs=False), strict=True)
    answers = [dict.fromkeys(names, own[RIGHT]) | own | under_other_codes(asked) for asked, own in every]
    right = [name for name in names if name not in BELIEFS]
    right += dict.fromkeys(name for own in answers for name in own if name not in {*names})
    beliefs = [name for name in names if name in BELIEFS]
    steady = {at for at, question in enumerate(questions) if _is(question, "variant-stable")}
    # Where every question is shaky there is nothing else to ask.
    shaky = set(range(len(pool))) - steady if steady else set()
    choose = partial(choose_showing, answers, right, beliefs, seldom=shaky)
    needed = [[at for at, question in enumerate(questions) if _tells_order(question)]]
    needed += [[at for at, (one, _) in enumerate(pool) if one is asked] for asked in blueprint.questions]
    places = choose(blueprint.most)
    if all(set(group).intersection(places) for group in needed if group):
        return _half_steady(places, shaky)
    start: list[int] = []
    for group in needed:
        if len(start) < blueprint.most and not set(group).intersection(start):
            start = choose(len(start) + 1, start=start, among=group)
    return _half_steady(choose(blueprint.most, start=start), shaky)


def under_other_codes(question: Question) -> Answers:
    """Return the right answer where the exponent is stored in another code, by that convention.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> under_other_codes(ask("add", "01100000 0001", "01100000 1111", course=Course()))["excess"]
    '01100000 1111'
    """
    if question.format.family != FLOATING or question.operation.name == "choose-format":
        return {}
    found = {
        name: written_under(question, question.course, convention.coded())
        for name, convention in CONVENTIONS.items()
        if "exponent" in convention.code and not convention.is_followed(question.course)
    }
    return {name: answer for name, answer in found.items() if answer}


def _half_steady(places: list[int], shaky: Collection[int]) -> list[int]:
    """Return *places* without the last shaky ones that would be more than half, where few were enough."""
    kept = list(places)
    while 2 * len(wavering := [at for at in kept if at in shaky]) > len(kept):
        kept.remove(wavering[-1])
    return kept


def _pool(asked: BlueprintQuestion, seed: str, used: set[Any]) -> list[Question]:
    found = list(draw_for(asked, (), POOL, seed)) if is_plain(asked) else _found(asked, seed)
    if (
        family_of(asked.course.number_format) == BIASED
        and asked.operation in PAIR_OPERATIONS
        and not asked.where
    ):
        fmt = asked.course.float_format
        twin = asked.course.with_(format=f"{fmt.mantissa_bits}+{fmt.exponent_bits}")
        found += [_in_excess(asked, question) for question in _found(replace(asked, course=twin), seed)]
    fresh = {key_of(question): question for question in found if key_of(question) not in used}
    return list(fresh.values())


def _in_excess(asked: BlueprintQuestion, question: Question) -> Question:
    """Return *question* with its exponents as far above the lowest, in a format that stores them in excess."""
    up = asked.course.float_format.lowest_exponent - question.float_format.lowest_exponent
    given = tuple(pattern._replace(exponent=pattern.exponent + up) for pattern in question.patterns)
    return question_of(asked.operation, asked.course, given)


def _found(asked: BlueprintQuestion, seed: str) -> list[Question]:
    """Return questions that the finder draws, those among them that are seldom drawn."""
    wanted = [*asked.where, *(("not palindromic-bits",) if asked.operation in PAIR_OPERATIONS else ())]
    handy = [*wanted, "at-most-d-places <= 8"] if asked.operation in PAIR_OPERATIONS else wanted
    found = draw(asked.operation, asked.course, handy, POOL, seed)
    for trait in RARE if asked.operation in PAIR_OPERATIONS else ():
        found += draw(asked.operation, asked.course, [*wanted, trait], OF_EACH, f"{seed}/{trait}")
    if asked.operation == "subtract":
        found += draw("subtract", asked.course, [*handy, *TELLS_ORDER], OF_EACH, f"{seed}/order")
    return found


def _looked_at(blueprint: Blueprint, asked: BlueprintQuestion, question: Question) -> Candidate | None:
    """Return *question* worked, or None where it may not be asked."""
    # Methods that differ and beliefs that come out right are what is told apart here: no reason to refuse.
    lenient = replace(blueprint, methods="list the answers", accidental="needs working")
    return next(looked_at([question], lenient, asked, Counter()), None)


def _is(question: Question, trait: str) -> bool:
    operation = question.operation.name
    if operation not in PAIR_OPERATIONS or not is_school(question.format):
        return True
    look = trait_named(trait, operation).look
    return look is None or bool(look(case_from(question)))


def _tells_order(question: Question) -> bool:
    if question.operation.name != "subtract" or not is_school(question.format):
        return False
    case = case_from(question)
    return bool(case.second_shift > 0) and not _is(question, "align-loses-bits")
