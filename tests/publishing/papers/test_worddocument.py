"""A paper for a word processor: its words, marks and boxes, all there and all to be changed."""

import io

import docx

from brackwater import EVERY_KIND, OTHER_FORMATS, WHOLE, papers
from chalkpoint.publishing.papers.boxplaces import box_places
from chalkpoint.publishing.papers.fields import plan_fields
from chalkpoint.publishing.papers.measures import sheet_for
from chalkpoint.publishing.papers.rows import rows_of
from chalkpoint.publishing.papers.worddocument import paper_docx


def test_the_document_holds_every_question_and_every_box() -> None:
    """As many boxes as the printed paper has, but for spare lines and carries, and digits in the others."""
    for text in (WHOLE, OTHER_FORMATS):
        of = papers(text, 1)
        paper = of.papers[0]
        document = docx.Document(io.BytesIO(paper_docx(of, paper)))
        said = "\n".join(paragraph.text for paragraph in document.paragraphs)
        for item in paper.questions:
            assert item.words in said
            assert f"Question {item.number}  [{item.scheme.total}]" in said
        frames = document.element.body.xpath(".//w:tc[w:tcPr/w:tcBorders]")
        texts = ["".join(one.text or "" for one in cell.xpath(".//w:t")) for cell in frames]
        empty, filled = [one for one in texts if not one], [one for one in texts if one]
        kinds = {"bit", "tray", "lead"}
        written = [place for place in box_places(of, paper) if place[2] != "spare" and place[9] in kinds]
        assert len(empty) == len(written)
        rows = [row for item in paper.questions for row in rows_of(item)]
        sheet = sheet_for(of.blueprint.printing)
        plans = [plan_fields(row["format"], sheet, tray=row["lost"] is not None) for row in rows]
        points = [run for plan in plans for run in plan.runs if run.point]
        assert len(document.element.body.xpath('.//w:tcBorders/w:right[@w:sz="24"]')) == len(points)
        assert "wedge" not in said
        digits = "".join(
            operand for item in paper.questions for operand in item.question.operands if " " in operand
        )
        assert set(filled) <= {"0", "1"}
        assert len(filled) >= len(digits.replace(" ", "").replace(".", "")) // 2


def test_same_paper_same_document() -> None:
    """Nothing in it depends on when it was made."""
    of = papers(WHOLE, 1)
    assert paper_docx(of, of.papers[0]) == paper_docx(of, of.papers[0])


def test_lines_stand_where_they_are_on_paper() -> None:
    """A product is written before the answer; headings and words have one face, in black."""
    of = papers(EVERY_KIND, 1)
    document = docx.Document(io.BytesIO(paper_docx(of, of.papers[0])))
    body = [
        "".join(one.text or "" for one in part.xpath(".//w:t"))
        for part in document.element.body.iterchildren()
    ]
    start = next(at for at, text in enumerate(body) if text.startswith("Question 7"))
    product = next(at for at, text in enumerate(body) if at > start and text.startswith("The product"))
    assert product < next(at for at, text in enumerate(body) if at > start and text.startswith("answer"))
    faces = {document.styles[name].font.name for name in ("Normal", "Heading 1", "Heading 2")}
    assert faces == {"Verdana"}
    assert str(document.styles["Heading 2"].font.color.rgb) == "000000"
