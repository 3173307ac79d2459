"""Mark schemes and marking held to published values: IEEE 754 encodings, OCP codes, 32-bit integers, MIL-STD-1750A.

Sources: those of `test_ieee754`, `test_ocp8`, `test_fixed_point` and `test_mil_std_1750a`.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from chalkpoint.marking.marks import mark_question
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.papers import Asked
from chalkpoint.setting.schemes import scheme_for
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask
from published.sources import Entry, cases, entries

ENCODINGS = [one for one in entries("ieee754", "encoding") if one["value"] not in {"inf", "-0.0"}]
INTEGERS = entries("fixed_point", "integer32")
MACHINE = entries("mil_std_1750a", "example32")


def one(operation: str, operand: str, spelling: str) -> Asked:
    """Return a question as a paper read back has it, under a course that shows hexadecimal."""
    entry = {"operation": operation, "operands": [operand], "format": spelling}
    course = {"hexadecimal": "shown"}
    paper = {"schema": "chalkpoint.papers/1", "course": course, "papers": [{"questions": [entry]}]}
    return papers_from(paper).first.questions[0]


@pytest.mark.parametrize("figure", cases(ENCODINGS, "format", "value"))
def test_the_answer_expected_is_the_code_published(figure: Entry) -> None:
    """In bits; and whoever writes the published hexadecimal has full marks."""
    course, value = Course(format=figure["format"]), str(Fraction(figure["value"]))
    bits = f"{int(figure['hex'], 16):0{course.number_format.bits}b}"
    (answer,) = [
        mark for mark in scheme_for(ask("encode", value, course=course)).marks if mark.rule == "answer"
    ]

    assert answer.expects.replace(" ", "") == bits
    asked = one("encode", value, figure["format"])
    assert mark_question(asked, {"answer": f"0x{figure['hex']}"}).marks == asked.marks


@pytest.mark.parametrize("integer", cases(INTEGERS, "hex"))
def test_32_bit_integers_are_marked(integer: Entry) -> None:
    """The code is read as its integer, and the integer written as its code."""
    reading = one("decode", f"0x{integer['hex']}", "32")
    writing = one("encode", integer["integer"], "32")

    assert mark_question(reading, {"answer": integer["integer"]}).marks == reading.marks
    assert mark_question(writing, {"answer": f"{int(integer['hex'], 16):032b}"}).marks == writing.marks


@pytest.mark.parametrize("example", cases(MACHINE, "hex"))
def test_a_machine_s_table_is_marked(example: Entry) -> None:
    """Each code of the standard's table decodes to the value printed there."""
    value = Fraction(example["mantissa_exact"]) * Fraction(2) ** example["exponent"]
    asked = one("decode", f"0x{example['hex']}", "1750A-32")
    scheme = {mark.rule: mark.expects for mark in scheme_for(asked.question).marks}

    assert scheme["exponent"].replace("\u2212", "-") == str(example["exponent"])
    assert mark_question(asked, {"answer": str(value)}).marks == asked.marks
