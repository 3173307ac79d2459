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
from chalkpoint.working.page import AnyPage

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
    writing = Writing(sheet, account.base, first.line, written)
    for one, other in combinations(believing.beliefs, 2):
        if not compatible(one, other):
            continue
        if believing.past and not any(map(believing.takes_what_is_past, (one, other))):
            continue
        both = (
            held for method in believing.held(one, account.base) for held in believing.held(other, method)
        )
        if any(map(writing.by, both)):
            found.append((one.id, other.id))
            if len(found) > MOST_TOLD:
                return ()
    return tuple(found)


class Writing:
    """What is written, held against many methods: they share most of their lines, and each is worked once."""

    def __init__(self, sheet: Sheet, base: Method, last: str, written: Written) -> None:
        self.sheet = sheet
        self.written = written
        lines = sheet.lines(base, written)
        until = next(at for at, line in enumerate(lines, 1) if line.name == last)
        self.lines = lines[:until]
        self.worked: dict[object, AnyPage] = {}
        self.shown: dict[object, bool] = {}

    def by(self, method: Method) -> bool:
        """Tell whether *method* writes every line that is written, up to the last."""
        page, rules = self.sheet.start, method.rules
        for line in self.lines:
            before = page
            key = line.name, before, tuple(map(rules.get, line.slots))
            if key not in self.worked:
                self.worked[key] = method.apply(line, before, self.sheet.context)
            page = self.worked[key]
            if line.name in self.written and not self._shows(line.name, before, page):
                return False
        return True

    def _shows(self, line: str, before: AnyPage, page: AnyPage) -> bool:
        key = line, before, page
        if key not in self.shown:
            self.shown[key] = self.sheet.shows(line, before, page, self.written[line])
        return self.shown[key]
