"""The example class: answers made by the engine's own methods, right and faulty, for a marking to be looked at.

Nobody wrote them. Each pupil of the invented class 12 Heron holds a belief, or none, and a few write as hurried
pupils do: the value in place of the pattern, one bit changed, nothing at all.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from chalkpoint.marking.answerfiles import rows_in
from chalkpoint.marking.answers import Script, whole_scripts
from chalkpoint.marking.ways import Way, held_method
from chalkpoint.numbers.exact import write_value
from chalkpoint.setting.papers import Papers
from chalkpoint.working.procedures import answer_by
from chalkpoint.working.work import work_question

__all__ = ["CLASS", "example_scripts"]

#: By code: the beliefs a pupil holds, and how the pupil writes.
CLASS: dict[str, tuple[tuple[str, ...], str]] = {
    "H01": ((), ""),
    "H02": (("invert-only",), ""),
    "H03": ((), ""),
    "H04": (("repair-exponent-same",), ""),
    "H05": ((), "one bit changed"),
    "H06": (("invert-only",), ""),
    "H07": ((), "value alone"),
    "H08": (("align-skip",), ""),
    "H09": ((), ""),
    "H10": (("invert-only",), ""),
    "H11": ((), "last left out"),
    "H12": (("align-skip",), ""),
}


def example_scripts(
    papers: Papers, pupils: Mapping[str, tuple[tuple[str, ...], str]] = CLASS
) -> list[Script]:
    """Return what the example class handed in for *papers*, a pupil a script."""
    return whole_scripts(rows_in(list(_rows(papers, pupils))), papers)


def _rows(papers: Papers, pupils: Mapping[str, tuple[tuple[str, ...], str]]) -> Iterator[dict[str, object]]:
    asked = papers.first.questions
    for student, (beliefs, manner) in pupils.items():
        way = Way("", beliefs)
        for one in asked:
            written = answer_by(
                held_method(way, one.question.operation.name, one.question.course), one.question
            )
            last = one is asked[-1]
            if manner == "one bit changed" and last:
                written = written[:-1] + ("1" if written.endswith("0") else "0")
            elif manner == "value alone" and last:
                written = write_value(work_question(one.question).check.exact)
            elif manner == "last left out" and last:
                continue
            yield {"student": student, "question": one.number, "written": written}
