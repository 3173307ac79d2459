"""Marks for a question: the best over accepted methods and over readings of it that would explain everything."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import copy
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

from chalkpoint.marking.answer import answers_apart, read_answer
from chalkpoint.marking.awarding import award, in_decimal
from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.doubts import is_left_in_binary
from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.extremes import asks_for_value, extreme_points, extremes_of, judge_extremes
from chalkpoint.marking.judging import (
    accepted_methods,
    accounts_elsewhere,
    believing_for,
    is_followed,
    method_elsewhere,
    read_lines,
    sheet_for,
)
from chalkpoint.marking.manners import MANNERS, OWN_VALUE, Answer
from chalkpoint.marking.points import Given, unread
from chalkpoint.marking.reading import read_place
from chalkpoint.marking.rows import sized_values
from chalkpoint.marking.sheets import Sheet, Written
from chalkpoint.marking.sums import ABOVE
from chalkpoint.marking.walk import FAULTS, Account, walk, walk_clean
from chalkpoint.marking.whole_answers import by_final_answer
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Asked
from chalkpoint.working.methods import Method
from chalkpoint.working.procedures import right_method
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = ["QuestionMarks", "mark_question"]

COUNTED = ("exponent", "exponents", "point", "sign", "remainder")  # lines that hold a whole number
LEAST_LINES = 2  # lines that must all be right before a question counts as misread


@dataclass(frozen=True, slots=True)
class QuestionMarks:
    """One question marked.

    asked        the question and its scheme
    points       each point of the scheme
    first_wrong  the first line that went wrong, or ""
    method       the accepted method under which the marks are best
    reading      how the question was misread, where that reading is best, or ""
    account      every line judged; None where nothing was written
    notes        what else the teacher should know
    """

    asked: Asked
    points: tuple[Mark, ...]
    first_wrong: str = ""
    method: str = ""
    reading: str = ""
    account: Account | None = None
    notes: tuple[str, ...] = ()

    @property
    def marks(self) -> int:
        """Marks given."""
        return sum(point.given for point in self.points)

    @property
    def most(self) -> int:
        """Marks if everything that waits is ruled for the pupil."""
        return sum(point.most for point in self.points)

    @property
    def waiting(self) -> tuple[Mark, ...]:
        """The points a person should decide."""
        return tuple(point for point in self.points if point.for_teacher)

    @property
    def blank(self) -> bool:
        """Whether nothing was written."""
        return self.account is None


def mark_question(asked: Asked, written: Mapping[str, str]) -> QuestionMarks:
    """Return *asked* marked.

    written  what the pupil wrote, by line; the answer is the line "answer", a decimal check "decimal"

    >>> from chalkpoint.setting.paperfile import papers_from
    >>> paper = papers_from({"schema": "chalkpoint.papers/1", "papers": [
    ...     {"questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}]}).first
    >>> lines = {"align": "0.0010100", "negate": "1.1101011", "add": "0.1010011", "exponent": "0011"}
    >>> marked = mark_question(paper.questions[0], lines | {"answer": "5.1875"})
    >>> marked.marks, marked.first_wrong
    (5, 'negate')
    >>> marked = mark_question(paper.questions[0], {"answer": "0.10101 0011"})
    >>> marked.marks, marked.most, marked.waiting[0].group
    (5, 6, 'trailing zeros left off')
    """
    question = asked.question
    followed, ranging = is_followed(question), question.operation.name == "range"
    parts = extremes_of(question) if ranging else None if followed else ()
    apart = answers_apart(question, written, parts)
    text = {line: one for line, one in apart.items() if any(sign.isalnum() for sign in one)}
    if not text:
        points = tuple(point.marked(0, "absent", "Nothing is written.") for point in asked.points)
        return QuestionMarks(asked, points)
    if asked.kind == "mistake":
        return _found_mistake(asked, text)
    marked = _extremes(asked, text) if ranging else _marked(asked, text)
    if marked.marks < asked.marks and (pair := _exchanged(asked, text, marked)):
        lenient = mark_question(asked, {**text, pair[0]: text[pair[1]], pair[1]: text[pair[0]]})
        return _either(
            lenient, marked, "in each other's place", f"{pair[0]} and {pair[1]} are in each other's place"
        )
    return marked


def _marked(asked: Asked, text: Mapping[str, str]) -> QuestionMarks:
    """Return *asked* marked from what is written, read as it stands."""
    question = asked.question
    followed = is_followed(question)
    given = Given(text, read_answer(question, text.get("answer", "")))
    marked = _followed(asked, given) if followed else _by_answer(asked, given)
    if given.answer.several:
        return _without_choice(asked, marked, given)
    if followed and "answer" in text and not given.answer.readable:
        return _if_read(asked, marked, given)
    return _by_manner(asked, _left_in_binary(asked, marked, given), given)


def _exchanged(asked: Asked, text: Mapping[str, str], marked: QuestionMarks) -> tuple[str, str] | None:
    """Return two wrong lines of which each holds what the other should; None where there are none."""
    wrong = dict.fromkeys(
        point.rule
        for point in marked.points
        if point.rule in text and not point.given and point.rule != "answer"
    )
    if len(wrong) < LEAST_LINES:
        return None
    expected = {
        rule: _as_compared(" ".join(point.expects for point in asked.points if point.rule == rule))
        for rule in wrong
    }
    written = {rule: _as_compared(text[rule]) for rule in wrong}
    return next(
        (
            (one, other)
            for one, other in combinations(wrong, 2)
            if written[one] == expected[other] != expected[one] == written[other]
        ),
        None,
    )


def _as_compared(text: str) -> Fraction | str:
    """Return a row without spaces and point, or a value, so that one spelling can be held against another."""
    plain = plain_text(text).replace(" ", "")
    value = None if set(plain) <= set("01.") else value_of(plain)
    return plain.replace(".", "") if value is None else value


# === An answer right but for its manner, and several answers ===


def _by_manner(asked: Asked, marked: QuestionMarks, given: Given) -> QuestionMarks:
    """Return *marked*, what is written in another manner than asked for left to the teacher."""
    course, manners = asked.question.course, given.answer.manners
    open_manners = [manner for manner in manners if manner not in course.takes]
    if not open_manners or _is_own_value(asked.question, given.answer):
        return marked
    if "value without its pattern" in open_manners and asked.question.operation.name != "error":
        if _shows_bits(asked.question, given):
            return marked
        text = {line: one for line, one in given.text.items() if line != "answer"}
        text["decimal"] = given.text.get("decimal", "") or given.text["answer"]
        strict, group = _marked_as(asked, Given(text, Answer())), open_manners[-1]
        return _either(
            marked, strict, group, f"Right but for its manner: {group}", refused=group in course.refuses
        )
    lost = {part for manner in open_manners for part in MANNERS[manner]}
    group = " and ".join(open_manners)
    points = tuple(
        _ruled(asked, point, group) if point.rule == "answer" and point.part in {"", *lost} else point
        for point in marked.points
    )
    return replace(marked, points=points)


def _shows_bits(question: Question, given: Given) -> bool:
    """Tell whether some line of working shows a row of bits, which a value as the answer may then replace."""
    lines = ((line, text) for line, text in given.text.items() if line not in {"answer", "decimal"})
    return any(row.bare for line, text in lines for row in read_place(question, line, text))


def _left_in_binary(asked: Asked, marked: QuestionMarks, given: Given) -> QuestionMarks:
    """Return *marked*, where a value was left in binary: what it implies of the way there is the teacher's."""
    work = [point for point in asked.points if point.rule == "answer"]
    value = value_of(work[0].expects, asked.question.course.point) if work else None
    if asked.question.operation.name != "decode" or value is None or marked.marks or not given.alone:
        return marked
    if not is_left_in_binary(given.text.get("answer", ""), value):
        return marked
    why = f"The answer was left in binary; {work[0].expects} was expected."
    points = (
        point if point.rule == "answer" else point.waits("left in binary", why) for point in marked.points
    )
    return replace(marked, points=tuple(points))


def _ruled(asked: Asked, mark: Mark, group: str) -> Mark:
    """Return a point whose answer is in another manner: withheld, and waiting unless the course has decided."""
    if not mark.given:
        return mark
    why = f"Right but for its manner: {group}; {mark.expects} was expected."
    if set(group.split(" and ")) & set(asked.question.course.refuses):
        return replace(mark, given=0, status="off", why=why)
    return replace(mark, status="off").waits(group, why, could=mark.given)


def _without_choice(asked: Asked, marked: QuestionMarks, given: Given) -> QuestionMarks:
    """Return the marks of several answers: strictly none is chosen, leniently the best of them."""
    text = {line: one for line, one in given.text.items() if line != "answer"}
    strict = _marked_as(asked, Given(text, Answer()))
    each = [
        _marked_as(asked, Given({**text, "answer": one}, read_answer(asked.question, one)))
        for one in given.answer.several
    ]
    lenient, several = max((marked, *each), key=lambda one: one.most), given.answer.several
    return _either(
        lenient,
        strict,
        "several answers",
        f"{len(several)} answers are written: {', '.join(several)}",
        chosen=False,
    )


def _if_read(asked: Asked, marked: QuestionMarks, given: Given) -> QuestionMarks:
    """Return *marked*, where an answer cannot be read: what it would imply, were it right, is the teacher's too."""
    right = final_answer(work_question(asked.question)).split("; ")[0]
    text = {**given.text, "answer": right}
    lenient = _marked_as(asked, Given(text, read_answer(asked.question, right)))
    points = (
        less.not_read(given.text["answer"], could=more.most)
        if more.most > less.most and not less.given
        else less
        for less, more in zip(marked.points, lenient.points, strict=True)
    )
    return replace(marked, points=tuple(points))


def _marked_as(asked: Asked, given: Given) -> QuestionMarks:
    if not given.text:
        points = tuple(point.marked(0, "absent", "Nothing else is written.") for point in asked.points)
        return QuestionMarks(asked, points)
    return _followed(asked, given) if is_followed(asked.question) else _by_answer(asked, given)


def _either(
    lenient: QuestionMarks,
    strict: QuestionMarks,
    group: str,
    why: str,
    *,
    refused: bool = False,
    chosen: bool = True,
) -> QuestionMarks:
    """Return *strict*, each point that *lenient* would give more for left to the teacher.

    refused  whether the course has ruled against it already
    chosen   whether one answer was chosen; if none was, the answer waits though it would earn no more
    """
    points = []
    for less, more in zip(strict.points, lenient.points, strict=True):
        if more.most <= less.most and (chosen or less.rule != "answer"):
            points.append(less)
            continue
        said = f"{why}; {more.expects} was expected."
        status = "absent" if chosen and less.status != "off" else "off"
        held = replace(less, status=status, written=more.written, why=said)
        points.append(
            held if refused else replace(held.waits(group, said, could=more.most), given=less.given)
        )
    return replace(lenient, points=tuple(points))


# === Lines judged one from another ===


def _followed(asked: Asked, given: Given) -> QuestionMarks:
    """Return the marks, best over methods and readings, of a question whose lines are judged one from another."""
    sheet = sheet_for(asked.question)
    lines, notes = _readable(asked, sheet, given)
    kept = {line: one for line, one in given.text.items() if line in lines or line in {"decimal", "answer"}}
    kept |= {line: one for line, one in given.text.items() if line in {point.rule for point in asked.points}}
    given = replace(given, text=kept)
    best = _best(asked, sheet, lines, given)
    aside = [line for line in lines if best.marks < asked.marks and _says_result(asked, line, given)]
    if aside:
        other = _without_results(asked, sheet, lines, given, aside)
        best = other if (other.marks, other.most) > (best.marks, best.most) else best
    if best.marks < asked.marks:
        best = _by_another_method(
            asked, sheet, lines, given, _read_otherwise(asked, sheet, lines, given, best)
        )
    return replace(best, notes=(*notes, *best.notes))


def _read_otherwise(
    asked: Asked, sheet: Sheet, lines: Written, given: Given, best: QuestionMarks
) -> QuestionMarks:
    """Return *best*, what it would earn if rows were read in the other way they can be left to the teacher."""
    others = {
        line: tuple(row.other or row for row in rows)
        for line, rows in lines.items()
        if any(row.other for row in rows)
    }
    if not others:
        return best
    lenient = _best(asked, sheet, {**lines, **others}, given)
    if lenient.most <= best.most:
        return best
    rows = ", ".join(f"\u201c{given.text[line]}\u201d" for line in others if line in given.text)
    why = f"{rows} may be read with its last digits as those that fell off"
    return _either(lenient, best, "digits that fell off, or more", why)


def _by_another_method(
    asked: Asked, sheet: Sheet, lines: Written, given: Given, best: QuestionMarks
) -> QuestionMarks:
    """Return *best*; where all is right by a method that the course does not take, what that earns waits.

    Only a row above the line shows by which method someone works: a sum or an answer may be a belief's as well.
    """
    wrong = {mark.line for mark in best.account.marks if mark.status in FAULTS} if best.account else set()
    if not wrong & {*ABOVE}:
        return best
    for name, account in accounts_elsewhere(asked.question, sheet, lines):
        lenient = QuestionMarks(asked, award(asked, account, given), "", name, "", account)
        why = f"Right by {method_elsewhere(name)}, which the course does not take"
        return _either(lenient, best, f"right by the method {name}", why)
    return best


def _best(asked: Asked, sheet: Sheet, lines: Written, given: Given) -> QuestionMarks:
    """Return the marks under the method and the reading of the question that are best for the pupil."""
    return max(_readings(asked, sheet, lines, given), key=lambda marked: (marked.marks, not marked.reading))


# === What the question comes to, written in a step's place ===


def _says_result(asked: Asked, line: str, given: Given) -> bool:
    """Tell whether *line* holds what the question comes to: it is right, though no step of the way there."""
    question, text = asked.question, given.text.get(line, "")
    if line == "answer" or not text:
        return False
    working, decodes = work_question(question), question.operation.name == "decode"
    if not decodes and read_answer(question, text)[1:3] == (final_answer(working).split("; ")[0], ()):
        return True
    known = {abs(value) for value in (working.check.exact, working.result.value) if value is not None}
    said = {abs(value) for reading in read_place(question, line, text) for value in sized_values(reading)}
    counts = (decodes or line in COUNTED) and "=" not in text  # and not by chance the result's own number
    return any(value in known and not (counts and value.denominator == 1) for value in said)


def _without_results(
    asked: Asked, sheet: Sheet, lines: Written, given: Given, aside: list[str]
) -> QuestionMarks:
    """Return the marks as if the lines called *aside* were empty; where that earns nothing, some may wait."""
    kept = replace(given, text={line: text for line, text in given.text.items() if line not in aside})
    best = _best(asked, sheet, {line: rows for line, rows in lines.items() if line not in aside}, kept)
    points = (
        _with_result(mark, given.text[mark.rule]) if mark.rule in aside else mark for mark in best.points
    )
    return replace(best, points=tuple(points))


def _with_result(mark: Mark, text: str) -> Mark:
    mark = replace(mark, written=text)
    if mark.given or mark.for_teacher or mark.rule not in {"product", "quotient"}:
        return mark
    why = f"That is what the numbers themselves come to; {mark.expects} was expected."
    return mark.waits("the result itself", why)


def _is_own_value(question: Question, answer: Answer) -> bool:
    """Tell whether the answer is only the value that the question gave, which shows nothing."""
    return question.operation.name in OWN_VALUE and "value without its pattern" in answer.manners


def _readable(asked: Asked, sheet: Sheet, given: Given) -> tuple[Written, tuple[str, ...]]:
    """Return the lines this question has, read, and a note on each other line.

    What cannot be read is left out, and a row whose value is written in decimal: what follows may imply it.
    """
    question = asked.question
    lines: JsonObject = {}
    notes = []
    if (
        given.answer.reading is not None
        and given.answer.readable
        and not _is_own_value(question, given.answer)
    ):
        lines["answer"] = (given.answer.reading,)
    for name, text in given.text.items():
        if name in {"decimal", "answer"}:
            continue
        point = next((one for one in asked.points if one.rule == name), None)
        try:
            read = read_lines(question, sheet, {name: text})
        except EntryError as reason:
            notes.append(f"not marked: {reason}")
            continue
        if point is None or not in_decimal(asked, point, next(iter(read.values()), ())):
            lines |= {line: rows for line, rows in read.items() if any(row.says_something for row in rows)}
    return lines, tuple(notes)


def _readings(asked: Asked, sheet: Sheet, lines: Written, given: Given) -> Iterator[QuestionMarks]:
    """Yield the marks under every accepted method and, where a line is wrong, under every misreading."""
    believing = believing_for(asked.question)
    first_line = next(
        (line.name for line in sheet.lines(accepted_methods(asked.question)[0], lines) if line.name in lines),
        "",
    )
    astray = False
    for base in accepted_methods(asked.question):
        account = walk_clean(sheet, base, lines) or walk(sheet, base, lines, believing=believing)
        first = account.first_wrong
        marked = QuestionMarks(
            asked, award(asked, account, given), first.line if first else "", base.name, "", account
        )
        # What a belief gives, or what was copied down unchanged, is no misreading.
        astray = astray or (first is not None and first.line == first_line and first.status == "off")
        yield marked
        if marked.marks == asked.marks:
            return
    if astray and len(lines) >= LEAST_LINES:  # a misreading shows on the first line that is written
        yield from _misread(asked, lines, given)


def _misread(asked: Asked, lines: Written, given: Given) -> Iterator[QuestionMarks]:
    """Yield the marks where one digit of the question was misread and every line is right from there."""
    sheet = copy(sheet_for(asked.question))  # that of a conversion or a sum is kept for the next pupil
    for words, page in sheet.altered():
        sheet.start = page
        for base in accepted_methods(asked.question):
            account = walk_clean(sheet, base, lines)
            if account:
                points = _one_accuracy_less(award(asked, account, given), words)
                yield QuestionMarks(asked, points, "", base.name, words, account)


def _one_accuracy_less(points: tuple[Mark, ...], words: str) -> tuple[Mark, ...]:
    """Return *points* with one accuracy mark withheld for a misreading."""
    why = f"Misread: {words}. All that follows is right, so one accuracy mark is lost."
    taken = next((at for at, mark in enumerate(points) if mark.kind != "M" and mark.given), None)
    return tuple(
        replace(mark.waits(f"misread: {words}", why), given=mark.given - 1, status="off")
        if at == taken
        else replace(mark, status="follow-through", why=f"Right for the question as read ({words}).")
        if mark.status == "right"
        else mark
        for at, mark in enumerate(points)
    )


def _found_mistake(asked: Asked, given: Mapping[str, str]) -> QuestionMarks:
    """Return the marks for naming the wrong line of a shown working; what it should be is for the teacher."""
    text = given.get("answer", "")
    points = []
    for point in asked.points:
        right = point.expects.lower() in text.lower()
        why = "Right." if right else f"{point.expects} was expected."
        made = point.marked(point.marks * right, "right" if right else "off", why, written=text)
        points.append(made if right else made.waits("a mistake named", why))
    return QuestionMarks(asked, tuple(points), account=Account(accepted_methods(asked.question)[0]))


def _by_answer(asked: Asked, given: Given) -> QuestionMarks:
    """Return the marks of a question whose lines are not judged one from another."""
    points = by_final_answer(asked, given)
    wrong = next((point.rule for point in points if point.rule == "answer" and point.status != "right"), "")
    return QuestionMarks(asked, points, wrong, account=Account(Method("", "", (), {})))


def _extremes(asked: Asked, given: Mapping[str, str]) -> QuestionMarks:
    """Return the marks for the four extreme values, a field at a time."""
    question = asked.question
    notes, answers, names = [], {}, extremes_of(question)
    for name, text in given.items():
        line = names[0] if name == "answer" else name.replace("-", " ").replace("_", " ")
        if line not in names:
            notes.append(f"not marked: {name!r} is no extreme; they are {', '.join(names)}")
        elif line not in answers or name != "answer":
            answers[line] = read_answer(question, text, line)
    account, points = _extreme_marks(asked, answers)
    points = tuple(unread(question, _extreme_ruled(asked, mark, answers)) for mark in points)
    first = account.first_wrong
    return QuestionMarks(asked, points, first.line if first else "", "", "", account, tuple(notes))


def _extreme_marks(asked: Asked, answers: Mapping[str, Answer]) -> tuple[Account, tuple[Mark, ...]]:
    marks = judge_extremes(asked.question, answers)
    account = Account(right_method("range", asked.question.course), list(marks))
    return account, extreme_points(asked, account, answers)


def _extreme_ruled(asked: Asked, mark: Mark, answers: Mapping[str, Answer]) -> Mark:
    """Return a field of an extreme, withheld where its manner or a second answer leaves it to the teacher."""
    answer = answers.get(mark.rule, Answer())
    if answer.several:
        each = ({mark.rule: read_answer(asked.question, one, mark.rule)} for one in answer.several)
        best = max(
            other.given for one in each for other in _extreme_marks(asked, one)[1] if other.name == mark.name
        )
        why = f"Several are written: {', '.join(answer.several)}."
        return replace(mark, status="off").waits("several answers", why, could=best) if best else mark
    if asks_for_value(asked.question, mark):
        return mark
    manners = [manner for manner in answer.manners if manner not in asked.question.course.takes]
    lost = {part for manner in manners for part in MANNERS[manner]}
    return _ruled(asked, mark, " and ".join(manners)) if mark.part in {"", *lost} and manners else mark
