"""Passwords: refused where anyone would guess them, kept only as argon2 digests.

Hashing takes a tenth of a second on purpose, so it is done before or after a transaction, never within one.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from chalkpoint.numbers.errors import EntryError

if TYPE_CHECKING:
    from argon2 import PasswordHasher

__all__ = ["digest_of", "fits", "is_outdated", "nobodys_digest"]

LEAST, MOST = 10, 1000  # characters
LOOKED_AT = 72  # characters that decide whether it is easily guessed
CONTEXT = [
    "chalkpoint",
    "teacher",
    "binary",
    "mantissa",
    "exponent",
]  # what somebody here would think of first
EASY = 2  # the library's scores below this: guessed within a million tries


def digest_of(password: str) -> str:
    """Return the digest of a new password.

    Raises EntryError for one that is too short, too long or easily guessed.
    """
    if not LEAST <= len(password) <= MOST:
        raise EntryError(f"the password has {len(password)} characters; give it from {LEAST} to {MOST}")
    if _is_easy(password):
        raise EntryError(
            "that password is one of the first that anyone would try; give several words that do not go together"
        )
    return _hasher().hash(password)


def fits(digest: str, password: str) -> bool:
    """Tell whether *digest* is that of *password*."""
    from argon2.exceptions import Argon2Error

    try:
        return _hasher().verify(digest, password[:MOST])
    except Argon2Error:
        return False


def is_outdated(digest: str) -> bool:
    """Tell whether the digest should be made anew, since more is asked of digests today."""
    return _hasher().check_needs_rehash(digest)


@cache
def nobodys_digest() -> str:
    """Return a digest to try where nobody has the name, so that this takes as long."""
    return _hasher().hash("nobody has this password")


def _is_easy(password: str) -> bool:
    from zxcvbn import zxcvbn

    shown = password[:LOOKED_AT]
    return len(set(password)) < 4 or zxcvbn(shown, user_inputs=CONTEXT)["score"] < EASY


@cache
def _hasher() -> PasswordHasher:
    from argon2 import PasswordHasher

    return PasswordHasher(parallelism=1)  # one thread each, so that two at once leave room for pages
