"""Style sheets are whole: a rule that is never closed takes all after it with it, and no browser says so."""

from importlib.resources import files
from importlib.resources.abc import Traversable

import pytest


def sheets(folder: Traversable) -> list[Traversable]:
    """Return every style sheet in *folder*."""
    return [one for one in folder.iterdir() if one.name.endswith(".css")]


SHEETS = [
    *sheets(files("chalkpoint.web") / "static"),
    *sheets(files("chalkpoint.publishing") / "templates"),
]


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda one: one.name)
def test_every_rule_is_closed(sheet: Traversable) -> None:
    """Each brace that is opened is closed, in order."""
    depth = 0
    for sign in sheet.read_text(encoding="utf-8"):
        depth += {"{": 1, "}": -1}.get(sign, 0)
        assert depth >= 0
    assert depth == 0
