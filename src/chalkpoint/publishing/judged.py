"""One judgement as text, as JSON and as a page."""

from __future__ import annotations

from html import escape

from chalkpoint.marking.judgement import Judgement
from chalkpoint.marking.saying import STROKES, Said, say
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.exact import write_exact
from chalkpoint.publishing.plainpage import document
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.wording.heading import heading

__all__ = ["judgement_json", "judgement_page", "judgement_text"]


def judgement_text(judgement: Judgement, *, plain: bool = False) -> str:
    """Return *judgement* for a terminal: a stroke and a word for each line.

    >>> from chalkpoint.marking.judging import judge
    >>> wrong = judge("subtract 8.875, 3.6875", answer="0.1010101 0011")
    >>> judgement_text(wrong, plain=True).splitlines()[0]
    '8.875 - 3.6875 in 8+4'
    """
    said = say(judgement)
    rows = [
        (_stroke(status, plain=plain), STROKES[status][2], line, written)
        for status, line, written, _ in said.lines
    ]
    widths = [max((len(row[column]) for row in rows), default=0) for column in range(3)]
    out = [heading(judgement.question), "", said.verdict, ""]
    for row, (_, _, _, sentence) in zip(rows, said.lines, strict=True):
        stroke, word, line = (cell.ljust(width) for cell, width in zip(row, widths, strict=False))
        out.append(f"  {stroke}  {word}  {line}  {row[3]}".rstrip())
        if sentence:
            out.append(f"  {' ' * (widths[0] + 2)}{sentence}")
    out += _paragraphs(said)
    text = "\n".join(out)
    return _ascii(text) if plain else text


def _paragraphs(said: Said) -> list[str]:
    out = []
    if said.beliefs:
        out += ["", said.beliefs[0], *(f"  {sentence}" for sentence in said.beliefs[1:])]
    if said.notes:
        out += ["", *said.notes]
    if said.hint:
        out += ["", f"Ask next: {said.hint}"]
    return out


def _stroke(status: str, *, plain: bool) -> str:
    return STROKES[status][1 if plain else 0]


PLAIN = str.maketrans(
    {"\u2212": "-", "×": "x", "\u201c": '"', "\u201d": '"', "\u2019": "'", "\u2026": "...", "÷": "/"}
)


def _ascii(text: str) -> str:
    return text.translate(PLAIN).encode("ascii", "replace").decode()


def judgement_json(judgement: Judgement) -> JsonObject:
    """Return *judgement* as the keys of ``chalkpoint.judgement/1``.

    points carry the rule (the line's name), status, what is written, what the right working ``expects``,
    what ``follows`` from the pupil's own previous line, what stood ``before``, and why.

    >>> from chalkpoint.marking.judging import judge
    >>> right = judge("subtract 8.875, 3.6875", answer="0.1010100 0011")
    >>> judgement_json(right)["points"][-1]["status"]
    'right'
    """
    question, said = judgement.question, say(judgement)
    first = judgement.first_wrong
    return {
        "schema": "chalkpoint.judgement/1",
        "question": {
            "operation": question.operation.name,
            "format": str(question.format),
            "operands": [write_exact(question.value)]
            if question.operation.takes == "values"
            else question.operands,
            "course": question.course.to_dict(),
        },
        "method": judgement.method,
        "right": judgement.right,
        "verdict": judgement.verdict,
        "says": said.verdict,
        "first_wrong": first.line if first else None,
        "points": [
            {
                "rule": mark.line,
                "status": mark.status,
                "written": mark.written or None,
                "expects": mark.expects or None,
                "follows": mark.own or None,
                "before": mark.had or None,
                "among": list(mark.among),
                "slip": mark.slip or None,
                "why": sentence or None,
            }
            for mark, (_, _, _, sentence) in zip(judgement.marks, said.lines, strict=True)
        ],
        "elsewhere": list(judgement.elsewhere),
        "beliefs": [
            _belief(name, among, line) for line, among in _beliefs_by_line(judgement) for name in among
        ],
        "together": [list(pair) for pair in judgement.together],
        "notes": list(judgement.notes),
        "hint": said.hint or None,
    }


def _beliefs_by_line(judgement: Judgement) -> list[tuple[str, tuple[str, ...]]]:
    """Return each wrong line that beliefs explain, with them; the answer where it is read with a digit more."""
    lines = [(mark.line, mark.among) for mark in judgement.explained]
    return lines or ([("answer", judgement.among)] if judgement.among else [])


def _belief(name: str, among: tuple[str, ...], line: str) -> JsonObject:
    belief = BELIEFS[name]
    return {
        "misconception": name,
        "among": list(among),
        "line": line,
        "says": belief.says,
        "evidence": belief.evidence,
        "weight": belief.weight,
        "named": False,  # one answer never names a belief
    }


def judgement_page(judgement: Judgement) -> str:
    """Return *judgement* as an HTML page, complete in itself."""
    said, title = say(judgement), heading(judgement.question)
    rows = "\n".join(
        f'<tr class="{status}"><td><span class="stroke" aria-hidden="true">{escape(STROKES[status][0])}</span> '
        f'{escape(STROKES[status][2])}</td><th scope="row">{escape(line)}</th>'
        f'<td class="bits">{escape(written)}</td><td>{escape(sentence)}</td></tr>'
        for status, line, written, sentence in said.lines
    )
    body = [f"<p class=verdict>{escape(said.verdict)}</p>"]
    if rows:
        body.append(
            "<div class=wide><table><caption>Line by line</caption><thead><tr>"
            '<th scope="col">Mark</th><th scope="col">Line</th><th scope="col">Written</th><th scope="col">Why</th>'
            f"</tr></thead>\n<tbody>{rows}</tbody></table></div>"
        )
    if said.beliefs:
        head, *rest, last = said.beliefs
        items = "".join(f"<li>{escape(sentence)}</li>" for sentence in rest)
        body.append(
            f"<h2>Rules that give this</h2><p>{escape(head)}</p><ul>{items}</ul><p>{escape(last)}</p>"
        )
    body += [f"<p>{escape(note)}</p>" for note in said.notes]
    if said.hint:
        body.append(f"<h2>Ask next</h2><p>{escape(said.hint)}</p>")
    return document(title, "\n".join(body))
