"""Phrases once spoken are kept, so that a lesson made again, or by a voice that takes its time, is soon made.

A phrase is kept under the voice's name, its rate and its words, in the user's cache folder. A file is written aside
and put in place whole; one that cannot be read is spoken anew; the oldest go when there are too many.
"""

from __future__ import annotations

import os
import tempfile
import zlib
from collections.abc import Sequence
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from chalkpoint.publishing.voice import Speak

__all__ = ["folder", "keeping"]

MOST = 2000  # phrases kept, 30 to 60 kB each
SUFFIX = ".phrase"


def folder() -> Path:
    """Return where phrases are kept: in the user's cache, or in the folder that CHALKPOINT_CACHE names."""
    named = os.environ.get("CHALKPOINT_CACHE")
    if named:
        return Path(named) / "phrases"
    from platformdirs import user_cache_path

    return user_cache_path("chalkpoint", appauthor=False) / "phrases"


def keeping(speak: Speak, voice: str, kept: Path | None = None) -> Speak:
    """Return *speak* with a memory: only phrases that were not spoken before are asked of it.

    voice  its name and version: another voice's phrases are others
    kept   where they are kept; by default `folder`
    """
    place = kept or folder()

    def speak_or_recall(sentences: Sequence[str], words_a_minute: int) -> list[bytes]:
        paths = [place / _name(voice, words_a_minute, sentence) for sentence in sentences]
        heard = [_read(path) for path in paths]
        fresh = list(
            dict.fromkeys(said for said, sound in zip(sentences, heard, strict=True) if sound is None)
        )
        spoken = dict(zip(fresh, speak(fresh, words_a_minute) if fresh else [], strict=True))
        for path, said, sound in zip(paths, sentences, heard, strict=True):
            if sound is None:
                _write(path, spoken[said])
        if fresh:
            _trim(place)
        return [
            spoken[said] if sound is None else sound for said, sound in zip(sentences, heard, strict=True)
        ]

    return speak_or_recall


def _name(voice: str, words_a_minute: int, sentence: str) -> str:
    return sha256(f"{voice}\n{words_a_minute}\n{sentence}".encode()).hexdigest()[:32] + SUFFIX


def _read(path: Path) -> bytes | None:
    try:
        return zlib.decompress(path.read_bytes())
    except (OSError, zlib.error):
        return None


def _write(path: Path, sound: bytes) -> None:
    """Keep *sound*; where nothing can be written, nothing is, and nothing fails."""
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, aside = tempfile.mkstemp(dir=path.parent, suffix=".part")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(zlib.compress(sound, 1))
            Path(aside).replace(path)
        except OSError:
            Path(aside).unlink(missing_ok=True)


def _trim(place: Path) -> None:
    with suppress(OSError):
        found = sorted(place.glob(f"*{SUFFIX}"), key=lambda path: path.stat().st_mtime, reverse=True)
        for path in found[MOST:]:
            path.unlink(missing_ok=True)
