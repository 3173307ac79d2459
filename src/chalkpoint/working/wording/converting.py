"""What is written where an infinity or NaN is brought into another format."""

from __future__ import annotations

from collections.abc import Callable

from chalkpoint.numbers.named import AnyFormat
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.patterns import pattern_row
from chalkpoint.working.wording.said import Speaker
from chalkpoint.working.wording.writer import told
from chalkpoint.working.written import Written

__all__ = ["special_words"]


def special_words(fmt: AnyFormat, word: str) -> Callable[[Step], Written]:
    """Return what writes the step that stores what is not a finite number in *fmt*."""

    def write(step: Step) -> Written:
        rows = [] if step.after is None else [pattern_row("answer", step.after, fmt)]
        key = "store.special" if rows else "store.no-special"
        return Speaker((), ".").written(told("write.fields", [key], format=str(fmt), word=word), rows)

    return write
