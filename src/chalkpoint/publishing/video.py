"""A storyboard as video: a picture a shot, each standing as long as its narration; captions, chapters, sound.

H.264 and AAC in MP4 by default, which every editor and school computer plays; "open" asks for AV1 and Opus in
WebM. Pictures stand as long as they must (variable frame durations), so a video is small and quickly made;
editors that want a constant rate get one.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from chalkpoint.numbers.errors import EntryError, missing_extra
from chalkpoint.publishing.captions import Caption, captions
from chalkpoint.publishing.frames import Frame, frames
from chalkpoint.publishing.pictures import pictures
from chalkpoint.publishing.stage import HEIGHT, WIDTH
from chalkpoint.publishing.typst.stills import stills
from chalkpoint.publishing.voice import RATE
from chalkpoint.teaching.storyboard import Storyboard

if TYPE_CHECKING:
    from av.container import OutputContainer

__all__ = ["Format", "video"]

MILLISECOND = Fraction(1, 1000)
BT709 = 1  # the colours of high definition, so that players show the look as it is
CONSTANT_RATE = 25  # frames a second, for editors
OPUS_RATE = 48_000

#: What the caption encoders want to see before they open; captions themselves are written as they stand.
HEADER = (
    b"[Script Info]\nScriptType: v4.00+\n\n[V4+ Styles]\nFormat: Name, Fontname, Fontsize\n"
    b"Style: Default,Arial,16\n\n[Events]\nFormat: Layer, Start, End, Style, Text\n"
)

#: Told how many pictures of how many are done.
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


MP4 = Format(
    "mp4",
    "libx264",
    {"preset": "veryfast", "tune": "stillimage", "crf": "20", "threads": "1"},
    "aac",
    {"aac_coder": "fast", "b": "96000"},
    "mov_text",
)
FAST = {"libx264": {"preset": "ultrafast"}}  # thousands of equal pictures: speed before size
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
    constant_rate: bool = False,
    theme: str = "light",
    progress: Progress | None = None,
) -> bytes:
    """Return *told* as a video file, the same bytes every time.

    sound     what `spoken.with_sound` gave with *told*; without it the video is silent, with a second caption
              track for rehearsal that says how long each sentence and pause is
    progress  called after each picture

    Raises EntryError when the video extra is not installed or an encoder is missing.
    """
    kind = WEBM if open_codecs else MP4
    held = io.BytesIO()
    with _opened(held, kind) as file:
        writer = Writer(file, kind, told, sound, constant_rate=constant_rate)
        writer.write(_shown(told, theme), progress or (lambda done, of: None))
    return held.getvalue()


def _opened(held: io.BytesIO, kind: Format) -> OutputContainer:
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
    return av.open(held, "w", format=kind.container, container_options={"fflags": "+bitexact"})


def _shown(told: Storyboard, theme: str) -> list[tuple[int, int, bytes]]:
    """Return (start in ms, length in ms, pixels) of each shot; equal frames are drawn once."""
    shown = frames(told)
    distinct: list[Frame] = []
    places: list[int] = []
    for _, frame in shown:
        known = next(
            (at for at, other in enumerate(distinct[-3:], max(0, len(distinct) - 3)) if other == frame), None
        )
        if known is None:
            distinct.append(frame)
        places.append(len(distinct) - 1 if known is None else known)
    drawn = [pixels for _, _, pixels in pictures(stills(distinct, theme=theme))]
    starts = [start for start, _ in told.timed()]
    return [
        (start, shot.milliseconds, drawn[place])
        for start, (shot, _), place in zip(starts, shown, places, strict=True)
        if shot.milliseconds
    ]


class Writer:
    """Writes the streams of one file."""

    def __init__(
        self, file: OutputContainer, kind: Format, told: Storyboard, sound: bytes, *, constant_rate: bool
    ) -> None:
        self.file = file
        self.told = told
        self.sound = sound
        self.constant_rate = constant_rate
        self.kind = kind
        file.metadata["title"] = told.title
        self.base = Fraction(1, CONSTANT_RATE) if constant_rate else MILLISECOND
        options = kind.video_options | (FAST.get(kind.video, {}) if constant_rate else {})
        picture: Any = file.add_stream(kind.video, rate=CONSTANT_RATE, options=options)
        self.picture = picture
        self.picture.width, self.picture.height, self.picture.pix_fmt = WIDTH, HEIGHT, "yuv420p"
        self.picture.time_base = self.picture.codec_context.time_base = self.base
        self.picture.codec_context.max_b_frames = 0
        for tag in ("color_range", "color_primaries", "color_trc", "colorspace"):
            setattr(self.picture.codec_context, tag, BT709)
        self.picture.codec_context.gop_size = 250 if constant_rate else 1  # every still can be sought
        self._lengths: dict[int, int] = {}  # by when a picture starts, in the stream's own units
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

    def write(self, shown: list[tuple[int, int, bytes]], progress: Progress) -> None:
        """Write everything, in the order of time within each stream."""
        for done, (start, length, pixels) in enumerate(shown, start=1):
            self._still(start, length, pixels)
            progress(done, len(shown))
        self._pictures(self.picture.encode(None))
        if self.voice:
            self._speech()
        tracks = [list(captions(self.told)), list(_rehearsal(self.told))]
        for stream, track in zip(self.texts, tracks, strict=False):
            for caption in track:
                self._caption(stream, caption)

    def _still(self, start: int, length: int, pixels: bytes) -> None:
        from av import VideoFrame

        frame = VideoFrame(WIDTH, HEIGHT, "bgr0")
        frame.planes[0].update(pixels)
        coded = frame.reformat(format="yuv420p", dst_colorspace="ITU709")
        first, last = (at * CONSTANT_RATE // 1000 for at in (start, start + length))
        for at in range(first, last) if self.constant_rate else [start]:
            coded.pts, coded.time_base = at, self.base
            self._lengths[at] = 1 if self.constant_rate else length
            self._pictures(self.picture.encode(coded))

    def _pictures(self, packets: Any) -> None:
        """Write coded pictures; the encoder does not know how long the last one stands."""
        for packet in packets:
            packet.duration = self._lengths[packet.pts]
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


def _rehearsal(told: Storyboard) -> Iterator[Caption]:
    """Yield what helps a teacher record: each sentence or pause with the seconds there are for it."""
    for start, cue in told.timed_cues():
        seconds = f"{cue.milliseconds / 1000:.0f} s"
        first = f"pause {seconds}: {cue.written}" if cue.silent else f"say in {seconds}"
        yield Caption(start, start + cue.milliseconds, (first,))
