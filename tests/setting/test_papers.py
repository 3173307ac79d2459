"""Papers as they are kept: chalkpoint.papers/1."""

import json

from brackwater import DIAGNOSING, EVERY_KIND, WHOLE, papers
from chalkpoint.setting.papers import code_for
from chalkpoint.working.course import course_from
from chalkpoint.working.work import work


def test_the_promised_keys_are_there() -> None:
    """Title, course, seed, and for each question operation, format, operands, marks and scheme."""
    kept = papers(WHOLE).to_dict()

    assert kept["schema"] == "chalkpoint.papers/1"
    assert {"title", "course", "seed", "papers"} <= set(kept)
    for paper in kept["papers"]:
        assert {"variant", "code", "questions"} <= set(paper)
        for question in paper["questions"]:
            assert {"question", "operation", "format", "operands", "marks", "scheme"} <= set(question)
            assert all({"rule", "kind", "marks", "expects"} <= set(line) for line in question["scheme"])


def test_a_question_can_be_worked_from_what_is_kept() -> None:
    """Operation, operands, format and course are enough to find the answer again."""
    for text in (WHOLE, EVERY_KIND, DIAGNOSING):
        kept = json.loads(json.dumps(papers(text).to_dict()))
        course = course_from(kept["course"])
        for paper, made in zip(kept["papers"], papers(text), strict=True):
            for question, item in zip(paper["questions"], made.questions, strict=True):
                again = work(
                    question["operation"], *question["operands"], format=question["format"], course=course
                )
                assert again.result == item.working.result


def test_codes_differ_by_variant_seed_and_title() -> None:
    """No two papers of a school share a code by being made alike."""
    blueprint = papers(WHOLE).blueprint
    codes = {code_for(blueprint, seed, variant) for seed in (1, 2) for variant in range(1, 31)}

    assert len(codes) == 60
    assert all(len(code) == 6 and code.isalnum() and code.isupper() for code in codes)
