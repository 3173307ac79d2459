"""A class's term at a glance: what was taught, set and marked week by week, what it shows, and what to teach next.

Nothing is decided here. A suggestion says on which answers it rests and how sure that makes it; a sitting of few
pupils is shown and never made into one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from chalkpoint.marking.summary import Summary
from chalkpoint.working.beliefs.catalogue import BELIEFS

__all__ = ["MOST_WEEKS", "Event", "Marked", "Need", "Share", "Term", "Week", "skill_of_belief", "term_of"]

MOST_WEEKS = 12
AGAIN, STEADY = 25, 19  # per cent of a skill's marks lost: at least, to teach again; below, steady
FEWEST_PUPILS = 5  # of whom a share says something
FEWEST_HOLDERS = 2  # of a belief, for it to be the class's
MOST_NEEDS = 2
#: The skill that a belief belongs to, by the first word of the step it is first seen on, or by what is done there.
SKILL_WORDS = {
    "encode": "write",
    "decode": "read",
    "cut": "write",
    "widen": "read",
    "split": "read",
    "subtract": "add",
}


@dataclass(frozen=True, slots=True)
class Event:
    """Something taught or set: when, and what it is called."""

    on: date
    title: str


@dataclass(frozen=True, slots=True)
class Marked:
    """A paper marked: when it was, and its class summed up."""

    on: date
    title: str
    summary: Summary


@dataclass(frozen=True, slots=True)
class Share:
    """Marks of one skill in one week, over the class: how many were lost, of how many that were shown."""

    lost: int
    of: int

    @property
    def percent(self) -> int:
        """The share lost, to the nearest per cent.

        >>> Share(1, 8).percent
        13
        """
        return (200 * self.lost + self.of) // (2 * self.of) if self.of else 0


@dataclass(slots=True)
class Week:
    """One week, from its Monday.

    pupils   how many handed something in that was marked
    skills   by skill, the marks lost
    beliefs  by belief, how many pupils it was named for; named among others, it counts for each of them
    """

    monday: date
    taught: list[str] = field(default_factory=list)
    set: list[str] = field(default_factory=list)
    marked: list[str] = field(default_factory=list)
    pupils: int = 0
    skills: dict[str, Share] = field(default_factory=dict)
    beliefs: Counter[str] = field(default_factory=Counter)


@dataclass(frozen=True, slots=True)
class Need:
    """What the class shows that it needs, with what speaks for it.

    skill    the skill in which marks were lost
    share    the marks lost in it, the last time it was marked; of none where only answers were written
    before   the per cent lost the time before; None where it was marked once
    belief   the belief that was named, and no other with it, for most pupils in that marking; "" where none was
    holders  how many pupils it was named for
    pupils   how many were marked
    paper    which paper shows it
    """

    skill: str
    share: Share
    before: int | None
    belief: str
    holders: int
    pupils: int
    paper: str

    @property
    def weight(self) -> int:
        """How much of the class needs it, in per cent: of its marks, or of its pupils, whichever is more."""
        return max(self.share.percent, 100 * self.holders // self.pupils)


@dataclass(frozen=True, slots=True)
class Term:
    """The weeks, oldest first; every skill that was marked, in the order first met; what to teach next."""

    weeks: tuple[Week, ...]
    skills: tuple[str, ...]
    needs: tuple[Need, ...]

    def state(self, skill: str) -> str:
        """Return what the last marking says of a skill: "teach again", "steady", "too few to say" or nothing."""
        last = next((week for week in reversed(self.weeks) if skill in week.skills), None)
        if last is None:
            return ""
        if last.pupils < FEWEST_PUPILS:
            return "too few to say"
        percent = last.skills[skill].percent
        return "teach again" if percent >= AGAIN else "steady" if percent < STEADY else ""


def term_of(
    taught: Iterable[Event],
    papers_set: Iterable[Event],
    marked: Iterable[Marked],
    *,
    today: date,
) -> Term:
    """Return the term up to the week of *today*, at most 12 weeks of it.

    >>> term = term_of([Event(date(2026, 11, 3), "Negate")], [], [], today=date(2026, 11, 12))
    >>> [(str(week.monday), week.taught) for week in term.weeks]
    [('2026-11-02', ['Negate']), ('2026-11-09', [])]
    """
    taught, papers_set = list(taught), list(papers_set)
    marked = sorted(marked, key=lambda one: one.on)
    weeks = _weeks([*(one.on for one in (*taught, *papers_set)), *(one.on for one in marked)], today)
    by_monday = {week.monday: week for week in weeks}
    for event in taught:
        if week := by_monday.get(_monday(event.on)):
            week.taught.append(event.title)
    for event in papers_set:
        if week := by_monday.get(_monday(event.on)):
            week.set.append(event.title)
    for one in marked:
        if week := by_monday.get(_monday(one.on)):
            _add(week, one)
    skills = tuple(dict.fromkeys(skill for week in weeks for skill in week.skills))
    return Term(tuple(weeks), skills, _needs(marked))


def skill_of_belief(name: str) -> str:
    """Return the skill that a belief belongs to.

    >>> skill_of_belief("invert-only"), skill_of_belief("align-skip")
    ('negate', 'align')
    """
    first, *rest = BELIEFS[name].step.split()
    word = rest[0] if first == "IEEE" else first
    return SKILL_WORDS.get(word, word)


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _weeks(days: Sequence[date], today: date) -> list[Week]:
    last = max([today, *days])
    first = min([today, *days])
    count = (_monday(last) - _monday(first)).days // 7 + 1
    return [Week(_monday(last) - timedelta(weeks=back)) for back in range(min(count, MOST_WEEKS) - 1, -1, -1)]


def _add(week: Week, one: Marked) -> None:
    """Add a marked paper to its week; two of one week are put together."""
    week.marked.append(one.title)
    week.pupils = max(week.pupils, one.summary.marked)
    for skill, share in _shares(one.summary).items():
        known = week.skills.get(skill, Share(0, 0))
        week.skills[skill] = Share(known.lost + share.lost, known.of + share.of)
    week.beliefs.update(_holders(one.summary))


def _shares(summary: Summary) -> dict[str, Share]:
    """Return the marks lost by skill, of those that were shown."""
    return {skill: Share(summary.shown_lost[skill], of) for skill, of in summary.shown.items() if of}


def _holders(summary: Summary) -> Counter[str]:
    counted: Counter[str] = Counter()
    for among, belief in summary.beliefs.items():
        counted.update(dict.fromkeys(among, belief.pupils))
    return counted


def _held_alone(summary: Summary) -> Counter[str]:
    """Return how many pupils each belief was named for, and no other with it: only that is sure enough to act on."""
    return Counter({among[0]: belief.pupils for among, belief in summary.beliefs.items() if len(among) == 1})


def _needs(marked: Sequence[Marked]) -> tuple[Need, ...]:
    """Return what the class needs most by the last marking that could show it, the most pupils first."""
    found: dict[str, Need] = {}
    for one in marked:
        if one.summary.marked >= FEWEST_PUPILS:
            shares, holders = _shares(one.summary), _held_alone(one.summary)
            asked = {question.operation for question in one.summary.questions.values()}
            for skill in {*shares, *map(skill_of_belief, holders), *_tested(found, asked)}:
                found[skill] = _need(skill, shares.get(skill, Share(0, 0)), holders, found.get(skill), one)
    wanted = [
        need for need in found.values() if need.share.percent >= AGAIN or need.holders >= FEWEST_HOLDERS
    ]
    return tuple(sorted(wanted, key=lambda need: (-need.weight, need.skill))[:MOST_NEEDS])


def _tested(found: Mapping[str, Need], asked: set[str]) -> set[str]:
    """Return the skills whose belief could have shown itself again in a paper that asked these operations."""
    return {
        skill
        for skill, need in found.items()
        if need.belief and any(BELIEFS[need.belief].place_for(name) for name in asked)
    }


def _need(skill: str, share: Share, holders: Counter[str], earlier: Need | None, one: Marked) -> Need:
    shared = [(count, name) for name, count in holders.items() if skill_of_belief(name) == skill]
    count, belief = max(shared, default=(0, ""))
    before = earlier.share.percent if earlier and earlier.share.of and share.of else None
    return Need(skill, share, before, belief, count, one.summary.marked, one.title)
