"""Every page's words in one file, so that a change of wording is seen and read aloud once.

CHALKPOINT_WRITE_WORDS=1 writes the file anew; read what changed before it is kept.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from chalkpoint.records import news
from chalkpoint.records.store import open_store
from chalkpoint.web.app import create_app
from chalkpoint.web.settings import Settings
from conftest_web import ORIGIN, Client, furnish, words
from pages import FOUND, PAGES

FILE = Path(__file__).parent / "words.txt"
#: Pages that are mostly somebody's own text or a drawing, or say again what another page says.
MUCH = {"{lesson}/board", f"{FOUND}&simplest=10", "/set/new?as=text", "{lesson}/media"}
#: What differs from run to run: days, times, names made by chance, addresses.
CHANGING = (
    (re.compile(r"\b20\d\d-\d\d-\d\d(?:[ T]\d\d:\d\d(?::\d\d)?)?"), "DAY"),
    (re.compile(r"\b\d\d (?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b"), "WEEK"),
    (re.compile(r"\b\d\d:\d\d UTC"), "TIME"),
    (re.compile(r"\bby \d+\.\d+\.\d+ [0-9a-f]{16}"), "by RULES"),
    (re.compile(r"\b127\.0\.0\.1:\d+|\b[\w-]+\.local\b"), "ADDRESS"),
)


SILENT = re.compile(r"<(script|style|svg|datalist|select|nav)\b.*?</\1>", re.DOTALL)


def settled(page: str) -> str:
    """Return a page's words: no scripts or drawings, and nothing that differs from run to run."""
    text = re.sub(r"(?<=[.?!:]) (?=[A-Z])", "\n", words(SILENT.sub(" ", page)))
    for pattern, name in CHANGING:
        text = pattern.sub(name, text)
    return text


@pytest.fixture(scope="module")
def spoken(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The words of every page of a server in use, a page after the other."""
    folder = tmp_path_factory.mktemp("words")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(news, "LOOKED_EVERY", 0.02)
        store = open_store(f"sqlite:///{(folder / 'chalkpoint.db').as_posix()}")
        with Client(create_app(store, Settings(), cache=folder / "made"), base_url=ORIGIN) as client:
            empty = [(page, client.get(page)) for page in ("/find", "/set", "/mark", "/teach", "/kept")]
            at = furnish(client)
            full = [(page, client.done(client.get(page.format(**at)))) for page in PAGES if page not in MUCH]
    (room,) = re.findall(r", word <b>([^<]+)</b>", dict(full)["{room}"].text)
    text = "\n".join(f"# {page}\n{settled(answer.text)}\n" for page, answer in [*empty, *full])
    return text.replace(room, "ROOM")


def test_the_words_of_every_page_are_those_that_were_read(spoken: str) -> None:
    """A wording that changed is shown by page."""
    if os.environ.get("CHALKPOINT_WRITE_WORDS"):
        FILE.write_text(spoken, encoding="utf-8")
    now, before = (
        [page.strip().split("\n", 1) for page in re.split(r"^# ", text, flags=re.MULTILINE)[1:]]
        for text in (spoken, FILE.read_text(encoding="utf-8"))
    )
    assert now == before
