"""Other kinds of question: a worked example with lines left out, and a working with one line wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from random import Random

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.setting.families import points_for
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Candidate
from chalkpoint.setting.points import answer_bits, written_row
from chalkpoint.setting.schemes import Scheme
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.procedures import right_method
from chalkpoint.working.work import work_by
from chalkpoint.working.working import Working

__all__ = [
    "MISTAKES_IN",
    "faded_scheme",
    "lines_of_mistake",
    "lines_shown",
    "mistake_in",
    "mistake_scheme",
    "mistakes_of",
    "shows_a_mistake",
    "values_scheme",
    "wrong_line",
]

OFTEN = 2  # the weight of a belief that is met often
GIVEN = ("read", "ready")  # lines that repeat the question
MISTAKES_IN = ("add", "subtract", "normalise", "negate")


def lines_shown(working: Working, faded: int) -> tuple[str, ...]:
    """Return the lines filled in on the *faded*-th faded question of a paper: each leaves out one more, from the end.

    >>> from chalkpoint.working.work import work, work_by
    >>> working = work("subtract", "6.5", "1.25")
    >>> lines_shown(working, 1), lines_shown(working, 3)
    (('align', 'negate', 'add'), ('align',))
    """
    named = [point.rule for point in points_for(working.question) if not point.part]
    rules = [rule for rule in dict.fromkeys(named) if any(step.rule == rule for step in working.steps)]
    keep = len(rules) - (faded - 1) % max(len(rules), 1)
    return tuple(rules[:keep])


def values_scheme(working: Working) -> Scheme:
    """Return the scheme of a range that is asked for by its values: a mark for each.

    >>> from chalkpoint.working.work import work
    >>> [(mark.rule, mark.expects) for mark in values_scheme(work("range", format="8")).marks][::3]
    [('largest positive', '127'), ('most negative', '−128')]
    """
    point = working.question.course.point
    marks = tuple(
        Mark(
            name,
            "",
            "B",
            1,
            write_value(value, point=point),
            follows=False,
            needs=(),
            give=f"the {name} value",
        )
        for name, (_, value) in working.result.values.items()
    )
    return Scheme(marks, len(marks))


def faded_scheme(scheme: Scheme, shown: tuple[str, ...]) -> Scheme:
    """Return *scheme* without the marks for lines that are filled in."""
    marks = tuple(mark for mark in scheme.marks if mark.rule not in shown)
    total = sum(mark.marks for mark in marks)
    return replace(scheme, marks=marks, alone=min(scheme.alone, total))


def mistake_in(candidate: Candidate, rng: Random) -> tuple[str, Working]:
    """Return a belief that makes one line wrong for all to see, one that is met often if there is one, and its working.

    Raises EntryError where no belief does: the operation has none, or none that shows on this question.
    """
    shown = mistakes_of(candidate)
    if not shown:
        raise EntryError(
            f'{candidate.question.operation.name} has no belief to show a mistake of; ask kind = "mistake" of add, '
            "subtract, normalise or negate"
        )
    often = [name for name in shown if BELIEFS[name].weight >= OFTEN]
    belief = rng.choice(often or shown)
    return belief, faulty_working(candidate, belief)


def mistakes_of(candidate: Candidate) -> list[str]:
    """Return the beliefs that make one line of the candidate's working wrong for all to see."""
    return list(_mistakes(candidate))


def has_a_mistake(candidate: Candidate) -> bool:
    """Tell whether there is a belief that makes one line of the candidate's working wrong for all to see."""
    return next(_mistakes(candidate), None) is not None


def _mistakes(candidate: Candidate) -> Iterator[str]:
    question, fmt = candidate.question, candidate.question.format
    wrong = candidate.fairness.wrong.items() if question.operation.name in MISTAKES_IN else ()
    for name in sorted(name for name, answer in wrong if len(answer) == fmt.bits + 1):
        if shows_a_mistake(candidate, faulty_working(candidate, name)):
            yield name


def lines_of_mistake(faulty: Working) -> tuple[str, ...]:
    """Return the lines of a faulty working that are shown."""
    return tuple(
        step.rule for step in faulty.steps if written_row(faulty, step.rule) and step.rule not in GIVEN
    )


def shows_a_mistake(candidate: Candidate, faulty: Working) -> bool:
    """Tell whether *faulty* has one wrong line, the right working has that line too, and other digits on it.

    A carry that was kept or dropped is seen only on the next line, so digits before the sign place do not count.
    """
    line = wrong_line(candidate, faulty)
    if line not in lines_of_mistake(faulty):
        return False
    wrong, right = written_row(faulty, line), written_row(candidate.working, line)
    if wrong is None or right is None or not wrong.exponent_bits or not right.exponent_bits:
        return False
    fits = len(wrong.bits) == len(right.bits) == candidate.question.float_format.mantissa_bits
    return fits and (wrong.bits, wrong.exponent_bits) != (right.bits, right.exponent_bits)


def faulty_working(candidate: Candidate, belief: str) -> Working:
    """Return the candidate's question worked by a pupil who holds *belief*."""
    question = candidate.question
    operation = question.operation.name
    base = right_method(operation, question.course)
    method = BELIEFS[belief].method_for(operation, base)
    return work_by(question, method)


def wrong_line(candidate: Candidate, faulty: Working) -> str:
    """Return the one line of *faulty* that its own line before does not give; "" where it is not one."""
    base = right_method(candidate.question.operation.name, candidate.question.course)
    lines = {line.name: line for line in base.lines}
    wrong = [
        step.rule
        for step in faulty.steps
        if base.apply(lines[step.rule], step.before, candidate.question.format) != step.after
    ]
    return wrong[0] if len(wrong) == 1 and wrong[0] != "range" else ""


def mistake_scheme(candidate: Candidate, scheme: Scheme, faulty: Working, belief: str) -> Scheme:
    """Return the scheme of finding the mistake: the line named, put right, and the right answer."""
    line = wrong_line(candidate, faulty)
    wrong, right = written_row(faulty, line), written_row(candidate.working, line)
    assert wrong is not None and right is not None  # noqa: S101, PT018 - a mistake that shows
    corrected = right.bits  # in the boxes of the paper, which have no extra sign place
    if wrong.exponent_bits != right.exponent_bits:
        corrected = f"{corrected} {right.exponent_bits}"
    answer = answer_bits(candidate.working)
    marks = (
        Mark(
            "line",
            "",
            "B",
            1,
            line,
            follows=False,
            needs=(),
            give=f"the line named: \u201c{BELIEFS[belief].says}\u201d",
        ),
        Mark(
            "correction",
            "",
            "M",
            1,
            corrected,
            follows=False,
            needs=("line",),
            give="that line as it should be",
            row=right,
        ),
        Mark("answer", "", "A", 1, answer, follows=True, needs=(), give="the right answer"),
    )
    return replace(scheme, marks=marks, alone=1)
