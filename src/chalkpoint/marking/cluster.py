"""A board's entry marked on a cluster that exists: chunks of scripts go out, entries come back in order.

A worker that is lost costs time only: the cluster does its chunks again elsewhere, and a script's entry is the same
wherever it is made.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import islice
from pickle import dumps, loads
from typing import Any

from chalkpoint.marking.answers import Script
from chalkpoint.marking.overrides import Decisions, Rulings, check_decisions
from chalkpoint.marking.students import Entry, Marker
from chalkpoint.numbers.errors import EntryError, missing_extra
from chalkpoint.setting.papers import Papers

__all__ = ["mark_on_cluster"]

CHUNK = 100  # scripts in one task
WAITING = 4  # tasks a worker may have waiting: what bounds the memory here
PATIENCE = "10s"  # for the cluster to answer at first


def mark_on_cluster(
    papers: Papers,
    handed_in: Iterable[Script],
    address: str,
    *,
    decisions: Decisions | None = None,
    rulings: Rulings | None = None,
) -> Iterator[Entry]:
    """Yield the entry of each script, in order, made by the workers of the `distributed` cluster at *address*.

    Raises EntryError where the library is not installed or no cluster answers there.
    """
    check_decisions(decisions or {}, papers)
    try:
        from distributed import Client
    except ImportError as reason:
        raise missing_extra("--cluster", "distributed", "cluster") from reason
    try:
        client = Client(address, timeout=PATIENCE)
    except (OSError, TimeoutError, ValueError) as reason:
        raise EntryError(
            f"no cluster answers at {address!r}; give the address of its scheduler, such as tcp://10.0.0.7:8786"
        ) from reason
    with client:
        yield from _marked(client, handed_in, dumps((papers, dict(decisions or {}), dict(rulings or {}))))


def _marked(client: Any, handed_in: Iterable[Script], marker: bytes) -> Iterator[Entry]:
    # a task, not scattered data: what a lost worker held of it is made again, where scattered data would be gone
    told = client.submit(bytes, marker, pure=False)
    waiting: deque[Any] = deque()
    source = iter(handed_in)
    while chunk := list(islice(source, CHUNK)):
        waiting.append(client.submit(_mark_chunk, told, chunk, pure=False))
        if len(waiting) >= WAITING * max(1, len(client.nthreads())):
            yield from waiting.popleft().result()
    while waiting:
        yield from waiting.popleft().result()


def _mark_chunk(told: bytes, chunk: list[Script]) -> list[Entry]:
    marker = _marker(told)
    return [marker.entry(script) for script in chunk]


@lru_cache(2)
def _marker(told: bytes) -> Marker:
    """Return the worker's own marker for some papers, kept from chunk to chunk."""
    return Marker(*loads(told))  # noqa: S301 - from the command that sent the chunk, by the cluster's own wire
