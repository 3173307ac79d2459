"""The atlas on disk: diagrams already made, kept in the user's cache folder.

A file is named by a digest of the rules' own text and of what was asked, so that a changed rule never
meets an old diagram. It is written aside and then put in place whole, so that two processes can
write at once; and it carries a digest of its content, so that a broken one is made again.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
import zlib
from functools import cache
from importlib import resources
from pathlib import Path

__all__ = ["WRITTEN", "folder", "keep", "recall", "rules_digest"]

ROOMS = ("numbers", "working", "finding")
UNREAD = "wording"  # sentences: they decide nothing
MARK = b"chalkpoint atlas 1\n"
SUFFIX = ".atlas"
WRITTEN = "finding/rules.sha256"  # the digest itself, where the text is left out


def folder() -> Path:
    """Return the folder of the cache: the user's own, or the one CHALKPOINT_CACHE names."""
    named = os.environ.get("CHALKPOINT_CACHE")
    if named:
        return Path(named)
    from platformdirs import user_cache_path

    return user_cache_path("chalkpoint", appauthor=False) / "atlas"


@cache
def rules_digest() -> str:
    """Return a digest of the text of every rule, trait and carrier."""
    package = Path(str(resources.files("chalkpoint")))
    written = package / WRITTEN
    if written.is_file():  # where there is only bytecode, as in a browser's tab
        return written.read_text(encoding="ascii")
    digest = hashlib.sha256()
    for room in ROOMS:
        for path in sorted((package / room).rglob("*.py")):
            if UNREAD not in path.parts:
                digest.update(path.relative_to(package).as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()


def _path(name: str, what: str) -> Path:
    digest = hashlib.sha256(f"{rules_digest()}\n{what}".encode()).hexdigest()
    return folder() / f"{name}-{digest[:32]}{SUFFIX}"


def recall(name: str, what: str) -> bytes | None:
    """Return what was kept under *what*, or None: not kept, unreadable or broken are all alike."""
    try:
        data = _path(name, what).read_bytes()
    except OSError:
        return None
    head = len(MARK) + hashlib.sha256().digest_size
    content = data[head:]
    if data[: len(MARK)] != MARK or data[len(MARK) : head] != hashlib.sha256(content).digest():
        return None
    return zlib.decompress(content)


def keep(name: str, what: str, content: bytes) -> None:
    """Keep *content* under *what*; where nothing can be written, nothing is, and nothing fails."""
    packed = zlib.compress(content, 6)
    path = _path(name, what)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, aside = tempfile.mkstemp(dir=path.parent, prefix=name, suffix=".part")
    except OSError:
        return
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(MARK + hashlib.sha256(packed).digest() + packed)
        Path(aside).replace(path)
    except OSError:
        # Another process has the file open, or the disk is full: the atlas is made again next time.
        Path(aside).unlink(missing_ok=True)
