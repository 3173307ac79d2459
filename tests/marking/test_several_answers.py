"""Diagnosis where numbers are multiplied, divided or stored at a cost, and where a range is asked for."""

import random

import pytest

from chalkpoint.marking.answers import Script
from chalkpoint.marking.asking import diagnose, diagnoser_for
from chalkpoint.marking.diagnosis import Diagnosis
from chalkpoint.marking.marks import mark_question
from chalkpoint.marking.students import Marker
from chalkpoint.marking.ways import Way, held_method, predict, ways_for
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.conventions import CONVENTIONS
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import BETWEEN, answer_by, parts_of
from chalkpoint.working.question import OPERATIONS, Question, ask
from chalkpoint.working.under import answer_under
from heron import one_question, papers_of

COURSE = Course()
FACTORS = [
    ("-5", "1.375"),
    ("0.15625", "-0.3125"),
    ("1.703125", "-0.8203125"),
    ("-2.75", "-0.34375"),
    ("24", "20"),
    ("88", "-40"),
    ("-4", "-2"),
    ("-8", "-0.5"),
]
DIVIDED = [
    ("-6", "1.5"),
    ("2.5", "1.5"),
    ("0.1875", "-2.5"),
    ("7", "2.5"),
    ("96", "0.0078125"),
    ("-88", "0.0625"),
    ("-5.5", "2.25"),
    ("-0.34375", "0.6875"),
]
STORED = ["4.6", "-5.3", "0.1", "-0.7", "12.45", "-0.0123", "43.17", "-27.4"]
PAPERS = {
    "multiply": [ask("multiply", *pair, course=COURSE) for pair in FACTORS],
    "divide": [ask("divide", *pair, course=COURSE) for pair in DIVIDED],
    "error": [ask("error", value, course=COURSE) for value in STORED],
    "range": [ask("range", course=COURSE.with_(format=name)) for name in ("8+4", "6+4", "10+6")],
}
MIXED = [*PAPERS["multiply"][:2], PAPERS["multiply"][5], *PAPERS["divide"][2:5], *PAPERS["error"][2:4]]

#: What leaves no trace on a paper: it needs operands that are not in normal form, or another rounding.
SILENT = {"norm-one-place-only", "norm-fill-sign", "cuts-when-told-to-round"}
#: What a right way by another book writes too: those who follow it must not be accused.
NO_FAULT = {"rounds-when-told-to-cut", "scientific-exponent", "drop-leading-bits", "mantissa-padded-left"}
#: What these papers cannot show: nothing here is normalised after a division, no value has digits that tell it.
ELSEWHERE = {
    "divide": {"norm-mantissa-only", "norm-exponent-wrong-way", "norm-one-too-far", "norm-skipped"},
    "error": {"frac-bits-bottom-up", "invert-only", "invert-before-padding"},
    "range": {"underflow-means-negative"},
}
HELD = [(operation, belief.id) for operation in PAPERS for belief in beliefs_for(operation)]


def written(question: Question, way: Way) -> str:
    """Return what whoever works by *way* writes in the answer's place."""
    return answer_by(held_method(way, question.operation.name, question.course), question)


def said_of(paper: list[Question], *beliefs: str) -> Diagnosis:
    """Return what the answers of a holder of *beliefs* to a paper say."""
    return diagnose([(question, written(question, Way("", beliefs))) for question in paper])


@pytest.mark.parametrize(("operation", "belief"), HELD)
def test_a_holder_is_traced(operation: str, belief: str) -> None:
    """Whoever holds a belief throughout has it named, alone or in its class, and nothing else."""
    said = said_of(PAPERS[operation], belief)
    assert all(belief in finding.among for finding in said.named)
    silent = SILENT | NO_FAULT | ELSEWHERE.get(operation, set())
    assert bool(said.named) == (belief not in silent)


@pytest.mark.parametrize("operation", PAPERS)
def test_whoever_is_right_by_another_book_is_not_accused(operation: str) -> None:
    """Right answers by every other method and under every other convention name nothing."""
    ways = ways_for(COURSE, frozenset({operation}), pairs=False)
    for number, way in enumerate(ways):
        if way.beliefs:
            continue
        answers = []
        for question in PAPERS[operation]:
            parts = [predict(question, ways, part) for part in parts_of(operation, COURSE) or ("",)]
            texts = [next(text for text, mask in one.items() if mask >> number & 1) for one in parts]
            answers.append((question, BETWEEN.join(texts)))
        assert not diagnose(answers).named, way


@pytest.mark.parametrize("belief", ["exp-unsigned", "sign-bit-only", "exp-sign-mag"])
def test_a_belief_is_seen_through_a_mixed_paper(belief: str) -> None:
    """What shows in products and quotients is one belief, wherever it shows."""
    (found,) = said_of(MIXED, belief).named
    assert belief in found.among


def test_one_range_names_nothing() -> None:
    """Two extremes that show a belief are answers to one question, and one question never names one."""
    (found,) = said_of(PAPERS["range"][:1], "exponent-range-mirrored").findings
    assert not found.named
    assert found.why == "one answer is not enough"
    assert found.shown_on == (1,)


def test_what_follows_from_a_wrong_pattern_speaks_for_nothing() -> None:
    """A stored pattern that is off by a slip, and its costs worked rightly, leave relative errors right."""
    lines = {"answer": "0.1001010 0011", "absolute": "0.025", "relative": "1/184"}
    marked = mark_question(one_question("error", "4.6"), lines)
    assert [point.status for point in marked.points] == ["misconception", "follow-through", "follow-through"]
    said = _diagnosed(
        [("error", value) for value in STORED[:2]], [lines, lines | {"answer": "1.1111111 0011"}]
    )
    assert "relative-over-stored" not in {belief["misconception"] for belief in said["beliefs"]}


def test_working_of_a_cost_names_its_belief() -> None:
    """Each answer is judged from the one before it: here the pattern is right and the reference wrong."""
    lines = [
        {"answer": "0.1001001 0011", "absolute": "0.0375", "relative": "3/365"},
        {"answer": "1.0101011 0011", "absolute": "0.0125", "relative": "1/425"},
    ]
    said = _diagnosed([("error", "4.6"), ("error", "-5.3")], lines)
    assert [belief["misconception"] for belief in said["beliefs"]] == ["relative-over-stored"]
    assert said["beliefs"][0]["shown_on"] == [1, 2]


def test_a_range_that_is_partly_blank_is_looked_at_as_far_as_it_goes() -> None:
    """Blanks are not observed, and never wrong."""
    papers = papers_of(("range",))
    script = Script("Odo", 1, {1: {"largest positive": "1.1111111 1111"}})
    (found,) = Marker(papers).entry(script)["beliefs"]
    assert (found["misconception"], found["shown_on"], found["named"]) == ("largest-all-ones", [1], False)


def test_ranges_of_two_formats_are_two_questions() -> None:
    """What every way answers is kept by the format too: a range has no operands to tell it by."""
    diagnoser = diagnoser_for(COURSE, frozenset({"range"}))
    items = [diagnoser.item(question, "largest positive") for question in PAPERS["range"]]
    assert [item.right for item in items] == ["01111111 0111", "011111 0111", "0111111111 011111"]


@pytest.mark.parametrize("question", [("divide", "3", "0"), ("encode", "0"), ("error", "0")])
def test_what_has_no_way_of_working_is_left_out(question: tuple[str, ...]) -> None:
    """Zero stored, or a division by it, says nothing of how a pupil works."""
    course = Course(overflow="largest")
    assert not diagnose([(ask(*question, course=course), "0.1111111 0111")]).findings


def _diagnosed(
    questions: list[tuple[str, ...]], lines: list[dict[str, str]]
) -> dict[str, list[dict[str, object]]]:
    """Return the entry of a pupil who wrote *lines* to *questions*."""
    script = Script("Odo", 1, dict(enumerate(lines, start=1)))
    return Marker(papers_of(*questions)).entry(script)


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        (("error", "4.6"), "01001001 0011; 0.0375; 3/368"),
        (("range",), "0.1111111 0111; 0.1000000 1000; 1.0111111 1000; 1.0000000 0111"),
    ],
)
def test_several_answers_in_one_place_are_each_marked(question: tuple[str, ...], answer: str) -> None:
    """A wide table has one cell a question."""
    marked = mark_question(one_question(*question), {"answer": answer})
    assert (marked.marks, marked.first_wrong) == (marked.asked.marks, "")


def test_a_relative_error_alone_is_taken_for_that() -> None:
    """A value given as the answer is no stored pattern."""
    said = diagnose(
        [(question, "3/365" if number == 0 else "") for number, question in enumerate(PAPERS["error"])]
    )
    assert said.findings[0].misconception == "relative-over-stored"


@pytest.mark.parametrize("operation", ["multiply", "divide"])
@pytest.mark.parametrize("name", ["excess", "excess-less-one"])
def test_an_answer_under_another_bias_is_exact(operation: str, name: str) -> None:
    """What is right under another bias is the exact answer of the values its patterns have there."""
    rng, fmt, code = random.Random(2), COURSE.float_format, CONVENTIONS[name].coded()
    for _ in range(200):
        size = rng.randrange(64, 128), rng.randrange(64, 128)
        patterns = tuple(Pattern(rng.choice((one, -one - 1)), rng.randrange(-8, 8)) for one in size)
        question = Question(OPERATIONS[operation], COURSE, fmt, patterns, given=(None, None))
        first, second = (code.value(pattern, fmt) for pattern in patterns)
        exact = first * second if operation == "multiply" else first / second
        assert answer_under(question, COURSE, code) == code.store(exact, fmt, "cut")
