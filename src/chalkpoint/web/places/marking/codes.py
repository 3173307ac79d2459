"""Pupils' codes: any signs, so long as an address can name the pupil and no name is told by them."""

from __future__ import annotations

from urllib.parse import quote

from chalkpoint.numbers.errors import EntryError

__all__ = ["check_code", "looks_like_name", "script_address"]


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


def looks_like_name(code: str) -> bool:
    """Tell whether a code may be a name: letters and no digit, three or more, not just a few capitals.

    >>> [code for code in ("H01", "ABC", "Marlow", "j.marlow", "12-heron-3", "p7") if looks_like_name(code)]
    ['Marlow', 'j.marlow']
    """
    letters = [sign for sign in code if sign.isalpha()]
    return (
        len(letters) >= 3
        and not any(sign.isdigit() for sign in code)
        and not (code.isupper() and len(code) <= 4)
    )


def script_address(papers: str, code: str) -> str:
    """Return the address of a pupil's script.

    >>> script_address("p", "12/H#1 ?")
    '/mark/papers/p/scripts/12/H%231%20%3F'
    """
    return f"/mark/papers/{papers}/scripts/{quote(code)}"
