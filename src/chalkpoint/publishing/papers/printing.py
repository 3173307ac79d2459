"""SetPapers as data for `paper.typ`: the sides of each variant, what is on them, and the typst source."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from importlib.resources import files
from io import BytesIO

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import missing_extra
from chalkpoint.publishing.papers.flow import Block, Side, flow
from chalkpoint.publishing.papers.formatcard import cards_of
from chalkpoint.publishing.papers.landmarks import codes_of, number_grid
from chalkpoint.publishing.papers.measures import LEFT, Sheet, sheet_for
from chalkpoint.publishing.papers.metrics import Setting, width_of, wrap
from chalkpoint.publishing.papers.questions import blocks_of, spare_height, widths_of
from chalkpoint.publishing.papers.rows import boxes_for
from chalkpoint.publishing.typst.literals import literal
from chalkpoint.publishing.typst.rows import MEASURES
from chalkpoint.setting.papers import SetPaper, SetPapers
from chalkpoint.working.speech import say_count
from chalkpoint.working.wording.words_papers import BOXES

__all__ = [
    "class_set_source",
    "paper_literal",
    "papers_source",
    "placed",
    "qr_svg",
    "sheet_data",
    "sides_of",
    "template",
]

KEPT = 1000  # variants whose data is kept for their second printing
NEXT_HEAD = (
    30.5  # mm, what stands above the questions of the sides after the first: they clear the square code
)

Data = JsonObject


@cache
def template(name: str) -> str:
    """Return one of this room's typst templates."""
    return (files("chalkpoint.publishing.papers") / name).read_text(encoding="utf-8")


def papers_source(papers: SetPapers, chosen: Sequence[SetPaper]) -> str:
    """Return the typst source of *chosen* variants, each from an odd page; it follows the library of `compiling`."""
    sheet = sheet_for(papers.blueprint.printing)
    data = f"({' '.join(f'{paper_literal(papers, paper)},' for paper in chosen)})"
    title = (
        papers.blueprint.title
        if len(chosen) != 1
        else f"{papers.blueprint.title}, variant {chosen[0].variant}"
    )
    called = f"#all-variants({literal(sheet_data(sheet))}, {literal(MEASURES)}, {literal(title)}, {data})"
    return f"{template('paper.typ')}\n{called}\n"


@lru_cache(maxsize=KEPT)
def paper_literal(papers: SetPapers, paper: SetPaper) -> str:
    """Return a variant's data as typst writes it; kept, since it is printed twice."""
    return literal(_paper(papers, paper, sheet_for(papers.blueprint.printing)))


def sheet_data(sheet: Sheet) -> Data:
    """Return the sheet as the templates know it; lengths in mm."""
    return {
        "paper": sheet.paper,
        "width": sheet.page[0],
        "height": sheet.page[1],
        "left": LEFT,
        "right": sheet.right,
        "first": sheet.first_box,
        "box": sheet.box,
        "row": sheet.height,
        "scale": sheet.scale,
        "wide": sheet.wide,
        "tint": sheet.tint,
        "gap": sheet.gap,
        "codes": codes_of(sheet),
        "number": number_grid() if sheet.scan else None,
        "how": BOXES["how"] if sheet.scan else "",
        "words": _widths(sheet),
    }


def _widths(sheet: Sheet) -> dict[str, float]:
    """Return how wide the words before the lines and score boxes of a side are, in mm."""
    root = _root(sheet)
    who, small = Setting(12 * root, wide=sheet.wide), Setting(9 * root, wide=sheet.wide)
    date = Setting(0.92 * 12 * root, wide=sheet.wide)
    return {
        "name": width_of("Name", who),
        "date": width_of("Date", date),
        "time": width_of("Time", date),
        "to": width_of("to", date),
        "side": width_of(BOXES["marks"], small),
        "whole": width_of("Whole paper", small),
        "of": width_of("/ 000", small),
    }


def sides_of(papers: SetPapers, paper: SetPaper, sheet: Sheet) -> list[Side]:
    """Return the sides that a variant takes, each with its content.

    Blanks are as wide as the widest number of the class needs, so that their widths tell nothing of a variant.
    """
    parts: list[tuple[int, list[Block], float]] = [
        (0, [Block("card", card["height"], card, card["alt"])], 0.0) for card in cards_of(paper, sheet)
    ]
    parts += [
        (item.number, blocks_of(item, sheet, widths_of(papers, item.number)), spare_height(item, sheet))
        for item in paper.questions
    ]
    top = _about_at(papers, sheet) + _about(papers, paper, sheet, 2).height
    head = _head(papers, paper, sheet, 99, 99)  # two digits: no paper has more sides
    next_top = NEXT_HEAD * _root(sheet) + (len(head["lines"]) - 1) * head["leading"]
    return flow(parts, top, next_top, sheet.bottom, keeps=sheet.scan)


def _about_at(papers: SetPapers, sheet: Sheet) -> float:
    """Return where the sentences under the title begin: lower, where the title takes several lines."""
    title = _title(papers, sheet)
    below: float = (len(title["lines"]) - 1) * title["leading"]
    return 36 + 10 * sheet.scale + below


def _title(papers: SetPapers, sheet: Sheet) -> Data:
    setting = Setting(17 * _root(sheet), wide=sheet.wide)
    return _lines(
        papers.blueprint.title, setting, sheet.right - 31 * _root(sheet) - LEFT
    )  # before the score box


def _head(papers: SetPapers, paper: SetPaper, sheet: Sheet, side: int, last: int) -> Data:
    """Return the head of the sides after the first."""
    course = papers.blueprint.course.name
    title = papers.blueprint.title
    said = f"{course + '. ' if course else ''}{title}{'' if title[-1:] in '.!?' else '.'} "
    said += BOXES["side"].format(variant=paper.variant, side=side, last=last)
    said += f" {BOXES['weights']}" if sheet.scale == 1 else ""
    code = f"{paper.code} / {side}. "
    before_code = codes_of(sheet)[0]["x"] - 4 - LEFT
    return _lines(code + said, Setting(9 * _root(sheet), wide=sheet.wide), before_code)


def _lines(text: str, setting: Setting, room: float) -> Data:
    return {
        "lines": wrap([(text, "")], setting, room),
        "size": setting.size,
        "leading": setting.line,
        "bold": False,
    }


def _paper(papers: SetPapers, paper: SetPaper, sheet: Sheet) -> Data:
    sides = sides_of(papers, paper, sheet)
    last = len(sides)
    totals = {item.number: item.scheme.total for item in paper.questions}
    return {
        "title": _title(papers, sheet),
        "variant": paper.variant,
        "code": paper.code,
        "marks": paper.marks,
        "about": _about(papers, paper, sheet, last).data,
        "about_at": _about_at(papers, sheet),
        "sides": [
            {
                "code": qr_svg(f"{paper.code}/{side.number}"),
                "number": side.number,
                "head": _head(papers, paper, sheet, side.number, last),
                "marks": sum(totals.get(number, 0) for number in side.questions),
                "last": side.number == last,
                "blocks": placed(side),
            }
            for side in sides
        ],
    }


def _about(papers: SetPapers, paper: SetPaper, sheet: Sheet, sides: int) -> Block:
    """Return the sentences under the title."""
    course = papers.blueprint.course.name
    count = len(paper.questions)
    said = (
        f"{course + ', variant' if course else 'Variant'} {paper.variant}. {number_word(count).capitalize()} "
    )
    said += f"question{'' if count == 1 else 's'} on {number_word(sides)} side{'' if sides == 1 else 's'}, "
    said += f"{paper.marks} marks. "
    follows = any(item.kind == "work" and "align" in boxes_for(item) for item in paper.questions)
    said += BOXES["begin-marked" if follows else "begin"]
    lines = wrap([(said, "")], sheet.type(9), sheet.width - 44 * _root(sheet))
    setting = sheet.type(9)
    data = {
        "lines": lines,
        "size": setting.size,
        "leading": setting.line,
        "bold": False,
        "number": "",
        "right": "",
        "soft": False,
    }
    return Block("text", len(lines) * setting.line, data, said)


def number_word(number: int) -> str:
    """Return a small number as a word.

    >>> number_word(4), number_word(30)
    ('four', '30')
    """
    return say_count(number, none="no")


def _root(sheet: Sheet) -> float:
    """Return the scale of what has little room: heads and feet."""
    return float(sheet.scale**0.5)


def placed(side: Side) -> list[Data]:
    """Return the blocks of a side; neighbouring rows of boxes become one picture with its words."""
    found: list[Data] = []
    for one in side.placed:
        block = one.block
        drawn = {"y": one.y, "kind": block.kind, "data": block.data}
        if block.kind not in {"row", "names"}:
            found.append(drawn)
        elif found and found[-1]["kind"] == "rows" and found[-1]["question"] == one.question:
            found[-1]["rows"].append(drawn)
            found[-1]["alt"] = f"{found[-1]['alt']} {block.words}".strip()
        else:
            found.append(
                {"y": one.y, "kind": "rows", "rows": [drawn], "alt": block.words, "question": one.question}
            )
    return found


@cache
def qr_svg(text: str) -> str:
    """Return a QR code of *text* as an SVG drawing, without the quiet zone that the page leaves round it.

    Raises EntryError when the print extra is not installed.
    """
    try:
        import segno
    except ImportError as reason:
        raise missing_extra("a paper's code", "segno", "print") from reason
    kept = BytesIO()
    segno.make(text, error="m", micro=False).save(
        kept, kind="svg", border=0, xmldecl=False, svgns=True, nl=False
    )
    return kept.getvalue().decode()


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
