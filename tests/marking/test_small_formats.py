"""Judgement held against every question, or a fixed share of them, of a small format."""

import itertools
import re
from collections.abc import Iterator

import pytest

from chalkpoint.marking.judging import accepted_methods, judge_question, sheet_for
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.course import Course
from chalkpoint.working.methods import METHODS, Method
from chalkpoint.working.procedures import method_named
from chalkpoint.working.question import OPERATIONS, Question

SUMS = ("add", "subtract")
EVERYTHING = Course(format="5+3", accepts=tuple(METHODS))
SMALLEST = Course(format="4+3", accepts=tuple(METHODS))
COURSE = Course(format="5+3")


def normalised(course: Course) -> list[Pattern]:
    """Return every normalised pattern of the course's format."""
    fmt = course.float_format
    mantissas = range(-(1 << fmt.places), 1 << fmt.places)
    exponents = range(fmt.lowest_exponent, fmt.highest_exponent + 1)
    every = (Pattern(*pair) for pair in itertools.product(mantissas, exponents))
    return [pattern for pattern in every if pattern.mantissa and fmt.is_normalised(pattern)]


def questions(operation: str, course: Course, step: int = 1, start: int = 0) -> Iterator[Question]:
    """Yield every *step*-th question on two normalised patterns."""
    pairs = itertools.product(normalised(course), repeat=2)
    for pair in itertools.islice(pairs, start, None, step):
        yield Question(OPERATIONS[operation], course, course.number_format, pair, given=(None, None))


def written(question: Question, method: Method) -> tuple[dict[str, str], str]:
    """Return the lines *method* writes and its answer, as a pupil would write them."""
    sheet, lines = sheet_for(question), {}
    page = sheet.start
    for line, before, after in method.trail(page, question.format):
        if line.name not in {"read", "range"} and not (line.optional and before == after):
            lines[line.name] = sheet.says(line.name, before, after)
        page = after
    return lines, sheet.says("answer", page, page)


@pytest.mark.parametrize("operation", SUMS)
def test_no_right_answer_is_judged_wrong(operation: str) -> None:
    """Every fifth pair of 4+3: the answer of every method is right where all are accepted."""
    methods = [method_named(next(questions(operation, SMALLEST)), name) for name in METHODS]
    for question in questions(operation, SMALLEST, step=5):
        sheet = sheet_for(question)
        pages = [method.finish(sheet.start, question.format) for method in methods]
        for answer in dict.fromkeys(sheet.says("answer", page, page) for page in pages):
            judged = judge_question(question, {}, answer)
            assert judged.verdict == "right", (question.operands, answer)


@pytest.mark.parametrize("name", METHODS)
@pytest.mark.parametrize("operation", SUMS)
def test_no_right_working_is_judged_wrong(operation: str, name: str) -> None:
    """Whole workings of every method: right where it is accepted, and no fault where it is not."""
    for question in questions(operation, COURSE, step=397):
        lines, answer = written(question, method_named(question, name))
        judged = judge_question(question, lines, answer)
        assert judged.verdict in {"right", "right elsewhere"}
        assert judged.first_wrong is None
        open_minded = Question(
            question.operation, EVERYTHING, question.format, question.patterns, given=(None, None)
        )
        assert judge_question(open_minded, lines, answer).verdict == "right"


CASES = [(operation, belief.id) for operation in SUMS for belief in beliefs_for(operation)]
JUDGED = 4


@pytest.mark.parametrize(("operation", "name"), CASES)
def test_a_beliefs_own_working_is_traced_to_it(operation: str, name: str) -> None:
    """Where what a belief writes is not right, the belief is among those named, with its lines and without."""
    belief = next(belief for belief in beliefs_for(operation) if belief.id == name)
    judged = 0
    for question in questions(operation, COURSE, step=101, start=CASES.index((operation, name))):
        base = accepted_methods(question)[0]
        method = belief.method_for(operation, base)
        assert method is not None
        lines, answer = written(question, method)
        right_lines, right = written(question, base)
        for some in ([lines] if lines != right_lines else []) + ([{}] if answer != right else []):
            found = judge_question(question, some, answer)
            if found.verdict == "right elsewhere":
                continue
            assert name in found.among, (question.operands, some, answer)
            judged += 1
        if judged >= JUDGED:
            return
    assert judged


@pytest.mark.parametrize("operation", SUMS)
def test_one_altered_bit_is_found_on_its_line(operation: str) -> None:
    """Each bit of each line of some workings, altered by itself, makes that line the first wrong one."""
    altered = 0
    for question in questions(operation, COURSE, step=1409, start=5):
        lines, answer = written(question, accepted_methods(question)[0])
        if question.patterns[0].exponent == question.patterns[1].exponent:
            lines.pop("align")  # nothing moves, and either row may stand there
        for name, text in [*lines.items(), ("answer", answer)]:
            for place in range(len(re.match(r"[01.]*(?: [01]+$)?", text)[0])):  # type: ignore[index]
                if text[place] not in "01":
                    continue
                other = f"{text[:place]}{'10'[int(text[place])]}{text[place + 1 :]}"
                judged = judge_question(
                    question,
                    lines | ({name: other} if name in lines else {}),
                    other if name == "answer" else answer,
                )
                if judged.elsewhere:
                    continue  # as altered it happens to be right by another method or convention
                first = judged.first_wrong
                assert first is not None, (question.operands, name, other, lines)
                assert first.line == name, (question.operands, name, other)
                altered += 1
    assert altered > 150
