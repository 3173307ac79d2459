"""A sound file of the teacher's as samples: whatever a browser or a telephone wrote."""

from __future__ import annotations

import io

from chalkpoint.numbers.errors import EntryError
from chalkpoint.publishing.voice import RATE

__all__ = ["samples"]


def samples(sound: bytes, milliseconds: int, *, delay: int = 0) -> bytes:
    """Return *sound* as 16-bit samples, `voice.RATE` a second, exactly *milliseconds* long.

    delay  ms by which the sound runs behind its pictures, to be taken out

    Raises EntryError where it cannot be read.
    """
    try:
        import av
    except ImportError as reason:
        raise EntryError(
            "sound needs PyAV, which is not installed; run: pip install 'chalkpoint[video]'"
        ) from reason
    heard = bytearray()
    try:
        with av.open(io.BytesIO(sound), "r") as file:
            resampler = av.AudioResampler(format="s16", layout="mono", rate=RATE)
            for frame in file.decode(audio=0):
                for ready in resampler.resample(frame):
                    heard += bytes(ready.planes[0])[: 2 * ready.samples]
            for ready in resampler.resample(None):
                heard += bytes(ready.planes[0])[: 2 * ready.samples]
    except (av.error.FFmpegError, IndexError, ValueError) as reason:
        raise EntryError(
            f"the sound cannot be read ({reason}); give an .m4a, .mp3, .ogg, .wav or .webm"
        ) from reason
    start, length = 2 * (max(0, delay) * RATE // 1000), 2 * (milliseconds * RATE // 1000)
    kept = bytes(heard[start : start + length])
    return kept + b"\x00" * (length - len(kept))
