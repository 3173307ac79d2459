"""The class set: a cover list of codes, then every variant from an odd page."""

from pathlib import Path

import pikepdf
import pypdfium2

from brackwater import COURSE, papers
from chalkpoint.publishing.papers.folder import write_folder

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
