"""The class set: a cover list of codes, then every variant from an odd page."""

from pathlib import Path

import pdfua
import pikepdf
import pypdfium2

from brackwater import COURSE, papers
from chalkpoint.publishing.papers.folder import sources, write_folder

SHORT = f'title = "Levels"\n{COURSE}\n[[question]]\noperation = "decode"\n'  # one side


def test_a_class_set_is_collated_behind_its_cover(tmp_path: Path) -> None:
    """No sheet belongs to two pupils; backs are blank; two runs make the same bytes."""
    three = papers(SHORT, 3)
    for name in ("one", "two"):
        write_folder(three, tmp_path / name)
    bound = tmp_path / "one" / "papers.pdf"
    assert bound.read_bytes() == (tmp_path / "two" / "papers.pdf").read_bytes()
    pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(bound)]

    assert len(pages) == 2 * (1 + 3)
    for paper in three:
        assert paper.code in pages[0]
        assert paper.code in pages[2 * paper.variant]
        assert pages[2 * paper.variant + 1] == ""
    with pikepdf.open(bound) as file:
        assert str(file.docinfo["/Title"]) == "Levels"
        assert "/StructTreeRoot" in file.Root  # tagged, as each variant's own file is
    assert [str(finding) for finding in pdfua.validate(str(bound)).findings] == []


def test_more_than_sixty_variants_are_several_files() -> None:
    """Each has a list of its own variants; what is held at once is bounded."""
    names = sources(papers(SHORT, 61))
    assert {"papers-1.pdf", "papers-2.pdf", "mark-schemes-1.pdf", "mark-schemes-2.pdf"} <= set(names)
    assert "papers.pdf" not in names
