"""Diagnosing papers: what they tell apart, recomputed from the answers alone."""

import re
from itertools import combinations

from brackwater import DIAGNOSING, papers
from chalkpoint.finding.registry import trait_named
from chalkpoint.setting.diagnose import answers_to_all, ways_of
from chalkpoint.setting.hypotheses import PAIR, hypotheses
from chalkpoint.setting.separating import separation
from chalkpoint.setting.sources import case_from, draw
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

PAPER = papers(DIAGNOSING, 2).papers[0]
QUESTIONS = [item.question for item in PAPER.questions]


SCALED = """
title = "What do we do when we multiply?"
purpose = "diagnose"
most = 6
[course]
name = "12 Heron"
format = "8+4"
[[question]]
operation = "multiply"
[[question]]
operation = "divide"
[[question]]
operation = "error"
[[question]]
operation = "range"
"""


def test_what_is_multiplied_divided_or_stored_is_chosen_to_tell_ways_apart() -> None:
    """Each kind is asked, and six questions show most beliefs about any of them."""
    chosen = [item.question for item in papers(SCALED, 1).papers[0].questions]
    assert {question.operation.name for question in chosen} == {"multiply", "divide", "error", "range"}
    names = ways_of(chosen, pairs=False)
    table = answers_to_all(chosen, pairs=False)
    beliefs = [name for name in names if name in BELIEFS]
    shown = [name for name in beliefs if any(row.get(name, row["right"]) != row["right"] for row in table)]
    assert len(shown) * 4 > len(beliefs) * 3


def test_few_questions_tell_most_ways_apart() -> None:
    """Six questions leave fewer than one in fifty pairs of methods and single beliefs together."""
    names = ways_of(QUESTIONS, pairs=False)
    table = answers_to_all(QUESTIONS, pairs=False)
    together = [
        (a, b)
        for a, b in combinations(names, 2)
        if all(a not in row or b not in row or row[a] == row[b] for row in table)
    ]

    assert len(QUESTIONS) <= 6
    assert len(together) * 50 < len(names) * (len(names) - 1) / 2


def test_the_report_says_what_the_answers_say() -> None:
    """The figures in the report are those of separation over the papers' own answers."""
    names = ways_of(QUESTIONS, pairs=True)
    seen = separation(answers_to_all(QUESTIONS, pairs=True), names)
    told = seen.pairs - len(seen.never)

    assert any(
        f"{told} of {seen.pairs} pairs are told apart" in paragraph
        for paragraph in papers(DIAGNOSING, 2).report
    )


def test_a_greedy_set_tells_more_than_one_drawn() -> None:
    """The same number of questions drawn at random leaves more pairs together."""
    course = papers(DIAGNOSING, 2).blueprint.course
    drawn = draw("add", course, [], 3, "drawn") + draw("subtract", course, [], 3, "drawn")
    names = ways_of(QUESTIONS, pairs=False)
    chosen, random = (separation(answers_to_all(asked, pairs=False), names) for asked in (QUESTIONS, drawn))

    assert len(chosen.never) < len(random.never)


def test_each_operation_asked_for_is_asked() -> None:
    """A blueprint that names addition gets one."""
    assert {question.operation.name for question in QUESTIONS} == {"add", "subtract"}


def test_half_have_one_answer_whatever_the_order_of_steps() -> None:
    """A pupil of another book is not accused: at least half are stable under the usual methods."""
    look = trait_named("variant-stable", "subtract").look
    assert look is not None
    stable = [bool(look(case_from(question))) for question in QUESTIONS]

    assert 2 * sum(stable) >= len(stable)


def test_one_question_tells_a_forgotten_one_from_another_order() -> None:
    """A subtrahend that moves and loses nothing: negating first is right, forgetting to add one is not."""
    telling = [
        question
        for question in QUESTIONS
        if question.operation.name == "subtract"
        and (row := answers_to_all([question], pairs=False)[0])["negate-then-align"]
        == row["right"]
        != row["invert-only"]
    ]

    assert telling


def test_pairs_fill_different_slots_and_steps() -> None:
    """Two beliefs are held at once only where they do not replace the same rule."""
    pairs = [way for way in hypotheses("subtract", Course(), pairs=True) if way.kind == PAIR]

    assert len(pairs) > 300
    for way in pairs:
        one, other = (BELIEFS[name] for name in way.name.split(" + "))
        places = one.place_for("subtract"), other.place_for("subtract")
        assert places[0] is not None
        assert places[1] is not None
        assert not set(places[0].rules) & set(places[1].rules)


def test_every_pair_can_work_any_question() -> None:
    """No combination of beliefs stumbles, whatever the operation."""
    course = Course()
    for operation in ("add", "subtract", "decode", "encode", "normalise", "negate", "error"):
        for question in draw(operation, course, [], 4, "pairs"):
            assert "" not in answers_to_all([question], pairs=True)[0].values()
    assert answers_to_all([ask("range", course=course)], pairs=True)[0]["largest-all-ones"]


def test_no_way_of_working_is_called_by_its_id() -> None:
    """What cannot be told apart is said in the words of those who work so, and of the method."""
    said = "\n".join(papers(DIAGNOSING, 2).report)
    assert "one guard bit is kept to the end, then cut" in said
    assert not re.search(r"\b[a-z]+-[a-z]+-[a-z]+", said.replace("align-then-negate", ""))
