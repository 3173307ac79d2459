"""Two beliefs at once: what gives an answer that no rule of the catalogue gives alone, and no slip.

That is far less sure than one belief: of a few hundred pairs some give a wrong answer by chance. So pairs are looked
for last, and where many give the answer none is told.
"""

from __future__ import annotations

from itertools import combinations

from chalkpoint.marking.sheets import Believing, Sheet, Written
from chalkpoint.marking.walk import Account
from chalkpoint.working.beliefs.belief import compatible
from chalkpoint.working.methods import Method

__all__ = ["two_at_once"]

MOST_TOLD = 3


def two_at_once(
    sheet: Sheet, account: Account, written: Written, believing: Believing
) -> tuple[tuple[str, str], ...]:
    """Return the pairs of beliefs by which everything up to the first wrong line is just what is written.

    None where a belief or a slip gives that line already, or where more pairs give it than can be told.
    """
    first = account.first_wrong
    if first is None or first.status != "off" or first.slip:
        return ()
    found: list[tuple[str, str]] = []
    for one, other in combinations(believing.beliefs, 2):
        if not compatible(one, other):
            continue
        if believing.past and not any(map(believing.takes_what_is_past, (one, other))):
            continue
        both = (
            held for method in believing.held(one, account.base) for held in believing.held(other, method)
        )
        if any(_writes(held, sheet, account.base, first.line, written) for held in both):
            found.append((one.id, other.id))
            if len(found) > MOST_TOLD:
                return ()
    return tuple(found)


def _writes(method: Method, sheet: Sheet, base: Method, last: str, written: Written) -> bool:
    """Tell whether *method* writes every line that is written, up to the one called *last*."""
    page = sheet.start
    for line in sheet.lines(base, written):
        before, page = page, method.apply(line, page, sheet.context)
        if line.name in written and not sheet.shows(line.name, before, page, written[line.name]):
            return False
        if line.name == last:
            return True
    return False
