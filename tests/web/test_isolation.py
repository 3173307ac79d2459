"""Two teachers on one server: whatever one keeps, every route answers the other as if it were not there."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from starlette.routing import Route

from chalkpoint.records import kept, sessions, teachers
from chalkpoint.records.store import Store, open_store
from chalkpoint.setting.blueprint import STARTING as BLUEPRINT
from chalkpoint.teaching.lessonfile import STARTING as LESSON
from chalkpoint.web.app import ROUTES, create_app
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
    with new_store(request, folder) as store, browsers_of_two(store, folder) as both:
        yield both


@contextmanager
def browsers_of_two(store: Store, folder: Path) -> Iterator[tuple[Client, Client, dict[str, str]]]:
    """Sign two teachers in, and let the first keep something of each kind."""
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
        begun = first.submit(f"/set/blueprints/{made['blueprint']}/set", variants="1")
        made["job"] = begun.history[0].headers["location"].rsplit("/")[-1]
        made["set"] = first.done(begun).url.path.rsplit("/")[-1]
        yield first, Client(app, base_url=ORIGIN, cookies={"chalkpoint": secrets[1]}), made


#: Addresses with a hole that names no thing of a teacher's: a kind of file, a ready example, pages that are none.
OPEN = {"/work/working.{kind}", "/examples/papers/{name}", "/{rest:path}"}
#: A form that each of the routes takes as far as the thing it is about.
FORM = {
    "question": "1",
    "line": "add",
    "marks": "1",
    "reason": "x",
    "act": "open",
    "seat": "1",
    "medium": "captions",
    "variants": "1",
    "teacher": "grace",
    "role": "viewer",
    "student": "H01",
    "written": "0.1010100 0011",
}


def owned() -> list[tuple[str, str]]:
    """Return (method, path) of every route that names a thing of a teacher's."""
    named = [route for route in ROUTES if isinstance(route, Route) and "{" in route.path]
    return [
        (method, route.path)
        for route in named
        for method in sorted((route.methods or set()) & {"GET", "POST"})
        if route.path not in OPEN
    ]


#: What stands in an address after a thing's kind.
KINDS = {
    "blueprints": "blueprint",
    "lessons": "lesson",
    "rooms": "room",
    "classes": "class",
    "papers": "papers",
    "questions": "question",
    "jobs": "job",
    "shared": "class",
    "courses": "course",
    "course": "course",
}
#: Below these something is only where a stack was read, as in tests/web/places/test_stacks.py.
STACK = "/mark/papers/{id}/stack/"
NAMES = {"report": "class.html", "lessons": "captions.vtt", "papers": "papers.json"}


def filled(path: str, made: dict[str, str]) -> str:
    """Return *path* with the first teacher's things in it."""
    path = path.replace(":path}", "}").replace(":int}", "}").replace("{kind}", "course")
    before = path[: path.index("/{id}")].rsplit("/", 1)[1]
    holes = {
        "id": made["set" if path.startswith("/set/papers/") else KINDS[before]],
        "papers": made["papers"],
        "student": "H01",
        "code": "H01",
        "number": "1",
        "side": "1",
        "sheet": "1",
        "name": next((name for part, name in NAMES.items() if f"/{part}/" in path), ""),
    }
    return path.format(**holes)


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
        form = {"token": other.token(), **FORM, "class": made["class"]}
        answer = other.post(where, data=form, headers={"origin": ORIGIN}, follow_redirects=False)
    assert answer.status_code == 404, answer.text[:300]
    assert TITLE not in answer.text


def test_the_owner_finds_what_stands_at_each_of_those_addresses(tmp_path: Path) -> None:
    """So that "not found" above is said of things that are there."""
    store = open_store(f"sqlite:///{(tmp_path / 'chalkpoint.db').as_posix()}")
    with browsers_of_two(store, tmp_path) as (first, _, made):
        posts = [path for method, path in owned() if method == "POST" and not path.endswith("/close")]
        posts = [path for path in posts if not path.startswith(STACK)]
        for path in [*posts, "/teach/rooms/{id}/close"]:
            if path.endswith("/close"):  # the last, since nothing is left of the room
                _find_each(first, made)
            where = filled(path, made)
            decision = re.search(r'name="decision" value="([^"]+)"', first.get(where.rsplit("/", 1)[0]).text)
            answer = first.done(
                first.submit(
                    where, **FORM, **{"class": made["class"]}, decision=decision[1] if decision else ""
                )
            )
            assert answer.status_code != 404, path
    store.close()


def _find_each(first: Client, made: dict[str, str]) -> None:
    for method, path in owned():
        endless = path == "/teach/rooms/{id}/events"
        if (
            method == "GET" and not endless and not path.startswith(("/shared", STACK))
        ):  # not shared with the owner
            assert first.done(first.get(filled(path, made))).status_code != 404, path


def test_removing_ones_examples_leaves_anothers_alone(two: tuple[Client, Client, dict[str, str]]) -> None:
    """Both make the example class; the one who removes hers has none, and the other has all of his."""
    first, other, _ = two
    for browser in (first, other):
        browser.done(browser.submit("/examples/class"))
        assert "example" in browser.get("/mark").text
    before = other.get("/mark").text.count("<b>example</b>")
    assert before
    first.submit("/examples/remove")
    assert "<b>example</b>" not in first.get("/mark").text
    assert other.get("/mark").text.count("<b>example</b>") == before
    other.submit("/examples/remove")


def test_nobody_carries_everybodys_things_away(two: tuple[Client, Client, dict[str, str]]) -> None:
    """Where teachers sign in, no page exports what all of them keep."""
    for browser in two[:2]:
        assert browser.get("/kept/chalkpoint.jsonl").status_code == 404


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
