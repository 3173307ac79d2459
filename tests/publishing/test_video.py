"""Video files probed: streams, lengths, captions and their style, chapters, the pictures, sound against picture."""

import base64
import io
import re
import struct
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest
from playwright.sync_api import Browser

from chalkpoint.publishing.captions import captions
from chalkpoint.publishing.film.pen import Canvas
from chalkpoint.publishing.film.timeline import RATE as PICTURES
from chalkpoint.publishing.film.timeline import stretches
from chalkpoint.publishing.spoken import with_sound
from chalkpoint.publishing.video import video
from chalkpoint.publishing.voice import RATE, speak
from chalkpoint.teaching.digits import count_words
from chalkpoint.teaching.storyboard import Storyboard
from chalkpoint.teaching.timing import BIT_PACE
from lessons import one_working, told

KINDS = ["silent", "spoken", "open codecs", "full repeats"]


@cache
def short() -> Storyboard:
    """Return the first steps of a working: the question, the operands, digits that move, a countdown."""
    return replace(one_working(), shots=one_working().shots[:4])


@cache
def made(kind: str) -> tuple[Storyboard, bytes]:
    """Return a video of some kind with the storyboard it follows."""
    if kind == "silent":
        return short(), video(short())
    if kind == "full repeats":
        brief = replace(short(), shots=short().shots[:1])
        return brief, video(brief, full_repeats=True)
    told_on, sound = with_sound(short(), speak)
    return told_on, video(told_on, sound=sound, open_codecs=kind == "open codecs")


def packets(data: bytes, kind: str) -> Iterator[list[Any]]:
    """Yield the packets of each stream of a kind."""
    with av.open(io.BytesIO(data), "r") as file:
        indexes = [stream.index for stream in file.streams if stream.type == kind]
    for index in indexes:
        with av.open(io.BytesIO(data), "r") as file:
            yield [packet for packet in file.demux(file.streams[index]) if packet.size]


@cache
def brightness(kind: str) -> list[np.ndarray]:
    """Return every eighth line of each picture of a video, decoded."""
    with av.open(io.BytesIO(made(kind)[1]), "r") as file:
        return [luma(frame) for frame in file.decode(video=0)]


def luma(frame: av.VideoFrame) -> np.ndarray:
    """Return every eighth point of a picture's brightness."""
    plane = frame.planes[0]
    return (
        np.frombuffer(memoryview(plane), np.uint8)
        .reshape(-1, plane.line_size)[::8, : frame.width : 8]
        .astype(int)
    )


@pytest.mark.parametrize("kind", KINDS)
def test_a_video_lasts_as_long_as_its_narration(kind: str) -> None:
    """To 40 ms, the pictures and the whole."""
    told_on, data = made(kind)
    with av.open(io.BytesIO(data), "r") as file:
        assert file.duration is not None
        assert abs(file.duration / 1000 - told_on.milliseconds) <= 60
    (shown,) = packets(data, "video")
    end = max(float((packet.pts + (packet.duration or 0)) * packet.time_base) for packet in shown)
    if kind != "open codecs":  # WebM keeps no length of the last picture; the sound carries on
        assert abs(end * 1000 - told_on.milliseconds) <= 40


@pytest.mark.parametrize("kind", KINDS)
def test_each_chapter_is_a_step(kind: str) -> None:
    """Names and times are the storyboard's."""
    told_on, data = made(kind)
    with av.open(io.BytesIO(data), "r") as file:
        found = [
            (round(chapter["start"] * float(chapter["time_base"] or 0) * 1000), chapter["metadata"]["title"])
            for chapter in file.chapters()
        ]

    assert found == [(start, name) for start, _, name in told_on.chapters()]


@pytest.mark.parametrize("kind", ["silent", "spoken"])
def test_captions_are_in_the_file(kind: str) -> None:
    """Text and times of each."""
    told_on, data = made(kind)
    track = next(packets(data, "subtitle"))
    found = [
        (packet.pts * packet.time_base * 1000, bytes(packet)[2:].decode())
        for packet in track
        if packet.size > 2
    ]

    assert found == [(caption.start, "\n".join(caption.lines)) for caption in captions(told_on)]


def test_captions_are_light_on_dark_in_the_kept_strip() -> None:
    """The MP4's own text style: centred, in lines 258 to 288 of 288, on a track as large as the picture."""
    data = made("spoken")[1]
    entry = data.index(b"tx3g") + 12  # after the kind, six zeros and a reference
    flags, across, down, back = struct.unpack_from(">IBBI", data, entry)
    top, left, bottom, right = struct.unpack_from(">4H", data, entry + 10)
    _, _, _, style, size, fore = struct.unpack_from(">HHHBBI", data, entry + 18)

    assert (across, down - 256) == (1, -1)
    assert (top, left, bottom, right) == (258, 0, 288, 512)
    assert 258 / 288 * 1080 >= 966  # the strip's own top
    assert (back, fore, size, style, flags) == (0x1C2223FF, 0xF3EFE4FF, 12, 0, 0)


def test_no_caption_breaks_inside_a_number_or_is_too_fast() -> None:
    """Two lines of 37 at most, every number whole, at most 160 words a minute."""
    for one in (told(), one_working()):
        for _, cue in one.timed_cues():
            if cue.silent:
                continue
            numbers = re.findall(r"[\u2212\d.,/]*\d", cue.written)
            lines = [line for phrase in cue.phrases for line in phrase.lines]
            assert all(any(number in line for line in lines) for number in numbers)
            for phrase in cue.phrases:
                assert len(phrase.lines) <= 2
                assert max(map(len, phrase.lines)) <= 37
                words = count_words(" ".join(phrase.lines))
                assert words * 60_000 <= 160 * phrase.milliseconds


def test_a_silent_video_has_a_track_for_rehearsal() -> None:
    """It says how many seconds there are for each sentence and pause."""
    data = made("silent")[1]
    tracks = list(packets(data, "subtitle"))

    assert len(tracks) == 2
    assert all(
        bytes(each)[2:].decode().startswith(("say in", "pause")) for each in tracks[1] if each.size > 2
    )
    assert not list(packets(data, "audio"))


def test_pictures_come_25_times_a_second() -> None:
    """None is left out, none comes twice."""
    (shown,) = packets(made("silent")[1], "video")

    assert {later.pts - packet.pts for packet, later in pairwise(shown)} == {shown[0].duration}
    assert len(shown) == short().milliseconds * PICTURES // 1000


def test_a_repeat_is_small_and_shows_what_was_before() -> None:
    """Most pictures take a few bytes; decoded they equal the picture before, to the last point."""
    (shown,) = packets(made("silent")[1], "video")
    seen = brightness("silent")
    repeats = [at for at, packet in enumerate(shown) if packet.size < 16]

    assert len(repeats) > len(shown) / 2
    assert all(bool(np.array_equal(seen[at], seen[at - 1])) for at in repeats)


def test_the_picture_in_the_video_is_the_page_drawn() -> None:
    """At the end of each cue it differs from the drawing by no more than coding does."""
    seen = brightness("silent")
    for stretch in stretches(short()):
        if stretch.asked:
            continue
        canvas = Canvas()
        for item in stretch.picture.items.values():
            item.draw(canvas)
        drawn = canvas.planes[0][::8, ::8].astype(int)
        assert np.abs(seen[stretch.first + stretch.count - 1] - drawn).mean() < 2


def test_nothing_stands_still_for_twenty_seconds() -> None:
    """A countdown moves too."""
    seen, last = brightness("silent"), 0
    for at in range(1, len(seen)):
        if not np.array_equal(seen[at], seen[at - 1]):
            last = at
        assert at - last < 20 * PICTURES


def test_a_film_can_be_sought() -> None:
    """Begun at any second it shows what it shows when played from the start."""
    data, seen = made("spoken")[1], brightness("spoken")
    for second in (3, 15, 40):
        with av.open(io.BytesIO(data), "r") as file:
            file.seek(second * 1_000_000)
            for frame in file.decode(video=0):
                at = round((frame.time or 0) * PICTURES)
                if at >= second * PICTURES:
                    assert np.array_equal(luma(frame), seen[at])
                    break


SHOW = (Path(__file__).parents[2] / "benchmarks/film_seeking.js").read_text(encoding="utf-8")


def test_a_browser_shows_what_ffmpeg_shows(browser: Browser) -> None:
    """Two engines, sought forwards and back: the same pictures, and it plays on from the last."""
    told_on, data = made("silent")
    seconds = [15.02, 40.02, 3.02, 33.02]
    page = browser.new_page()
    found = page.evaluate(SHOW, [base64.b64encode(data).decode(), seconds])
    page.close()

    assert found["error"] is None
    assert found["played"]
    assert abs(found["duration"] * 1000 - told_on.milliseconds) <= 60
    with av.open(io.BytesIO(data), "r") as file:
        small = {
            at: frame.reformat(240, 135, "gray").to_ndarray().astype(int)
            for at, frame in enumerate(file.decode(video=0))
            if at in {int(second * PICTURES) for second in seconds}
        }
    for second, luma in zip(seconds, found["shown"], strict=True):
        drawn = np.array(luma).reshape(135, 240)
        apart = [float(np.abs(drawn - one).mean()) for one in small.values()]
        assert apart[list(small).index(int(second * PICTURES))] == min(apart) < 6


def test_sound_begins_with_its_picture() -> None:
    """Each sentence is heard within 40 ms of when its picture and its caption come."""
    told_on, data = made("spoken")
    with av.open(io.BytesIO(data), "r") as file:
        heard = np.concatenate([frame.to_ndarray()[0] for frame in file.decode(audio=0)])
        rate = file.streams.audio[0].rate
    for start, cue in told_on.timed_cues():
        first = round(start * rate / 1000)
        if not cue.silent:
            loud = np.flatnonzero(np.abs(heard[first : first + rate]) > 0.02)
            assert loud[0] / rate < 0.14  # the voice itself takes a breath of 0.1 s to rise
            before = heard[max(0, first - round(0.05 * rate)) : first]
            assert np.abs(before).max(initial=0) < 0.02
        assert (start * PICTURES // 1000) / PICTURES * 1000 <= start + 40


def test_spoken_cues_never_overrun_their_captions() -> None:
    """Each cue is as long as its sound, and no faster than captions allow."""
    told_on, sound = with_sound(short(), speak)

    assert len(sound) == 2 * (told_on.milliseconds * RATE // 1000)
    for spoken, silent in zip(told_on.timed_cues(), short().timed_cues(), strict=True):
        assert spoken[1].milliseconds >= silent[1].milliseconds
        assert sum(phrase.milliseconds for phrase in spoken[1].phrases) == spoken[1].milliseconds * (
            not spoken[1].silent
        )


def test_nothing_is_spoken_too_fast() -> None:
    """At most 160 words a minute while it is said, about 130 in the long run."""
    said = [cue.spoken for shot in one_working().shots for cue in shot.cues if not cue.silent]
    lengths = [len(sound) / 2 / RATE / 60 for sound in speak(said, BIT_PACE)]
    words = [len(sentence.split()) for sentence in said]

    assert max(each / long for each, long in zip(words, lengths, strict=True)) <= 160
    assert 115 <= sum(words) / sum(lengths) <= 140


def test_the_sound_is_a_voice_and_not_silence() -> None:
    """While a sentence is said, samples differ from nought; during a pause they are nought."""
    told_on, sound = with_sound(short(), speak)
    for start, cue in told_on.timed_cues():
        first, last = (2 * (at * RATE // 1000) for at in (start, start + cue.milliseconds))
        assert any(sound[first:last]) != cue.silent


def test_same_input_same_bytes() -> None:
    """Pictures, sound and container."""
    told_on, data = made("silent")

    assert video(told_on) == data


def test_progress_is_told() -> None:
    """After each cue, up to the last."""
    heard: list[tuple[int, int]] = []
    brief = replace(short(), shots=short().shots[:1])
    video(brief, progress=lambda done, of: heard.append((done, of)))

    assert heard == [(1, 2), (2, 2)]
