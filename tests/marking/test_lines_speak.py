"""Lines of working name the belief that answers name, and accuse nobody who works by another method."""

import pytest

from chalkpoint.marking.answers import Script
from chalkpoint.marking.judging import sheet_for
from chalkpoint.marking.students import Entry, Marker
from chalkpoint.marking.summary import Summary
from chalkpoint.marking.ways import Way, held_method
from chalkpoint.setting.papers import Papers
from chalkpoint.working.procedures import answer_by
from heron import papers_of

PAPERS = papers_of()
#: Questions on which a pupil shows how patterns are read and written.
READ_AND_WRITTEN = papers_of(
    ("decode", "10110000 1110"),
    ("decode", "10010000 0010"),
    ("decode", "11010000 0001"),
    ("encode", "-5.25"),
    ("encode", "-0.4375"),
    ("encode", "6.5"),
    ("subtract", "6.5", "1.25"),
)
TYPED = ("align", "negate", "add", "exponent", "mantissa", "size", "sign")


def handed_in(way: Way, papers: Papers = PAPERS) -> Script:
    """Return a script with the lines and the answers of *way*, rows without their exponents as pupils write them."""
    script = Script("H01", 1)
    for asked in papers.first.questions:
        question = asked.question
        method = held_method(way, question.operation.name, question.course)
        sheet, lines = sheet_for(question), {}
        page = sheet.start
        for line in method.lines:
            before, page = page, method.apply(line, page, sheet.context)
            if line.name in TYPED and before != page:
                lines[line.name] = sheet.says(line.name, before, page).split("; ")[-1].split(" \u00d7")[0]
        script.written[asked.number] = {**lines, "answer": answer_by(method, question)}
    return script


def marked(way: Way) -> Entry:
    """Return the entry of a pupil who works by *way*."""
    return Marker(PAPERS).entry(handed_in(way))


@pytest.mark.parametrize(
    "belief",
    [
        "invert-only",
        "carry-kept",
        "norm-skipped",
        "align-skip",
        "sub-adds",
        "neg-exponent-too",
        "result-smaller-exponent",
    ],
)
def test_lines_name_the_belief_that_is_held(belief: str) -> None:
    """Where it shows on two questions or more, it alone is named."""
    named = [found["among"] for found in marked(Way("", (belief,)))["beliefs"] if found["named"]]
    assert named == [[belief]]


@pytest.mark.parametrize("belief", ["mantissa-sign-mag", "set-sign-bit"])
@pytest.mark.parametrize("with_lines", [False, True])
def test_sign_and_magnitude_is_named_and_is_no_convention(belief: str, *, with_lines: bool) -> None:
    """Read so, or written so: never a hidden 1 or another convention, which the answers would contradict."""
    script = handed_in(Way("", (belief,)), READ_AND_WRITTEN)
    if not with_lines:
        script.written = {at: {"answer": lines["answer"]} for at, lines in script.written.items()}
    entry = Marker(READ_AND_WRITTEN).entry(script)
    assert [found["among"] for found in entry["beliefs"] if found["named"]] == [[belief]]
    assert not [name for name, chance in entry["methods"].items() if chance > 0.05]


@pytest.mark.parametrize(
    "method", ["negate-then-align", "one-guard-bit", "size-and-sign", "spare-place-first"]
)
def test_another_method_written_out_is_no_belief(method: str) -> None:
    """Its lines are right by its own rules."""
    assert not [found for found in marked(Way(method))["beliefs"] if found["named"]]


def test_a_pupil_who_never_aligned_has_misread_nothing() -> None:
    """What a belief gives is no misreading, whatever digit might explain it too."""
    for question in marked(Way("", ("align-skip",)))["questions"]:
        assert "reading" not in question


def test_a_right_line_speaks_against_what_would_have_written_it_otherwise() -> None:
    """Rows inverted with one added, and answers as if none had been: that belief is not named."""
    script = handed_in(Way("", ("invert-only",)))
    right = handed_in(Way())
    for number, lines in script.written.items():
        lines |= {line: text for line, text in right.written[number].items() if line == "negate"}
    found = Marker(PAPERS).entry(script)["beliefs"]
    assert not [one for one in found if one["named"] and "invert-only" in one["among"]]


def test_an_implied_mark_is_no_evidence_of_a_skill() -> None:
    """Right answers alone say nothing of aligning in the map of skills."""
    summary = Summary(PAPERS)
    alone = Script(
        "H01", 1, {at: {"answer": lines["answer"]} for at, lines in handed_in(Way()).written.items()}
    )
    summary.add(Marker(PAPERS).entry(alone))
    assert "align" not in summary.shown
    summary.add(Marker(PAPERS).entry(handed_in(Way())))
    assert summary.shown["align"] > 0
