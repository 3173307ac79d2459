"""Markers: what has been marked of a set of papers is kept, so that a decision or a late script costs little."""

from __future__ import annotations

import json
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from threading import Lock

from chalkpoint.marking.answers import Script
from chalkpoint.marking.overrides import Decisions, Rulings, check_decisions
from chalkpoint.marking.students import Entry, Marker
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.papers import Papers
from chalkpoint.working.wording.heading import heading

__all__ = ["Markers"]

MOST = 4  # sets of papers whose marker is kept


@dataclass(slots=True)
class Kept:
    """A marker, how many scripts it marked the last time, and the right to use it: one at a time."""

    papers: Papers
    marker: Marker
    marked: int = 0
    lock: Lock = field(default_factory=Lock)


@dataclass(slots=True)
class Markers:
    """The markers of a running app, by the papers' own text."""

    kept: OrderedDict[str, Kept] = field(default_factory=OrderedDict)
    lock: Lock = field(default_factory=Lock)

    def papers(self, body: str) -> Papers:
        """Return the papers in *body*, chalkpoint.papers/1 as text."""
        return self._kept(body).papers

    def asks(self, body: str, variant: int) -> Mapping[int, str]:
        """Return what each question of a variant asks, in words, by its number."""
        paper = self.papers(body).variants[variant]
        return {asked.number: heading(asked.question) for asked in paper.questions}

    def mark(
        self,
        body: str,
        scripts: Sequence[Script],
        decisions: Decisions,
        watch: Callable[[int, int], None],
        *,
        rulings: Rulings | None = None,
    ) -> list[Entry]:
        """Return the entries of *scripts*; *watch* is told how many are done."""
        kept = self._kept(body)
        check_decisions(decisions, kept.papers)
        with kept.lock:
            kept.marker.decisions, kept.marker.rulings = dict(decisions), dict(rulings or {})
            entries = []
            for done, script in enumerate(scripts, start=1):
                entries.append(kept.marker.entry(script))
                watch(done, len(scripts))
            kept.marked = len(scripts)
            return entries

    def knows(self, body: str) -> int:
        """Return how many scripts of the papers in *body* would be marked at once, since they were before."""
        return self._kept(body).marked

    def _kept(self, body: str) -> Kept:
        with self.lock:
            if body not in self.kept:
                papers = papers_from(json.loads(body))
                self.kept[body] = Kept(papers, Marker(papers))
            self.kept.move_to_end(body)
            while len(self.kept) > MOST:
                self.kept.popitem(last=False)
            return self.kept[body]
