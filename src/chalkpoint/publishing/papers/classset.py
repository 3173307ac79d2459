"""The class set for the printer: a cover list, then every variant's sides, collated, each variant from an odd page."""

from __future__ import annotations

from collections.abc import Sequence

from chalkpoint.publishing.papers.measures import sheet_for
from chalkpoint.publishing.papers.printing import paper_literal, sheet_data, sides_of, template
from chalkpoint.publishing.typst.literals import literal
from chalkpoint.publishing.typst.rows import MEASURES
from chalkpoint.setting.papers import SetPaper, SetPapers

__all__ = ["class_set_source"]


def class_set_source(papers: SetPapers, chosen: Sequence[SetPaper]) -> str:
    """Return the typst source of *chosen* variants behind a list of them, a line each to write a name on."""
    sheet = sheet_for(papers.blueprint.printing)
    rows = [
        {"variant": paper.variant, "code": paper.code, "sides": len(sides_of(papers, paper, sheet))}
        for paper in chosen
    ]
    title, course = papers.blueprint.title, papers.blueprint.course.name
    cover = {"title": f"Class set. {title}", "course": course, "rows": rows}
    arguments = ", ".join(literal(one) for one in (sheet_data(sheet), MEASURES, title, cover))
    data = f"({' '.join(f'{paper_literal(papers, paper)},' for paper in chosen)})"
    return f"{template('paper.typ')}\n#class-set({arguments}, {data})\n"
