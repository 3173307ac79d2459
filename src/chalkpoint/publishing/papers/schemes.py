"""Mark schemes, the class key and solutions as typst source: data, and `scheme.typ` that sets it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from chalkpoint.numbers.bits import looks_like_bits, with_point
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.named import is_school
from chalkpoint.publishing.papers.printing import template
from chalkpoint.publishing.scene import scene
from chalkpoint.publishing.typst.document import working_data
from chalkpoint.publishing.typst.literals import literal
from chalkpoint.publishing.typst.rows import MEASURES, pieces
from chalkpoint.setting.answering import answer_format, final_answer
from chalkpoint.setting.papers import Item, Paper, Papers
from chalkpoint.setting.points import answer_bits
from chalkpoint.setting.schemes import Alternative, Mark, WrongAnswer

__all__ = ["answer_of", "answers_of", "expected", "key_source", "schemes_source", "solutions_source"]

IN_WORDS = "in words"
IN_THEIR_WORDS = (
    "A mark for each point made, in the pupil\u2019s own words and in any order: for the teacher to decide."
)
WITHOUT_A_CHECK = ("explain", "choose-format")
MOST_BELIEFS = 3  # named for one answer; the rest are counted
CROWDED, MANY = 6, 25  # columns and rows from which the key is set smaller
MOST_ANSWERS = 8  # rows of wrong answers
LEAST_WIDTH, BETWEEN, MOST_WIDTH = (
    6,
    2,
    150,
)  # characters of the key: a column's, between two, across the page
LONG = (
    14  # characters of a pattern or a value; where any is longer, wrong answers have the page's whole width
)

Data = dict[str, Any]


def schemes_source(papers: Papers) -> str:
    """Return the typst source of the mark schemes of every variant."""
    title = f"Mark schemes. {papers.blueprint.title}"
    data = [
        {"name": _name(paper), "questions": [_question(item) for item in paper.items]} for paper in papers
    ]
    return f"{template('scheme.typ')}\n#mark-schemes({_size(papers)}, {literal(title)}, {literal(data)})\n"


def solutions_source(papers: Papers) -> str:
    """Return the typst source of every question's working, drawn."""
    title = f"Solutions. {papers.blueprint.title}"
    data = [
        {
            "name": _name(paper),
            "questions": [
                {"number": item.number, "data": working_data(scene(item.working), upright=True)}
                for item in paper.items
            ],
        }
        for paper in papers
    ]
    arguments = f"{_size(papers)}, {literal(title)}, {literal(MEASURES)}, {literal(data)}"
    return f"{template('scheme.typ')}\n#solutions({arguments})\n"


def key_source(papers: Papers) -> str:
    """Return the typst source of the class key: a row a variant, one page for a class."""
    title = f"Key. {papers.blueprint.title}"
    heads = [f"{item.number} [{item.scheme.total}]" for item in papers.papers[0].items]
    most = max(len(paper.items) for paper in papers)
    heads = heads if len(heads) == most else [str(number) for number in range(1, most + 1)]
    table = [
        ["; or ".join(answers_of(item)) for item in paper.items] + [""] * (most - len(paper.items))
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
            for group in _groups(shown, columns)
        ],
        "alike": [pieces(f"{heads[at]} is the same for all: {columns[at][0]}") for at in alike],
        "size": 7 if len(shown) > CROWDED else 8.5,
        "pad": 0.75 if len(papers.papers) > MANY else 1.0,
    }
    return f"{template('scheme.typ')}\n#class-key({_size(papers)}, {literal(title)}, {literal(data)})\n"


def _width(column: Sequence[str]) -> int:
    """Return the width of a column of the key in characters: several answers of one question may be parted."""
    return max([LEAST_WIDTH, *(len(part) for answer in column for part in answer.split("; "))])


def _groups(shown: Sequence[int], columns: Sequence[Sequence[str]]) -> list[list[int]]:
    """Return the columns of the key in tables that each fit across the page."""
    groups: list[list[int]] = [[]]
    used = 0
    for at in shown:
        width = _width(columns[at]) + BETWEEN
        if groups[-1] and used + width > MOST_WIDTH:
            groups.append([])
            used = 0
        groups[-1].append(at)
        used += width
    return groups


def answer_of(item: Item) -> str:
    """Return the answer a marker looks for: what the course's working ends in.

    For a mistake to be found it is the line's name, then the right answer; an explanation is in words.
    """
    if item.faulty:
        return f"{item.scheme.marks[0].expects}; {answer_bits(item.working)}"
    return final_answer(item.working) or IN_WORDS


def answers_of(item: Item) -> tuple[str, ...]:
    """Return every answer that is right: the course's own first, then those of the methods it accepts."""
    return answer_of(item), *(item.scheme.also_right if not item.faulty else ())


def _size(papers: Papers) -> str:
    return '"a4"' if papers.blueprint.printing.paper == "A4" else '"us-letter"'


def _name(paper: Paper) -> str:
    return f"Variant {paper.variant}, code {paper.code}, {paper.marks} marks"


def _question(item: Item) -> Data:
    scheme, question = item.scheme, item.question
    point = question.course.point
    shown = [_wrong(item, one, point) for one in scheme.wrong[:MOST_ANSWERS]]
    words = item.working.check_words.verdict
    return {
        "number": item.number,
        "title": item.working.title,
        "total": f"{scheme.total} mark{'' if scheme.total == 1 else 's'}",
        "given": pieces(_given(item)),
        "in_words": question.operation.name == "explain",
        "marks": [_mark(item, mark) for mark in scheme.marks],
        "alternatives_say": _say_alternatives(item),
        "alternatives": [_alternative(item, one, point) for one in scheme.alternatives],
        "wrong": shown,
        "wrong_values": any(one.value is not None for one in scheme.wrong),
        "wide": any(len(one.answer) > LONG or len(_value(one.value, point)) > LONG for one in scheme.wrong),
        "remarks": [pieces(remark) for remark in _remarks(item)],
        "check": pieces("" if question.operation.name in WITHOUT_A_CHECK else f"Check: {words}"),
    }


def _given(item: Item) -> str:
    question = item.question
    about = question.about or question
    shown = [about.format.write(pattern, point=True) for pattern in about.patterns]
    return f" {about.operation.sign} ".join(shown) if about.operation.sign else ", ".join(shown)


def pointed(item: Item, text: str) -> str:
    """Return the answer *text* with its point where it is a pattern of the format; digits too many stand in front."""
    fmt = answer_format(item.question)
    if not is_school(fmt):
        return _with_its_point(fmt, text)
    fields = text.split(" ")
    where = 1 if fmt.exponent_first and len(fields) == 2 else 0
    if not looks_like_bits(text) or "." in text or len(fields[where]) < fmt.mantissa_bits:
        return text
    fields[where] = with_point(fields[where], fmt.places)
    return " ".join(fields)


def _with_its_point(fmt: Any, text: str) -> str:
    try:
        return str(fmt.write(fmt.read(text), point=True))
    except EntryError:  # a word, a value, or a row that is too long
        return text


def _mark(item: Item, mark: Mark) -> Data:
    return {
        "name": mark.name,
        "expects": pieces(expected(item, mark)),
        "letter": mark.letter,
        "give": mark.give[:1].upper() + mark.give[1:] + ".",
    }


def expected(item: Item, mark: Mark) -> str:
    """Return what is expected: a line as its row stands in the working, an answer with its point."""
    return mark.says if mark.row is not None else pointed(item, mark.expects)


def _say_alternatives(item: Item) -> str:
    scheme = item.scheme
    if not scheme.alternatives:
        return "The course accepts its own method only."
    if any(one.differs for one in scheme.alternatives):
        return "Here the method decides the answer. The course expects its own; each of these is right too."
    return "Every accepted method gives the same answer."


def _alternative(item: Item, one: Alternative, point: str) -> Data:
    lines = "; ".join(f"{rule} {written}" for rule, written in one.lines)
    return {
        "words": one.method.replace("-", " "),
        "answer": pieces(pointed(item, one.answer)),
        "value": _value(one.value, point),
        "lines": pieces(lines),
    }


def _wrong(item: Item, one: WrongAnswer, point: str) -> Data:
    named = ", ".join(name.replace("-", " ") for name in one.beliefs[:MOST_BELIEFS])
    more = len(one.beliefs) - MOST_BELIEFS
    return {
        "beliefs": f"{named}, and {more} more" if more > 0 else named,
        "answer": pieces(pointed(item, one.answer)),
        "value": _value(one.value, point),
    }


def _value(value: Fraction | None, point: str) -> str:
    return "" if value is None else write_value(value, point=point)


def _remarks(item: Item) -> list[str]:
    scheme = item.scheme
    operation = item.question.operation.name
    if operation == "explain":
        return [
            *([IN_THEIR_WORDS] if scheme.marks else []),
            *(f"Worth a mark too: {said}" for said in scheme.also),
        ]
    if operation == "choose-format":
        return [step.says for step in item.working.steps]
    said = []
    shared = [one for one in scheme.wrong if len(one.beliefs) > 1]
    if shared:
        first = shared[0]
        said.append(
            f"Look at the working. {pointed(item, first.answer)} comes from {len(first.beliefs)} beliefs; "
            "the lines tell them apart."
        )
    more = len(scheme.wrong) - MOST_ANSWERS
    if more > 0:
        said.append(f"{more} more wrong answers, each of one or a few beliefs, are left out here.")
    silent = len(scheme.untested) + len(scheme.accidental)
    if silent:
        total = silent + sum(len(one.beliefs) for one in scheme.wrong)
        said.append(
            f"Not tested here. {silent} of {total} beliefs about this operation end at the right answer."
        )
    if scheme.alone < scheme.total:
        said.append(
            f"The answer alone earns {scheme.alone} of {scheme.total}: some wrong working ends at it "
            f"({', '.join(name.replace('-', ' ') for name in scheme.accidental)})."
        )
    return said
