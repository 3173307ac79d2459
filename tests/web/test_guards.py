"""What every answer carries, and what is refused before any page sees it."""

import re

import pytest

from chalkpoint.records import kept, teachers
from chalkpoint.records.store import Store
from conftest_web import ORIGIN, Client

PAGES = (
    "/work",
    "/find",
    "/set",
    "/set/new",
    "/mark",
    "/mark/question",
    "/teach",
    "/teach/rooms",
    "/kept",
    "/courses",
)


@pytest.mark.parametrize("page", PAGES)
def test_a_page_may_load_nothing_from_outside_and_run_nothing_written_in_it(
    client: Client, page: str
) -> None:
    """The policy names no other site and no inline script, and the page has none."""
    answer = client.get(page)
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self';" in policy
    assert "frame-ancestors 'none'" in policy
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert not re.search(r"<script(?![^>]*\bsrc=\"/static/)", answer.text)
    assert not re.search(r"\bon\w+\s*=\s*\"", answer.text)
    assert not re.search(r"(?:src|href)=\"(?:https?:)?//", answer.text)


def test_each_answer_has_a_nonce_of_its_own(client: Client) -> None:
    """What allows a page's own styles is never the same twice."""
    policies = {client.get("/work").headers["content-security-policy"] for _ in range(3)}
    assert len(policies) == 3


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1.elsewhere.example", "", "192.168.4.20"])
def test_a_name_that_is_not_ours_is_refused(client: Client, host: str) -> None:
    """A browser led here under another name gets nothing, so no other site can read what is kept."""
    answer = client.get("/work", headers={"host": host})
    assert answer.status_code == 403
    assert "not a name of this machine" in answer.text


@pytest.mark.parametrize("origin", ["https://elsewhere.example", "null", "http://127.0.0.1:9"])
def test_a_form_from_another_site_does_nothing(client: Client, store: Store, origin: str) -> None:
    """Even with the right token, a form from elsewhere is refused and nothing is kept."""
    answer = client.submit("/courses/new", origin=origin, name="Theirs", format="6+4")
    assert answer.status_code == 403
    assert _courses(store) == 0


def test_a_form_without_origin_is_judged_by_what_the_browser_says_of_its_site(
    client: Client, store: Store
) -> None:
    """Where no origin is sent, a request known to come across sites is refused."""
    token = client.token()
    answer = client.post(
        "/courses/new", data={"token": token, "format": "6+4"}, headers={"sec-fetch-site": "cross-site"}
    )
    assert answer.status_code == 403
    assert _courses(store) == 0


@pytest.mark.parametrize("token", ["", "0" * 64, "é"])
def test_a_form_without_the_sessions_token_does_nothing(client: Client, store: Store, token: str) -> None:
    """A form that no page of this session holds is refused with a sentence."""
    client.get("/work")
    answer = client.post("/courses/new", data={"token": token, "format": "6+4"}, headers={"origin": ORIGIN})
    assert answer.status_code == 409
    assert "older than your session" in answer.text
    assert _courses(store) == 0


def test_a_body_that_is_too_large_is_refused(client: Client) -> None:
    """More than a page reads is refused whole, with a sentence."""
    answer = client.submit("/courses/new", name="x" * 1_100_000)
    assert answer.status_code == 413


def test_another_method_is_refused(client: Client) -> None:
    """A page is not asked for in a way it has not."""
    assert client.delete("/work", headers={"origin": ORIGIN}).status_code == 405


def test_the_cookie_cannot_be_read_by_script_nor_sent_from_elsewhere(client: Client) -> None:
    """The session's cookie is for the server alone."""
    cookie = client.get("/work").headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=lax" in cookie


def _courses(store: Store) -> int:
    with store.write() as db:
        return kept.count_of(db, teachers.local_teacher(db).id, "course")
