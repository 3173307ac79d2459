"""The report: what was made, how equal the variants are, and what a set cannot tell."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median_low

from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.diagnose import Diagnosis
from chalkpoint.setting.measures import DIFFICULTY_TOLERANCE, writing_tolerance
from chalkpoint.setting.papers import SetPaper
from chalkpoint.setting.separating import Separation
from chalkpoint.setting.slots import Slot
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.methods import METHODS
from chalkpoint.working.wording.said import plural

__all__ = ["is_even", "report_on", "report_on_diagnosis"]

MEASURED = (
    "Equal means: the same lines of working, the same marks and the same demands (named for each question); characters "
    f"to write within a tenth of the class's middle, beliefs exposed within {DIFFICULTY_TOLERANCE} of it, and all else "
    "that a pupil meets (the strips below) the same. Variants that differed were drawn again."
)
MOST_NAMED = 12


def report_on(plan: Blueprint, papers: Sequence[SetPaper], slots: Sequence[Slot]) -> tuple[str, ...]:
    """Return the report on papers whose variants are to be equal, a paragraph an entry."""
    first = papers[0]
    said = [
        f"{plan.title}: {plural(len(papers), 'variant')} of {plural(len(first.questions), 'question')}, "
        f"{first.marks} marks each.",
        MEASURED,
    ]
    for number, slot in enumerate(slots, start=1):
        said.append(f"Question {number}. {_slot(slot)}")
        if len(papers) > 1 and not slot.asked.is_fixed:
            said.append(_strip(slot))
    unequal = [number for number, slot in enumerate(slots, start=1) if not slot.equal]
    unlike = {paper.marks for paper in papers} != {first.marks}
    if unequal or unlike:
        which = f"question {', '.join(map(str, unequal))}" if unequal else "the marks"
        said.append(f"Not equal by this measure: {which}. Ask for fewer variants or wider traits.")
    else:
        said.append(
            "Every variant is equal to every other by this measure. No question chosen here is asked twice."
        )
    fixed = [str(number) for number, slot in enumerate(slots, start=1) if slot.asked.is_fixed]
    if fixed:
        said.append(f"The same in every variant: question {', '.join(fixed)}.")
    return tuple(said)


#: How far apart variants may be and still be called equal in what a pupil meets.
LIMITS = {"characters to write": None, "beliefs exposed": DIFFICULTY_TOLERANCE}


def _strip(slot: Slot) -> str:
    """Return what a pupil meets, a line a measure, a number or word a variant, and whether it is equal."""
    lines = [f"  {name}: {_verdict(name, values)}" for name, values in slot.met.items()]
    return "\n".join(["  By variant:", *lines])


def _verdict(name: str, values: Sequence[int | str]) -> str:
    if len(set(values)) == 1:
        return f"equal, {values[0]} in each"
    return f"{'equal' if is_even(name, values) else 'NOT EQUAL'} ({' '.join(map(str, values))})"


def is_even(name: str, values: Sequence[int | str]) -> bool:
    """Tell whether the measure called *name* is equal in every variant, within its limit."""
    numbers = [value for value in values if isinstance(value, int)]
    if name not in LIMITS or not numbers:
        return len(set(values)) == 1
    middle = median_low(numbers)
    limit = LIMITS[name]
    return max(abs(value - middle) for value in numbers) <= (
        writing_tolerance(middle) if limit is None else limit
    )


def _slot(slot: Slot) -> str:
    first = slot.chosen[0]
    asked = f"{slot.asked.operation} in {slot.asked.course.format}"
    shared = ", ".join(dict.fromkeys((*slot.asked.where, *slot.shared))) or "nothing but the operation"
    (least, most), (easiest, hardest) = slot.writing, slot.difficulty
    said = [
        f"{asked}: {plural(first.measure.points, 'marking point')}; shared: {shared}.",
        f"Writing {least} to {most} characters; beliefs exposed {easiest} to {hardest}.",
    ]
    if slot.usual:
        (carries, chain, writing), first_met = slot.usual, first.measure.met
        of_carries = f"{first_met.carries} carries, {first_met.chain} in a row (usual: {carries}, {chain}); "
        said.append(
            f"Made {slot.asked.demand}: {of_carries if carries or first_met.carries else ''}"
            f"{first.measure.writing} characters to write (usual: {writing})."
        )
    if slot.loosened:
        said.append(f"Not kept alike, for want of questions: {', '.join(slot.loosened)}.")
    for reason, count in sorted(slot.refused.items()):
        said.append(f"Refused: {plural(count, 'question')}, {reason}.")
    return " ".join(said)


def report_on_diagnosis(
    plan: Blueprint, papers: Sequence[SetPaper], found: Sequence[Diagnosis]
) -> tuple[str, ...]:
    """Return the report on diagnosing papers: what each can and cannot tell apart."""
    said = [
        f"{plan.title}: {plural(len(papers), 'variant')}, to diagnose. Each was chosen by itself so that ways of "
        "working give different answers; what follows is recomputed from the answers alone.",
        "Papers may differ in marks: what they are equal in is what they tell apart.",
    ]
    for paper, diagnosis in zip(papers, found, strict=True):
        said.append(
            f"Variant {paper.variant}: {plural(len(paper.questions), 'question')}, {paper.marks} marks."
        )
        said.append(f"Methods and single beliefs: {_separation(diagnosis.alone)}")
        said.append(f"With two beliefs at once: {_separation(diagnosis.with_pairs, listed=False)}")
    return tuple(said)


def _separation(seen: Separation, *, listed: bool = True) -> str:
    """Return what is told apart; *listed*: and which ways are not, each in the words of who goes it."""
    told = seen.pairs - len(seen.never)
    said = [f"{told} of {seen.pairs} pairs are told apart, {seen.once} of them by one question only."]
    groups = [group for group in seen.classes if group[0] != "right"]
    if groups and not listed:
        said.append(f"{plural(len(groups), 'group')} of ways give the same answers throughout.")
    elif groups:
        shown = "; ".join(" and ".join(map(_way, group)) for group in groups[:MOST_NAMED])
        more = f"; and {len(groups) - MOST_NAMED} more groups" if len(groups) > MOST_NAMED else ""
        said.append(f"Not told apart from each other: {shown}{more}.")
    if seen.untested and listed:
        shown = ", ".join(map(_way, seen.untested[:MOST_NAMED]))
        more = f" and {len(seen.untested) - MOST_NAMED} more" if len(seen.untested) > MOST_NAMED else ""
        said.append(f"Not tested (the right answer throughout): {shown}{more}.")
    return " ".join(said)


def _way(name: str) -> str:
    """Return a way of working in words: what its pupils say, or what a method does."""
    if name in BELIEFS:
        return f"\u201c{BELIEFS[name].says.rstrip('.')}\u201d"
    return METHODS[name].words if name in METHODS else name.replace("-", " ")
