"""Traits of a belief: whether a question shows it, hides it, or leaves it without a place to act.

A belief's working is a method with some rules replaced, so these traits compare two workings.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import cache

from chalkpoint.finding.case import Case, same_answer
from chalkpoint.finding.trait import AnyCase, Trait
from chalkpoint.numbers.carriers import Number, Truth, opposite, where
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.beliefs.belief import ADDING
from chalkpoint.working.beliefs.catalogue import BELIEFS, beliefs_for
from chalkpoint.working.page import OVERFLOW, UNDERFLOW, ZERO, Page
from chalkpoint.working.procedures import answer_by, right_method
from chalkpoint.working.working import Working

__all__ = ["ANSWER_CLASSES", "FAMILIES", "beliefs_of", "believing", "families_of"]

# Beliefs whose rules ask of the exponents only which operand to shift, and how far: past m+1 places
# either way their working no longer depends on the distance. Any other belief is worked out for every
# distance by itself, which is slower and needs no proof.
ONLY_SHIFT = frozenset(
    {
        "align-skip",
        "align-left",
        "align-larger-right",
        "align-fill-zeros",
        "align-sign-pinned",
        "align-off-by-one",
        "invert-only",
        "sign-bit-only",
        "keep-sign-invert-rest",
        "add-then-invert",
        "sub-adds",
        "sub-reversed",
        "neg-exponent-too",
        "complement-both",
        "xor-add",
        "triple-one-zero",
        "sign-bits-left-out",
        "wrap-accepted",
        "carry-kept",
        "carry-means-overflow",
        "carry-shifted-in",
        "repair-copies-wrong-sign",
        "repair-exponent-same",
        "repair-says-overflow",
        "exp-wrap-silent",
        "norm-mantissa-only",
        "norm-exponent-wrong-way",
        "norm-one-place-only",
        "norm-one-too-far",
        "norm-fill-sign",
        "norm-wants-point-one",
        "norm-skipped",
        "rounds-when-told-to-cut",
    }
)

FAMILIES: dict[str, str] = {
    "exposes": "{0} gives a wrong answer",
    "exposes-only": "{0} gives a wrong answer that no other belief gives",
    "untouched": "{0} changes nothing: every line of its working is right",
    "accidental": "{0} makes some line wrong and its answer is right all the same",
    "ambiguous": "{0} and {1} give the same wrong answer",
}


def families_of(operation: str) -> dict[str, str]:
    """Return the families of traits of beliefs that *operation* has, each with its sentence.

    >>> list(families_of("decode"))
    ['exposes']
    """
    return FAMILIES if operation in ADDING else {"exposes": FAMILIES["exposes"]}


def beliefs_of(operation: str) -> list[str]:
    """Return the names of the beliefs that act in *operation*."""
    return [belief.id for belief in beliefs_for(operation)]


def believing(name: str, operation: str) -> Trait | None:
    """Return the trait called *name*, such as "exposes:invert-only"; None where it is of no such family.

    Raises EntryError for a belief that is unknown or has no place in *operation*.
    """
    family, colon, subject = name.partition(":")
    if not colon or family not in families_of(operation):
        return None
    wanted = 2 if family == "ambiguous" else 1
    names = tuple(subject.split(","))
    if len(names) != wanted:
        example = "ambiguous:align-skip,align-left" if wanted == 2 else f"{family}:invert-only"
        raise EntryError(f"{name!r} names {len(names)} beliefs; write {example}")
    known = beliefs_of(operation)
    for belief in names:
        if belief not in known:
            raise EntryError(f"{belief!r} is not a belief about {operation}; {near_misses(belief, known)}")
    return _trait(family, names, operation)


@cache
def _trait(family: str, names: tuple[str, ...], operation: str) -> Trait:
    look: Callable[[AnyCase], Truth]
    if operation not in ADDING:
        look = _exposes_written(names[0])
    elif family == "ambiguous":
        look = _ambiguous(*names)
    elif family == "exposes-only":
        look = _exposes_only(names[0], operation)
    else:
        look = {"exposes": _exposes, "untouched": _untouched, "accidental": _accidental}[family](names[0])
    asked = set(beliefs_of(operation)) if family == "exposes-only" else set(names)
    return Trait(
        f"{family}:{','.join(names)}",
        FAMILIES[family].format(*names),
        "yes or no",
        look,
        reach=None if asked <= ONLY_SHIFT else _every_distance,
    )


def _every_distance(fmt: FloatFormat, value: Fraction) -> int:
    return 1 << fmt.exponent_bits


Look = Callable[[Case], Truth]


def _exposes(name: str) -> Look:
    def look(case: Case) -> Truth:
        return opposite(same_answer(case.answer, _wrong(case, name)))

    return look


def _exposes_written(name: str) -> Callable[[Working], bool]:
    """Return whether a belief changes what a question with a working of its own ends in."""

    def look(working: Working) -> bool:
        question = working.question
        right = right_method(question.operation.name, question.course)
        wrong = BELIEFS[name].method_for(question.operation.name, right)
        assert wrong is not None  # noqa: S101 - the name was checked when it was read
        return answer_by(wrong, question) != answer_by(right, question)

    return look


def _untouched(name: str) -> Look:
    def look(case: Case) -> Truth:
        untouched: Truth = True
        for line, (_, after) in believed_lines(case, name).items():
            untouched = untouched & _same_page(after, case.lines[line][1])
            if untouched is False:
                break
        return untouched

    return look


def _accidental(name: str) -> Look:
    untouched = _untouched(name)

    def look(case: Case) -> Truth:
        return opposite(untouched(case)) & same_answer(case.answer, _wrong(case, name))

    return look


def _exposes_only(name: str, operation: str) -> Look:
    others = [other for other in beliefs_of(operation) if other != name]

    def look(case: Case) -> Truth:
        wrong = _wrong(case, name)
        alone = opposite(same_answer(case.answer, wrong))
        for other in others:
            alone = alone & opposite(same_answer(_wrong(case, other), wrong))
        return alone

    return look


def _ambiguous(one: str, other: str) -> Look:
    def look(case: Case) -> Truth:
        wrong = _wrong(case, one)
        return opposite(same_answer(case.answer, wrong)) & same_answer(wrong, _wrong(case, other))

    return look


def answer_classes(case: Case) -> Number:
    """Return how many different wrong answers the beliefs of the catalogue give."""
    return case.remember("answer classes", lambda: _answer_classes(case))


def _answer_classes(case: Case) -> Number:
    base = case.method(case.course.method)
    # No belief makes an exponent larger than the format's own and a few of its widths.
    room = case.format.exponent_bits + case.format.bits.bit_length() + 2
    seen = [_as_number(case.answer, room)]
    classes: Number = 0
    for belief in beliefs_for(case.operation):
        method = belief.method_for(case.operation, base)
        assert method is not None  # noqa: S101 - only beliefs that act here are listed
        # Not remembered line by line: in lanes the lines of every belief would fill the memory.
        *_, (_, _, last) = method.trail(case.page, case.format)
        answer = _as_number(last, room)
        new: Truth = True
        for other in seen:
            new = new & (answer != other)
        classes = classes + where(new, 1, 0)
        seen.append(answer)
    return classes


def _as_number(page: Page, room: int) -> Number:
    """Return a number that two last pages share where `same_answer` holds, and only there."""
    patterned = (page.outcome != ZERO) & (page.outcome != OVERFLOW) & (page.outcome != UNDERFLOW)
    return (where(patterned, (page.total << room) + page.exponent, 0) << 3) + page.outcome


def believed_lines(case: Case, name: str) -> dict[str, tuple[Page, Page]]:
    """Return the working of *case* by someone who holds the belief called *name*."""
    method = BELIEFS[name].method_for(case.operation, case.method(case.course.method))
    assert method is not None  # noqa: S101 - the name was checked when it was read
    return case.lines_with(f"belief {name}", method)


def _wrong(case: Case, name: str) -> Page:
    return list(believed_lines(case, name).values())[-1][1]


def _same_page(one: Page, other: Page) -> Truth:
    """Return whether two pages show the same rows and the same word."""
    same: Truth = True
    for field in ("outcome", "first_exponent", "second_exponent", "exponent", "first", "second", "total"):
        same = same & (getattr(one, field) == getattr(other, field))
        if same is False:
            break
    return same


ANSWER_CLASSES = Trait(
    "answer-classes",
    "how many different wrong answers the beliefs of the catalogue give: the more, the more an answer tells",
    "number",
    answer_classes,
    most=lambda fmt: max(len(beliefs_of("add")), len(beliefs_of("subtract"))),
    widest=0,  # three dozen workings beside one another have no small diagram
    most_seen=1 << 20,  # a few seconds
    source="our own",
    examples=("answer-classes >= 12", "answer-classes >= 18"),
)
