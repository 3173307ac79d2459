"""The spoken voice: sentences turned into sound, offline, one at a time, so that every cue's time is exact.

The library keeps the phase of its sound waves from sentence to sentence and cannot be reset, so a whole
narration is spoken by a process of its own: the same sentences give the same samples every time.
"""

from __future__ import annotations

import ctypes
import importlib.util
import json
import subprocess
import sys
from collections.abc import Callable, Sequence
from typing import Any

from chalkpoint.numbers.errors import EntryError, missing_extra

__all__ = ["NAME", "RATE", "Speak", "speak"]

RATE = 22_050  # samples a second, of 16 bits, one channel
SYNCHRONOUS, UTF8, CHARACTERS, WORDS_A_MINUTE = 2, 1, 1, 1  # the library's own numbers
SLOWEST, FASTEST = (
    80,
    145,
)  # words a minute: a sentence of short words that comes out faster is said again, slower
VOICE = b"gmw/en"  # British English
NAME = "espeak-ng gmw/en 2"  # counted on when what is said sounds otherwise, so that kept phrases are spoken anew

#: Turns sentences, spoken at so many words a minute, into samples, one sequence of bytes a sentence.
Speak = Callable[[Sequence[str], int], list[bytes]]


def speak(sentences: Sequence[str], words_a_minute: int) -> list[bytes]:
    """Return *sentences* as samples, without the silence at their ends.

    Raises EntryError when the speech extra is not installed.
    """
    if importlib.util.find_spec("espeakng_loader") is None:
        raise missing_extra("speech", "espeakng-loader", "speech")
    asked = json.dumps({"sentences": list(sentences), "pace": max(SLOWEST, words_a_minute)})
    done = subprocess.run(  # noqa: S603  (this module, by the interpreter that runs it)
        [
            sys.executable,
            "-c",
            f"import sys; sys.path[:] = {sys.path!r}; from {__name__} import main; main()",
        ],
        input=asked.encode(),
        capture_output=True,
        check=False,
    )
    if done.returncode:
        raise EntryError(f"the speech library failed ({done.stderr.decode(errors='replace').strip()[-200:]})")
    return _parted(done.stdout)


def _parted(heard: bytes) -> list[bytes]:
    """Return the sounds in *heard*, each written with its length before it."""
    found, at = [], 0
    while at < len(heard):
        length = int.from_bytes(heard[at : at + 4], "little")
        found.append(heard[at + 4 : at + 4 + length])
        at += 4 + length
    return found


def main() -> None:
    """Speak what standard input asks for, onto standard output: the process of its own."""
    asked = json.loads(sys.stdin.buffer.read())
    voice = Voice(asked["pace"])
    for sentence in asked["sentences"]:
        heard = voice.speak(sentence)
        sys.stdout.buffer.write(len(heard).to_bytes(4, "little") + heard)


class Voice:
    """One voice of eSpeak NG, which the loader's package brings along."""

    def __init__(self, words_a_minute: int) -> None:
        import espeakng_loader

        self._library: Any = ctypes.cdll.LoadLibrary(str(espeakng_loader.get_library_path()))
        data = str(espeakng_loader.get_data_path()).encode()
        rate = self._library.espeak_Initialize(SYNCHRONOUS, 0, data, 0)
        if rate != RATE or self._library.espeak_SetVoiceByName(VOICE):
            raise RuntimeError("it has no British English voice: install espeakng-loader again")
        self._pace = words_a_minute
        self._heard = bytearray()
        take = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p)
        self._callback = take(self._take)  # kept, or it would be collected while in use
        self._library.espeak_SetSynthCallback(self._callback)

    def _take(self, samples: Any, count: int, _events: int | None) -> int:
        if samples and count > 0:
            self._heard += ctypes.string_at(samples, 2 * count)
        return 0

    def speak(self, sentence: str) -> bytes:
        """Return *sentence* as samples, without the silence at its end, at `FASTEST` or slower."""
        heard = self._at(self._pace, sentence)
        rate = 60 * RATE * len(sentence.split()) * 2 // max(1, len(heard))
        if rate <= FASTEST:
            return heard
        return self._at(max(SLOWEST, self._pace * FASTEST // rate), sentence)

    def _at(self, words_a_minute: int, sentence: str) -> bytes:
        self._library.espeak_SetParameter(WORDS_A_MINUTE, words_a_minute, 0)
        self._heard.clear()
        text = sentence.encode()
        self._library.espeak_Synth(text, len(text) + 1, 0, CHARACTERS, 0, UTF8, None, None)
        self._library.espeak_Synchronize()
        heard = bytes(self._heard).rstrip(b"\x00")
        return heard + b"\x00" * (len(heard) % 2)
