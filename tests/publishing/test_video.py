"""Video files probed: streams, durations, captions, chapters, and the pictures themselves."""

import io
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import av
import pytest

from chalkpoint.publishing.captions import captions
from chalkpoint.publishing.frames import frames
from chalkpoint.publishing.pictures import pictures
from chalkpoint.publishing.spoken import with_sound
from chalkpoint.publishing.typst.stills import stills
from chalkpoint.publishing.video import video
from chalkpoint.publishing.voice import RATE, speak
from chalkpoint.teaching.storyboard import Storyboard
from lessons import one_working


@cache
def short() -> Storyboard:
    """Return the first three steps of a working."""
    told = one_working()
    return replace(told, shots=told.shots[:6])


@cache
def made(kind: str) -> tuple[Storyboard, bytes]:
    """Return a video of some kind with the storyboard it follows."""
    if kind == "silent":
        return short(), video(short())
    if kind == "constant rate":
        brief = replace(short(), shots=short().shots[:2])
        return brief, video(brief, constant_rate=True)
    told, sound = with_sound(short(), speak)
    return told, video(told, sound=sound, open_codecs=kind == "open codecs")


def packets(data: bytes, kind: str) -> Iterator[list[Any]]:
    """Yield the packets of each stream of a kind."""
    with av.open(io.BytesIO(data), "r") as file:
        indexes = [stream.index for stream in file.streams if stream.type == kind]
    for index in indexes:
        with av.open(io.BytesIO(data), "r") as file:
            yield [packet for packet in file.demux(file.streams[index]) if packet.size]


KINDS = ["silent", "spoken", "open codecs", "constant rate"]


@pytest.mark.parametrize("kind", KINDS)
def test_a_video_lasts_as_long_as_its_narration(kind: str) -> None:
    """To 40 ms, the pictures and the whole."""
    told, data = made(kind)
    with av.open(io.BytesIO(data), "r") as file:
        assert file.duration is not None
        assert abs(file.duration / 1000 - told.milliseconds) <= 40
    (shown,) = packets(data, "video")
    end = max(float((packet.pts + (packet.duration or 0)) * packet.time_base) for packet in shown)
    if kind != "open codecs":  # WebM keeps no length of the last picture; the sound carries on
        assert abs(end * 1000 - told.milliseconds) <= 40


@pytest.mark.parametrize("kind", KINDS)
def test_each_chapter_is_a_step(kind: str) -> None:
    """Names and times are the storyboard's."""
    told, data = made(kind)
    with av.open(io.BytesIO(data), "r") as file:
        found = [
            (round(chapter["start"] * float(chapter["time_base"] or 0) * 1000), chapter["metadata"]["title"])
            for chapter in file.chapters()
        ]

    assert found == [(start, name) for start, _, name in told.chapters()]


@pytest.mark.parametrize("kind", ["silent", "spoken"])
def test_captions_are_in_the_file(kind: str) -> None:
    """Text and times of each."""
    told, data = made(kind)
    track = next(packets(data, "subtitle"))
    found = [
        (packet.pts * packet.time_base * 1000, bytes(packet)[2:].decode())
        for packet in track
        if packet.size > 2
    ]

    assert found == [(caption.start, "\n".join(caption.lines)) for caption in captions(told)]


def test_a_silent_video_has_a_track_for_rehearsal() -> None:
    """It says how many seconds there are for each sentence and pause."""
    told, data = made("silent")
    tracks = list(packets(data, "subtitle"))

    assert len(tracks) == 2
    assert bytes(tracks[1][-1])[2:].decode().startswith(("say in", "pause"))
    assert not list(packets(data, "audio"))
    assert told.milliseconds


def test_every_shot_has_its_picture() -> None:
    """A picture starts when its shot starts, and stands until the next."""
    told, data = made("silent")
    (shown,) = packets(data, "video")

    assert [float(packet.pts * packet.time_base) * 1000 for packet in shown] == [
        start for start, _ in told.timed()
    ]


def test_the_picture_in_the_video_is_the_frame_drawn() -> None:
    """Decoded again, it differs from the drawing by no more than coding does."""
    told, data = made("silent")
    drawn = [pixels for _, _, pixels in pictures(stills([frame for _, frame in frames(told)]))]
    with av.open(io.BytesIO(data), "r") as file:
        for frame, pixels in zip(file.decode(video=0), drawn, strict=True):
            again = bytes(frame.reformat(format="bgr0", src_colorspace="ITU709").planes[0])
            apart = [abs(a - b) for a, b in zip(again[::4001], pixels[::4001], strict=True)]
            assert sum(apart) / len(apart) < 6


def test_spoken_cues_never_overrun_their_captions() -> None:
    """Each cue is as long as its sound, and no faster than captions allow."""
    told, sound = with_sound(short(), speak)

    assert len(sound) == 2 * (told.milliseconds * RATE // 1000)
    for spoken, silent in zip(told.timed_cues(), short().timed_cues(), strict=True):
        assert spoken[1].milliseconds >= silent[1].milliseconds
        assert sum(phrase.milliseconds for phrase in spoken[1].phrases) == spoken[1].milliseconds * (
            not spoken[1].silent
        )


def test_the_sound_is_a_voice_and_not_silence() -> None:
    """While a sentence is said, samples differ from nought; during a pause they are nought."""
    told, sound = with_sound(short(), speak)
    for start, cue in told.timed_cues():
        first, last = (2 * (at * RATE // 1000) for at in (start, start + cue.milliseconds))
        assert any(sound[first:last]) != cue.silent


@pytest.mark.parametrize("kind", ["silent", "spoken"])
def test_same_input_same_bytes(kind: str) -> None:
    """Pictures, sound and container."""
    told, data = made(kind)
    sound = with_sound(short(), speak)[1] if kind == "spoken" else b""

    assert video(told, sound=sound) == data


def test_progress_is_told() -> None:
    """After each picture."""
    heard: list[tuple[int, int]] = []
    told = replace(short(), shots=short().shots[:3])
    video(told, progress=lambda done, of: heard.append((done, of)))

    assert heard == [(1, 3), (2, 3), (3, 3)]
