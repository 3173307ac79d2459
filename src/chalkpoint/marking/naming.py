"""When a belief may be named, and when several must be named together.

All of these must hold: its probability is 0.90 or more; at least two wrong answers are the ones it gives and
would not be given without it; at least one of those is given by no other likely way; other right methods are
unlikely; and the pupil is not one whom nothing explains. Four more keep a pupil with another method from
being accused, and a belief that is missing from the catalogue from being taken for one that is in it: it
shows on at least half of the questions where it could; it explains no fewer wrong answers than it leaves, and
two for each that is no slip from its own (two slips at the same place are none); and every right
method misses two answers more than it, or one where it shows wherever it could and that method gives none of
the answers that show it. Nor may a right way explain every answer that the belief alone explains. Two beliefs
held at once count only where some answer shows one of them by itself.
Beliefs that the same answers speak for equally are named together, as a class, never one at a guess.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

from chalkpoint.marking.chances import Seen, nearby, unlike_at
from chalkpoint.marking.ways import Way
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.page import OUTCOMES

__all__ = ["SURE", "Evidence", "Finding", "findings"]

SURE = 0.90  # a belief's probability
HITS = 2  # answers that show it
FEWER = 2  # answers fewer than it that any right method must explain, unless it shows wherever it could
RIVAL = 0.05  # another way that is likelier than this may not explain all of those
METHODS_BELOW = 0.10
UNEXPLAINED_BELOW = 0.30
LARGEST_CLASS = 4
WORTH_SAYING = 0.20  # a belief likelier than this is reported, though not named
BEST_KNOWN = "CRT"  # kinds of evidence for a belief: counted, reported, known to teachers
FORGET = 1e-7  # ways less likely than this are left out of sums


@dataclass(frozen=True, slots=True)
class Finding:
    """A belief that answers speak for.

    misconception  the likeliest
    among          every belief that the same answers speak for
    probability    that one of those is held
    shown_on       numbers of the questions whose answer shows it
    could_show_on  numbers of the questions answered on which it gives another answer than without it
    named          whether it may be said
    why            if not, why not
    """

    misconception: str
    among: tuple[str, ...]
    probability: float
    shown_on: tuple[int, ...]
    could_show_on: tuple[int, ...]
    named: bool
    why: str = ""

    def to_dict(self) -> JsonObject:
        """Return the entry of chalkpoint.marks/1."""
        entry: JsonObject = {
            "misconception": self.misconception,
            "among": list(self.among),
            "probability": round(self.probability, 3),
            "shown_on": list(self.shown_on),
            "could_show_on": list(self.could_show_on),
            "named": self.named,
        }
        return entry | ({"why": self.why} if self.why else {})


@dataclass(frozen=True)
class Evidence:
    """The answers seen, and how likely each way is after them.

    ways     every way thought of; *numbers* finds a way's place among them
    chances  the probability of each, and last that none explains the answers
    seen     the answers
    """

    ways: tuple[Way, ...]
    numbers: Mapping[Way, int] = field(repr=False)
    chances: Sequence[float] = field(repr=False)
    seen: tuple[Seen, ...] = field(repr=False)

    @cached_property
    def givers(self) -> list[int]:
        """For each answer, the ways that explain it, as a mask."""
        return [seen.givers for seen in self.seen]

    @cached_property
    def likely(self) -> list[int]:
        """The ways that are not negligible, the likeliest first."""
        kept = [way for way, chance in enumerate(self.chances[:-1]) if chance > FORGET]
        return sorted(kept, key=lambda way: (-self.chances[way], way))

    def methods(self) -> dict[str, float]:
        """Return the other right methods with their probabilities, the likeliest first."""
        return {
            self.ways[way].method: self.chances[way]
            for way in self.likely
            if self.ways[way].method and not self.ways[way].beliefs
        }

    def contrary(self) -> dict[str, tuple[int, ...]]:
        """Return, by other right method, the numbers of the questions whose answer it does not give."""
        found = {}
        for way in self.likely:
            name = self.ways[way].method
            if name and not self.ways[way].beliefs:
                found[name] = self.numbered(
                    at
                    for at, seen in enumerate(self.seen)
                    if seen.answer and seen.item.by(way) != seen.answer
                )
        return {name: numbers for name, numbers in found.items() if numbers}

    @cached_property
    def beliefs(self) -> dict[str, float]:
        """The probability of each belief, alone or in a pair, the likeliest first; of equals, the best known."""
        chances: dict[str, float] = defaultdict(float)
        for way in self.likely:
            for belief in self.ways[way].beliefs:
                chances[belief] += self.chances[way]
        return dict(
            sorted(
                chances.items(),
                key=lambda entry: (
                    -round(entry[1], 9),
                    BEST_KNOWN.index(BELIEFS[entry[0]].evidence),
                    entry[0],
                ),
            )
        )

    def way_of(self, belief: str) -> int:
        """Return the likeliest way that holds *belief*: alone, or with another where one of both is seen by itself."""
        held = (way for way in self.likely if belief in self.ways[way].beliefs)
        return next(filter(self.is_seen_apart, held), self.numbers[Way("", (belief,))])

    def is_seen_apart(self, way: int) -> bool:
        """Tell whether some answer shows a belief that *way* holds by itself.

        Two that show only together may as well be one belief that the catalogue lacks.
        """
        held = self.ways[way].beliefs
        return len(held) < 2 or any(self.shown_alone(belief, way) for belief in held)

    def shown_alone(self, belief: str, way: int) -> bool:
        """Tell whether some answer that *way* gives is what *belief* alone gives."""
        alone = self.numbers[Way("", (belief,))]
        return any(
            seen.shows(belief) or (seen.wrong and seen.answer == seen.item.by(way) == seen.item.by(alone))
            for seen in self.seen
        )

    def could_show(self, belief: str, way: int) -> list[int]:
        """Return the places among *seen* where *belief* changes what *way* writes."""
        without = self.numbers[self.ways[way].without(belief)]
        return [
            at
            for at, seen in enumerate(self.seen)
            if seen.item.group[way] != seen.item.group[without] or seen.shows(belief)
        ]

    def shown(self, belief: str, way: int) -> list[int]:
        """Return the places among *seen* with a wrong answer that *way* writes because of *belief*."""
        return [
            at
            for at in self.could_show(belief, way)
            if self.seen[at].shows(belief)
            or (self.seen[at].wrong and self.seen[at].item.by(way) == self.seen[at].answer)
        ]

    def explained_by(self, way: int, places: Iterable[int]) -> bool:
        """Tell whether *way* writes every answer at *places*."""
        return all(self.givers[at] >> way & 1 for at in places)

    def explains(self, way: int) -> set[int]:
        """Return the places among *seen* whose answer *way* explains."""
        return {at for at, givers in enumerate(self.givers) if givers >> way & 1}

    def untested_and_clear(self, found: Iterable[Finding]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Return the beliefs no question could show, and those that could have shown and did not."""
        spoken_for = {belief for finding in found for belief in finding.among}
        tested = given = 0
        for seen, givers in zip(self.seen, self.givers, strict=True):
            tested |= seen.item.apart
            given |= givers & seen.item.apart
        untested, clear = [], []
        for number, belief in _single_beliefs(self.ways):
            if belief in spoken_for:
                continue
            if not tested >> number & 1:
                untested.append(belief)
            elif not given >> number & 1:
                clear.append(belief)
        return tuple(untested), tuple(clear)

    def strays(self) -> tuple[int, ...]:
        """Return the numbers of the questions whose wrong answer the likeliest way does not give."""
        best = self.likely[0] if self.likely else 0
        explained = self.explains(best)
        return self.numbered(at for at, seen in enumerate(self.seen) if seen.wrong and at not in explained)

    def numbered(self, places: Iterable[int]) -> tuple[int, ...]:
        """Return the numbers of the questions at *places*: a question may have several, one for each answer."""
        return tuple(dict.fromkeys(self.seen[at].number for at in places))


@lru_cache(1 << 5)
def _single_beliefs(ways: tuple[Way, ...]) -> tuple[tuple[int, str], ...]:
    """Return the ways of one belief on the course's own method, by number, and that belief."""
    alone = ((number, way) for number, way in enumerate(ways) if not way.method)
    return tuple((number, way.beliefs[0]) for number, way in alone if len(way.beliefs) == 1)


@lru_cache(1 << 5)
def _right_ways(ways: tuple[Way, ...]) -> tuple[int, ...]:
    """Return the ways without a belief, by number."""
    return tuple(number for number, way in enumerate(ways) if not way.beliefs)


def findings(evidence: Evidence) -> tuple[Finding, ...]:
    """Return the beliefs worth saying something about, those named first."""
    found: list[Finding] = []
    taken: set[str] = set()
    for belief, chance in evidence.beliefs.items():
        if belief in taken or chance < WORTH_SAYING / LARGEST_CLASS:
            continue
        finding = _finding(evidence, belief)
        if finding.named or (finding.probability >= WORTH_SAYING and finding.shown_on):
            found.append(finding)
            taken.update(finding.among)
    return tuple(sorted(found, key=lambda finding: not finding.named))


def _finding(evidence: Evidence, belief: str) -> Finding:
    way = evidence.way_of(belief)
    shown = evidence.shown(belief, way)
    order = list(evidence.beliefs)
    alike = _look_alikes(evidence, belief, shown) if shown else []
    among = [belief, *sorted(alike, key=order.index)]
    inside = set(among)
    chance = sum(
        evidence.chances[other] for other in evidence.likely if inside & set(evidence.ways[other].beliefs)
    )
    could = evidence.could_show(belief, way)
    why = (
        _why_not(evidence, inside, chance, shown)
        or _why_not_own(evidence, belief, shown)
        or _why_not_stable(evidence, way, shown, could)
    )
    return Finding(
        belief,
        tuple(among),
        min(chance, 1.0),
        evidence.numbered(shown),
        evidence.numbered(could),
        not why,
        why,
    )


def _look_alikes(evidence: Evidence, belief: str, shown: list[int]) -> list[str]:
    """Return the other beliefs that likely ways hold, and that give every answer that shows *belief*."""
    alike: list[str] = []
    for way in evidence.likely:
        held = evidence.ways[way].beliefs
        if evidence.chances[way] <= RIVAL:
            break
        if belief in held or not evidence.explained_by(way, shown):
            continue
        alike += [
            other for other in held if set(shown) <= set(evidence.shown(other, way)) and other not in alike
        ]
    return alike


def _why_not(evidence: Evidence, inside: set[str], chance: float, shown: list[int]) -> str:
    """Return why the beliefs *inside* a class may not be named, or "" where they may."""
    rivals = [
        way
        for way in evidence.likely
        if evidence.chances[way] > RIVAL and not inside & set(evidence.ways[way].beliefs)
    ]
    own = any(all(not evidence.explained_by(way, [at]) for way in rivals) for at in shown)
    reasons = (
        (not shown, "no answer shows it"),
        (len(evidence.numbered(shown)) < HITS, "one answer is not enough"),
        (sum(evidence.methods().values()) >= METHODS_BELOW, "another right method may explain it"),
        (evidence.chances[-1] >= UNEXPLAINED_BELOW, "too much of the rest is unexplained"),
        (chance < SURE, "other explanations are nearly as likely"),
        (len(inside) > LARGEST_CLASS, "too many beliefs fit the same answers"),
        (not own, "other explanations give the same answers"),
    )
    return next((why for holds, why in reasons if holds), "")


def _why_not_own(evidence: Evidence, belief: str, shown: list[int]) -> str:
    """Return that a right way explains as much as *belief* alone, or "": what differs is then no fault."""
    if any(evidence.seen[at].shows(belief) for at in shown):
        return ""
    way = evidence.way_of(belief)
    rows = [at for at in evidence.could_show(belief, way) if evidence.seen[at].item.by(way) not in OUTCOMES]
    if rows and shown and not set(rows) & set(shown):
        return "only a word shows it, which much else would give"
    alone = evidence.explains(evidence.numbers[Way("", (belief,))])
    rights = _right_ways(evidence.ways)
    if alone.intersection(shown) and any(alone <= evidence.explains(number) for number in rights):
        return "another right method may explain it"
    return ""


def _why_not_stable(evidence: Evidence, way: int, shown: list[int], could: list[int]) -> str:
    """Return in what the answers are unlike those of a pupil who holds a belief throughout, or ""."""
    if 2 * len(shown) < len(could):
        return "it shows on too few of the questions where it could"
    explains = evidence.explains(way)
    explained = sum(evidence.seen[at].wrong for at in explains)
    left = [seen for at, seen in enumerate(evidence.seen) if seen.wrong and at not in explains]
    unlike = len(left) - _slips(way, left)
    if 2 * unlike > explained or len(left) > explained:
        return "too many of the wrong answers are unlike it"
    throughout = len(shown) == len(could) and not unlike
    for method in _right_ways(evidence.ways):
        given = evidence.explains(method)
        # A right method that gives some of the answers that show the belief needs two against it all the same.
        fewer = 1 if throughout and not given.intersection(shown) else FEWER
        if len(given) > len(explains) - fewer:
            right = evidence.ways[method].method or "the right method"
            return f"{right} and a slip give the same answers"
    return ""


def _slips(way: int, left: Sequence[Seen]) -> int:
    """Return how many of the answers *left* are slips from what *way* writes.

    A hand that slips does not slip at the same place again: where two answers do, something else is the cause.
    """
    pairs = [(seen.item.by(way), seen.answer) for seen in left]
    near = [unlike_at(*pair) for pair in pairs if nearby(*pair)]
    taken = Counter(place for places in near for place in places)
    return sum(all(taken[place] == 1 for place in places) for places in near)
