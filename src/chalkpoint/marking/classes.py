"""A whole class: scripts in, entries out, in order, in one process or in several, never all held at once."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from chalkpoint.marking.answerfiles import Row, read_answers, rows_in
from chalkpoint.marking.answers import Script, whole_scripts
from chalkpoint.marking.overrides import Decisions, Rulings, check_decisions, read_decisions
from chalkpoint.marking.students import Entry, Marker
from chalkpoint.numbers.datafiles import JsonMapping, JsonObject
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.paperfile import papers_from, read_papers
from chalkpoint.setting.papers import Papers

if TYPE_CHECKING:
    from concurrent.futures import Future

__all__ = ["SCHEMA", "mark", "mark_scripts"]

SCHEMA = "chalkpoint.marks/1"
CHUNK = 50  # scripts handed to a process at a time
WAITING = 3  # chunks a process may have waiting: what bounds the memory


def mark(
    papers: str | Path | JsonMapping,
    answers: str | Path | Iterable[Row | JsonObject],
    *,
    overrides: str | Path | None = None,
    workers: int = 1,
) -> JsonObject:
    """Return the class marked, as a chalkpoint.marks/1 object.

    papers     the papers.json of a set, or the object in it
    answers    a .csv or .json file; or rows, the first being the heads; or objects with their keys
    overrides  a .csv of the teacher's decisions, on single lines or on groups
    workers    how many processes; the results are the same

    >>> paper = {"schema": "chalkpoint.papers/1", "papers": [
    ...     {"questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}]}
    >>> marked = mark(paper, [["student", "1"], ["Odo", "0.1010100 0011"]])
    >>> [(entry["student"], entry["marks"], entry["of"]) for entry in marked["students"]]
    [('Odo', 6, 6)]
    """
    read = papers_from(papers) if isinstance(papers, Mapping) else read_papers(papers)
    decisions, rulings = read_decisions(overrides) if overrides else ({}, {})
    handed_in = whole_scripts(_rows(answers), read)
    entries = mark_scripts(read, handed_in, decisions=decisions, rulings=rulings, workers=workers)
    return {"schema": SCHEMA, "title": read.title, "students": list(entries)}


def _rows(answers: str | Path | Iterable[Row | JsonObject]) -> Iterator[Row]:
    if isinstance(answers, str | Path):
        return read_answers(answers)
    kept = list(answers)
    if kept and isinstance(kept[0], dict):
        return rows_in(kept)
    return (row for row in kept if not isinstance(row, dict))


def mark_scripts(
    papers: Papers,
    handed_in: Iterable[Script],
    *,
    decisions: Decisions | None = None,
    rulings: Rulings | None = None,
    workers: int = 1,
) -> Iterator[Entry]:
    """Yield the entry of each script, in order.

    workers  how many processes share the work; 1 does it in this one
    """
    check_decisions(decisions or {}, papers)
    if workers < 1:
        raise EntryError(f"{workers} workers cannot mark; give 1 or more")
    if workers == 1:
        marker = Marker(papers, decisions or {}, rulings or {})
        yield from map(marker.entry, handed_in)
        return
    from concurrent.futures import ProcessPoolExecutor

    told = papers, dict(decisions or {}), dict(rulings or {})
    with ProcessPoolExecutor(workers, initializer=_start, initargs=told) as pool:
        waiting: deque[Future[list[Entry]]] = deque()
        source = iter(handed_in)
        while chunk := list(islice(source, CHUNK)):
            waiting.append(pool.submit(_mark_chunk, chunk))
            if len(waiting) >= workers * WAITING:
                yield from waiting.popleft().result()
        while waiting:
            yield from waiting.popleft().result()


_marker: Marker | None = None


def _start(papers: Papers, decisions: Decisions, rulings: Rulings) -> None:
    """Begin a process: its own marker, with what it keeps."""
    global _marker  # noqa: PLW0603 - a process has one, made before its first chunk
    _marker = Marker(papers, decisions, rulings)


def _mark_chunk(chunk: list[Script]) -> list[Entry]:
    assert _marker is not None  # noqa: S101 - every process is started by `_start`
    return [_marker.entry(script) for script in chunk]
