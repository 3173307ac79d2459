"""Hints on one line in three depths: nudge asks, rule tells the rule, show begins the line."""

from __future__ import annotations

import re
from collections.abc import Sequence

from chalkpoint.marking.judging import part_of_line
from chalkpoint.marking.lines_ahead import ANSWER, Onward
from chalkpoint.marking.saying import first_hint
from chalkpoint.teaching.lines import is_number
from chalkpoint.working.question import Question
from chalkpoint.working.wording import words_lessons as prompts

__all__ = ["DEPTHS", "begun", "hints_for"]

DEPTHS = ("nudge", "rule", "show")
SHORT = 4  # characters: of a shorter line, half gives it away


def begun(text: str) -> str:
    """Return how *text* begins, in a sentence.

    >>> begun("00011101")
    'It begins 0001.'
    """
    return prompts.BEGINS.format(text=text[: max(1, len(text) // 2)])


def hints_for(question: Question, line: Onward, among: Sequence[str] = ()) -> tuple[str, str, str]:
    """Return the three hints for *line*, which is still to be written.

    among  beliefs that gave what was written there last, for the question that lets a pupil doubt

    Neither of the first two gives the line. The third begins it; of a number too short to be begun it
    tells how it is found.

    >>> from chalkpoint.marking.lines_ahead import lines_on
    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> asked = ask("subtract", "8.875", "3.6875", course=Course())
    >>> hints_for(asked, lines_on(asked, {})[1])[2]
    'It begins 1.11.'
    """
    digits = _digits(line.expects)
    show = begun(digits) if len(digits) > SHORT or not line.detail else line.detail
    if line.rule == ANSWER:
        return first_hint(ANSWER, among) if among else prompts.ANSWER_HINT, prompts.ANSWER_RULE, show
    return first_hint(_hinted(question, line.rule), among), _rule(question, line), show


def _hinted(question: Question, rule: str) -> str:
    """Return what the line *rule* is called among the first hints: a line of a part has that of its part."""
    if question.operation.name == "choose-format":
        return f"choose {rule}"
    return part_of_line(question, rule)[1]


def _digits(expects: str) -> str:
    """Return the digits of a line without the power of two behind them."""
    return expects.partition(" \u00d7")[0].removeprefix("exponent ")


def _rule(question: Question, line: Onward) -> str:
    """Return the rule of *line* in words that do not give it: its sentences whole, or the rule in them alone."""
    told = []
    for said in line.told:
        fit = (words for words in (said.text, said.rule) if words and not _gives(words, question, line))
        told.append(next(fit, ""))
    return " ".join(filter(None, told)) or prompts.RULE_IS.format(title=line.title)


def _gives(sentence: str, question: Question, line: Onward) -> bool:
    """Tell whether *sentence* says what is to be written, or works out a number that is."""
    if is_number(question, line.rule) and "=" in sentence:
        return True
    return bool(re.search(rf"(?<![\d.]){re.escape(_digits(line.expects))}(?![\d]|\.\d)", sentence))
