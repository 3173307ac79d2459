"""A storyboard as video: pictures that move 25 times a second, a voice, captions in their strip, chapters.

H.264 and AAC in MP4 by default, which every editor and school computer plays; "open" asks for AV1 and Opus in
WebM, whose pictures are shown as long as they must and do not move. Only what changes is drawn and coded, so a
lesson is made in a twentieth of the time it takes.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from chalkpoint.numbers.errors import EntryError, missing_extra
from chalkpoint.publishing.captions import Caption, captions
from chalkpoint.publishing.film import coding
from chalkpoint.publishing.film.captiontrack import styled
from chalkpoint.publishing.film.timeline import RATE as PICTURES
from chalkpoint.publishing.film.timeline import Stretch, drawn, stretches
from chalkpoint.publishing.voice import RATE
from chalkpoint.teaching.storyboard import Storyboard

if TYPE_CHECKING:
    from av.container import OutputContainer

__all__ = ["Format", "video"]

MILLISECOND = Fraction(1, 1000)
OPUS_RATE = 48_000

#: What the caption encoders want to see before they open; how captions look is set in the file itself.
HEADER = (
    b"[Script Info]\nScriptType: v4.00+\nPlayResX: 1920\nPlayResY: 1080\n\n[V4+ Styles]\n"
    b"Format: Name, Fontname, Fontsize, PrimaryColour, SecondaryColour, OutlineColour, BackColour, Bold, Italic, "
    b"Underline, StrikeOut, ScaleX, ScaleY, Spacing, Angle, BorderStyle, Outline, Shadow, Alignment, MarginL, "
    b"MarginR, MarginV, Encoding\n"
    b"Style: Default,sans-serif,44,&H00E4EFF3,&H00E4EFF3,&H0023221C,&H0023221C,0,0,0,0,100,100,0,0,3,2,0,2,60,60,24,1"
    b"\n\n[Events]\nFormat: Layer, Start, End, Style, Name, MarginL, MarginR, MarginV, Effect, Text\n"
)

#: Told how many cues of how many are drawn.
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Format:
    """A kind of file and what it is coded with."""

    container: str
    video: str
    video_options: dict[str, str]
    audio: str
    audio_options: dict[str, str]
    captions: str


MP4 = Format("mp4", "libx264", coding.OPTIONS, "aac", {"aac_coder": "fast", "b": "96000"}, "mov_text")
WEBM = Format(
    "webm",
    "libsvtav1",
    {"preset": "9", "crf": "35", "svtav1-params": "lp=1:avif=0"},
    "libopus",
    {"b": "48000"},
    "webvtt",
)


def video(
    told: Storyboard,
    *,
    sound: bytes = b"",
    open_codecs: bool = False,
    full_repeats: bool = False,
    theme: str = "light",
    progress: Progress | None = None,
) -> bytes:
    """Return *told* as a video file, the same bytes every time.

    sound         what `spoken.with_sound` gave with *told*; without it the video is silent, with a second caption
                  track for rehearsal that says how long each sentence and pause is
    full_repeats  code every picture in full, for a player that does not take repeats
    progress      called after each cue

    Raises EntryError when the video extra is not installed or an encoder is missing.
    """
    kind = WEBM if open_codecs else MP4
    told_on = list(stretches(told, motion=kind is MP4))
    with (
        tempfile.TemporaryDirectory() as folder
    ):  # what is played while it loads is moved to the front at the end
        path = Path(folder) / f"lesson.{kind.container}"
        with _opened(path, kind) as file:
            writer = Writer(file, kind, told, sound)
            writer.write(told_on, theme, progress or (lambda done, of: None), repeats=not full_repeats)
        made = path.read_bytes()
    return styled(made) if kind is MP4 else made


def _opened(path: Path, kind: Format) -> OutputContainer:
    try:
        import av
    except ImportError as reason:
        raise missing_extra("video", "av", "video") from reason
    for name in (kind.video, kind.audio):
        try:
            av.Codec(name, "w")
        except ValueError as reason:
            other = "without --open-codecs" if kind is WEBM else "with --open-codecs"
            raise EntryError(f"this installation of PyAV cannot write {name}; try {other}") from reason
    options = {"fflags": "+bitexact"} | ({"movflags": "+faststart"} if kind is MP4 else {})
    return av.open(str(path), "w", format=kind.container, container_options=options)


class Writer:
    """Writes the streams of one file."""

    def __init__(self, file: OutputContainer, kind: Format, told: Storyboard, sound: bytes) -> None:
        self.file = file
        self.told = told
        self.sound = sound
        self.kind = kind
        file.metadata["title"] = told.title
        self.picture: Any = file.add_stream(kind.video, rate=PICTURES, options=kind.video_options)
        coding.prepare(self.picture)
        if kind is WEBM:
            context: Any = self.picture.codec_context
            self.picture.time_base = context.time_base = MILLISECOND
            context.gop_size = 1  # every still can be sought
        self.voice: Any = None
        if sound:
            self.voice = file.add_stream(
                kind.audio,
                rate=OPUS_RATE if kind is WEBM else RATE,
                layout="mono",
                options=kind.audio_options,
            )
        self.texts = [self._text_stream("Captions")]
        if not sound:
            self.texts.append(self._text_stream("Rehearsal"))
        file.set_chapters([self._chapter(at, *chapter) for at, chapter in enumerate(told.chapters())])

    def write(self, told: list[Stretch], look: str, progress: Progress, *, repeats: bool) -> None:
        """Write everything, in the order of time within each stream."""
        if self.kind is MP4:
            for picture in coding.coded(told, look, repeats=repeats, progress=progress):
                self._picture(picture)
        else:
            self._stills(told, look, progress)
        if self.voice:
            self._speech()
        tracks = [list(captions(self.told)), list(_rehearsal(self.told))]
        for stream, track in zip(self.texts, tracks, strict=False):
            for caption in track:
                self._caption(stream, caption)

    def _picture(self, coded: coding.Coded) -> None:
        from av import Packet

        packet = Packet(coded.data)
        packet.stream, packet.time_base = self.picture, Fraction(1, PICTURES)
        packet.pts = packet.dts = coded.number
        packet.duration, packet.is_keyframe = 1, coded.key
        self.file.mux(packet)

    def _stills(self, told: list[Stretch], look: str, progress: Progress) -> None:
        """Write pictures shown until the next; the coder does not know how long the last one is shown."""
        import numpy as np
        from av import VideoFrame

        lengths: dict[int, int] = {}
        for done, stretch in enumerate(told, start=1):
            shown = list(drawn(stretch, look))
            ends = [number for number, _ in shown[1:]] + [stretch.first + stretch.count]
            for (number, canvas), end in zip(shown, ends, strict=True):
                frame = VideoFrame.from_ndarray(np.concatenate(_stacked(canvas.planes)), "yuv420p")
                frame.pts, frame.time_base = number * 1000 // PICTURES, MILLISECOND
                lengths[number * 1000 // PICTURES] = (end - number) * 1000 // PICTURES
                self._still_packets(self.picture.encode(frame), lengths)
            progress(done, len(told))
        self._still_packets(self.picture.encode(None), lengths)

    def _still_packets(self, packets: Any, lengths: dict[int, int]) -> None:
        for packet in packets:
            packet.duration = lengths[packet.pts]
            self.file.mux(packet)

    def _speech(self) -> None:
        from av import AudioFrame, AudioResampler

        resampler = AudioResampler(
            format="fltp" if self.kind is MP4 else "s16", layout="mono", rate=self.voice.rate
        )
        chunk = 2 * 8192
        for at in range(0, len(self.sound), chunk):
            part = self.sound[at : at + chunk]
            frame = AudioFrame(format="s16", layout="mono", samples=len(part) // 2)
            frame.planes[0].update(part + b"\x00" * (frame.planes[0].buffer_size - len(part)))
            frame.sample_rate, frame.pts, frame.time_base = RATE, at // 2, Fraction(1, RATE)
            for ready in resampler.resample(frame):
                self._mux(self.voice.encode(ready))
        for ready in resampler.resample(None):
            self._mux(self.voice.encode(ready))
        self._mux(self.voice.encode(None))

    def _text_stream(self, title: str) -> Any:
        stream: Any = self.file.add_stream(self.kind.captions)
        stream.codec_context.subtitle_header = HEADER
        stream.time_base = MILLISECOND
        stream.metadata["title"], stream.metadata["language"] = title, "eng"
        return stream

    def _caption(self, stream: Any, caption: Caption) -> None:
        from av import Packet

        text = "\n".join(caption.lines).encode()
        packet = Packet(len(text).to_bytes(2, "big") + text if self.kind is MP4 else text)
        packet.stream, packet.time_base = stream, MILLISECOND
        packet.pts = packet.dts = caption.start
        packet.duration = caption.end - caption.start
        self.file.mux(packet)

    def _mux(self, packets: Any) -> None:
        for packet in packets:
            self.file.mux(packet)

    @staticmethod
    def _chapter(at: int, start: int, end: int, name: str) -> Any:
        return {
            "id": at + 1,
            "start": start,
            "end": end,
            "time_base": MILLISECOND,
            "metadata": {"title": name},
        }


def _stacked(planes: list[Any]) -> list[Any]:
    """Return the planes of a picture as the library takes them: one below the other, chroma in full lines."""
    luma, *chroma = planes
    return [luma, *(plane.reshape(plane.shape[0] // 2, -1) for plane in chroma)]


def _rehearsal(told: Storyboard) -> Iterator[Caption]:
    """Yield what helps a teacher record: each sentence or pause with the seconds there are for it."""
    for start, cue in told.timed_cues():
        seconds = f"{cue.milliseconds / 1000:.0f} s"
        first = f"pause {seconds}: {cue.written}" if cue.silent else f"say in {seconds}"
        yield Caption(start, start + cue.milliseconds, (first,))
