"""Two teachers on one server: whatever one keeps, every route answers the other as if it were not there."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.routing import Route

from chalkpoint.records import kept, sessions, teachers
from chalkpoint.records.store import Store
from chalkpoint.setting.blueprint import STARTING as BLUEPRINT
from chalkpoint.web.app import ROUTES, create_app
from chalkpoint.web.lessons import STARTING as LESSON
from chalkpoint.web.settings import Settings
from conftest_records import DATABASES, new_store
from conftest_web import ORIGIN, PAPERS, Client

TITLE = "Only Ada may see this"


@pytest.fixture(scope="module", params=DATABASES)
def two(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Client, Client, dict[str, str]]]:
    """Two signed-in browsers, the first teacher's things and where they stand."""
    folder: Path = tmp_path_factory.mktemp("two")
    with new_store(request, folder) as store:
        yield from _two(store, folder)


def _two(store: Store, folder: Path) -> Iterator[tuple[Client, Client, dict[str, str]]]:
    bodies = {
        "course": 'format = "6+4"',
        "question": "{}",
        "blueprint": BLUEPRINT,
        "lesson": LESSON,
        "class": "H01",
    }
    with store.write() as db:
        ada, grace = (teachers.add_teacher(db, name) for name in ("ada", "grace"))
        teachers.set_password(db, ada, "tide gauge at dawn")
        secrets = [sessions.open_session(db, one) for one in (ada, grace)]
        made = {kind: kept.keep(db, ada.id, kind, TITLE, body).id for kind, body in bodies.items()}
        made["papers"] = kept.keep(db, ada.id, "papers", TITLE, json.dumps(PAPERS)).id
    app = create_app(store, Settings(), cache=folder / "made")
    with Client(app, base_url=ORIGIN, cookies={"chalkpoint": secrets[0]}) as first:
        first.submit(f"/mark/papers/{made['papers']}/answers", pasted="student,1\nH01,0.1010100 0011")
        first.submit("/teach/rooms", questions="subtract 6.5, 1.25", seats="3")
        made["room"] = first.get("/teach/rooms").text.split("/teach/rooms/")[1].split('"')[0]
        made["job"] = first.submit(f"/set/blueprints/{made['blueprint']}/set", variants="1").url.path.rsplit(
            "/"
        )[-1]
        yield first, Client(app, base_url=ORIGIN, cookies={"chalkpoint": secrets[1]}), made


def owned() -> list[tuple[str, str]]:
    """Return (method, path) of every route that names a thing of a teacher's."""
    found = []
    for route in ROUTES:
        shared = route.path.startswith("/shared") if isinstance(route, Route) else True  # see test_sharing.py
        if isinstance(route, Route) and "{id}" in route.path and route.methods and not shared:
            found += [(method, route.path) for method in sorted(route.methods & {"GET", "POST"})]
    return found


def filled(path: str, made: dict[str, str]) -> str:
    """Return *path* with the first teacher's things in it."""
    first = path.split("/")[1:3]
    kinds = {
        "blueprints": "blueprint",
        "lessons": "lesson",
        "rooms": "room",
        "classes": "class",
        "papers": "papers",
        "questions": "question",
        "{id}": "job" if first[0] == "jobs" else "course",
        "{kind}": "course",
    }
    values = {
        "{id}": made[kinds[first[1]]],
        "{kind}": "course",
        "{student}": "H01",
        "{code}": "H01",
        "{name}": "class.html",
    }
    for hole, value in values.items():
        path = path.replace(hole, value)
    return path


@pytest.mark.parametrize(("method", "path"), owned())
def test_another_teachers_thing_is_not_found(
    two: tuple[Client, Client, dict[str, str]], method: str, path: str
) -> None:
    """The answer is that of a thing that does not exist, and it says nothing of the one that does."""
    _, other, made = two
    where = filled(path, made)
    if method == "GET":
        answer = other.get(where, follow_redirects=False)
    else:
        form = {
            "question": "1",
            "line": "add",
            "marks": "1",
            "reason": "x",
            "act": "open",
            "seat": "1",
            "medium": "slides",
        }
        answer = other.post(
            where, data={"token": other.token(), **form}, headers={"origin": ORIGIN}, follow_redirects=False
        )
    assert answer.status_code == 404, answer.text[:300]
    assert TITLE not in answer.text


@pytest.mark.parametrize("path", ["/work", "/set", "/mark", "/teach", "/teach/rooms", "/courses", "/kept"])
def test_lists_hold_the_teachers_own_things_only(
    two: tuple[Client, Client, dict[str, str]], path: str
) -> None:
    """What one has is not listed, nor counted, for the other."""
    first, other, made = two
    assert TITLE not in other.get(path).text
    assert made["room"] not in other.get(path).text
    if path not in {"/work", "/teach/rooms", "/kept"}:
        assert TITLE in first.get(path).text


def test_things_of_another_cannot_be_reached_through_ones_own(
    two: tuple[Client, Client, dict[str, str]],
) -> None:
    """An id in an address's query, or in a form, is held to the same."""
    _, other, made = two
    assert other.get(f"/set/new?from={made['blueprint']}").status_code == 404
    assert other.get(f"/teach/counter?belief=invert-only&papers={made['papers']}").status_code == 404
    assert other.get(f"/work?operation=add&operands=1,2&course={made['course']}").status_code == 422
    assert other.submit("/courses/choose", course=made["course"]).status_code == 404
