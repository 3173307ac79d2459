"""Judging: one question, what a pupil wrote, and what can be said of it.

The course's own method and those it accepts come first. What is right under another method or another
convention is said to be just that. Only then are beliefs and slips looked for, and all that give
exactly what is written are named: one answer is never enough to be sure of one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cache, lru_cache

from chalkpoint.marking.answer import answers_apart, read_answer
from chalkpoint.marking.chains import ChainBelieving, ChainSheet
from chalkpoint.marking.choices_of_format import ChoiceSheet
from chalkpoint.marking.decoding import ReadSheet
from chalkpoint.marking.encoding import StoreSheet
from chalkpoint.marking.extremes import extremes_of, judge_extremes
from chalkpoint.marking.fallen import read_otherwise
from chalkpoint.marking.family_answers import FILLED
from chalkpoint.marking.family_sheets import FamilySheet
from chalkpoint.marking.judgement import Judgement
from chalkpoint.marking.manners import TAKEN_WHERE, as_meant
from chalkpoint.marking.other_conventions import answers_under_others, other_choices, other_orders
from chalkpoint.marking.pairs import two_at_once
from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.quotients import QuotientSheet
from chalkpoint.marking.reading import read_place
from chalkpoint.marking.sheets import Believing, Sheet, Written
from chalkpoint.marking.sums import SumSheet
from chalkpoint.marking.walk import Account, walk, walk_clean
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.families import FLOATING
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.chained import MADE_OF_PARTS
from chalkpoint.working.course import Course
from chalkpoint.working.methods import METHODS, Method
from chalkpoint.working.operations.declared import declared, operations_on
from chalkpoint.working.procedures import method_named
from chalkpoint.working.question import Question, ask_line

__all__ = ["is_followed", "judge", "judge_question", "method_elsewhere", "part_of_line"]

COSTS = ("absolute", "relative")
JUDGED_IN_PARTS = (*MADE_OF_PARTS, "choose-format")
KEPT = 256
ALIASES = {"ready": "ready", "normalised": "normalise", "value": "scale", "result": "answer", "sum": "add"}


def judge(
    question: str | Question,
    lines: Mapping[str, str] | None = None,
    answer: str = "",
    *,
    course: Course | None = None,
    format: str | None = None,
) -> Judgement:
    """Return what can be said of *lines* and *answer*.

    question  a Question, or a line such as "subtract 010111 0011, 010100 0001"
    lines     what the pupil wrote, by the rule of the line: align, negate, add, ...
    answer    the pupil's answer: a pattern, a value, a word

    >>> said = judge("subtract 6.5, 1.25", {"align": "0.0010100", "negate": "1.1101011"}, "0.1010011 0011")
    >>> [(mark.line, mark.status) for mark in said.marks if mark.written]
    [('align', 'right'), ('negate', 'misconception'), ('answer', 'follow-through')]
    >>> said.first_wrong.expects, said.among
    ('1.1101100 × 2^3', ('invert-only',))
    """
    if isinstance(question, str):
        question = ask_line(question, course=(course or Course()).with_(format=format))
    return judge_question(question, lines or {}, answer)


def judge_question(question: Question, lines: Mapping[str, str], answer: str) -> Judgement:
    """Return what can be said of *lines* and *answer* to *question*."""
    refuse_unknown(question)
    parts = extremes_of(question) if question.operation.name == "range" else None
    lines = answers_apart(question, {**lines, **({"answer": answer} if answer.strip() else {})}, parts)
    answer = lines.pop("answer", "")
    if question.operation.name == "range":
        return _judged_extremes(question, lines, answer)
    sheet = sheet_for(question)
    written = read_lines(question, sheet, lines)
    answers = read_place(*place_of(question, sheet, "answer"), answer)
    if answers:
        written["answer"] = (_as_it_stands(answers[0]),)
    if not written:
        return Judgement(question, "", right=False, verdict="wrong", marks=(), notes=("Nothing is written.",))
    best, written = _best_read(question, sheet, written)
    judgement = _judgement(question, best)
    if not judgement.right or best.faults:
        judgement = _by_manner(_elsewhere(judgement, sheet, written), sheet, written)
    if judgement.verdict == "wrong" and not judgement.among:
        judgement = _with_a_zero(judgement, sheet, written)
    if judgement.verdict == "wrong" and not judgement.among:
        believing = believing_for(question)
        judgement = replace(judgement, together=two_at_once(sheet, best, written, believing))
    judgement = _as_filled(judgement)
    return _with_verdicts(judgement, sheet, written, answers[1:])


def _best_read(
    question: Question, sheet: Sheet, written: dict[str, tuple[Reading, ...]]
) -> tuple[Account, dict[str, tuple[Reading, ...]]]:
    """Return *written* judged under the method that is best for the pupil, and as it is read for that.

    Digits behind a row that may be its exponent, or what fell off it, are what makes fewer lines wrong; unless another
    method writes just what is written.
    """
    ways = [written]
    others = read_otherwise(written)
    if others and not accounts_elsewhere(question, sheet, written):
        ways.append({**written, **others})
    judged = [(account, way) for way in ways for _, account in walks(question, sheet, way)]
    return min(judged, key=lambda one: one[0].faults)


def _as_it_stands(answer: Reading) -> Reading:
    """Return *answer* with its fields in the order in which they are written."""
    if not answer.swapped:
        return answer
    return answer._replace(digits=answer.exponent, exponent=answer.digits.replace(".", ""), swapped=False)


def _by_manner(judgement: Judgement, sheet: Sheet, written: Written) -> Judgement:
    """Return *judgement* as right where the answer may be written in another manner, if it is right but for that."""
    judged = judgement.verdict in {"right", "right elsewhere"} or "answer" not in written
    asked, line = place_of(judgement.question, sheet, "answer")
    if judged or asked.format.family != FLOATING or asked.operation.name == "choose-format":
        return judgement
    read = read_place(asked, line, written["answer"][0].text)
    meant, manners = as_meant(asked, read[0]) if read else (written["answer"][0], ())
    bases = accepted_methods(judgement.question)
    if not manners or not any(
        is_right_answer(sheet, base, {**written, "answer": (meant,)}) for base in bases
    ):
        return judgement
    accounts = (account for _, account in walks(judgement.question, sheet, {**written, "answer": (meant,)}))
    found = _judgement(judgement.question, min(accounts, key=lambda account: account.faults))
    if not found.right:
        return judgement
    taken = set(manners) <= set(judgement.question.course.takes)
    where = tuple(TAKEN_WHERE[manner] for manner in manners)
    return found if taken else replace(found, right=False, verdict="right elsewhere", elsewhere=where)


def _with_a_zero(judgement: Judgement, sheet: Sheet, written: Written) -> Judgement:
    """Return *judgement* with the beliefs that give an answer one digit short, if a 0 is put at either end of it."""
    question, answers = judgement.question, written.get("answer", ())
    if question.format.family != FLOATING or not answers or not answers[0].exponent:
        return judgement
    reading = answers[0]
    if len(reading.bare) != question.float_format.mantissa_bits - 1 or reading.digits.find(".") > 1:
        return judgement
    among, notes = judgement.among, judgement.notes
    for where, digits in (("in front", f"0{reading.bare}"), ("behind", f"{reading.bare}0")):
        whole = {**written, "answer": (reading._replace(digits=digits),)}
        account = min((account for _, account in walks(question, sheet, whole)), key=lambda one: one.faults)
        named = next(mark.among for mark in account.marks if mark.line == "answer")
        among += named
        notes += tuple(
            f"A digit is missing; with a 0 {where} it is what “{BELIEFS[one].says}” gives."
            for one in named[:1]
        )
    return replace(judgement, among=tuple(dict.fromkeys(among)), notes=notes)


def is_right_answer(sheet: Sheet, base: Method, written: Written) -> bool:
    """Tell whether the answer in *written* is what *base* comes to, whatever else is written."""
    page = sheet.start
    for line in sheet.lines(base, written):
        before, page = page, base.apply(line, page, sheet.context)
        if line.name == "answer":
            return sheet.shows(line.name, before, page, written["answer"])
    return False


def _as_filled(judgement: Judgement) -> Judgement:
    """Return *judgement* as right elsewhere where a right pattern lacks zeros at one end."""
    question, answered = judgement.question, judgement.line("answer")
    if not judgement.right or answered is None or question.format.family == FLOATING:
        return judgement
    manners = set(read_answer(question, answered.written).manners) & set(FILLED) - set(question.course.takes)
    if not manners:
        return judgement
    where = tuple(TAKEN_WHERE[manner] for manner in manners)
    return replace(judgement, right=False, verdict="right elsewhere", elsewhere=where)


def _judged_extremes(question: Question, lines: Mapping[str, str], answer: str) -> Judgement:
    """Return what can be said of the extremes in *lines*, by name; *answer* is the largest positive."""
    names = list(extremes_of(question))
    written = {key.replace("-", " ").replace("_", " "): text for key, text in lines.items()}
    if answer.strip():
        written.setdefault(names[0], answer)
    for key in written:
        if key not in names:
            raise EntryError(f"{key!r} is not an extreme; {near_misses(key, names)}")
    marks = judge_extremes(question, {key: read_answer(question, text, key) for key, text in written.items()})
    judged = [mark for mark in marks if mark.written]
    fine = bool(judged) and all(mark.status == "right" for mark in judged)
    among = tuple(belief for mark in judged for belief in mark.among)
    return Judgement(question, "", right=fine, verdict="right" if fine else "wrong", marks=marks, among=among)


def refuse_unknown(question: Question) -> None:
    """Raise EntryError for a question that cannot be judged line by line."""
    name = question.operation.name
    if name not in {*JUDGED, *JUDGED_IN_PARTS, "range"}:
        judged = ", ".join((*JUDGED, *JUDGED_IN_PARTS))
        raise EntryError(f"{name!r} is not judged line by line; give one of {judged} or range")
    if name in JUDGED_IN_PARTS:
        return
    if question.format.family != FLOATING:
        _refuse_undeclared(question)
        return
    if name != "range" and not has_lines(question):
        raise EntryError("a division by 0 is not judged line by line; divide by a number other than 0")


def _refuse_undeclared(question: Question) -> None:
    """Raise EntryError for a question that its family has no lines for, or no answer."""
    declaration = declared(question.operation.name, question.format)
    if declaration.refuse is not None:
        declaration.refuse(question)


def is_followed(question: Question) -> bool:
    """Tell whether the lines of *question* are judged one from another, so that marks follow through."""
    name = question.operation.name
    if name in {"range", *JUDGED_IN_PARTS}:
        return True
    return name in JUDGED and (question.format.family != FLOATING or has_lines(question))


def walks(question: Question, sheet: Sheet, written: Written) -> Iterator[tuple[Method, Account]]:
    """Yield the lines judged under the course's method and each it accepts, until one finds nothing wrong."""
    for base in accepted_methods(question):
        if account := walk_clean(sheet, base, written):
            yield base, account
            return
    believing = believing_for(question)
    for base in accepted_methods(question):
        yield base, walk(sheet, base, written, believing=believing)


def accepted_methods(question: Question) -> list[Method]:
    """Return the course's own method, then those it accepts too.

    >>> asked = ask_line("add 6.5, 1.25", course=Course(accepts=("one-guard-bit",)))
    >>> [method.name for method in accepted_methods(asked)]
    ['align-then-negate', 'one-guard-bit']
    """
    name, course = question.operation.name, question.course
    if name in MADE_OF_PARTS:
        return [*chain_of(question).methods]
    names = dict.fromkeys((course.method, *course.accepts)) if name in {"add", "subtract"} else ("",)
    return [method_named(question, method) for method in names]


#: The operations that are not judged on a `SumSheet`, as all are whose lines are written on the page of a sum.
SHEETS: dict[str, Callable[[Question], Sheet]] = {
    "divide": QuotientSheet,
    "decode": ReadSheet,
    "encode": StoreSheet,
    "error": StoreSheet,
}


#: The operations judged line after line: all that are declared, but for a range, whose lines lead to nothing.
JUDGED = tuple(operation for operation in operations_on(FLOATING) if operation != "range")


def has_lines(question: Question) -> bool:
    """Tell whether the lines of *question* are judged one after another: a division by 0 has none.

    >>> has_lines(ask_line("divide 6, 3", course=Course())), has_lines(ask_line("divide 6, 0", course=Course()))
    (True, False)
    """
    name = question.operation.name
    return name in JUDGED and (name != "divide" or bool(question.patterns[1].mantissa))


def sheet_for(question: Question) -> Sheet:
    """Return the sheet of *question*.

    >>> [type(sheet_for(ask_line(line, course=Course()))).__name__ for line in ("add 6.5, 1.25", "decode 6.5")]
    ['SumSheet', 'ReadSheet']
    """
    if question.operation.name in MADE_OF_PARTS:
        return chain_of(question)
    if question.operation.name == "choose-format":
        return ChoiceSheet(question)
    if question.format.family != FLOATING:
        return FamilySheet(question)
    return SHEETS.get(question.operation.name, SumSheet)(question)


def believing_for(question: Question) -> Believing:
    """Return the faulty methods of *question*'s operation on its family of formats."""
    if question.operation.name in MADE_OF_PARTS:
        return _believing_in_parts(question)
    values = any(value is not None for value in question.given)
    past = bool(question.past_range)
    return _believing(question.operation.name, family_of(question.format), values=values, past=past)


_believing = cache(Believing)


@lru_cache(KEPT)
def chain_of(question: Question) -> ChainSheet:
    """Return the sheet of a question made of others."""
    return ChainSheet(question, sheet_for)


def part_of_line(question: Question, line: str) -> tuple[Question, str]:
    """Return the question that *line* is read for, and its name there.

    >>> asked = ask_line("convert 6.5, binary16", course=Course())
    >>> [(part.operation.name, line) for part, line in (part_of_line(asked, "value"), part_of_line(asked, "size"))]
    [('decode', 'answer'), ('encode', 'digits')]
    """
    return (
        place_of(question, chain_of(question), line)
        if question.operation.name in MADE_OF_PARTS
        else (question, line)
    )


@lru_cache(KEPT)
def _believing_in_parts(question: Question) -> ChainBelieving:
    return ChainBelieving(chain_of(question))


def place_of(question: Question, sheet: Sheet, line: str) -> tuple[Question, str]:
    """Return the question that *line* is read for, and its name there: that of a part, where there are parts."""
    return sheet.place(line) if isinstance(sheet, ChainSheet) else (question, line)


def known_lines(question: Question, sheet: Sheet) -> set[str]:
    """Return the names of the lines that *question* may have."""
    names = {line.name for method in accepted_methods(question) for line in sheet.lines(method)}
    floating = question.format.family == FLOATING and question.operation.name not in JUDGED_IN_PARTS
    more = {"spare", "cut"} if floating and question.operation.name in {"add", "subtract"} else set()
    return (names | more) - {"answer", "read"}


def read_lines(question: Question, sheet: Sheet, lines: Mapping[str, str]) -> dict[str, tuple[Reading, ...]]:
    """Return the lines read; raise EntryError for a line this question has not."""
    known = known_lines(question, sheet)
    read: dict[str, tuple[Reading, ...]] = {}
    for name, text in lines.items():
        line = name if name in known else ALIASES.get(name, name)
        if line not in known:
            raise EntryError(
                f"{name!r} is not a line of {question.operation.name}; {near_misses(name, sorted(known))}"
            )
        if text.strip():
            part, place = place_of(question, sheet, line)
            rows = read_place(part, place, text)
            if place == "answer" and part.format.family == FLOATING:  # of a part, on the way: in any manner
                whole = part.format.bits
                rows = tuple(
                    row if len(row.bare + row.exponent) == whole else as_meant(part, row)[0] for row in rows
                )
            read[line] = rows or (Reading(text),)
    return read


def _judgement(question: Question, account: Account) -> Judgement:
    marks = tuple(account.marks)
    answered = next((mark for mark in marks if mark.line == "answer"), None)
    judged = [answered] if answered else [mark for mark in marks if mark.written]
    if answered and question.operation.name == "error":  # which asks for three answers
        judged += [mark for mark in marks if mark.line in COSTS and mark.written]
    right = all(mark.status in {"right", "recovered"} for mark in judged)
    followed = answered is not None and answered.status == "follow-through"
    verdict = "right" if right else "follow-through" if followed else "wrong"
    notes = tuple(_notes(account))
    said = Judgement(question, account.base.name, right, verdict, marks, notes=notes)
    return replace(said, among=next((mark.among for mark in said.explained), ()))


def _notes(account: Account) -> Iterator[str]:
    for mark in account.marks:
        if mark.status == "recovered":
            yield f"The line {mark.line} is right although the line before it would not give it: ask how."
        if mark.slip and not mark.among:  # a slip is said only where no belief gives what is written
            yield f"The line {mark.line} would come from a slip: {mark.slip}."


def method_elsewhere(name: str) -> str:
    """Return how the method *name* is named among what a line is right by elsewhere."""
    return f"the method {name} ({METHODS[name].words})"


def _elsewhere(judgement: Judgement, sheet: Sheet, written: Written) -> Judgement:
    """Return *judgement* with the methods and conventions under which everything written is right."""
    question = judgement.question
    if question.operation.name in JUDGED_IN_PARTS:
        return judgement
    if question.format.family != FLOATING:
        return _under_other_choices(judgement, sheet, written)
    others = accounts_elsewhere(question, sheet, written)
    if others:
        name, account = others[0]
        words = [method_elsewhere(other) for other, _ in others]
        verdict = "right" if judgement.right else "right elsewhere"
        found = replace(_judgement(question, account), verdict=verdict, right=judgement.right, method=name)
        return replace(found, elsewhere=tuple(words), among=judgement.among)
    first = judgement.first_wrong
    if judgement.right or "answer" not in written or (first and first.line != "answer"):
        return judgement
    flipped = "exp-sign-flipped" in judgement.among
    conventions = answers_under_others(
        question, written["answer"][0], worked=len(written) > 1, flipped=flipped
    )
    if not conventions:
        return judgement
    return _right_elsewhere(judgement, conventions)


def _right_elsewhere(judgement: Judgement, conventions: list[str]) -> Judgement:
    """Return *judgement* with its answer right under *conventions*, in words."""
    note = "right under another convention"
    marks = tuple(
        replace(mark, status="right", among=(), slip="", note=note) if mark.line == "answer" else mark
        for mark in judgement.marks
    )
    return replace(judgement, verdict="right elsewhere", elsewhere=tuple(conventions), marks=marks, notes=())


def _under_other_choices(judgement: Judgement, sheet: Sheet, written: Written) -> Judgement:
    """Return *judgement* with what else a course might choose of rounding and of both ends, where all is right so."""
    question, first = judgement.question, judgement.first_wrong
    if judgement.right or "answer" not in written or (first and first.line != "answer"):
        return judgement
    found = []
    for words, course in other_choices(question.course):
        asked = replace(question, course=course)
        if any(walk_clean(sheet_for(asked), base, written) for base in accepted_methods(asked)):
            found.append(words)
    found += other_orders(question, written["answer"][0])
    return _right_elsewhere(judgement, found) if found else judgement


def methods_for(question: Question, lines: Mapping[str, str]) -> list[str]:
    """Return the names of the methods, other than the course's, by which every one of *lines* is right."""
    if question.format.family != FLOATING:
        return []  # the others are of adding mantissas
    sheet = sheet_for(question)
    written = read_lines(question, sheet, {line: text for line, text in lines.items() if line != "answer"})
    if answers := read_place(question, "answer", lines.get("answer", "")):
        written["answer"] = (as_meant(question, answers[-1])[0],)
    return [name for name, _ in accounts_elsewhere(question, sheet, written)]


def accounts_elsewhere(question: Question, sheet: Sheet, written: Written) -> list[tuple[str, Account]]:
    """Return the methods that the course does not take by which all in *written* is right, with its lines judged."""
    if question.operation.name not in {"add", "subtract"}:
        return []
    tried = {question.course.method, *question.course.accepts}
    accounts = [
        (name, walk_clean(sheet, method_named(question, name), written))
        for name in METHODS
        if name not in tried
    ]
    return [(name, account) for name, account in accounts if account]


def _with_verdicts(
    judgement: Judgement, sheet: Sheet, written: Written, verdicts: tuple[Reading, ...]
) -> Judgement:
    """Return *judgement* with further answers to the same item judged beside the first: a verdict, say."""
    for verdict_read in verdicts:
        rest = {name: entries for name, entries in written.items() if name != "answer"}
        rest["answer"] = (verdict_read,)
        account = min(
            (account for _, account in walks(judgement.question, sheet, rest)),
            key=lambda account: account.faults,
        )
        answered = next(mark for mark in account.marks if mark.line == "answer")
        mark = replace(answered, line="second answer")
        right = judgement.right and mark.status in {"right", "recovered"}
        verdict = judgement.verdict if right or not judgement.right else "wrong"
        among = judgement.among or mark.among
        judgement = replace(
            judgement, right=right, verdict=verdict, marks=(*judgement.marks, mark), among=among
        )
    return judgement
