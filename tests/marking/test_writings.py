"""No right answer loses a mark in silence, a wrong digit costs its field, and more working costs nothing.

A few hundred writings run with the suite. ``CHALKPOINT_WRITINGS=100000 pytest tests/marking/test_writings.py``
runs as many as you say: 100,000 writings take about two minutes, 20,000 altered digits one.
"""

import os
import random

import pytest

from chalkpoint.marking.judging import accepted_methods, sheet_for
from chalkpoint.marking.marks import mark_question
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.papers import Asked
from chalkpoint.working.work import work_question
from heron import one_question
from writings import (
    ANYWHERE,
    FULL,
    GROUPED,
    TRAYS,
    drawn_anywhere,
    drawn_question,
    field_altered,
    fields_of,
    right_answers,
    row_moved,
)

WANTED = int(os.environ.get("CHALKPOINT_WRITINGS", "900"))
SCHOOL = [
    ("decode", "10110000 1110"),
    ("encode", "-5.25"),
    ("encode", "-5.3"),
    ("normalise", "11110010 0010"),
    ("negate", "01010000 0001"),
    ("add", "2.75", "-1.5"),
    ("add", "3.25", "2.75"),
    ("add", "96", "80"),
    ("subtract", "8.875", "3.6875"),
    ("multiply", "-5", "1.375"),
    ("divide", "2.5", "1.5"),
    ("divide", "5", "2.5"),
    ("error", "4.6"),
    ("range",),
]
FAMILIES = [
    (("add", "6.5", "1.375"), "binary16"),
    (("encode", "-5.3"), "binary16"),
    (("multiply", "3.25", "0.4375"), "1+4+3"),
    (("subtract", "2.5", "1.25"), "Q5.3"),
    (("negate", "00110100"), "8"),
    (("decode", "10110110"), "8"),
    (("divide", "7", "2"), "Q5.3"),
    (("add", "6.5", "1.25"), "1750A-32"),
    (("sum", "64", "0.25", "1"), "8+4"),
    (("convert", "-5.25", "8"), "8+4"),
    (("error", "4.6"), "Q5.3"),
    (("decode", "110101001001001011000111 10100101"), "24+8"),
    (("decode", "0100000000 100001"), "10+6"),
    (("encode", "-4.7"), "24+8"),
]
ALL = [(question, "8+4") for question in SCHOOL] + FAMILIES


def answered(asked: Asked) -> str:
    """Return the course's own answer."""
    return final_answer(work_question(asked.question))


def right_lines(asked: Asked) -> dict[str, str]:
    """Return every right line: as the scheme prints it, and where it prints none as the working has it."""
    lines = {point.rule: point.expects for point in asked.points if not point.part and point.rule != "answer"}
    if asked.question.operation.name == "range" or asked.question.format.__class__.__name__ != "FloatFormat":
        return lines
    if {point.rule for point in asked.points} & {
        "unpack",
        "size",
    } and asked.question.operation.name == "convert":
        return lines
    if asked.question.operation.name in {"sum", "convert"} or str(asked.question.format) == "1750A-32":
        return lines
    sheet, method = sheet_for(asked.question), accepted_methods(asked.question)[0]
    page = sheet.start
    for line in method.lines:
        before, page = page, method.apply(line, page, sheet.context)
        if line.slots and line.name != "read" and not (line.optional and before == page):
            lines.setdefault(line.name, sheet.says(line.name, before, page))
    return lines


@pytest.mark.parametrize(("question", "spelling"), ALL, ids=lambda one: str(one)[:24])
def test_more_right_working_never_costs_a_mark(question: tuple[str, ...], spelling: str) -> None:
    """A right answer earns at least as much with any of its right lines as without; with all of them, everything."""
    asked = one_question(*question, format=spelling)
    rng, lines = random.Random(12), right_lines(asked)
    alone = mark_question(asked, {"answer": answered(asked)})
    assert (alone.marks, alone.waiting) == (asked.alone, ())
    for _ in range(12):
        chosen = [line for line in lines if rng.random() < 0.5]
        written = {line: lines[line] for line in chosen} | {"answer": answered(asked)}
        before, least = {"answer": written["answer"]}, alone.marks
        for line in chosen:
            before |= {line: lines[line]}
            now = mark_question(asked, before)
            assert now.marks >= least, (before, [(point.name, point.why) for point in now.points])
            least = now.marks
    everything = mark_question(asked, {**lines, "answer": answered(asked)})
    assert everything.marks == asked.marks, [(point.name, point.why) for point in everything.points]


def test_what_a_scheme_prints_earns_its_marks() -> None:
    """In every family of formats: each line as the scheme has it, with nothing before it and with an equals sign."""
    rng = random.Random(2032)
    for _ in range(WANTED // 6):
        asked = drawn_anywhere(rng)
        printed: dict[str, str] = {}
        for point in asked.points:
            printed[point.rule] = (
                f"{printed.get(point.rule, '')} {point.expects}".strip() if point.part else point.says
            )
        for before in ("", "= "):
            marked = mark_question(asked, {line: f"{before}{text}" for line, text in printed.items()})
            lost = [(point.name, point.why) for point in marked.points if point.given < point.marks]
            assert not lost, (asked.question.operands, str(asked.question.format), printed)


def test_a_pattern_of_any_family_may_be_written_in_any_manner() -> None:
    """A right answer alone earns what the scheme says, however its fields are parted and its base is told."""
    rng = random.Random(2033)
    for _ in range(WANTED // 15):
        asked = drawn_anywhere(rng)
        answer = answered(asked).split("; ")[0]
        if asked.question.operation.name in {"range", "error", "sum"} or set(answer) - set("01 "):
            continue
        for name, write in ANYWHERE.items():
            marked = mark_question(asked, {"answer": write(answer)})
            assert (marked.marks, marked.waiting) == (asked.alone, ()), (name, write(answer), asked.question)


def test_every_manner_earns_full_marks_or_forms_a_group() -> None:
    """For every question type, format and accepted method: nothing that is right is lost in silence."""
    rng, seen = random.Random(2030), 0
    while seen < WANTED:
        asked, question = drawn_question(rng)
        for fields in filter(None, (fields_of(question, answer) for answer in right_answers(question))):
            for name, write in FULL.items():
                marked = mark_question(asked, {"answer": write(*fields)})
                assert (marked.marks, marked.waiting) == (asked.alone, ()), (name, write(*fields), question)
            for name, write in GROUPED.items():
                marked = mark_question(asked, {"answer": write(*fields)})
                assert marked.most == asked.alone, (name, write(*fields), question)
                assert marked.marks == asked.alone or marked.waiting
            seen += len(FULL) + len(GROUPED)


def test_what_fell_off_may_be_written_in_any_manner() -> None:
    """A right row with its tray earns its mark, or waits where the tray may be an exponent."""
    rng, seen = random.Random(2034), 0
    while seen < WANTED // 4:
        asked, question = drawn_question(rng)
        if question.operation.name not in {"add", "subtract"} or asked.marks != asked.alone:
            continue
        row, lost, exponent = row_moved(question)
        if not 0 < len(lost) < question.float_format.mantissa_bits:
            continue
        for name, write in TRAYS.items():
            text = write(row, lost, str(exponent))
            (align,) = (mark for mark in mark_question(asked, {"align": text}).points if mark.rule == "align")
            assert align.most == align.marks, (name, text, question)
            assert align.given or align.for_teacher
            seen += 1


def test_every_altered_digit_costs_its_field() -> None:
    """One digit of an answer changed: its field's mark is gone, unless another accepted method has that field."""
    rng, seen = random.Random(2031), 0
    while seen < WANTED // 5:
        asked, question = drawn_question(rng)
        every = [fields_of(question, answer) for answer in right_answers(question)]
        for fields in filter(None, every):
            for field, text in field_altered(*fields[:2]):
                at = field == "exponent"
                if any(other is None or other[at] == text.split()[at] for other in every):
                    continue
                marked = mark_question(asked, {"answer": text})
                (lost,) = (
                    point for point in marked.points if point.rule == "answer" and point.part in {field, ""}
                )
                assert not lost.given, (field, text, question)
                seen += 1
