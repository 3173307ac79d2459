"""A stack in the browser: pages handed in, looked through sheet by sheet, marked, and forgotten."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from chalkpoint.records import kept, stacks, teachers
from chalkpoint.records.store import Store, open_store
from chalkpoint.scanning.folder import Folder, packed
from chalkpoint.scanning.stack import WRITTEN, Page, Place, Stack
from chalkpoint.web.artefacts import Artefacts
from conftest_web import PAPERS, Client, Served, serve
from stacks import BLUEPRINT, SEED, TRUTH, Class, torn

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


def test_papers_that_came_as_a_file_say_how_their_stack_is_read(client: Client) -> None:
    """Without a blueprint there is no print here to hold the ink against; it is said before pages are sent."""
    papers = ("papers.json", json.dumps(PAPERS).encode())
    page = client.submit("/mark/take-in", files={"file": papers})
    address = f"{page.url.path}/stack"
    assert address in page.text
    said = client.get(address)
    assert said.status_code == 422
    assert "chalkpoint mark --scan STACK papers.json" in said.text


def test_what_is_no_page_is_said_and_the_page_is_named(
    client: Client, store: Store, tmp_path: Path, heron: Class
) -> None:
    """A text is refused; a torn code is listed, and read once it is typed; whose a page is can be written."""
    client.get("/work")
    address = keep_papers(store, tmp_path / "made", heron)
    refused = client.done(client.submit(address, files=[("stack", ("note.txt", b"mine"))]))
    assert "neither a PDF nor a photograph" in refused.text
    bare = client.done(client.submit(address, files=[("stack", ("a.jpg", b"torn"))]))
    assert "no picture that can be opened" in bare.text

    code = next(iter(heron.printed.files))
    picture = [("stack", ("torn.jpg", packed(torn(heron.printed, code))))]
    assert "with the code that is printed under it" in client.done(client.submit(address, files=picture)).text
    assert "1 of 3 pages read" in client.done(client.submit(address, files=picture, side=code)).text
    stack = stack_in(store, address)
    assert [page.trouble != "" for page in stack.pages] == [True, True, False]
    said = client.submit(
        f"{address}/pages", **{"pupil-1": "", "drop-1": "yes", "pupil-2": "", "pupil-3": "H07"}
    )
    assert "H07" in said.text
    assert "is missing" in said.text


@pytest.fixture(scope="module")
def running(tmp_path_factory: pytest.TempPathFactory, heron: Class) -> Iterator[tuple[Served, str]]:
    """A server with the class's papers, and where their stack is."""
    folder = tmp_path_factory.mktemp("stacks")
    store = open_store(f"sqlite:///{(folder / 'chalkpoint.db').as_posix()}")
    with serve(store, folder / "made") as served:
        yield served, keep_papers(store, folder / "made", heron)


@pytest.mark.parametrize("script", [True, False])
def test_a_montage_by_keyboard_and_without_script(
    browser: Browser, running: tuple[Served, str], script: bool
) -> None:
    """Keys say what a box is; without script each box has its words; either way the sheet is sent as a form."""
    served, address = running
    keep_stack(served, address, stack_of(4, sure=False))
    context = browser.new_context(java_script_enabled=script)
    page = context.new_page()
    page.goto(f"{served.address}{address}")
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
    assert stack_in(served.store, address).places[name.removeprefix("b.")].said == "1"
    context.close()


def test_every_box_can_be_looked_at(browser: Browser, running: tuple[Served, str]) -> None:
    """After 300 drawn by lot were right, the five others are a sheet; what is clicked there is changed."""
    served, address = running
    stack = stack_of(305, sure=True)
    stack.audits = [list(stack.places)[:300]]
    for name in stack.audits[0]:
        stack.places[name].said = "1"
    keep_stack(served, address, stack)
    page = browser.new_page()
    page.goto(f"{served.address}{address}")
    assert "0 wrong of 300 drawn by lot: of the 5 not looked at" in page.inner_text("main")
    page.get_by_role("link", name="Look at every box").click()
    boxes = page.locator("button.box")
    assert boxes.count() == 5
    boxes.nth(2).click()
    with page.expect_navigation():
        page.get_by_role("button", name="Sheet done").click()
    assert "0 wrong of 300 drawn by lot; every box was looked at." in page.inner_text("main")
    assert [place.said for place in stack_in(served.store, address).places.values()][300:].count("0") == 1
    page.close()


def test_a_sheet_in_a_file_is_looked_through_and_saved(browser: Browser, tmp_path: Path) -> None:
    """The page that the command writes: a click, words typed once and taken again, and the file that it takes back."""
    stack, folder = stack_of(3, sure=False), Folder(tmp_path)
    for at, number in enumerate((20, 21, 22)):
        where = (50 + 40 * at, 120, 30, 9, WRITTEN, 1.0, False)
        stack.places[f"1.{number}"] = Place(1, number, 1, "decimal", "blank", at + 1, "free", *where)
    folder.save(stack)
    page = browser.new_page()
    page.goto((tmp_path / "review.html").as_uri())
    page.locator("button.box").nth(1).click()
    typed = page.get_by_placeholder("- if nothing is written")
    typed.nth(0).fill("-5.75")
    typed.nth(0).press("Enter")
    page.keyboard.type("6")
    page.keyboard.press("Enter")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    with page.expect_download() as sent:
        page.get_by_role("button", name="Save review.csv").click()
    sent.value.save_as(tmp_path / "review.csv")
    folder.take(stack)
    assert [place.said for place in stack.places.values()] == ["1", "0", "1", "-5.75", "6", "-5.75"]
    page.close()


def test_a_photograph_from_a_phone(browser: Browser, running: tuple[Served, str], heron: Class) -> None:
    """A page as wide as a phone's takes a picture by its camera, and nothing on the way is wider than it."""
    served, address = running
    with served.store.write() as db:
        stacks.forget(db, teachers.local_teacher(db).id, address.split("/")[3])
    context = browser.new_context(viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto(f"{served.address}{address}")
    camera = page.get_by_label("Or take a photograph")
    assert camera.is_visible()
    assert camera.get_attribute("capture") == "environment"
    camera.set_input_files(heron.stack[0])
    page.get_by_role("button", name="Read them").click()
    page.get_by_text("1 of 1 pages read").wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.get_by_role("link", name="Begin").click()
    page.locator("form[data-kind]").wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    context.close()


def stack_of(count: int, *, sure: bool) -> Stack:
    """Return a stack of one page with *count* boxes read as 1, all sure or all in doubt; it has no picture."""
    stack = Stack("Gauge readings", {"AAAAAA": ["AAAAAA/1"]}, {"AAAAAA": 1})
    stack.pages = [Page(1, "a.jpg", "AAAAAA/1", "H01", width=210, height=297)]
    for at in range(count):
        where = (50 + 9 * (at % 12), 30 + 9 * (at // 12), 8, 9, "1", 0.5, sure)
        place = Place(1, at, 1, "align", "mantissa", at + 1, "bit", *where)
        stack.places[place.id] = place
    return stack


def keep_stack(served: Served, address: str, stack: Stack) -> None:
    """Keep a stack as if it had been read here."""
    with served.store.write() as db:
        stacks.keep(db, teachers.local_teacher(db).id, address.split("/")[3], stack.to_dict())
