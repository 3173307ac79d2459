"""A board's entry marked in one process, in two, and on a cluster of two workers: rates, and what it costs to begin.

    python benchmarks/cluster.py [SCRIPTS]

The scripts are those of marking.py: final answers on ten questions, half of the pupils right. Beginning is the time
until the first entry is back.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from typing import Any

from distributed import LocalCluster

from chalkpoint.marking.answers import Script, scripts
from chalkpoint.marking.classes import mark_scripts
from chalkpoint.marking.cluster import mark_on_cluster
from chalkpoint.marking.papers import papers_from
from marking import VARIANTS, final_answers, papers_object


def main() -> None:
    """Print the figures."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 5_000
    papers = papers_from(papers_object(VARIANTS))

    def handed_in() -> Iterator[Script]:
        return scripts(final_answers(papers, count), papers)

    for _ in handed_in():  # drawn once before, so that only marking is timed after
        pass
    drawn = list(handed_in())
    print_rate("one process", count, lambda: mark_scripts(papers, iter(drawn)))
    print_rate("two processes", count, lambda: mark_scripts(papers, iter(drawn), workers=2))
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        address = cluster.scheduler_address
        print_rate("cluster of two", count, lambda: mark_on_cluster(papers, iter(drawn), address))


def print_rate(what: str, count: int, mark: Callable[[], Iterator[dict[str, Any]]]) -> None:
    """Print how many scripts a second, and how long until the first was back."""
    began = time.perf_counter()
    entries = mark()
    next(entries)
    first = time.perf_counter() - began
    marked = 1 + sum(1 for _ in entries)
    took = time.perf_counter() - began
    assert marked == count
    print(f"{what:15} {count / took:6.0f} scripts a second, the first after {first:.2f} s")


if __name__ == "__main__":
    main()
