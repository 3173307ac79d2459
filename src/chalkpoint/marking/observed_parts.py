"""What is observed of a conversion or a sum whose results on the way are written: each part by itself.

The value between reading and storing tells a wrong reading from a wrong storing, which may write the same
pattern; and a total tells at which term a sum went wrong. Each part goes on from the pupil's own result.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from chalkpoint.marking.answer import read_answer
from chalkpoint.marking.chains import ChainSheet, number_written, result_line
from chalkpoint.marking.chances import Seen
from chalkpoint.marking.diagnosis import Diagnoser
from chalkpoint.marking.walk import LineMark
from chalkpoint.marking.ways import is_workable
from chalkpoint.working.chained import Word, part_asked, parts_asked
from chalkpoint.working.question import Question

__all__ = ["observe_parts"]


def observe_parts(
    diagnoser: Diagnoser,
    number: int,
    question: Question,
    sheet: ChainSheet,
    written: Mapping[str, str],
    marks: Collection[LineMark],
) -> list[Seen]:
    """Return each part of *question* as it is observed; none where a result on the way is not written."""
    found: list[Seen] = []
    carried: Any = None
    for stage in range(parts_asked(question)):
        line = result_line(question, stage)
        asked = part_asked(question, stage, carried)
        answer = read_answer(asked, written.get(line, ""))
        if answer.reading is None or not answer.readable:
            return []
        lines = tuple(
            (mark.line, mark.status, mark.among)
            for mark in marks
            if mark.written and mark.line != line and sheet.stage_of(mark.line) == stage
        )
        if is_workable(asked):  # zero is stored by a rule of its own, of which nothing is foretold
            found.append(Seen(number, diagnoser.item(asked), answer.spelling, lines))
        carried = number_written(asked, answer.reading)
        if carried is None or isinstance(
            carried, Word
        ):  # digits too many, or a word: nothing follows from it
            break
    return found
