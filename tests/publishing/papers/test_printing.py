"""Papers to write on: structure, words, places, and what is left after a one-bit copy."""

import io
import itertools
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import pdfua
import pikepdf
import pypdfium2
import pytest

from brackwater import EVERY_KIND, IN_WORDS, OTHER_FORMATS, PRACTICE, WHOLE
from chalkpoint.publishing.papers.booklet import sides_of_booklet
from chalkpoint.publishing.papers.boxplaces import box_places
from chalkpoint.publishing.papers.flow import Side
from chalkpoint.publishing.papers.landmarks import landmarks_of
from chalkpoint.publishing.papers.measures import sheet_for
from chalkpoint.publishing.papers.printing import papers_source, qr_svg, sides_of
from chalkpoint.publishing.papers.rows import boxes_for
from chalkpoint.publishing.typst.compiling import compile_pdf
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.cards import card_sentences
from chalkpoint.setting.papers import SetPaper, SetPapers, code_for
from chalkpoint.setting.setter import set_papers

SUMS = 'title = "Sums"\n[course]\n[[question]]\noperation = "sum"\nterms = 5\n'
WIDE = """title = "Wide"
[course]
format = "24+8"
[[question]]
operation = "subtract"
operands = ["8.875", "3.6875"]
"""


def papers_pdf(of: SetPapers, chosen: Sequence[SetPaper]) -> bytes:
    """Return some variants as one PDF."""
    return compile_pdf(papers_source(of, chosen))


def printed(blueprint: str, /, *, scan: bool = False, **options: str) -> tuple[SetPapers, bytes]:
    """Return a blueprint's papers, printed with some options, and the PDF of the first variant."""
    lines = "".join(f'{key} = "{value}"\n' for key, value in options.items()) + "scan = true\n" * scan
    made = set_papers(
        parse_blueprint(blueprint.replace("[course]", f"[print]\n{lines}[course]")), variants=1, seed=7
    )
    return made, papers_pdf(made, made.papers)


MADE = {
    "paper": printed(WHOLE),
    "every kind": printed(EVERY_KIND),
    "practice": printed(PRACTICE),
    "large, wide, tinted": printed(WHOLE, text="large", spacing="wide", tint="blue"),
    "Letter": printed(WHOLE, paper="Letter"),
    "other formats": printed(OTHER_FORMATS),
    "in words": printed(IN_WORDS),
    "sums, large": printed(SUMS, text="large"),
    "24+8": printed(WIDE),
    "24+8, large": printed(WIDE, text="large"),
    "scanned": printed(EVERY_KIND, scan=True),
    "scanned, large, Letter": printed(OTHER_FORMATS, scan=True, text="large", paper="Letter"),
}
made = pytest.mark.parametrize("made", MADE.values(), ids=MADE.keys())


def tags(element: Any) -> Iterator[tuple[str, str]]:
    """Yield the tag of each structure element below *element*, with its alternative text."""
    children = element.get("/K", [])
    for child in children if isinstance(children, pikepdf.Array) else [children]:
        if isinstance(child, pikepdf.Dictionary):
            yield str(child.get("/S", "")), str(child.get("/Alt", ""))
            yield from tags(child)


def text_of(data: bytes) -> list[str]:
    """Return the text of each page, without spaces."""
    pages = pypdfium2.PdfDocument(data)
    return ["".join(page.get_textpage().get_text_range().split()) for page in pages]


def one_bit(data: bytes, page: int) -> Any:
    """Return a page as a copier sees it: 150 dots an inch, black or white."""
    drawn = pypdfium2.PdfDocument(data)[page].render(scale=150 / 72)
    return drawn.to_pil().convert("1", dither=0)


@made
def test_the_checker_finds_nothing(made: tuple[SetPapers, bytes], tmp_path: Any) -> None:
    """The rules of PDF/UA-1 that the checker knows are kept."""
    file = tmp_path / "paper.pdf"
    file.write_bytes(made[1])

    assert [str(finding) for finding in pdfua.validate(str(file)).findings] == []


@made
def test_pages_are_tagged_titled_and_in_english(made: tuple[SetPapers, bytes]) -> None:
    """A reader knows the file, its language, and every question as a heading."""
    papers_made, data = made
    file = pikepdf.open(io.BytesIO(data))
    found = list(tags(file.Root["/StructTreeRoot"]))

    assert str(file.docinfo["/Title"]).startswith(papers_made.blueprint.title)
    assert str(file.Root["/Lang"]) == "en-GB"
    assert [tag for tag, _ in found].count("/H1") >= len(papers_made.papers[0].questions)


@made
def test_every_picture_has_its_words(made: tuple[SetPapers, bytes]) -> None:
    """Boxes to write in are counted in words, digits given are said."""
    file = pikepdf.open(io.BytesIO(made[1]))
    alts = [alt for tag, alt in tags(file.Root["/StructTreeRoot"]) if tag == "/Figure"]

    assert alts
    assert all(alts)
    assert any("empty boxes" in alt for alt in alts)


@made
def test_the_words_and_digits_of_each_question_stand_on_paper(made: tuple[SetPapers, bytes]) -> None:
    """What is asked, what it is worth, and both operands can be read off the pages."""
    written = "".join(text_of(made[1]))
    for item in made[0].papers[0].questions:
        if "^" not in item.words:
            assert "".join(item.words.split()) in written
        for pattern in item.question.patterns:
            for field in item.question.format.write(pattern).split(" "):
                assert field in written


def test_every_paper_says_how_numbers_are_written() -> None:
    """A card for every format that is asked about, once, with the pattern for zero where it has no other."""
    for made_papers, data in MADE.values():
        written = "".join(text_of(data))
        courses = {
            course.format: course
            for item in made_papers.papers[0].questions
            if item.question.operation.name != "choose-format"
            for course in filter(None, (item.question.course, item.question.target))
        }
        assert written.count("Hownumbersarewrittenhere:") == len(courses)
        for course in courses.values():
            assert "".join("".join(card_sentences(course)).split()) in written


@made
def test_every_side_has_its_number_and_code(made: tuple[SetPapers, bytes]) -> None:
    """The code stands under its square on each side, and sides are counted for each variant."""
    pages = text_of(made[1])
    for number, text in enumerate(pages, start=1):
        assert f"{made[0].papers[0].code}/{number}" in text
        assert number == 1 or f"side{number}of{len(pages)}" in text
    assert "Endofthepaper" in pages[-1]
    marks = sum(int(found) for page in pages for found in re.findall(r"Marksonthisside/(\d+)", page))
    assert marks == made[0].papers[0].marks


@made
def test_nothing_overlaps_and_nothing_is_parted(made: tuple[SetPapers, bytes]) -> None:
    """Blocks stand one under the other, above the foot; a question that fits on a side stands on one."""
    of = made[0]
    sheet = sheet_for(of.blueprint.printing)
    found: dict[int, set[int]] = {}
    height: dict[int, float] = {}
    for side in sides_of(of, of.papers[0], sheet):
        ends = [0.0, *(placed.y + placed.block.height for placed in side.placed)]
        assert all(placed.y >= end - 1e-6 for placed, end in zip(side.placed, ends, strict=False))
        assert ends[-1] <= sheet.bottom + 0.1
        for placed in side.placed:
            found.setdefault(placed.question, set()).add(side.number)
            height[placed.question] = height.get(placed.question, 0.0) + placed.block.height
    for number, sides in found.items():
        assert len(sides) == 1 or height[number] > sheet.bottom - 60 or number == 0


@made
def test_boxes_have_one_size_and_stand_between_the_margins(made: tuple[SetPapers, bytes]) -> None:
    """Of eight millimetres, or ten in large print, whatever the format."""
    of = made[0]
    sheet = sheet_for(of.blueprint.printing)
    assert sheet.box == (10.0 if of.blueprint.printing.text == "large" else 8.0)
    for side in sides_of(of, of.papers[0], sheet):
        for placed in side.placed:
            for run in placed.block.data.get("runs", ()):
                assert sheet.first_box <= run["x"]
                assert run["x"] + sheet.span(len(run["digits"])) <= sheet.right


@made
def test_the_strip_above_the_foot_is_empty(made: tuple[SetPapers, bytes]) -> None:
    """Read from the pixels: between the questions and the foot nothing is drawn."""
    for page in pypdfium2.PdfDocument(made[1]):
        drawn = page.render(scale=2).to_pil().convert("L")
        paper = drawn.getpixel((drawn.width // 2, 4))
        top = page.get_height() / 72 * 25.4 - 36.5
        above, below = (int(height / 25.4 * 144) for height in (top, top + 4.5))
        strip = drawn.crop((int(drawn.width * 0.05), above, int(drawn.width * 0.95), below))
        assert set(strip.tobytes()) == {paper}


@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_sheets_are_of_the_size_asked_for(paper: str, size: tuple[int, int]) -> None:
    """In points."""
    page = pypdfium2.PdfDocument(MADE["Letter" if paper == "Letter" else "paper"][1])[0]

    assert tuple(math.floor(length + 0.5) for length in page.get_size()) == size


def test_a_tint_fills_the_page() -> None:
    """The colour is the paper's, so that the corners and digits stay black on it."""
    tinted = pypdfium2.PdfDocument(MADE["large, wide, tinted"][1])[0].render(scale=1).to_pil().convert("RGB")

    assert tinted.getpixel((300, 5)) == (230, 241, 250)


def test_boxes_and_corners_survive_a_one_bit_copy() -> None:
    """The frames of the rows to write in are unbroken strokes, and three corners of four are solid."""
    copy = one_bit(MADE["paper"][1], 1)
    cell = round(8 / 25.4 * 150)
    rows = [bytes(copy.crop((0, y, copy.width, y + 1)).convert("L").tobytes()) for y in range(copy.height)]
    longest = [max((len(run) for run in row.split(b"\xff")), default=0) for row in rows]
    assert sum(length >= 8 * cell - 2 for length in longest) >= 2 * 3

    edge, inside = round(8 / 25.4 * 150), round(2 / 25.4 * 150)
    right, bottom = copy.width - edge, copy.height - edge
    spots = [
        (edge + inside, edge + inside),
        (right - inside, edge + inside),
        (edge + inside, bottom - inside),
    ]
    assert [copy.getpixel(spot) for spot in spots] == [0, 0, 0]
    assert copy.getpixel((right - inside, bottom - inside)) == 255


def test_uprights_between_boxes_survive_a_one_bit_copy() -> None:
    """Between any two boxes of a row there is still a line: seven for eight boxes."""
    copy = one_bit(MADE["paper"][1], 1)
    cell = 8 / 25.4 * 150
    left = 49 / 25.4 * 150
    row = next(
        y
        for y in range(copy.height // 3, copy.height)
        if all(copy.getpixel((round(left + dx), y)) == 255 for dx in (8, 20))
        and all(
            any(copy.getpixel((round(left + at * cell) + near, y)) == 0 for near in (-2, -1, 0, 1, 2))
            for at in range(9)
        )
    )
    assert row


def test_same_papers_same_bytes() -> None:
    """Nothing in the file depends on when it was made."""
    made_papers, data = MADE["paper"]

    assert papers_pdf(made_papers, made_papers.papers) == data


def test_the_square_says_code_and_page() -> None:
    """Another page has another square; each is a drawing of its own."""
    assert qr_svg("ABCDEF/1") != qr_svg("ABCDEF/2")
    assert qr_svg("ABCDEF/1").startswith("<svg")


@made
def test_every_box_stands_where_papers_json_says(made: tuple[SetPapers, bytes]) -> None:
    """Read back from the page: a stroke at both sides of each box, nothing printed in it, and no two overlap."""
    of, data = made
    document = pypdfium2.PdfDocument(data)
    scale, dots = 3.0, 3.0 * 72 / 25.4
    by_page: dict[int, list[tuple[str, float, float, float, float]]] = {}
    by_question: dict[int, list[tuple[int, float, float, float, float]]] = {}
    for number, question, _, _, _, left, top, width, high, kind in box_places(of, of.papers[0]):
        by_question.setdefault(question, []).append((number, left, top, left + width, top + high))
        if kind != "free":
            by_page.setdefault(number, []).append((kind, left, top, width, high))
    for places in by_question.values():
        for (page1, *one), (page2, *other) in itertools.combinations(places, 2):
            (left1, top1, right1, end1), (left2, top2, right2, end2) = one, other
            beside = (
                min(right1, right2) - max(left1, left2) < 0.02 or min(end1, end2) - max(top1, top2) < 0.02
            )
            assert page1 != page2 or beside
    assert by_page or not any(boxes_for(item) for item in of.papers[0].questions)
    for number, boxes in by_page.items():
        page = document[number - 1]
        pixels = page.render(scale=scale, grayscale=True).to_numpy()
        text = page.get_textpage()
        height = page.get_height()
        middles = [
            ((left + right) / 2 * 25.4 / 72, (height - (bottom + top) / 2) * 25.4 / 72)
            for left, bottom, right, top in map(text.get_charbox, range(text.count_chars()))
            if right > left
        ]
        for kind, x, y, width, high in boxes:
            assert (width, high) >= {"tick": (3.6, 3.6), "carry": (8.0, 5.0)}.get(kind, (8.0, 9.0))
            assert not any(x < across < x + width and y < down < y + high for across, down in middles)
            if kind == "carry":
                continue
            rows = slice(round((y + 0.3 * high) * dots), round((y + 0.7 * high) * dots))
            for edge in (x, x + width):
                at = round(edge * dots)
                stroke = pixels[rows, at - 3 : at + 4].min(axis=1) < 190
                assert stroke.any() if kind == "lead" else stroke.all()  # which is dashed


SCANNED = ("scanned", "scanned, large, Letter")
scanned = pytest.mark.parametrize("made", [MADE[name] for name in SCANNED], ids=SCANNED)


@scanned
def test_scanned_boxes_stand_a_millimetre_apart(made: tuple[SetPapers, bytes]) -> None:
    """Of one size, and none nearer than 1 mm to another that is read; any line can be written on the spare one."""
    of, _ = made
    sheet = sheet_for(of.blueprint.printing)
    places = list(box_places(of, of.papers[0]))
    assert {place[7:9] for place in places if place[9] == "bit"} == {(sheet.box, sheet.height)}
    read = [place for place in places if place[9] in {"bit", "carry", "tick"} and place[1]]
    for one, other in itertools.combinations(read, 2):
        if one[:2] == other[:2]:
            (x, y, wide, high, _), (x2, y2, wide2, high2, _) = one[5:], other[5:]
            apart = max(x2 - x - wide, x - x2 - wide2, y2 - y - high, y - y2 - high2)
            assert apart >= (0.79 if one[9] == other[9] == "tick" else 0.99)
    higher = {  # than a side, which alone may go without
        placed.question
        for side in sides_of(of, of.papers[0], sheet)
        if side.number > 1 and len({one.question for one in side.placed}) == 1
        for placed in side.placed
        if placed.y + placed.block.height > sheet.bottom - 40
    }
    for item in of.papers[0].questions:
        mine = [place for place in places if place[1] == item.number]
        written = {place[2] for place in mine if place[9] == "bit" and place[2] != "spare"}
        spare = {place[3] for place in mine if place[2] == "spare" and place[9] == "tick"}
        assert spare == written or (not spare and item.number in higher)


@scanned
def test_scanned_codes_have_four_quiet_modules(made: tuple[SetPapers, bytes]) -> None:
    """Round both square codes of each side nothing is printed as far as four of their modules; read from the pixels."""
    of, data = made
    codes = landmarks_of(sheet_for(of.blueprint.printing))["codes"]
    dots = 4 * 72 / 25.4
    for page in pypdfium2.PdfDocument(data):
        pixels = page.render(scale=4, grayscale=True).to_numpy()
        for code in codes:
            x, y, size = code["x"], code["y"], code["size"]
            quiet = 4 * size / 21  # 21 modules: the smallest square code
            rows = slice(round((y - quiet) * dots), round((y + size + quiet) * dots))
            around = pixels[rows, round((x - quiet) * dots) : round((x + size + quiet) * dots)].copy()
            inner = slice(round(quiet * dots) - 2, 2 - round(quiet * dots))
            assert around[inner, inner].min() < 50
            around[inner, inner] = 255
            assert around.min() == 255


def test_a_pupil_number_and_words_to_tick() -> None:
    """Ten boxes for tens and ten for units on every side, away from the name; a word an answer may be, to tick."""
    of, data = MADE["scanned"]
    sides = len(pypdfium2.PdfDocument(data))
    places = list(box_places(of, of.papers[0]))
    number = [place for place in places if place[2] == "pupil"]
    assert [(place[0], place[3], place[4]) for place in number] == [
        (side, row, bit) for side in range(1, sides + 1) for row in ("tens", "units") for bit in range(1, 11)
    ]
    name = landmarks_of(sheet_for(of.blueprint.printing))["name"]
    assert all(place[5] >= name["x"] + name["width"] for place in number)
    for item in of.papers[0].questions:
        words = {place[3] for place in places if place[1:3] == (item.number, "answer") and place[9] == "tick"}
        sums = item.question.operation.name in {"add", "subtract", "multiply", "divide", "encode", "negate"}
        assert words == ({"overflow", "underflow"} if sums else set())


def test_blanks_stand_where_papers_json_says() -> None:
    """Each blank of a ruled line has its stroke in its place: read back from the page."""
    of, data = MADE["scanned"]
    blanks = [place for place in box_places(of, of.papers[0]) if place[3] == "blank"]
    assert {place[2] for place in blanks} >= {"exponents", "product", "decimal", "absolute"}
    dots = 3 * 72 / 25.4
    drawn = [page.render(scale=3, grayscale=True).to_numpy() for page in pypdfium2.PdfDocument(data)]
    for page, _, _, _, _, x, y, width, high, _ in blanks:
        rows = drawn[page - 1][round(y * dots) : round((y + high) * dots)]
        strip = rows[:, round((x + 0.5) * dots) : round((x + width - 0.5) * dots)]
        assert (strip.max(axis=1) < 128).any()


def test_papers_for_scanning_have_codes_of_their_own() -> None:
    """A page is found by its code: papers that differ in anything never share one."""
    scanning = MADE["scanned"][0].blueprint
    other = replace(scanning, questions=scanning.questions[:1])
    assert code_for(scanning, 7, 1) == code_for(replace(scanning, where="elsewhere.toml"), 7, 1)
    assert code_for(scanning, 7, 1) != code_for(other, 7, 1)


def test_more_room_parts_rows_by_six_millimetres() -> None:
    """Each row of boxes of that question ends in 6 mm more, and the booklet's rows lie level with them still."""
    text = WHOLE.replace(
        'where = ["align-shift = 2", "exact-result"]', 'where = ["align-shift = 2", "exact-result"]\nroom = 1'
    )
    of = set_papers(parse_blueprint(text), variants=1, seed=7)
    usual = MADE["paper"][0]
    sheet = sheet_for(of.blueprint.printing)

    def steps(sides: list[Side]) -> list[float]:
        ys = [
            one.y + one.block.data["above"]
            for side in sides
            for one in side.placed
            if one.question == 3
            and one.block.kind == "row"
            and one.block.line not in {"spare", "first", "second"}
        ]
        return [round(low - high, 2) for high, low in itertools.pairwise(ys)]

    before, after = (steps(sides_of(one, one.papers[0], sheet)) for one in (usual, of))
    assert after == [round(step + 6, 2) for step in before]
    assert after == steps(sides_of_booklet(of, of.papers[0], sheet))


EXTRA_PLACE = """title = "Signs"
methods = "list the answers"
accidental = "needs working"
[course]
method = "{method}"
[[question]]
operation = "subtract"
operands = ["0.5", "-1"]
[[question]]
operation = "add"
operands = ["7.9375", "6.5"]
"""


def rows_on_paper(method: str, number: int) -> tuple[list[str], list[str]]:
    """Return the rows of boxes that a pupil has for a question, and those with a box for an extra sign place."""
    of = set_papers(parse_blueprint(EXTRA_PLACE.format(method=method)), variants=1, seed=7)
    places = [place for place in box_places(of, of.papers[0]) if place[1] == number]
    rows = [place[2] for place in places if place[9] == "bit"]
    return list(dict.fromkeys(rows)), [place[2] for place in places if place[9] == "lead"]


def test_an_extra_sign_place_has_its_box() -> None:
    """0.5 - (-1) needs one in both rows; the box is there in every negated or added row, so that it tells nothing."""
    assert rows_on_paper("align-then-negate", 1) == (
        ["align", "negate", "add", "answer", "spare"],
        ["negate", "add", "spare"],
    )
    assert rows_on_paper("align-then-negate", 2)[1] == ["add", "spare"]


def test_lines_stand_in_the_order_of_the_course_s_method() -> None:
    """A class that negates first has that row first; one that keeps a guard bit writes longer rows on ruled lines."""
    assert rows_on_paper("negate-then-align", 1)[0] == ["negate", "align", "add", "answer", "spare"]
    assert rows_on_paper("one-guard-bit", 1) == (["answer"], [])
