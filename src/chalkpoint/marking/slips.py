"""Slips: small accidents that turn one row of digits into another.

A slip is no belief. It is named so that nobody looks for a faulty rule where a hand slipped.
"""

from __future__ import annotations

__all__ = ["slip_between"]


def slip_between(written: str, expected: str) -> str:
    """Return how *written* may have come from *expected* by one slip, in words; "" where it did not.

    >>> slip_between("01101000", "01101000")
    ''
    >>> slip_between("01100000", "01101000"), slip_between("01011000", "01101000")
    ('one bit changed', 'two neighbouring bits exchanged')
    >>> slip_between("00110100", "01101000"), slip_between("0101000", "01101000")
    ('a place miscounted', 'a digit too few')
    """
    written, expected = written.replace(".", ""), expected.replace(".", "")
    if not written or written == expected:
        return ""
    if len(written) == len(expected):
        return _of_one_length(written, expected)
    if len(written) == len(expected) - 1 and _with_one_left_out(expected, written):
        return "a digit too few"
    if len(written) == len(expected) + 1 and _with_one_left_out(written, expected):
        return "a digit too many"
    return ""


def _of_one_length(written: str, expected: str) -> str:
    places = [at for at, (a, b) in enumerate(zip(written, expected, strict=True)) if a != b]
    if len(places) == 1:
        return "one bit changed"
    first, last = places[0], places[-1]
    if (
        len(places) == 2
        and last == first + 1
        and written[first : last + 1] == expected[first : last + 1][::-1]
    ):
        return "two neighbouring bits exchanged"
    if written[1:] == expected[:-1] or written[:-1] == expected[1:]:
        return "a place miscounted"
    return ""


def _with_one_left_out(longer: str, shorter: str) -> bool:
    return any(longer[:at] + longer[at + 1 :] == shorter for at in range(len(longer)))
