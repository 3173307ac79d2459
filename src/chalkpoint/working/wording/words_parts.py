"""A sentence of the catalogue in parts, where a part of it is used alone: the rule in a hint, the sum on the board.

A sentence is put together from its parts, never cut into them.
"""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

__all__ = ["Catalogue", "Parts", "led"]


class Parts(NamedTuple):
    """A sentence in parts.

    rule   what is done, without the numbers that come of it; with a full stop it is a sentence of its own
    joint  what stands between
    sum    the sum, as it stands on the board
    after  what follows, the full stop included

    >>> Parts("Add the excess", ", ", "{number} + {excess} = {code}", ", and write it.").whole
    'Add the excess, {number} + {excess} = {code}, and write it.'
    """

    rule: str = ""
    joint: str = ""
    sum: str = ""
    after: str = "."

    @property
    def whole(self) -> str:
        """The sentence."""
        return "".join(self)

    @property
    def rest(self) -> str:
        """What stands behind the rule."""
        return self.sum + self.after


def led(rule: str, total: str = "", after: str = ".") -> Parts:
    """Return a sentence whose rule leads, by a colon, to a sum, or to what is found by the rule."""
    return Parts(rule, ": ", total, after)


Catalogue: TypeAlias = dict[str, str | Parts]
