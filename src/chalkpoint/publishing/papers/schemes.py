"""Mark schemes, the class key and solutions as typst source: data, and `scheme.typ` that sets it."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from chalkpoint.numbers.bits import looks_like_bits, with_point
from chalkpoint.numbers.exact import write_value
from chalkpoint.publishing.papers.printing import template
from chalkpoint.publishing.scene import scene
from chalkpoint.publishing.typst.document import working_data
from chalkpoint.publishing.typst.literals import literal
from chalkpoint.publishing.typst.rows import MEASURES, pieces
from chalkpoint.setting.papers import Item, Paper, Papers
from chalkpoint.setting.points import answer_bits
from chalkpoint.setting.schemes import Alternative, Mark, WrongAnswer
from chalkpoint.working.procedures import write_answer

__all__ = ["answer_of", "key_source", "schemes_source", "solutions_source"]

MOST_BELIEFS = 3  # named for one answer; the rest are counted
CROWDED, MANY = 6, 25  # columns and rows from which the key is set smaller
MOST_ANSWERS = 8  # rows of wrong answers

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
                {"number": item.number, "data": working_data(scene(item.working))} for item in paper.items
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
    table = [[answer_of(item) for item in paper.items] + [""] * (most - len(paper.items)) for paper in papers]
    columns = list(zip(*table, strict=True))
    # What is the same for everybody, such as a format's range, stands once below the table.
    alike = [at for at, column in enumerate(columns) if len(column) > 1 and len(set(column)) == 1]
    rows = [
        {
            "variant": paper.variant,
            "code": paper.code,
            "answers": [pieces(answer) for at, answer in enumerate(answers) if at not in alike],
        }
        for paper, answers in zip(papers, table, strict=True)
    ]
    data = {
        "heads": [head for at, head in enumerate(heads) if at not in alike],
        "rows": rows,
        "alike": [pieces(f"{heads[at]} is the same for all: {columns[at][0]}") for at in alike],
        "size": 7 if most - len(alike) > CROWDED else 8.5,
        "pad": 0.75 if len(rows) > MANY else 1.0,
    }
    return f"{template('scheme.typ')}\n#class-key({_size(papers)}, {literal(title)}, {literal(data)})\n"


def answer_of(item: Item) -> str:
    """Return the answer a marker looks for: what the course's working ends in.

    For a mistake to be found it is the line's name, then the right answer.
    """
    if item.faulty:
        return f"{item.scheme.marks[0].expects}; {answer_bits(item.working)}"
    last = item.working.steps[-1].after
    operation = item.question.operation.name
    if operation in {"decode", "error"}:
        return write_answer(last, item.question)
    if operation == "range":
        return "; ".join(bits for bits, _ in item.working.result.values.values())
    return answer_bits(item.working)


def _size(papers: Papers) -> str:
    return '"a4"' if papers.blueprint.printing.paper == "A4" else '"us-letter"'


def _name(paper: Paper) -> str:
    return f"Variant {paper.variant}, code {paper.code}, {paper.marks} marks"


def _question(item: Item) -> Data:
    scheme, question = item.scheme, item.question
    point = question.course.point
    alternatives = [_alternative(item, one, point) for one in scheme.alternatives]
    return {
        "number": item.number,
        "title": item.working.title,
        "total": f"{scheme.total} mark{'' if scheme.total == 1 else 's'}",
        "given": pieces(_given(item)),
        "marks": [_mark(item, mark) for mark in scheme.marks],
        "alternatives_say": _say_alternatives(item),
        "alternatives": alternatives,
        "wrong": [_wrong(item, one, point) for one in scheme.wrong[:MOST_ANSWERS]],
        "wrong_values": any(one.value is not None for one in scheme.wrong),
        "remarks": [pieces(remark) for remark in _remarks(item)],
        "check": pieces(f"Check: {item.working.check_words.verdict}"),
    }


def _given(item: Item) -> str:
    fmt, question = item.question.format, item.question
    shown = [fmt.write(pattern, point=True) for pattern in question.patterns]
    return f" {question.operation.sign} ".join(shown) if question.operation.sign else ", ".join(shown)


def pointed(item: Item, text: str, *, line: bool = False) -> str:
    """Return *text* with its binary point, where it is a mantissa or a whole pattern of the item's format.

    line  it is a line of working, whose further digits stand on the right; an answer's stand in front
    """
    fmt = item.question.format
    fields = text.split(" ")
    if not looks_like_bits(text) or "." in text:
        return text
    where = 1 if fmt.exponent_first and len(fields) == 2 else 0
    if len(fields[where]) < fmt.mantissa_bits:
        return text
    fields[where] = with_point(fields[where], len(fields[where]) - 1 if line else fmt.places)
    return " ".join(fields)


def _mark(item: Item, mark: Mark) -> Data:
    return {
        "name": mark.name,
        "expects": pieces(pointed(item, mark.expects, line=mark.rule != "answer")),
        "letter": mark.letter,
        "give": mark.give[:1].upper() + mark.give[1:] + ".",
    }


def _say_alternatives(item: Item) -> str:
    scheme = item.scheme
    if not scheme.alternatives:
        return "The course accepts its own method only."
    if any(one.differs for one in scheme.alternatives):
        return "Here the method decides the answer. The course expects its own; each of these is right too."
    return "Every accepted method gives the same answer."


def _alternative(item: Item, one: Alternative, point: str) -> Data:
    lines = "; ".join(f"{rule} {pointed(item, bits, line=True)}" for rule, bits in one.lines)
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
