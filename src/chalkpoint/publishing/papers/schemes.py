"""Mark schemes, the class key and solutions as typst source: data, and `scheme.typ` that sets it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from chalkpoint.numbers.bits import looks_like_bits, with_point
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import AnyFormat, AnyPattern, is_school
from chalkpoint.publishing.papers.printing import template
from chalkpoint.publishing.scene import scene
from chalkpoint.publishing.typst.document import working_data
from chalkpoint.publishing.typst.literals import literal
from chalkpoint.publishing.typst.rows import MEASURES, pieces
from chalkpoint.setting.answering import answer_format, final_answer
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Item, SetPaper, SetPapers
from chalkpoint.setting.points import answer_bits
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.wording.words_marks import REMARKS

__all__ = [
    "answer_of",
    "answers_of",
    "expected",
    "given_in",
    "grouped",
    "key_source",
    "parts_of",
    "pointed",
    "remarks_on",
    "solutions_source",
]

IN_WORDS = "in words"
MOST_BELIEFS = 2  # said of those that end at the right answer
CROWDED, MANY = 6, 25  # columns and rows from which the key is set smaller
LEAST_WIDTH, BETWEEN, MOST_WIDTH = (
    6,
    2,
    150,
)  # characters of the key: a column's, between two, across the page

PARTS = re.compile(r"; | or ")  # between several answers


def solutions_source(papers: SetPapers) -> str:
    """Return the typst source of every question's working, drawn."""
    title = f"Solutions. {papers.blueprint.title}"
    data = [
        {
            "name": _name(paper),
            "questions": [
                {"number": item.number, "data": working_data(scene(item.working), upright=True)}
                for item in paper.questions
            ],
        }
        for paper in papers
    ]
    arguments = f"{_size(papers)}, {literal(title)}, {literal(MEASURES)}, {literal(data)}"
    return f"{template('scheme.typ')}\n#solutions({arguments})\n"


def key_source(papers: SetPapers) -> str:
    """Return the typst source of the class key: a row a variant, one page for a class."""
    title = f"Key. {papers.blueprint.title}"
    heads = [f"{item.number} [{item.scheme.total}]" for item in papers.papers[0].questions]
    most = max(len(paper.questions) for paper in papers)
    heads = heads if len(heads) == most else [str(number) for number in range(1, most + 1)]
    table = [
        ["; or ".join(pointed(item, one) for one in answers_of(item)) for item in paper.questions]
        + [""] * (most - len(paper.questions))
        for paper in papers
    ]
    columns = list(zip(*table, strict=True))
    # What is the same for everybody, such as a format's range, stands once below the table.
    alike = [at for at, column in enumerate(columns) if len(column) > 1 and len(set(column)) == 1]
    shown = [at for at in range(len(heads)) if at not in alike]
    data = {
        "tables": [
            {
                "heads": [heads[at] for at in group],
                "widths": [_width(columns[at]) for at in group],
                "rows": [
                    {
                        "variant": paper.variant,
                        "code": paper.code,
                        "answers": [pieces(answers[at]) for at in group],
                    }
                    for paper, answers in zip(papers, table, strict=True)
                ],
            }
            for group in (
                [shown[at] for at in group]
                for group in grouped([_width(columns[at]) + BETWEEN for at in shown], MOST_WIDTH)
            )
        ],
        "alike": [pieces(REMARKS["alike"].format(question=heads[at], answer=columns[at][0])) for at in alike],
        "size": 7 if len(shown) > CROWDED else 8.5,
        "pad": 0.75 if len(papers.papers) > MANY else 1.0,
    }
    return f"{template('scheme.typ')}\n#class-key({_size(papers)}, {literal(title)}, {literal(data)})\n"


def _width(column: Sequence[str]) -> int:
    """Return the width of a column of the key in characters: several answers of one question may be broken."""
    return max([LEAST_WIDTH, *(len(part) for answer in column for part in parts_of(answer))])


def parts_of(text: str) -> list[str]:
    """Return the answers that *text* has, each of which stands on one line.

    >>> parts_of("1.1011111 1101 or 1.1011111 1100"), parts_of("0.02; 1/1051")
    (['1.1011111 1101', '1.1011111 1100'], ['0.02', '1/1051'])
    """
    return PARTS.split(text)


def grouped(widths: Sequence[float], room: float) -> list[list[int]]:
    """Return the columns of a table in groups that each fit in *room*, if any does.

    >>> grouped([30, 40, 50], 75), grouped([80, 10], 75)
    ([[0, 1], [2]], [[0], [1]])
    """
    groups: list[list[int]] = [[]]
    used = 0.0
    for at, width in enumerate(widths):
        if groups[-1] and used + width > room:
            groups.append([])
            used = 0.0
        groups[-1].append(at)
        used += width
    return groups


def answer_of(item: Item) -> str:
    """Return the answer a marker looks for: what the course's working ends in.

    For a mistake to be found it is the line's name, then the right answer; an explanation is in words.
    """
    if item.faulty:
        return f"{item.scheme.marks[0].expects}; {answer_bits(item.working)}"
    return item.values or final_answer(item.working) or IN_WORDS


def answers_of(item: Item) -> tuple[str, ...]:
    """Return every answer that is right: the course's own first, then those of the methods it accepts."""
    return answer_of(item), *(item.scheme.also_right if not item.faulty else ())


def _size(papers: SetPapers) -> str:
    return '"a4"' if papers.blueprint.printing.paper == "A4" else '"us-letter"'


def _name(paper: SetPaper) -> str:
    return f"Variant {paper.variant}, code {paper.code}, {paper.marks} marks"


def given_in(item: Item) -> str:
    """Return the operands as patterns, with the sign of the operation between them."""
    question = item.question
    about = question.about or question
    shown = [about.format.write(pattern, point=True) for pattern in about.patterns]
    return f" {about.operation.sign} ".join(shown) if about.operation.sign else ", ".join(shown)


def pointed(item: Item, text: str) -> str:
    """Return the answer *text* with its point where it is a pattern of the format; digits too many stand in front."""
    fmt = answer_format(item.question)
    if not is_school(fmt):
        return "; ".join(_with_its_point(fmt, part) for part in text.split("; "))
    fields = text.split(" ")
    where = 1 if fmt.exponent_first and len(fields) == 2 else 0
    if ";" in text:
        return "; ".join(pointed(item, part) for part in text.split("; "))
    if not looks_like_bits(text) or "." in text or len(fields[where]) < fmt.mantissa_bits:
        return text
    fields[where] = with_point(fields[where], fmt.places)
    return " ".join(fields)


def _with_its_point(fmt: AnyFormat, text: str) -> str:
    try:
        pattern: AnyPattern = fmt.read(text)
        return fmt.write(pattern, point=True)
    except EntryError:  # a word, a value, or a row that is too long
        return text


def expected(item: Item, mark: Mark) -> str:
    """Return what is expected: a line as its row stands in the working, an answer with its point."""
    return mark.says if mark.row is not None or item.values else pointed(item, mark.expects)


def remarks_on(item: Item) -> list[str]:
    """Return what else a marker must know of a question."""
    scheme = item.scheme
    operation = item.question.operation.name
    if operation == "explain":
        return [
            *([REMARKS["explain"]] if scheme.marks else []),
            *(REMARKS["worth"].format(said=said) for said in scheme.also),
        ]
    if operation == "choose-format":
        return [step.says for step in item.working.steps]
    said = []
    if scheme.alone < scheme.total:
        thought = " or ".join(
            f"\u201c{BELIEFS[name].says}\u201d" for name in scheme.accidental[:MOST_BELIEFS]
        )
        words = REMARKS["alone-thought" if thought else "alone"]
        said.append(words.format(alone=scheme.alone, total=scheme.total, thought=thought))
    return said
