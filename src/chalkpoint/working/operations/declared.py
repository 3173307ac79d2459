"""Looking up what is declared of an operation; where nothing is, one sentence says why."""

from __future__ import annotations

from functools import cache

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.working.operations.declaration import Composition, Declaration
from chalkpoint.working.page import AnyPage

__all__ = ["MADE_OF_OTHERS", "NOT_WORKED", "composed", "declared", "is_declared", "operations_on", "why_not"]

MADE_OF_OTHERS = ("convert", "sum", "choose-format", "explain")  # declared in `composed`


@cache
def operations_on(family: str) -> dict[str, Declaration[AnyPage]]:
    """Return what is declared on a family of formats, by operation; loaded when the family is first met.

    >>> "normalise" in operations_on(FLOATING), "normalise" in operations_on(WHOLE)
    (True, False)
    """
    if family == FLOATING:
        from chalkpoint.working.operations.floating import FLOATING_OPERATIONS

        return FLOATING_OPERATIONS
    if family == SIZES:
        from chalkpoint.working.operations.sizes import SIZE_OPERATIONS

        return SIZE_OPERATIONS
    from chalkpoint.working.operations.whole import WHOLE_OPERATIONS

    return WHOLE_OPERATIONS


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
    return operation in operations_on(fmt.family)


def why_not(operation: str, fmt: AnyFormat) -> str:
    """Return why *operation* is not worked line by line in *fmt*, as one sentence; "" where it is.

    >>> from chalkpoint.numbers.named import format_called
    >>> why_not("normalise", format_called("8"))
    "'normalise' is not worked in 8: numbers without an exponent have one form only, so there is nothing to normalise"
    """
    if is_declared(operation, fmt):
        return ""
    if operation in MADE_OF_OTHERS:
        return f"{operation!r} is made of other operations, and has no lines of its own"
    reason = NOT_WORKED.get((operation, fmt.family), f"nothing is declared for {fmt.family}")
    return f"{operation!r} is not worked in {fmt}: {reason}"


def declared(operation: str, fmt: AnyFormat) -> Declaration[AnyPage]:
    """Return what is declared of *operation* on *fmt*'s family.

    Raises EntryError where nothing is, and says why.

    >>> from chalkpoint.numbers.named import format_called
    >>> declared("error", format_called("8+4")).parts["absolute"]
    ('absolute',)
    """
    if operation == "choose-format":  # made of formats, and chosen a field at a time all the same
        from chalkpoint.working.operations.composed import CHOICE

        return CHOICE
    found = operations_on(fmt.family).get(operation)
    if found is None:
        raise EntryError(why_not(operation, fmt))
    return found


def composed(operation: str) -> Composition | None:
    """Return how *operation* is made of others; None where it is not.

    >>> composed("add") is None, composed("sum") is None
    (True, False)
    """
    if operation not in MADE_OF_OTHERS:
        return None
    from chalkpoint.working.operations.composed import COMPOSED

    return COMPOSED[operation]
