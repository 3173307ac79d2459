"""The marking table: one question across the class, every different answer a row, ruled on for all its pupils."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from markupsafe import Markup
from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.entering import expected_answer
from chalkpoint.marking.groups import READ_ONE_BY_ONE
from chalkpoint.marking.overrides import Ruling as ClassRuling
from chalkpoint.marking.table import AnswerRow, QuestionTable, Ruling, SameLines, Tables, rulings_on
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.publishing.classes.pages import plain_why, says, status_words
from chalkpoint.publishing.classes.written import WrittenRows, rows_of
from chalkpoint.publishing.layout import LONGEST_WHOLE
from chalkpoint.records import marks, overrides, retyping, scripts
from chalkpoint.records.ids import now
from chalkpoint.records.kept import Kept, NotKept
from chalkpoint.records.marks import Run
from chalkpoint.setting.papers import Asked, Paper
from chalkpoint.web.pagerequest import PageRequest, teacher_page
from chalkpoint.web.places.marking.answers import mark_again
from chalkpoint.web.places.marking.habits import remember, undo_all
from chalkpoint.web.places.marking.papers import is_current, papers_asked, summed_up
from chalkpoint.web.places.marking.reports import latest_run
from chalkpoint.web.rendering import address
from chalkpoint.web.showing import show
from chalkpoint.web.summaries import Summed
from chalkpoint.working.wording.heading import heading

__all__ = ["ROUTES", "shown_table", "table_address"]

MOST_LINES = 40  # ways whose lines are all on the page; of a larger class those of the row at hand
MOST_WAYS = 8  # ways of one row that are shown
MOST_CODES = 9
USUAL, WIDEST = 13, 22  # columns that the rails of a table take; longer ones wrap
BY_HAND = "decided on the marking table"


@dataclass(frozen=True, slots=True)
class ShownLine:
    """A line of working as the table shows it: drawn, or as it was typed; its marks and why, where it has any."""

    name: str
    text: str
    drawn: Markup | None
    marks: int | None
    status: str
    why: str


@dataclass(frozen=True, slots=True)
class ShownRow:
    """A row as the table shows it.

    rulings  what may be ruled on it, each with the mean mark of the question by it
    alike    how many more answers wait for the same reason in the whole paper, and in which questions
    same     how many answers of this question are taken for the same belief
    lines    by way: its pupils, its marks and its lines
    """

    row: AnswerRow
    drawn: Markup | None
    why: str
    rulings: list[tuple[Ruling, float]]
    alike: tuple[int, list[int]]
    same: int
    lines: list[tuple[SameLines, list[ShownLine]]]


def table_address(papers: str, question: int, **query: object) -> str:
    """Return the address of a question's table.

    >>> table_address("p", 5, row="ab")
    '/mark/papers/p/questions/5?row=ab'
    """
    return address(f"/mark/papers/{papers}/questions/{question}", **query)


def first_page(request: PageRequest) -> Response:
    """Show the first question on which anything waits, or the first of all."""
    one = papers_asked(request)
    tables = summed_up(request, one, latest_run(request, one)).tables
    waiting = [number for number, table in tables.questions.items() if table.waiting]
    return _page(request, one, (waiting or list(tables.questions))[0])


def table_page(request: PageRequest) -> Response:
    """Show a question across the class."""
    return _page(request, papers_asked(request), request.path["number"])


def _page(request: PageRequest, one: Kept, number: int, refused: str = "") -> Response:
    run = latest_run(request, one)
    with request.app.store.read() as db:
        stale = not is_current(db, request.teacher, one.id, run)
        decided = overrides.decided_together(db, request.teacher, one.id)
        retyped = [was for was in retyping.retyped_of(db, request.teacher, one.id) if was.question == number]
    return show(
        request,
        "table.html.jinja",
        status=422 if refused else 200,
        **shown_table(request, one, run, number, f"/mark/papers/{one.id}")
        | {
            "last": decided[0] if decided else None,
            "is_ruled": bool(decided) and decided[0][0].at == request.form.text("ruled"),
            "retyped": retyped[:5],
            "stale": stale,
            "refused": refused,
            "is_mine": True,
        },
    )


def shown_table(request: PageRequest, one: Kept, run: Run, number: int, base: str) -> JsonObject:
    """Return what a question's table shows, whoever looks at it.

    base  the address of the papers, as the one who looks has them
    """
    summed = summed_up(request, one, run)
    table = _table(summed, number)
    open_key = request.form.text("row")
    waits = {asked: len(other.waiting) for asked, other in summed.tables.questions.items()}
    others = [asked for asked in waits if asked != number and waits[asked]]
    return {
        "one": one,
        "run": run,
        "base": base,
        "table": table,
        "asks": _asks(request, one, number),
        "rows": list(_shown(request, one, summed, table, open_key)),
        "open_key": open_key,
        "waits": waits,
        "next": next((asked for asked in others if asked > number), next(iter(others), None)),
        "absent": summed.tables.absent,
        "says": says,
        "stroke": status_words,
        "most_codes": MOST_CODES,
        "one_by_one": READ_ONE_BY_ONE,
        **dict.fromkeys(("last", "is_ruled", "retyped", "stale", "refused", "is_mine")),  # its owner's alone
    }


def _table(summed: Summed, number: int) -> QuestionTable:
    if number not in summed.tables.questions:
        raise NotKept(f"there is no question {number} in these papers; open one from the list")
    return summed.tables.questions[number]


def _asked(paper: Paper, number: int) -> Asked | None:
    return next((asked for asked in paper.questions if asked.number == number), None)


def _asks(request: PageRequest, one: Kept, number: int) -> list[JsonObject]:
    """Return what each variant asks: its words, the patterns given, and what is expected, drawn."""
    found = []
    for variant, paper in request.app.markers.papers(one.body).variants.items():
        if asked := _asked(paper, number):
            rows = rows_of(asked.question)
            expected, answer = rows.expected("answer"), expected_answer(asked)
            found.append(
                {
                    "variant": variant,
                    "words": asked.words or heading(asked.question),
                    "given": [(rail.label, rows.markup(rail), rail.value) for rail in rows.given],
                    "expected": rows.markup(expected) if expected else None,
                    "answer": answer,
                    "check": rows.working.check,
                    "places": rows.place_values,
                    "columns": min(WIDEST, rows.columns or USUAL),
                    "digits": len(expected.cells) if expected and len(expected.cells) <= LONGEST_WHOLE else 0,
                    "lines": list(dict.fromkeys(["answer", *(point.rule for point in asked.points)])),
                }
            )
    return found


def _shown(
    request: PageRequest, one: Kept, summed: Summed, table: QuestionTable, open_key: str
) -> Iterator[ShownRow]:
    papers = request.app.markers.papers(one.body)
    with_lines = sum(bool(way.lines) for row in table.rows for way in row.ways)
    alike = _alike(summed.tables)
    for row in table.rows:
        asked = _asked(papers.variants.get(row.variant, papers.first), table.number)
        rows = rows_of(asked.question) if asked else None
        drawn = rows.drawn("answer", row.answer) if rows and row.answer else None
        has_lines = with_lines <= MOST_LINES or row.key == open_key or not row.answer
        ways = [way for way in row.ways if way.lines][:MOST_WAYS] if has_lines else []
        others = [other for other in alike.get(row.group, []) if other[1] is not row]
        yield ShownRow(
            row,
            drawn,
            _why(row),
            [(ruling, table.mean_with(row, ruling)) for ruling in rulings_on(row)],
            (sum(len(other.pupils) for _, other in others), sorted({number for number, _ in others})),
            sum(len(other.pupils) for other in table.rows if row.among and other.among == row.among),
            [(way, list(_lines(way, rows))) for way in ways],
        )


def _why(row: AnswerRow) -> str:
    """Return what is said of a row: why its marks are lost or wait."""
    if not row.waits and row.marks == [row.of]:
        return "As expected." if row.answer else "Every line is as expected."
    return plain_why(row.told)


def _lines(way: SameLines, rows: WrittenRows | None) -> Iterator[ShownLine]:
    """Yield the lines that were typed, each with the marks of its points."""
    for name, text in way.lines.items():
        points = [point for point in way.points if point["rule"] == name]
        told = next(
            (point for point in points if point["marks"] < point["of"]), points[0] if points else None
        )
        yield ShownLine(
            name,
            text,
            rows.drawn(name, text) if rows else None,
            sum(point["marks"] for point in points) if points else None,
            told["status"] if told else "",
            plain_why(told) if told else "",
        )


def _alike(tables: Tables) -> dict[str, list[tuple[int, AnswerRow]]]:
    """Return the rows of the whole paper that wait for one reason, by that reason, each with its question."""
    found: dict[str, list[tuple[int, AnswerRow]]] = {}
    for number, table in tables.questions.items():
        for row in table.waiting:
            found.setdefault(row.group, []).append((number, row))
    return found


# === Rulings, marks by hand, and what is typed anew ===


def rule(request: PageRequest) -> Response:
    """Rule on a row that waits: for all its pupils, for one, or on all answers alike in the whole paper."""
    return _decided(request, _rulings)


def give(request: PageRequest) -> Response:
    """Give the points of a row other marks: for all its pupils, for one, or for all who are taken for one belief."""
    return _decided(request, _given)


Decided: TypeAlias = dict[tuple[str, int, str], tuple[int, str, str]]
"""By pupil, question and point: the marks, the reason, and what was written."""

Decider: TypeAlias = Callable[[PageRequest, Summed, int, AnswerRow], Decided]


def _decided(request: PageRequest, decisions_in: Decider) -> Response:
    one, number, at = papers_asked(request), request.path["number"], now()
    try:
        summed = _summed_shown(request, one)
        row = _table(summed, number).row(request.form.text("row"))
        if row is None:
            raise EntryError("this answer is not in the table any more. Look at the table again")
        decisions = decisions_in(request, summed, number, row)
        ruling = _class_ruling(request, row)
        with request.app.store.write() as db:
            if ruling is not None:
                overrides.rule(db, request.teacher, one.id, row.group, ruling, before=row.group, at=at)
                remember(request, db, one, row.group, taken=ruling.accepted)
                decisions = {}
            for (student, question, line), (given, reason, before) in decisions.items():
                overrides.decide(
                    db, request.teacher, one.id, student=student, question=question, line=line, marks=given,
                    reason=reason, before=before, at=at,
                )  # fmt: skip
    except NotKept:
        raise
    except ChalkpointError as reason:
        return _page(request, one, number, str(reason))
    return mark_again(request, one, to=f"{table_address(one.id, number, ruled=at)}#waiting")


def _class_ruling(request: PageRequest, row: AnswerRow) -> ClassRuling | None:
    """Return what is ruled on the whole paper at once; None where each answer has its own."""
    name = request.form.text("ruling")
    alike = request.form.has("paper") and row.group and row.group not in READ_ONE_BY_ONE
    return ClassRuling(name == "accept") if alike and name in {"accept", "stand"} else None


def _summed_shown(request: PageRequest, one: Kept) -> Summed:
    """Return the marking that the teacher saw.

    Raises EntryError where it is not of everything as it is now.
    """
    with request.app.store.read() as db:
        run = marks.latest(db, request.teacher, one.id)
        seen = run and run.id == request.form.text("run") and is_current(db, request.teacher, one.id, run)
    if run is None or not seen:
        raise EntryError(
            "nothing was decided, since answers or marks have changed meanwhile. Look at the table again"
        )
    return summed_up(request, one, run)


def _rulings(request: PageRequest, summed: Summed, number: int, row: AnswerRow) -> Decided:
    name = request.form.one_of("ruling", [ruling.name for ruling in rulings_on(row)] or ("",))
    whole = request.form.has("paper")
    rows = _alike(summed.tables)[row.group] if whole else [(number, row)]
    only = "" if whole else request.form.text("for")
    found: Decided = {}
    for question, other in rows:
        ruling = next((one for one in rulings_on(other) if one.name == name), None)
        if ruling is not None:
            reason = f"{row.group}: {ruling.words.lower()}"
            found |= _for_pupils(other, question, ruling.marks, reason, only)
    return _some(found, only)


def _given(request: PageRequest, summed: Summed, number: int, row: AnswerRow) -> Decided:
    points = {point["name"]: point for point in row.most_common.points}
    given = {
        name: request.form.number(f"marks {name}", point["marks"], least=0, most=point["of"], what=f"{name}:")
        for name, point in points.items()
    }
    only, reason = request.form.text("for"), request.form.text("reason") or BY_HAND
    same = only == "belief" and row.among
    rows = [
        other
        for other in _table(summed, number).rows
        if other is row or (same and other.among == row.among and other.variant == row.variant)
    ]
    found: Decided = {}
    for other in rows:
        found |= _for_pupils(other, number, given, reason, "" if same else only)
    return _some(found, only)


def _some(found: Decided, only: str) -> Decided:
    if not found:
        raise EntryError(
            f"nothing was changed for {only or 'these pupils'}; give other marks, or let it stand"
        )
    return found


def _for_pupils(row: AnswerRow, question: int, given: Mapping[str, int], reason: str, only: str) -> Decided:
    """Return a decision for each pupil of a row, or for one, on every point that waits or would have other marks."""
    return {
        (student, question, point["name"]): (
            given[point["name"]],
            reason,
            f"{point['marks']}, {point['why']}",
        )
        for way in row.ways
        for student in way.pupils
        if only in {"", "row", student}
        for point in way.points
        if point["name"] in given and (point["for_teacher"] or given[point["name"]] != point["marks"])
    }


def retype(request: PageRequest) -> Response:
    """Put right what was typed for a pupil, and mark again; the old text is kept in the history."""
    one, number, form = papers_asked(request), request.path["number"], request.form
    student, line = form.text("student"), form.text("line") or "answer"
    try:
        asked = _asked_of(request, one, number)
        with request.app.store.write() as db:
            retyping.retype(
                db, request.teacher, one.id, student, (number, asked.question), line, form.text("written")
            )
    except NotKept:
        raise
    except ChalkpointError as reason:
        return _page(request, one, number, str(reason))
    return mark_again(request, one, to=f"{table_address(one.id, number, retyped=student)}#waiting")


def _asked_of(request: PageRequest, one: Kept, number: int) -> Asked:
    """Return the question of a pupil's variant."""
    papers = request.app.markers.papers(one.body)
    with request.app.store.read() as db:
        script = scripts.script_of(db, request.teacher, one.id, request.form.text("student"))
    asked = _asked(papers.variants.get(script.variant, papers.first), number)
    if asked is None:
        raise NotKept(f"there is no question {number} in these papers; open one from the list")
    return asked


def undo(request: PageRequest) -> Response:
    """Take back what was decided at one moment, and mark again."""
    one, number = papers_asked(request), request.path["number"]
    undo_all(request, one)
    return mark_again(request, one, to=f"{table_address(one.id, number)}#waiting")


HOME = "/mark/papers/{id}/questions"
ROUTES = [
    Route(HOME, teacher_page(first_page)),
    Route(f"{HOME}/{{number:int}}", teacher_page(table_page)),
    Route(f"{HOME}/{{number:int}}/rule", teacher_page(rule), methods=["POST"]),
    Route(f"{HOME}/{{number:int}}/marks", teacher_page(give), methods=["POST"]),
    Route(f"{HOME}/{{number:int}}/retype", teacher_page(retype), methods=["POST"]),
    Route(f"{HOME}/{{number:int}}/undo", teacher_page(undo), methods=["POST"]),
]
