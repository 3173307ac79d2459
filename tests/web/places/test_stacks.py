"""A stack in the browser: pages handed in, looked through sheet by sheet, marked, and forgotten."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from chalkpoint.records import kept, stacks, teachers
from chalkpoint.records.store import Store, open_store
from chalkpoint.scanning.stack import Stack
from chalkpoint.web.artefacts import Artefacts
from conftest_web import Client, Served, serve
from stacks import BLUEPRINT, SEED, TRUTH, Class

ABOUT = {"blueprint": BLUEPRINT, "variants": "3", "seed": str(SEED)}
NAME = re.compile(r'name="b\.([^"]+)"')


def keep_papers(store: Store, made: Path, heron: Class) -> str:
    """Keep the class's papers with their print, as if they had been set here; return where their stack is."""
    folder = Artefacts(made).folder("papers", *ABOUT.values())
    folder.parent.mkdir(parents=True, exist_ok=True)
    shutil.copytree(heron.folder / "set", folder)
    body = json.dumps(heron.papers.to_dict())
    with store.write() as db:
        me = teachers.local_teacher(db).id
        return f"/mark/papers/{kept.keep(db, me, 'papers', 'Gauge readings', body, about=ABOUT).id}/stack"


def pages_of(heron: Class, count: int) -> list[tuple[str, tuple[str, bytes]]]:
    """Return the first pages of the stack as a form sends them."""
    return [("stack", (path.name, path.read_bytes())) for path in heron.stack[-count:]]


def stack_in(store: Store, address: str) -> Stack:
    """Return what is kept of a stack."""
    with store.read() as db:
        table = stacks.stack_of(db, teachers.local_teacher(db).id, address.split("/")[3])
    assert table
    return Stack.from_dict(table)


def look_through(client: Client, store: Store, address: str, heron: Class) -> int:
    """Say of everything on every sheet what it is, as a teacher would; return how many were looked at."""
    looked = 0
    page = client.get(address)
    while sheet := re.search(rf'href="({address}/sheets/[^"]+)">Begin', page.text):
        stack = stack_in(store, address)
        said = {}
        for name in NAME.findall(client.get(sheet[1]).text):
            place = stack.places.get(name)
            if place is None:
                said[f"b.{name}"] = "box by box"
            elif place.kind == "free":
                said[f"b.{name}"] = "-"
            elif place.kind == "tick":
                said[f"b.{name}"] = "blank"
            else:
                said[f"b.{name}"] = TRUTH[heron.truth[stack.page(place.page).code].truth[place.box]]
        looked += len(said)
        client.submit(sheet[1], **said)
        page = client.get(address)
    return looked


def test_a_stack_is_read_looked_through_and_marked(
    client: Client, store: Store, tmp_path: Path, heron: Class
) -> None:
    """No mark before all was looked at; the audit's outcome stands on the page; then marks beside the ink."""
    client.get("/work")
    address = keep_papers(store, tmp_path / "made", heron)
    assert "has not been tried on real classes" in client.get(address).text

    read = client.done(client.submit(address, files=pages_of(heron, 2)))
    assert "2 of 2 pages read" in read.text
    early = client.submit(f"{address}/mark")
    assert early.status_code == 422
    assert "no mark is made before" in early.text

    assert look_through(client, store, address, heron) > 20
    assert re.search(r"0 wrong of \d+ drawn by lot|every box was looked at", client.get(address).text)
    marked = client.done(client.submit(f"{address}/mark"))
    assert ">01</a>" in marked.text
    assert client.get(f"{address}/ink").text.count("<svg") > 5

    shown = client.get(f"{address}/pages/1")
    assert shown.headers["content-type"] == "image/jpeg"
    client.submit(f"{address}/forget")
    assert "Hand in the pages" in client.get(address).text
    assert client.get(f"{address}/pages/1").status_code == 404


def test_what_is_no_page_is_said_and_the_page_is_named(
    client: Client, store: Store, tmp_path: Path, heron: Class
) -> None:
    """A text is refused; a page of nobody's paper is listed with its trouble; whose a page is can be written."""
    client.get("/work")
    address = keep_papers(store, tmp_path / "made", heron)
    refused = client.done(client.submit(address, files=[("stack", ("note.txt", b"mine"))]))
    assert "neither a PDF nor a photograph" in refused.text
    bare = client.done(client.submit(address, files=[("stack", ("a.jpg", b"torn"))]))
    assert "no picture that can be opened" in bare.text

    client.done(client.submit(address, files=pages_of(heron, 1)))
    stack = stack_in(store, address)
    assert [page.trouble != "" for page in stack.pages] == [True, False]
    said = client.submit(f"{address}/pages", **{"pupil-1": "", "drop-1": "yes", "pupil-2": "H07"})
    assert "H07" in said.text
    assert "is missing" in said.text


@pytest.mark.parametrize("script", [True, False])
def test_a_montage_by_keyboard_and_without_script(
    browser: Browser, tmp_path: Path, heron: Class, script: bool
) -> None:
    """Keys say what a box is; without script each box has its words; either way the sheet is sent as a form."""
    made, store = tmp_path / "made", open_store(f"sqlite:///{(tmp_path / 'chalkpoint.db').as_posix()}")
    with serve(store, made) as running:
        address = keep_papers(store, made, heron)
        _read_into(running, address, heron)
        context = browser.new_context(java_script_enabled=script)
        page = context.new_page()
        page.goto(f"{running.address}{address}")
        page.get_by_role("link", name="Begin").click()
        name = page.locator("select").first.get_attribute("name") or ""
        if script:
            page.keyboard.press("1")
            page.keyboard.press("0")
            page.keyboard.press("u")
            assert page.locator("button.box").first.get_attribute("value") == "1"
            assert page.locator("#stands svg").count() == 1
            with page.expect_navigation():
                page.keyboard.press("Enter")
        else:
            page.locator("select").first.select_option("1")
            with page.expect_navigation():
                page.get_by_role("button", name="Sheet done").click()
        assert stack_in(running.store, address).places[name.removeprefix("b.")].said == "1"
        context.close()


def _read_into(running: Served, address: str, heron: Class) -> None:
    """Keep a stack of one page without its pictures, all in doubt."""
    stack = Stack("Gauge readings", {"AAAAAA": ["AAAAAA/1"]}, {"AAAAAA": 1})
    table = stack.to_dict()
    table["pages"] = [
        {"number": 1, "source": "a.jpg", "code": "AAAAAA/1", "pupil": "H01", "width": 210, "height": 297}
    ]
    table["places"] = [
        [1, at, 1, "align", "mantissa", at + 1, "bit", 50 + 9 * at, 80, 8, 9, "1", 0.5, False, ""]
        for at in range(4)
    ]
    with running.store.write() as db:
        stacks.keep(db, teachers.local_teacher(db).id, address.split("/")[3], table)
