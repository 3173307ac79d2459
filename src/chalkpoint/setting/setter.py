"""Setting papers: a blueprint, a number of variants and a seed make the papers, their schemes and the report."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path
from random import Random
from typing import TypeAlias

from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.asking import Blueprint, BlueprintQuestion
from chalkpoint.setting.blueprint import read_blueprint
from chalkpoint.setting.contexts import tell
from chalkpoint.setting.diagnose import Diagnosis, choose_diagnosing
from chalkpoint.setting.instructions import needs_working, notes_for, rewarded, words_for
from chalkpoint.setting.kinds import faded_scheme, lines_shown, mistake_in, mistake_scheme, values_scheme
from chalkpoint.setting.papers import Candidate, Item, SetPaper, SetPapers, code_for, papers_set
from chalkpoint.setting.practice import fits_a_starter, ladder
from chalkpoint.setting.report import report_on, report_on_diagnosis
from chalkpoint.setting.schemes import scheme_for
from chalkpoint.setting.slots import Slot
from chalkpoint.setting.sources import QuestionKey, key_of
from chalkpoint.setting.variants import choose, refuse_had
from chalkpoint.working.question import Question

__all__ = ["MOST_VARIANTS", "Watch", "set_papers"]

Watch: TypeAlias = Callable[[int, int], None]  # told how many parts are done, and of how many

MOST_VARIANTS = 1000
MOST_SEED = 2**63 - 1


def set_papers(
    blueprint: Blueprint | str | Path,
    *,
    variants: int = 1,
    seed: int = 0,
    had: Iterable[Question] = (),
    watch: Watch | None = None,
) -> SetPapers:
    """Return the papers of a blueprint, the same for the same *seed*.

    blueprint  a Blueprint, or the path of its file
    variants   how many papers, equal by the declared measure (setting/measures.py), 1 to 1000
    seed       a whole number from 0
    had        questions that the class had before, and is not asked again
    watch      called with parts done and parts in all

    Raises EntryError where nothing fair meets a request, or there are too few questions for a class.
    """
    plan = blueprint if isinstance(blueprint, Blueprint) else read_blueprint(blueprint)
    if not 1 <= variants <= MOST_VARIANTS:
        raise EntryError(f"variants = {variants} is not taken; give a whole number from 1 to {MOST_VARIANTS}")
    if not 0 <= seed <= MOST_SEED:
        raise EntryError(f"seed = {seed} is not taken; give a whole number from 0 to {MOST_SEED}")
    if plan.purpose == "diagnose":
        return _diagnosing(plan, variants, seed, {key_of(question) for question in had}, watch)
    asked = _asked(plan)
    used: set[QuestionKey] = {key_of(question) for question in had}
    refuse_had(plan, used)
    slots = []
    for number, (_, part) in enumerate(asked, start=1):
        slots.append(choose(plan, part, variants, f"{seed}/{number}", used))
        if watch:
            watch(number, len(asked))
    papers = []
    for variant in range(1, variants + 1):
        chosen = [
            (level, slot.asked, slot.chosen[variant - 1])
            for (level, _), slot in zip(asked, slots, strict=True)
        ]
        if plan.purpose == "starter":
            chosen = chosen[: _starter_length(slots)]
        papers.append(_paper(plan, seed, variant, chosen))
    kept = slots[: len(papers[0].questions)]
    return papers_set(plan, seed, papers, report_on(plan, papers, kept))


def _starter_length(slots: list[Slot]) -> int:
    """Return how many questions every variant's starter has: as many as fit in the slowest."""
    return min(fits_a_starter(slot.chosen[at] for slot in slots) for at in range(len(slots[0].chosen)))


def _asked(plan: Blueprint) -> list[tuple[str, BlueprintQuestion]]:
    """Return each question asked for, once for each time it is asked; for practice, on each level of its ladder."""
    asked = []
    for part in plan.questions:
        levels = ladder(part) if plan.purpose == "practice" and not part.is_fixed else [("", part)]
        for number, (new, on_level) in enumerate(levels, start=1):
            name = f"Level {number}: {new}" if new else ""
            asked += [(name, on_level)] * part.count
    return asked


def _diagnosing(
    plan: Blueprint, variants: int, seed: int, used: set[QuestionKey], watch: Watch | None
) -> SetPapers:
    found: list[Diagnosis] = []
    papers = []
    for variant in range(1, variants + 1):
        diagnosis = choose_diagnosing(plan, f"{seed}/{variant}", used)
        found.append(diagnosis)
        papers.append(_paper(plan, seed, variant, [("", asked, one) for asked, one in diagnosis.chosen]))
        if watch:
            watch(variant, variants)
    return papers_set(plan, seed, papers, report_on_diagnosis(plan, papers, found))


def _paper(
    plan: Blueprint, seed: int, variant: int, chosen: Iterable[tuple[str, BlueprintQuestion, Candidate]]
) -> SetPaper:
    items = []
    faded = 0
    for number, (level, asked, candidate) in enumerate(chosen, start=1):
        faded += asked.kind == "faded"
        rng = Random(f"{seed}/{variant}/{number}/words")
        items.append(_item(plan, number, level, asked, candidate, faded, rng))
    return SetPaper(variant, code_for(plan, seed, variant), tuple(items))


def _item(
    plan: Blueprint,
    number: int,
    level: str,
    asked: BlueprintQuestion,
    candidate: Candidate,
    faded: int,
    rng: Random,
) -> Item:
    question, fairness = candidate.question, candidate.fairness
    story = tell(question, rng, asked.told) if asked.context else None
    scheme = (
        values_scheme(candidate.working)
        if asked.kind == "values"
        else scheme_for(question, asked.marks, working=candidate.working, fairness=fairness)
    )
    if needs_working(question, plan):
        scheme = replace(scheme, alone=min(scheme.alone, scheme.for_the_answer))
    item = Item(
        number,
        question,
        scheme,
        asked.kind,
        f"{words_for(question, story, asked.kind)} {rewarded(question, scheme.total)}".strip(),
        candidate,
        notes_for(question, fairness, plan),
        story,
        level=level,
        room=asked.room,
    )
    if asked.kind == "faded":
        shown = lines_shown(candidate.working, faded)
        return replace(item, shown=shown, scheme=faded_scheme(scheme, shown))
    if asked.kind == "mistake":
        belief, faulty = mistake_in(candidate, rng)
        return replace(item, faulty=faulty, scheme=mistake_scheme(candidate, scheme, faulty, belief))
    return item
