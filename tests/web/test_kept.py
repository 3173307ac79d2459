"""What is kept, looked over: everything carried away in one file, and what was deleted brought back."""

import io
import json
import re

import pytest

from chalkpoint.records import exchange, kept, teachers
from chalkpoint.records.store import Store
from conftest_web import Client


def test_everything_is_carried_away_in_one_file(client: Client, store: Store) -> None:
    """The page's file is the command's."""
    client.submit("/courses/new", name="12 Heron", format="6+4")
    answer = client.get("/kept/chalkpoint.jsonl")
    assert "attachment" in answer.headers["content-disposition"]
    written = io.StringIO()
    exchange.export_all(store, written)
    assert answer.text == written.getvalue()
    assert [
        json.loads(line)["kind"] for line in answer.text.splitlines() if '"kept"' in line and '"kind"' in line
    ] == ["course"]


def test_a_course_is_kept_chosen_changed_and_deleted(client: Client) -> None:
    """The head of every page says under which it is made; a deleted one is chosen no longer, and comes back."""
    client.submit("/courses/new", name="12 Heron", format="6+4", accepts=["negate-then-align"])
    assert "Course: 12 Heron, 6+4" in client.said("/work")
    assert "in 6+4" in client.said("/work?operation=add&operands=1.5,2.5")
    (where,) = set(re.findall(r'href="/courses/([\w-]{12})"', client.get("/courses").text))
    refused = client.submit(f"/courses/{where}", name="12 Heron", format="banana")
    assert refused.status_code == 422
    assert 'value="banana"' in refused.text
    client.submit(f"/courses/{where}", name="13 Heron", format="8+8")
    assert "Course: 13 Heron, 8+8" in client.said("/work")
    assert "Just deleted" in client.submit(f"/kept/course/{where}/delete").text
    assert "Course: 8+4" in client.said("/work")
    client.submit(f"/kept/course/{where}/restore")
    assert "13 Heron" in client.said("/courses")


@pytest.mark.parametrize("look", ["slate", "light"])
def test_the_room_may_be_dark(client: Client, look: str) -> None:
    """The look is remembered, and leads back to the page."""
    answer = client.submit("/look", look=look, to="/find")
    assert answer.url.path == "/find"
    assert f'data-look="{look}"' in answer.text
    assert client.submit("/look", look="pink").status_code == 422


@pytest.mark.parametrize(
    ("kind", "place", "asked", "size"),
    [
        ("papers", "/mark", "page", 50),
        ("class", "/mark", "classes", 50),
        ("papers", "/set", "page", 50),
        ("blueprint", "/set", "blueprints", 50),
        ("lesson", "/teach", "page", 50),
        ("question", "/work", "page", 20),
    ],
)
def test_a_long_list_shows_everything_a_part_at_a_time(
    client: Client, store: Store, kind: str, place: str, asked: str, size: int
) -> None:
    """Each thing stands on one page, the newest first; beyond the last page stands the last."""
    with store.write() as db:
        me = teachers.local_teacher(db).id
        for number in range(2 * size + 1):
            kept.keep(db, me, kind, f"Gauge {number:03}", '{"operation": "add", "operands": "1.5, 2.5"}')
    shown = [re.findall(r">Gauge (\d+)<", client.get(f"{place}?{asked}={page}").text) for page in (1, 2, 3)]
    assert [len(part) for part in shown] == [size, size, 1]
    assert [number for part in shown for number in part] == [
        f"{number:03}" for number in range(2 * size, -1, -1)
    ]
    assert f'href="{place}?{asked}=2#' in client.get(place).text
    assert "Gauge 000" in client.said(f"{place}?{asked}=9")
    assert client.get(f"{place}?{asked}=0").status_code == 422
