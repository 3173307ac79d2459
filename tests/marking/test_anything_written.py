"""Whatever a pupil writes is judged and can be said, drawn and kept."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.marking.judging import accepted_methods, judge_question, sheet_for
from chalkpoint.publishing.judged import judgement_json, judgement_page, judgement_text
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

QUESTIONS = [
    ("add", "0.1101000 0011", "1.0110000 1110"),
    ("subtract", "0.1000000 0111", "1.0000000 0111"),
    ("multiply", "1.0000000 0111", "1.0000000 0111"),
    ("normalise", "0.0000001 1000"),
    ("negate", "1.0000000 0111"),
    ("decode", "1.0110000 1110"),
    ("encode", "-1/3"),
    ("error", "4.6"),
]
written = st.one_of(
    st.text("01. ;()×^2-\u2212E=x%/|_abover flow3e\u2026", max_size=14),
    st.text("01.", max_size=20),
    st.sampled_from(["overflow", "underflow", "zero", "3", "-5", "1/3", "2^99999999", "9" * 400, ""]),
)


@pytest.mark.parametrize("asked", QUESTIONS, ids=lambda asked: asked[0])
@given(data=st.data())
def test_nothing_written_stops_the_judge(asked: tuple[str, ...], data: st.DataObject) -> None:
    """Each line has a status, and the judgement has its text, its page and its JSON."""
    question = ask(
        *asked, course=Course(underflow=data.draw(st.sampled_from(["word", "zero", "un-normalised"])))
    )
    names = [line.name for line in sheet_for(question).lines(accepted_methods(question)[0])]
    known = sorted(set(names) - {"read", "answer"})
    lines = data.draw(st.dictionaries(st.sampled_from(known), written, max_size=4))
    judgement = judge_question(question, lines, data.draw(written))
    assert all(mark.status for mark in judgement.marks)
    assert judgement_text(judgement)
    assert judgement_text(judgement, plain=True).isascii()
    assert "<h1>" in judgement_page(judgement)
    assert json.dumps(judgement_json(judgement))
