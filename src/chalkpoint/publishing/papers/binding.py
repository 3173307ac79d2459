"""The class set for the printer: a cover list, then every variant's pages, collated, each variant from an odd page."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from chalkpoint.numbers.errors import EntryError
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
        import pikepdf
    except ImportError as reason:
        raise EntryError(
            "a class set needs pikepdf, which is not installed; run: pip install 'chalkpoint[print]'"
        ) from reason
    with pikepdf.new() as bound:
        opened = []
        for path in (cover, *parts):
            part = pikepdf.open(path)
            opened.append(part)
            size = part.pages[0].mediabox
            for page in part.pages:
                for tag in ("/StructParents", "/Tabs", "/Annots"):
                    if tag in page.obj:
                        del page.obj[tag]
            bound.pages.extend(part.pages)
            if len(part.pages) % 2:
                bound.add_blank_page(page_size=(float(size[2]), float(size[3])))
        bound.docinfo["/Title"] = title
        bound.save(out, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
        for part in opened:
            part.close()
