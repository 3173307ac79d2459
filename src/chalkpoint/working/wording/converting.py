"""What is written where an infinity, or what is not a number, is brought into another format."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from chalkpoint.working.speech import for_ear
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.patterns import pattern_row
from chalkpoint.working.written import Written

__all__ = ["special_words"]


def special_words(fmt: Any, word: str) -> Callable[[Step], Written]:
    """Return what writes the step that stores what is not a finite number in *fmt*."""

    def write(step: Step) -> Written:
        title = "Write the fields"
        if step.after is None:
            detail, rows = f"{fmt} has no pattern for {word}: the answer is the word.", ()
            return Written(title, detail, f"{title}. {for_ear(detail)}", rows)
        row = pattern_row("answer", step.after, fmt)
        detail = f"{fmt} has a pattern for {word} of its own."
        return Written(title, detail, f"{title}. {for_ear(detail)} {row.spoken}.", (row,))

    return write
