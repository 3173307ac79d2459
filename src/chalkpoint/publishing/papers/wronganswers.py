"""What wrong answers say: once for a class, the habits of each question, and the answer each ends at by variant."""

from __future__ import annotations

from collections.abc import Sequence

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing.papers.schemes import answers_of, grouped, parts_of, pointed
from chalkpoint.publishing.typst.rows import pieces
from chalkpoint.setting.papers import Item, SetPaper
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.wording.words_marks import REMARKS

__all__ = ["MOST_HABITS", "wrong_answers"]

MOST_HABITS = 6  # for one question
LEAST_WEIGHT = 2  # of a belief whose wrong answer is printed
LETTERS = "abcdef"
FEW, LARGE, SMALL = 15, 8.0, 7.0  # variants from which the type is small; pt
BIT, CHARACTER, PADDING = (
    0.2,
    0.23,
    2.0,
)  # mm a point and character of a pattern or word; mm between two columns
VARIANT, ACROSS = 14.0, 173.0  # mm: the column of variants, and the page

Data = JsonObject


def wrong_answers(papers: Sequence[SetPaper]) -> list[Data]:
    """Return, for each question, its habits in sentences with a letter each, and a row of answers a variant."""
    most = max(len(paper.questions) for paper in papers)
    return [_question(number, papers) for number in range(1, most + 1)]


def _question(number: int, papers: Sequence[SetPaper]) -> Data:
    items = [(paper.variant, item) for paper in papers for item in paper.questions if item.number == number]
    ends = [
        {name: wrong.answer for wrong in item.scheme.wrong for name in wrong.beliefs} for _, item in items
    ]
    habits = _habits([item for _, item in items], ends)
    shown = habits[:MOST_HABITS]
    columns = [
        ("right answer", [" or ".join(pointed(item, one) for one in answers_of(item)) for _, item in items]),
        *((letter, [*answers]) for letter, (answers, _) in zip(LETTERS, shown, strict=False)),
    ]
    size, widths = _sizes(columns, few=len(items) <= FEW)
    return {
        "number": number,
        "habits": [
            {
                "letter": letter,
                "says": " Or: ".join(f"\u201c{BELIEFS[name].says}\u201d" for name in names[:2]),
            }
            for letter, (_, names) in zip(LETTERS, shown, strict=False)
        ],
        "tables": [
            {
                "heads": [columns[at][0] for at in group],
                "widths": [widths[at] for at in group],
                "rows": [
                    {"variant": variant, "answers": [pieces(columns[at][1][row]) for at in group]}
                    for row, (variant, _) in enumerate(items)
                ],
            }
            for group in grouped(widths, ACROSS - VARIANT)
        ],
        "size": size,
        "more": _more(len(habits) - MOST_HABITS),
    }


def _sizes(columns: Sequence[tuple[str, Sequence[str]]], *, few: bool) -> tuple[float, list[float]]:
    """Return the size of the type, and how wide each column is: whole answers side by side, if they fit."""
    for size in (LARGE, SMALL)[not few :]:
        for parts in ((lambda text: [text]), parts_of):
            widths = [
                PADDING + size * max(_wide(part) for text in (head, *cells) for part in parts(text))
                for head, cells in columns
            ]
            if sum(widths) <= ACROSS - VARIANT:
                return size, widths
    return size, widths


def _wide(text: str) -> float:
    return len(text) * (BIT if set(text) <= set("01. ") else CHARACTER)


def _more(habits: int) -> str:
    if habits < 1:
        return ""
    return REMARKS["habit"] if habits == 1 else REMARKS["habits"].format(count=habits)


def _habits(items: list[Item], ends: list[dict[str, str]]) -> list[tuple[tuple[str, ...], list[str]]]:
    """Return the habits, the common first, as (answer by variant, beliefs): two with one answer throughout are one."""
    names = {name for held in ends for name in held if BELIEFS[name].weight >= LEAST_WEIGHT}
    rows: dict[tuple[str, ...], list[str]] = {}
    for name in sorted(names, key=lambda name: (-BELIEFS[name].weight, name)):
        answers = tuple(_shown(item, held.get(name)) for item, held in zip(items, ends, strict=True))
        rows.setdefault(answers, []).append(name)
    return list(rows.items())


def _shown(item: Item, answer: str | None) -> str:
    if answer is None:
        return "\u2013"
    shown = pointed(item, answer)
    return f"\u201c{shown}\u201d" if shown.isalpha() else shown
