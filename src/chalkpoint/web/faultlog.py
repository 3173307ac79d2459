"""Faults of ours: told by kind and place only, since the words of an error may hold a pupil's code or answer."""

from __future__ import annotations

import logging
import traceback
from pathlib import PurePath

__all__ = ["log_fault"]

PLACES = 4  # of ours, the last called last

log = logging.getLogger("chalkpoint")


def log_fault(what: str, reason: BaseException) -> None:
    """Log that something broke, and where."""
    log.error("%s: %s at %s", what, _kind(reason), _places(reason))


def _kind(reason: BaseException) -> str:
    """Return the kind of an error, and of the driver's own within it.

    >>> _kind(KeyError("H01"))
    'KeyError'
    """
    own = getattr(reason, "orig", None)
    return f"{type(reason).__name__} ({type(own).__name__})" if own is not None else type(reason).__name__


def _places(reason: BaseException) -> str:
    frames = [frame for frame in traceback.extract_tb(reason.__traceback__) if "chalkpoint" in frame.filename]
    places = [f"{'/'.join(PurePath(one.filename).parts[-2:])}:{one.lineno}" for one in frames[-PLACES:]]
    return " > ".join(places) or "no place of ours"
