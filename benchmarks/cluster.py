"""A board's entry marked in one process, in two, and on a cluster of two workers: rates, and what it costs to begin.

    python benchmarks/cluster.py [SCRIPTS]

The scripts are those of marking.py: final answers on ten questions, half of the pupils right. Beginning is the time
until the first entry is back. Processor time is that of all processes together, the cluster's own beginning left out:
what it is more than in one process is what sharing costs, however busy the machine is.
"""

from __future__ import annotations

import resource
import sys
import time
from collections.abc import Callable, Iterator

from distributed import LocalCluster

from chalkpoint.marking.answers import Script, scripts
from chalkpoint.marking.classes import mark_scripts
from chalkpoint.marking.cluster import mark_on_cluster
from chalkpoint.marking.students import Entry
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.papers import Papers
from marking import VARIANTS, final_answers, papers_object


def main() -> None:
    """Print the figures."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 5_000
    papers = papers_from(papers_object(VARIANTS))

    drawn = list(scripts(final_answers(papers, count), papers))  # so that only marking is timed
    print(f"{count:,} scripts; this process holds {held(resource.RUSAGE_SELF)} MB")
    # one process is the last, since what it has learnt by then a forked process would begin with
    print_rate("two processes", count, lambda: mark_scripts(papers, iter(drawn), workers=2))
    before = worked()
    with begin():
        pass
    beginning = worked() - before
    print_rate("cluster of two", count, lambda: on_cluster(papers, drawn), less=beginning)
    print(f"the largest other process held {held(resource.RUSAGE_CHILDREN)} MB")
    print_rate("one process", count, lambda: mark_scripts(papers, iter(drawn)))
    print(f"this process held {held(resource.RUSAGE_SELF)} MB")


def begin() -> LocalCluster:
    """Begin a cluster of two workers."""
    return LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None)


def on_cluster(papers: Papers, drawn: list[Script]) -> Iterator[Entry]:
    """Mark on a cluster that ends with the last entry, so that its processor time is known."""
    with begin() as cluster:
        yield from mark_on_cluster(papers, iter(drawn), cluster.scheduler_address)


def print_rate(what: str, count: int, mark: Callable[[], Iterator[Entry]], less: float = 0.0) -> None:
    """Print how many scripts a second, how long until the first was back, and the processor time of each.

    less  seconds of processor time that are no marking
    """
    began, before = time.perf_counter(), worked()
    entries = mark()
    next(entries)
    first = time.perf_counter() - began
    marked = 1 + sum(1 for _ in entries)
    took, spent = time.perf_counter() - began, worked() - before - less
    assert marked == count
    print(
        f"{what:15} {count / took:6.0f} scripts a second, the first after {first:.2f} s; "
        f"{1000 * spent / count:.2f} ms of processor time a script"
    )


def worked() -> float:
    """Return the processor time of this process, and of those that have ended, in seconds."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def held(who: int) -> int:
    """Return the most that a process has held, in MB."""
    return resource.getrusage(who).ru_maxrss // 1024


if __name__ == "__main__":
    main()
