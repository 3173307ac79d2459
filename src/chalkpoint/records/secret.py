"""The database's own key: what is digested with it can be compared, and guessed by nobody who has no key."""

from __future__ import annotations

import hmac
import secrets
from hashlib import sha256
from ipaddress import ip_address, ip_network

from sqlalchemy.orm import Session

from chalkpoint.records.schema import SettingRow
from chalkpoint.records.upserts import insert_if_new

__all__ = ["Key", "key_of"]

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
