"""Pupils' codes in addresses: any signs, so long as an address can name the pupil."""

from __future__ import annotations

from urllib.parse import quote

from chalkpoint.numbers.errors import EntryError

__all__ = ["check_code", "script_address"]


def check_code(code: str) -> None:
    """Raise EntryError for a code that an address would lose.

    Browsers take "." and ".." between slashes out of an address, however they are written, and servers in between
    may take two slashes for one.

    >>> check_code("12/H01")
    >>> check_code("..")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    chalkpoint.numbers.errors.EntryError: the pupil '..' is not taken, since an address would lose it; ...
    """
    if {"", ".", ".."} & set(code.split("/")):
        raise EntryError(
            f"the pupil {code!r} is not taken, since an address would lose it; give a code of letters and digits"
        )


def script_address(papers: str, code: str) -> str:
    """Return the address of a pupil's script.

    >>> script_address("p", "12/H#1 ?")
    '/mark/papers/p/scripts/12/H%231%20%3F'
    """
    return f"/mark/papers/{papers}/scripts/{quote(code)}"
