"""A deck of slides: each is written as XML and handed to the library, which makes the package.

The library's own way of adding a slide with notes takes 20 ms; a lesson has fifty.
"""

from __future__ import annotations

import io
import zipfile
from typing import TYPE_CHECKING, Any

from chalkpoint.numbers.errors import missing_extra
from chalkpoint.publishing.pptxshapes import COLOURS, NAMESPACES, escape, pixels

if TYPE_CHECKING:
    from pptx.presentation import Presentation

__all__ = ["Deck"]

RELATIONS = 'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"'
TREE = (
    '<p:nvGrpSpPr><p:cNvPr id="1" name=""/><p:cNvGrpSpPr/><p:nvPr/></p:nvGrpSpPr>'
    '<p:grpSpPr><a:xfrm><a:off x="0" y="0"/><a:ext cx="0" cy="0"/><a:chOff x="0" y="0"/>'
    '<a:chExt cx="0" cy="0"/></a:xfrm></p:grpSpPr>'
)
TITLE_ONLY = 5  # the layout with a title and nothing else


class Deck:
    """Collects slides; `saved` is the file."""

    def __init__(self, title: str, width: float, height: float) -> None:
        self._presentation = _new(title, width, height)
        self._layout: Any = self._presentation.slide_layouts[TITLE_ONLY]
        self._notes_master: Any = self._presentation.notes_master
        self._count = 0

    def add(self, shapes: str, notes: str) -> None:
        """Add a slide: *shapes* in XML, the title's placeholder among them, and its speaker *notes*."""
        from pptx.opc.constants import RELATIONSHIP_TYPE as RELATION
        from pptx.parts.slide import NotesSlidePart, SlidePart

        self._count += 1
        slide = self._part(SlidePart, "slide", _tree("sld", shapes))
        slide.relate_to(self._layout.part, RELATION.SLIDE_LAYOUT)
        noted = self._part(NotesSlidePart, "notesSlide", _tree("notes", _notes(notes)))
        noted.relate_to(self._notes_master.part, RELATION.NOTES_MASTER)
        noted.relate_to(slide, RELATION.SLIDE)
        slide.relate_to(noted, RELATION.NOTES_SLIDE)
        listed: Any = self._presentation.slides
        listed._sldIdLst.add_sldId(self._presentation.part.relate_to(slide, RELATION.SLIDE))  # noqa: SLF001

    def saved(self) -> bytes:
        """Return the file, the same bytes every time."""
        held = io.BytesIO()
        self._presentation.save(held)
        return _without_dates(held.getvalue())

    def _part(self, kind: Any, name: str, xml: str) -> Any:
        from pptx.opc.constants import CONTENT_TYPE
        from pptx.opc.packuri import PackURI
        from pptx.oxml import parse_xml

        content = CONTENT_TYPE.PML_SLIDE if name == "slide" else CONTENT_TYPE.PML_NOTES_SLIDE
        place = PackURI(f"/ppt/{name}s/{name}{self._count}.xml")
        return kind(place, content, self._presentation.part.package, parse_xml(xml))


def _new(title: str, width: float, height: float) -> Presentation:
    try:
        import pptx
        from pptx.dml.color import RGBColor
        from pptx.util import Emu
    except ImportError as reason:
        raise missing_extra("a slide", "python-pptx", "slides") from reason
    presentation = pptx.Presentation()
    presentation.slide_width, presentation.slide_height = Emu(pixels(width)), Emu(pixels(height))
    presentation.core_properties.title = title
    presentation.core_properties.author = "chalkpoint"
    presentation.core_properties.language = "en-GB"
    fill = presentation.slide_master.background.fill
    fill.solid()
    paper: Any = RGBColor
    fill.fore_color.rgb = paper.from_string(COLOURS["paper"])
    return presentation


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


def _without_dates(data: bytes) -> bytes:
    """Return the same package with every file dated alike."""
    held = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(held, "w", compresslevel=3) as new:
        for name in old.namelist():
            new.writestr(
                zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), old.read(name), zipfile.ZIP_DEFLATED, 3
            )
    return held.getvalue()
