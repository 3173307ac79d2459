"""Operations made of others, or of formats: they are worked alike in every family."""

from __future__ import annotations

from chalkpoint.working.choosing import choose_format
from chalkpoint.working.converting import convert
from chalkpoint.working.explaining import explain
from chalkpoint.working.operations.declaration import Composition
from chalkpoint.working.summing import add_up

__all__ = ["COMPOSED"]

COMPOSED: dict[str, Composition] = {
    "convert": Composition(convert),
    "sum": Composition(add_up),
    "choose-format": Composition(choose_format),
    "explain": Composition(explain),
}
