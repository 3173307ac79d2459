"""Lessons: as a form and as text they are the same; what is made of them; a belief's counter-example."""

from __future__ import annotations

import io
import re
import tomllib
import wave
from html import unescape

import av
import pytest
from markupsafe import escape

from chalkpoint.teaching.lessonfile import STARTING
from chalkpoint.working.beliefs.catalogue import BELIEFS
from conftest_web import Client, words

FIELD = re.compile(r'<(?:input|select)[^>]*name="([\w-]+)"[^>]*?(?:value="([^"]*)")?[^>]*>')


def form_of(page: str) -> dict[str, list[str]]:
    """Return the entries of a lesson's form as its page holds them."""
    from html import unescape

    found: dict[str, list[str]] = {}
    for tag in re.findall(r"<input[^>]*>|<select.*?</select>", page, re.DOTALL):
        name = re.search(r'name="([\w-]+)"', tag)
        if name is None or name[1] in {"token", "look", "to"}:
            continue
        chosen = re.search(r'<option(?: value="([^"]*)")? selected>([^<]*)', tag) or re.search(
            r'value="([^"]*)"', tag
        )
        value = next((group for group in chosen.groups() if group is not None), "") if chosen else ""
        found.setdefault(name[1], []).append(unescape(value))
    return found


FULL = """\
title = "Everything a part may have"
pace = 110

[course]
format = "8+4"

[[part]]
kind = "faded"
question = "subtract 8.875, 3.6875"
blanks = ["align", "normalise"]

[[part]]
kind = "mistake"
question = "subtract 8.875, 3.6875"
belief = "invert-only"

[[part]]
kind = "hinge"
question = "subtract 8.875, 3.6875"
beliefs = ["invert-only", "align-skip", "carry-kept"]

[[part]]
kind = "try"
operation = "add"
find = ["align-shift = 2", "lost-ones >= 1"]
names = ["gauge", "surge"]
parallels = 3
pause = 60
"""


@pytest.mark.parametrize("lesson", [STARTING, FULL], ids=["to start from", "full"])
def test_a_lesson_goes_through_its_form_and_stays_the_same(client: Client, lesson: str) -> None:
    """What the form shows, sent again, is the lesson as it was: no entry of it is lost on the way."""
    page = client.submit("/teach/new", lesson=lesson)
    where = page.url.path
    client.submit(where, **form_of(client.get(where).text))
    text = re.search(r"<textarea[^>]*>(.*?)</textarea>", client.get(f"{where}?as=text").text, re.DOTALL)
    assert text
    from html import unescape

    assert tomllib.loads(unescape(text[1])) == tomllib.loads(lesson)


def test_a_format_beside_the_course_is_the_courses_in_the_form(client: Client) -> None:
    """It is not lost, though the form has one place for it."""
    where = client.submit("/teach/new", lesson=FULL.replace("[course]", "").replace("8+4", "6+4")).url.path
    client.submit(where, **form_of(client.get(where).text))
    assert "format = &#34;6+4&#34;" in client.get(f"{where}?as=text").text


@pytest.mark.parametrize(
    "lesson", ["title = 3", "nonsense", 'title = "x"\n[[part]]\nkind = "dance"', 'course = "a.toml"']
)
def test_a_lesson_that_cannot_be_told_is_refused_and_stays_written(client: Client, lesson: str) -> None:
    """One sentence, and the text as it was."""
    page = client.submit("/teach/new", lesson=lesson)
    assert page.status_code == 422
    assert "The lesson" in page.text or "lesson:" in page.text
    assert "You have no lessons yet" in client.said("/teach")


def test_media_are_made_and_the_narration_is_ones_own(client: Client) -> None:
    """Changed words are kept and said; those that lost their headings are refused; slides and captions are made."""
    where = client.submit("/teach/new", lesson=STARTING).url.path
    page = client.get(f"{where}/media").text
    narration = re.search(r'<textarea id="narration"[^>]*>(.*?)</textarea>', page, re.DOTALL)
    assert narration
    from html import unescape

    words = (
        unescape(narration[1])
        .lstrip("\n")
        .replace("The bed gauge reads from the sea bed.", "The gauge stands in the mud.")
    )
    assert client.submit(f"{where}/narration", narration="no headings").status_code == 422
    assert client.submit(f"{where}/narration", narration=words).status_code == 200
    assert "stands in the mud" in client.get(f"{where}/media").text
    done = client.done(client.submit(f"{where}/media", medium=["slides", "captions"]))
    assert "slides.pptx" in done.text
    assert "stands in the mud" in client.get(f"{where}/files/captions.vtt").text
    assert client.get(f"{where}/files/none.txt").status_code == 404
    assert client.submit(f"{where}/media").status_code == 422


def test_a_teachers_own_recording_becomes_a_video(client: Client) -> None:
    """Three times and a sound of four seconds: a video of four seconds, with captions; what is no take is refused."""
    where = client.submit("/teach/new", lesson=STARTING).url.path
    sound = io.BytesIO()
    with wave.open(sound, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(8000)
        file.writeframes(b"\x00\x10" * 4 * 8000)
    times = ("times.txt", b"0:00\n0:02\n0:04 end")

    made = client.done(
        client.submit(f"{where}/take", files={"take": times, "sound": ("voice.wav", sound.getvalue())})
    )
    with av.open(io.BytesIO(client.get(f"{where}/files/lesson.mp4").content), "r") as film:
        assert abs((film.duration or 0) / 1_000_000 - 4) < 0.1
        assert {stream.type for stream in film.streams} >= {"video", "audio"}
    assert "captions.vtt" in made.text

    for files, why in (
        ({}, "No take is chosen"),
        ({"take": times}, "has no sound of its own"),
        ({"take": ("a.take", b"\xff\xfe\x00")}, "is no take"),
        ({"take": ("a.take", b"{}")}, "not a take that a board saved"),
    ):
        refused = client.submit(f"{where}/take", files=files or None)
        assert refused.status_code == 422
        assert why in words(refused.text)


def test_a_lesson_is_made_as_long_as_wanted(client: Client) -> None:
    """Captions of the short one end earlier; a length that is none is refused."""
    where = client.submit("/teach/new", lesson=STARTING).url.path
    ends = []
    for length in ("full", "60s"):
        client.done(client.submit(f"{where}/media", medium=["captions"], length=length))
        ends.append(re.findall(r"--> ([\d:.]+)", client.get(f"{where}/files/captions.vtt").text)[-1])
    assert ends[1] < ends[0]
    assert client.submit(f"{where}/media", medium=["captions"], length="soon").status_code == 422


def test_every_belief_has_a_page(client: Client) -> None:
    """With its counter-example where one shows it, in the pupil's words."""
    listed = client.get("/teach/counter").text
    for name, belief in BELIEFS.items():
        assert f"belief={name}" in listed
        page = client.get(f"/teach/counter?belief={name}")
        assert page.status_code == 200, name
        assert (
            belief.rule.split(".")[0].replace("'", "&#39;")[:20] in page.text or "No question" in page.text
        ), name
        assert f"Where it may come from: {escape(belief.cause)}." in page.text, name
    assert client.get("/teach/counter?belief=banana").status_code == 422


def test_a_lesson_made_of_a_working_keeps_its_decimals_and_names(client: Client) -> None:
    """What was typed is what the lesson asks, not the patterns it was stored as."""
    work = client.get("/work?operation=subtract&operands=8.875, 3.6875&format=8%2B4&names=gauge, datum").text
    address = re.search(r'href="(/teach/new[^"]*)"', work)
    assert address is not None
    page = client.get(address[1].replace("&amp;", "&")).text

    assert "subtract 8.875, 3.6875" in page
    assert re.search("gauge, ?datum", page)


def test_what_a_class_believes_becomes_a_lesson_with_both_workings(client: Client) -> None:
    """From the report's commonest belief: worked, right and wrong together until they part, a question to all."""
    made = client.submit("/teach/counter", belief="invert-only")
    text = unescape(client.get(f"{made.url.path}?as=text").text)

    assert re.findall(r'kind = "(\w+)"', text) == ["worked", "split", "hinge"]
    assert "often written instead" in client.get(f"{made.url.path}/board").text
