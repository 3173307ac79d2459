"""A deck of slides: each is written as XML, and put into a package whose other parts are always the same.

Those parts are `templates/deck.pptx`: one master, one layout with a title and nothing else, one master of notes; a mark
stands in them wherever a deck differs.
"""

from __future__ import annotations

import io
import zipfile
from functools import cache
from importlib.resources import files

from chalkpoint.publishing.pptxshapes import COLOURS, NAMESPACES, escape, pixels

__all__ = ["Deck"]

OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
RELATIONS = f'xmlns:r="{OFFICE}"'
PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
CONTENT = "application/vnd.openxmlformats-officedocument.presentationml"
HEAD = "<?xml version='1.0' encoding='UTF-8' standalone='yes'?>\n"
LAYOUT, NOTES = "../slideLayouts/slideLayout6.xml", "../notesMasters/notesMaster1.xml"
FIRST_ID, FIRST_RELATION = 256, 100  # of slides, as a package counts them
SLIDES, SIZE, TITLE, PAPER = "<!--slides-->", "<!--size-->", "<!--title-->", "<!--paper-->"
TREE = (
    '<p:nvGrpSpPr><p:cNvPr id="1" name=""/><p:cNvGrpSpPr/><p:nvPr/></p:nvGrpSpPr>'
    '<p:grpSpPr><a:xfrm><a:off x="0" y="0"/><a:ext cx="0" cy="0"/><a:chOff x="0" y="0"/>'
    '<a:chExt cx="0" cy="0"/></a:xfrm></p:grpSpPr>'
)


class Deck:
    """Collects slides; `saved` is the file."""

    def __init__(self, title: str, width: float, height: float) -> None:
        self._title = title
        self._size = f'<p:sldSz cx="{pixels(width)}" cy="{pixels(height)}"/>'
        self._slides: list[tuple[str, str]] = []

    def __len__(self) -> int:
        return len(self._slides)

    def add(self, shapes: str, notes: str) -> None:
        """Add a slide: *shapes* in XML, the title's placeholder among them, and its speaker *notes*."""
        self._slides.append((_tree("sld", shapes), _tree("notes", _notes(notes))))

    def saved(self) -> bytes:
        """Return the file, the same bytes every time."""
        numbers = range(1, len(self._slides) + 1)
        listed = "".join(f'<p:sldId id="{FIRST_ID + at}" r:id="rId{FIRST_RELATION + at}"/>' for at in numbers)
        related = "".join(
            f'<Relationship Id="rId{FIRST_RELATION + at}" Type="{OFFICE}/slide" Target="slides/slide{at}.xml"/>'
            for at in numbers
        )
        typed = "".join(
            f'<Override PartName="/ppt/slides/slide{at}.xml" ContentType="{CONTENT}.slide+xml"/>'
            f'<Override PartName="/ppt/notesSlides/notesSlide{at}.xml" ContentType="{CONTENT}.notesSlide+xml"/>'
            for at in numbers
        )
        marks = {
            "[Content_Types].xml": (SLIDES, typed),
            "docProps/core.xml": (TITLE, escape(self._title)),
            "ppt/_rels/presentation.xml.rels": (SLIDES, related),
            "ppt/presentation.xml": (SLIDES, f"<p:sldIdLst>{listed}</p:sldIdLst>" if listed else ""),
            "ppt/slideMasters/slideMaster1.xml": (PAPER, COLOURS["paper"]),
        }
        parts = {name: text.replace(*marks[name]) if name in marks else text for name, text in _always()}
        parts["ppt/presentation.xml"] = parts["ppt/presentation.xml"].replace(SIZE, self._size)
        for at, (slide, notes) in enumerate(self._slides, start=1):
            parts |= _slide(at, slide, notes)
        held = io.BytesIO()
        with zipfile.ZipFile(held, "w") as package:
            for name, text in parts.items():
                dated = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
                package.writestr(dated, text.encode(), zipfile.ZIP_DEFLATED, 3)
        return held.getvalue()


@cache
def _always() -> tuple[tuple[str, str], ...]:
    """Return the name and the text of each part that every deck has."""
    data = (files("chalkpoint.publishing") / "templates" / "deck.pptx").read_bytes()
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        return tuple((name, package.read(name).decode()) for name in package.namelist())


def _slide(at: int, slide: str, notes: str) -> dict[str, str]:
    """Return the parts of one slide: itself, its notes, and what each belongs to."""
    own, noted = f"slides/slide{at}.xml", f"notesSlides/notesSlide{at}.xml"
    return {
        f"ppt/{own}": HEAD + slide,
        f"ppt/slides/_rels/slide{at}.xml.rels": _related(slideLayout=LAYOUT, notesSlide=f"../{noted}"),
        f"ppt/{noted}": HEAD + notes,
        f"ppt/notesSlides/_rels/notesSlide{at}.xml.rels": _related(notesMaster=NOTES, slide=f"../{own}"),
    }


def _related(**to: str) -> str:
    lines = "".join(
        f'<Relationship Id="rId{at}" Type="{OFFICE}/{kind}" Target="{target}"/>'
        for at, (kind, target) in enumerate(to.items(), start=1)
    )
    return f'{HEAD}<Relationships xmlns="{PACKAGE}">{lines}</Relationships>'


def _tree(kind: str, shapes: str) -> str:
    return (
        f"<p:{kind} {NAMESPACES} {RELATIONS}><p:cSld><p:spTree>{TREE}{shapes}</p:spTree></p:cSld></p:{kind}>"
    )


def _notes(text: str) -> str:
    lines = "".join(
        f'<a:p><a:r><a:rPr lang="en-GB"/><a:t>{escape(line)}</a:t></a:r></a:p>' for line in text.split("\n")
    )
    return (
        '<p:sp><p:nvSpPr><p:cNvPr id="2" name="Slide Image Placeholder 1"/>'
        '<p:cNvSpPr><a:spLocks noGrp="1" noRot="1" noChangeAspect="1"/></p:cNvSpPr>'
        '<p:nvPr><p:ph type="sldImg"/></p:nvPr></p:nvSpPr><p:spPr/></p:sp>'
        '<p:sp><p:nvSpPr><p:cNvPr id="3" name="Notes Placeholder 2"/><p:cNvSpPr><a:spLocks noGrp="1"/></p:cNvSpPr>'
        '<p:nvPr><p:ph type="body" idx="1"/></p:nvPr></p:nvSpPr><p:spPr/>'
        f"<p:txBody><a:bodyPr/><a:lstStyle/>{lines}</p:txBody></p:sp>"
    )
