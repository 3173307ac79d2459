"""The class set for the printer: a cover list, then every variant's pages, collated, each variant from an odd page."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from chalkpoint.numbers.errors import missing_extra
from chalkpoint.publishing.papers.measures import sheet_for
from chalkpoint.publishing.papers.printing import sheet_data, sides_of, template
from chalkpoint.publishing.typst.literals import literal
from chalkpoint.setting.papers import SetPapers

__all__ = ["bind", "cover_source"]


def cover_source(papers: SetPapers) -> str:
    """Return the typst source of the cover list: a line a variant, with its code and its sides, to write a name on."""
    sheet = sheet_for(papers.blueprint.printing)
    course = papers.blueprint.course.name
    rows = [
        {
            "variant": paper.variant,
            "code": paper.code,
            "sides": len(sides_of(papers, paper, sheet)),
            "marks": paper.marks,
        }
        for paper in papers
    ]
    data = {"title": f"Class set. {papers.blueprint.title}", "course": course, "rows": rows}
    return f"{template('paper.typ')}\n#cover-list({literal(sheet_data(sheet))}, {literal(data)})\n"


def bind(cover: Path, parts: Sequence[Path], out: Path, title: str) -> None:
    """Bind *cover* and *parts* into one file for the printer; a blank page follows each of an odd number of pages.

    The variants' own files keep their tags and are what a screen reader is given; the bound file is for paper.

    Raises EntryError when the print extra is not installed.
    """
    try:
        from pypdf import PdfReader, PdfWriter
        from pypdf.generic import NameObject
    except ImportError as reason:
        raise missing_extra("a class set", "pypdf", "print") from reason
    bound = PdfWriter()
    for path in (cover, *parts):
        pages = PdfReader(path).pages
        for page in pages:
            for tag in ("/StructParents", "/Tabs", "/Annots"):
                page.pop(NameObject(tag), None)
            bound.add_page(page)
        if len(pages) % 2:
            bound.add_blank_page(pages[0].mediabox.width, pages[0].mediabox.height)
    bound.add_metadata({"/Title": title})
    bound.write(out)
