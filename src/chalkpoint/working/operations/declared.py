"""Looking up what is declared of an operation; where nothing is, one sentence says why."""

from __future__ import annotations

from typing import Any

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.working.operations.composed import COMPOSED
from chalkpoint.working.operations.declaration import Composition, Declaration
from chalkpoint.working.operations.floating import FLOATING_OPERATIONS
from chalkpoint.working.operations.sizes import SIZE_OPERATIONS
from chalkpoint.working.operations.whole import WHOLE_OPERATIONS

__all__ = ["DECLARED", "NOT_WORKED", "composed", "declared", "is_declared", "why_not"]

#: Everything that is declared, by operation and family.
DECLARED: dict[tuple[str, str], Declaration[Any]] = {
    (operation, family): declaration
    for family, operations in (
        (FLOATING, FLOATING_OPERATIONS),
        (SIZES, SIZE_OPERATIONS),
        (WHOLE, WHOLE_OPERATIONS),
    )
    for operation, declaration in operations.items()
}

#: What is not declared, and why not.
NOT_WORKED: dict[tuple[str, str], str] = {
    ("normalise", WHOLE): "numbers without an exponent have one form only, so there is nothing to normalise",
}


def is_declared(operation: str, fmt: AnyFormat) -> bool:
    """Tell whether *operation* is worked line by line in *fmt*'s family.

    >>> from chalkpoint.numbers.named import format_called
    >>> is_declared("add", format_called("8")), is_declared("normalise", format_called("8"))
    (True, False)
    """
    return (operation, fmt.family) in DECLARED


def why_not(operation: str, fmt: AnyFormat) -> str:
    """Return why *operation* is not worked line by line in *fmt*, as one sentence; "" where it is."""
    if is_declared(operation, fmt):
        return ""
    if operation in COMPOSED:
        return f"{operation!r} is made of other operations, and has no lines of its own"
    reason = NOT_WORKED.get((operation, fmt.family), f"nothing is declared for {fmt.family}")
    return f"{operation!r} is not worked in {fmt}: {reason}"


def declared(operation: str, fmt: AnyFormat) -> Declaration[Any]:
    """Return what is declared of *operation* on *fmt*'s family.

    Raises EntryError where nothing is, and says why.
    """
    found = DECLARED.get((operation, fmt.family))
    if found is None:
        raise EntryError(why_not(operation, fmt))
    return found


def composed(operation: str) -> Composition | None:
    """Return how *operation* is made of others; None where it is not."""
    return COMPOSED.get(operation)
