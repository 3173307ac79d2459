"""Summaries: what a marking says of its class, gathered once; only erasing a pupil changes a marking."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator
from dataclasses import dataclass, field
from threading import Lock

from chalkpoint.marking.groups import Group, decisions_in, groups_of
from chalkpoint.marking.students import Entry
from chalkpoint.marking.summary import Summary
from chalkpoint.marking.table import Tables
from chalkpoint.records import marks
from chalkpoint.records.marks import Run
from chalkpoint.records.store import Store
from chalkpoint.setting.papers import Papers

__all__ = ["Summaries", "Summed"]

MOST = 16  # markings whose summary is kept


@dataclass(frozen=True, slots=True)
class Summed:
    """A marking summed up.

    waiting  how many decisions wait, by pupil, where any does
    groups   answers that wait and are ruled on together
    tables   every question across the class
    """

    all: Summary
    waiting: dict[str, int]
    groups: list[Group]
    tables: Tables


@dataclass(slots=True)
class Summaries:
    """The summaries of a running app, by their markings."""

    kept: OrderedDict[tuple[str, int], Summed] = field(default_factory=OrderedDict)
    lock: Lock = field(default_factory=Lock)

    def of(self, store: Store, run: Run, papers: Papers) -> Summed:
        """Return *run* summed up: gathered now unless it was before."""
        name = (run.id, run.pupils)  # a pupil may be erased from it
        with self.lock:
            if name in self.kept:
                self.kept.move_to_end(name)
                return self.kept[name]
        summed = _gather(store, run, papers)
        with self.lock:
            self.kept[name] = summed
            while len(self.kept) > MOST:
                self.kept.popitem(last=False)
        return summed


def _gather(store: Store, run: Run, papers: Papers) -> Summed:
    summary, tables, waiting = Summary(papers), Tables(papers), {}

    def counted(entries: Iterator[Entry]) -> Iterator[Entry]:
        for entry in entries:
            summary.add(entry)
            tables.add(entry)
            if decisions := decisions_in(entry):
                waiting[entry["student"]] = decisions
            yield entry

    with store.read() as db:
        groups = groups_of(counted(marks.entries_of(db, run)))
    together = [group for group in groups if group.is_ruled_together]
    return Summed(summary, waiting, together, tables.ordered())
