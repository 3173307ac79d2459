"""Every form and address, filled in at random: no fault of ours shows, and a refused form stores nothing.

A few times each here; so many times as often by `CHALKPOINT_FUZZ=100 pytest tests/web/test_fuzz.py`.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path
from time import monotonic, sleep
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import func, select
from starlette.routing import Route

from chalkpoint.records import kept, teachers
from chalkpoint.records.schema import Base, JobRow
from chalkpoint.records.store import Store
from chalkpoint.setting.blueprint import STARTING as BLUEPRINT
from chalkpoint.teaching.lessonfile import STARTING as LESSON
from chalkpoint.web.app import ROUTES as ALL_ROUTES
from chalkpoint.web.app import create_app
from chalkpoint.web.settings import Settings
from conftest_records import DATABASES, new_store
from conftest_web import ORIGIN, PAPERS, PATIENCE, Client

TIMES = int(os.environ.get("CHALKPOINT_FUZZ", "1"))

#: Names of entries that pages read, and some that none does.
NAMES = [
    "operation",
    "operands",
    "format",
    "method",
    "course",
    "names",
    "line",
    "rule",
    "written",
    "question",
    "where",
    "space",
    "seed",
    "draw",
    "simplest",
    "trait",
    "is",
    "value",
    "title",
    "text",
    "blueprint",
    "purpose",
    "q-operation",
    "q-where",
    "q-operands",
    "q-marks",
    "q-count",
    "q-kind",
    "q-format",
    "q-context",
    "own-course",
    "variants",
    "pasted",
    "student",
    "variant",
    "1-answer",
    "reason",
    "marks",
    "before",
    "decision",
    "class",
    "codes",
    "key",
    "lines",
    "answer",
    "lesson",
    "p-kind",
    "p-question",
    "p-find",
    "p-pause",
    "p-says",
    "medium",
    "theme",
    "narration",
    "belief",
    "papers",
    "questions",
    "seats",
    "act",
    "now",
    "level",
    "room-door",
    "word",
    "seat",
    "code",
    "round",
    "letter",
    "letters",
    "name",
    "password",
    "door",
    "to",
    "look",
    "deleted",
    "kept",
    "gone",
    "asked",
    "from",
    "as",
    "save",
    "accepts",
    "over",
    "page",
    "point",
    "exponent",
    "rounding",
    "zero",
    "days",
    "sure",
    "no-names",
    "newcomers",
    "addresses",
    "all",
]
TEXTS = st.one_of(
    st.sampled_from(
        [
            "",
            "subtract",
            "add 1.5, 2.5",
            "8.875, 3.6875",
            "01000111 0100",
            "6+4",
            "24+8",
            "binary16",
            "align",
            "align:0001",
            "-1",
            "0",
            "2",
            "7",
            "999999999999",
            "invert-only",
            "exposes:invert-only",
            "lost-ones >= 1",
            "carry-dropped",
            "usual",
            "own",
            "w0001",
            "h",
            "n",
            "open",
            "close",
            "reveal",
            "go-on",
            "hinge",
            "A 3, B 4",
            "student,1\nH01,0.1010100 0011",
            "[]",
            "{}",
            "null",
            "title = 3",
            'title = "x"\n[[question]]\noperation = "decode"',
            "paper",
            "\u2212\u2212\u2212\u2212\u2212\u2212\u2212\u2212\u2212",
            "\u0661",
            "1e9",
            "1/0",
            "%00",
            "heron dune",
            "yes",
            "closed",
            "400",
        ]
    ),
    st.text(max_size=40),
)
ENTRIES = st.lists(st.tuples(st.sampled_from(NAMES), TEXTS), max_size=8)


@pytest.fixture(scope="module", params=DATABASES)
def opened(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Client, Store, dict[str, str]]]:
    """An app with one thing of each kind kept."""
    folder: Path = tmp_path_factory.mktemp("fuzz")
    with new_store(request, folder) as store:
        yield from _opened(store, folder)


def _opened(store: Store, folder: Path) -> Iterator[tuple[Client, Store, dict[str, str]]]:
    with store.write() as db:
        me = teachers.local_teacher(db).id
        bodies = {
            "course": 'format = "6+4"',
            "question": "{}",
            "blueprint": BLUEPRINT,
            "lesson": LESSON,
            "class": "H01\nH02",
        }
        made = {kind: kept.keep(db, me, kind, kind, body).id for kind, body in bodies.items()}
        made["papers"] = kept.keep(db, me, "papers", "Gauges", json.dumps(PAPERS)).id
    app = create_app(store, Settings(), cache=folder / "made")
    with Client(app, base_url=ORIGIN, raise_server_exceptions=False) as client:
        client.submit(f"/mark/papers/{made['papers']}/answers", pasted="student,1\nH01,0.1010100 0011")
        client.submit("/teach/rooms", questions="subtract 6.5, 1.25", seats="3", format="6+4")
        made["room"] = client.get("/teach/rooms").text.split("/teach/rooms/")[1].split('"')[0]
        yield client, store, made


def routes() -> list[tuple[str, str]]:
    """Return (method, path) of everything that can be asked for but what never ends."""
    found = []
    for route in ALL_ROUTES:
        if (
            isinstance(route, Route)
            and route.methods
            and not route.path.endswith("/events")
            and "rest" not in route.path
        ):
            found += [(method, route.path) for method in sorted(route.methods & {"GET", "POST"})]
    return found


ROUTES = [
    pair for pair in routes() if pair[1] not in {"/static/rails.css", "/sign-out", "/teach/rooms/{id}/close"}
]


def filled(path: str, made: dict[str, str]) -> str:
    """Return *path* with the names of what is kept in it."""
    kind = next(
        (kind for kind in ("papers", "blueprint", "lesson", "room", "class", "course") if kind in path), ""
    )
    kind = {"/teach/rooms": "room"}.get(path[:12], kind)
    values = {
        "{id}": made.get(kind, "none"),
        "{student}": "H01",
        "{code}": "H01",
        "{name}": "papers.json",
        "{kind}": "course" if path.startswith("/kept") else "svg",
    }
    if path.startswith("/kept"):
        values["{id}"] = made["course"]
    path = path.replace(":path}", "}")  # a hole that may hold strokes
    for hole, value in values.items():
        path = path.replace(hole, value)
    return path


def counted(store: Store) -> dict[str, int]:
    """Return how many rows every table has, but those that count visits and tries."""
    with store.read() as db:
        tables = [
            table
            for table in Base.metadata.sorted_tables
            if table.name not in {"session", "try", "job", "security"}
        ]
        return {table.name: db.scalar(select(func.count()).select_from(table)) or 0 for table in tables}


def settle(store: Store) -> None:
    """Wait until no work goes on that an earlier form began."""
    until = monotonic() + PATIENCE
    while monotonic() < until:
        with store.read() as db:
            if not db.scalar(select(func.count()).where(JobRow.state == "running")):
                return
        sleep(0.05)


#: Pages that do seconds of work whatever is entered: here they are asked for less often.
COSTLY = {
    "/examples/class",
    "/examples/papers/{name}",
    "/examples/remove",
    "/teach/example",
    "/teach/lessons/{id}/board",
    "/teach/lessons/{id}/homework",
    "/teach/lessons/{id}/media",
    "/teach/lessons/{id}/narration",
    "/teach/lessons/{id}/take",
    "/work/board",
    "/set/blueprints/{id}/set",
}
FEW, SOME = 2, 12


@pytest.mark.parametrize(("method", "path"), ROUTES)
def test_no_entry_is_answered_with_a_fault(
    opened: tuple[Client, Store, dict[str, str]], method: str, path: str
) -> None:
    """Whatever is entered, the answer is a page or a sentence; after a refusal every table is as it was."""
    often = (FEW if path in COSTLY else SOME) * TIMES

    @settings(max_examples=often, suppress_health_check=list(HealthCheck), deadline=None)
    @given(entries=ENTRIES)
    def ask(entries: list[tuple[str, str]]) -> None:
        ask_for(opened, method, path, entries)

    ask()


def ask_for(
    opened: tuple[Client, Store, dict[str, str]], method: str, path: str, entries: list[tuple[str, str]]
) -> None:
    """Send *entries* to a page, and look at the answer and at the tables."""
    client, store, made = opened
    where = filled(path, made)
    fields: dict[str, Any] = {}
    for name, text in entries:
        fields.setdefault(name.replace("1-answer", "1 answer"), []).append(text)
    settle(store)
    before = counted(store)
    if method == "GET":
        answer = client.get(where, params=fields, follow_redirects=False)
    else:
        data = {**fields, "token": client.token()}
        answer = client.post(where, data=data, headers={"origin": ORIGIN}, follow_redirects=False)
    assert answer.status_code < 500, answer.text[:500]
    if answer.status_code >= 400:
        assert counted(store) == before
    if path.endswith("/delete"):
        client.submit(where.replace("/delete", "/restore"))
