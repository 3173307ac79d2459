"""The server's own secret, and the security log: sign-ins, refusals, sessions ended, passwords changed; no pupils."""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from ipaddress import ip_address, ip_network

from sqlalchemy import select
from sqlalchemy.orm import Session

from chalkpoint.records.schema import SecurityRow, SettingRow
from chalkpoint.records.upserts import insert_if_new

__all__ = ["Key", "Logged", "key_of", "latest", "note"]

LONGEST_BROWSER = 80
SHOWN = 50


@dataclass(frozen=True, slots=True)
class Logged:
    """One line of the log."""

    at: str
    what: str
    browser: str


def note(db: Session, what: str, *, teacher: str | None = None, browser: str = "") -> None:
    """Write a line.

    teacher  whose account it is about; None where the name that was typed is nobody's, which is not kept: it may
             be a password typed in the wrong place
    """
    db.add(SecurityRow(what=what, teacher=teacher, browser=browser[:LONGEST_BROWSER]))


def latest(db: Session, teacher: str) -> Sequence[Logged]:
    """Return the last lines about a teacher's account, the latest first."""
    query = (
        select(SecurityRow).where(SecurityRow.teacher == teacher).order_by(SecurityRow.at.desc()).limit(SHOWN)
    )
    return [Logged(row.at, row.what, row.browser) for row in db.scalars(query)]


NAME = "key"
PREFIX = 64  # bits of an IPv6 address that one network shares


class Key:
    """A key to digest with.

    >>> key = Key(b"tide")
    >>> key.source("2001:db8::1") == key.source("2001:db8::2"), key.source("192.0.2.1") == key.source("192.0.2.2")
    (True, False)
    >>> key.source("127.0.0.1"), key.source("testclient")
    ('', '')
    """

    def __init__(self, value: bytes) -> None:
        self._value = value

    def digest(self, *parts: str) -> str:
        """Return a digest of *parts*, 32 characters long."""
        return hmac.new(self._value, "\0".join(parts).encode("utf-8", "replace"), sha256).hexdigest()[:32]

    def source(self, address: str) -> str:
        """Return a digest of the network address that a browser came from; "" for this machine's own."""
        try:
            found = ip_address(address)
        except ValueError:
            return ""
        if found.is_loopback:
            return ""
        if found.version == 6:
            found = ip_network((found, PREFIX), strict=False).network_address
        return self.digest("address", str(found))


def key_of(db: Session) -> Key:
    """Return the key of a database, made the first time; the transaction must be one that writes."""
    insert_if_new(db, SettingRow, {"name": NAME, "value": secrets.token_hex(32)})
    return Key(bytes.fromhex(db.get_one(SettingRow, NAME).value))
