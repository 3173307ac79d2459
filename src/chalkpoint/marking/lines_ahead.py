"""Following on: the lines still to be written after those on the board, by the right rules.

Where a line on the board is wrong, this is follow-through told forwards: where that line leads.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from chalkpoint.marking.chains import ChainSheet
from chalkpoint.marking.extremes import judge_extremes
from chalkpoint.marking.judging import (
    accepted_methods,
    believing_for,
    place_of,
    read_lines,
    refuse_unknown,
    sheet_for,
)
from chalkpoint.marking.sheets import Sheet, Written
from chalkpoint.marking.walk import Account, walk, walk_clean
from chalkpoint.numbers.families import FLOATING
from chalkpoint.working.methods import METHODS, Line, Method
from chalkpoint.working.operations.declared import is_declared
from chalkpoint.working.page import AnyPage
from chalkpoint.working.procedures import declaration_of, method_named
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.work import work_question
from chalkpoint.working.written import Spoken

__all__ = ["Onward", "lines_on"]

ANSWER = "answer"
ANSWER_TITLE = "Answer"
READING = "read"


@dataclass(frozen=True, slots=True)
class Onward:
    """One line still to be written.

    rule     its line's name, or "answer"
    title    its heading, such as "Match the exponents"
    expects  what the right rules write there, from the board
    told     the rule in one to three sentences; none for the answer
    """

    rule: str
    title: str
    expects: str
    told: tuple[Spoken, ...] = ()

    @property
    def detail(self) -> str:
        """The rule in words; "" for the answer."""
        return " ".join(said.text for said in self.told)


def lines_on(question: Question, lines: Mapping[str, str]) -> tuple[Onward, ...]:
    """Return the lines still to be written after *lines*, each from the one before it; the answer last.

    lines  the lines on the board, by rule; the last of them may be wrong

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> asked = ask("subtract", "8.875", "3.6875", course=Course())
    >>> [(line.rule, line.expects) for line in lines_on(asked, {"align": "00011101", "negate": "11100010"})]
    [('add', '0.0101001 × 2^4'), ('normalise', '0.1010010 × 2^3'), ('answer', '0.1010010 0011')]

    Raises EntryError for a question that is not judged line by line, or a line it has not.
    """
    refuse_unknown(question)
    if question.operation.name == "range":
        return tuple(_ends_left(question, lines))
    sheet = sheet_for(question)
    written = read_lines(question, sheet, {rule: text for rule, text in lines.items() if rule != ANSWER})
    return () if ANSWER in lines else tuple(_written_on(sheet, _account(question, sheet, written), written))


def _ends_left(question: Question, lines: Mapping[str, str]) -> Iterator[Onward]:
    """Yield the extremes that are not among *lines*: none of them leads to another."""
    steps = {step.rule: step for step in work_question(question).steps}
    for mark in judge_extremes(question, {}):
        if mark.line not in lines:
            step = steps[mark.line]
            yield Onward(mark.line, step.title, mark.expects, step.written.sentences)


def _account(question: Question, sheet: Sheet, written: Written) -> Account:
    """Return the board judged under the method it speaks for: an accepted one, or else any that it fits."""
    floating = question.format.family == FLOATING
    others = METHODS if floating and question.operation.name in {"add", "subtract"} else ()
    own = accepted_methods(question)
    for base in (*own, *(method_named(question, name) for name in others)):
        if account := walk_clean(sheet, base, written):
            return account
    believing = believing_for(question)
    accounts = [walk(sheet, base, written, believing=believing) for base in own]
    return min(accounts, key=lambda account: account.faults)


def _written_on(sheet: Sheet, account: Account, written: Written) -> Iterator[Onward]:
    lines, page = sheet.lines(account.base), account.page
    last = max((at for at, line in enumerate(lines) if line.name in written), default=-1)
    said = sheet.says(lines[last].name, page, page) if last >= 0 else ""
    for line in lines[last + 1 :]:
        before, page = page, account.base.apply(line, page, sheet.context)
        if isinstance(sheet, ChainSheet) and page.page is None and line.name != ANSWER:
            continue  # a word has ended it
        if _stands(line, before, page):
            onward = _onward(sheet, account.base, line, before, page)
            if line.name == ANSWER and onward.expects == said:
                return  # decoding ends in a line that is the answer
            yield onward
            said = onward.expects


def _stands(line: Line, before: object, after: object) -> bool:
    """Tell whether *line* is written: reading writes nothing, an optional line only where it changes something."""
    if line.name == ANSWER:
        return True
    return bool(line.slots) and line.name != READING and not (line.optional and before == after)


def _onward(sheet: Sheet, base: Method, line: Line, before: AnyPage, after: AnyPage) -> Onward:
    expects = sheet.says(line.name, before, after)
    if line.name == ANSWER:
        return Onward(ANSWER, ANSWER_TITLE, expects)
    question, name = place_of(sheet.question, sheet, line.name)
    if name == ANSWER or not is_declared(question.operation.name, question.format):
        return Onward(line.name, line.name.capitalize(), expects)
    if isinstance(sheet, ChainSheet):
        if after.page is None:
            return Onward(line.name, line.name.capitalize(), expects)
        base, before, after = sheet.pages(base, line.name, before, after)
    step = Step(1, name, before, after, declaration_of(question).writer(question, base))
    return Onward(line.name, step.title, expects, step.written.sentences)
