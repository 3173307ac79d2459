"""Work: a question in, every step and every lost bit on the page; lines of one's own, and where they lead."""

from __future__ import annotations

import json
from functools import cache

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.finding.likeness import conditions_like
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.numbers.listed import list_formats
from chalkpoint.publishing import html
from chalkpoint.publishing.board import board, board_script
from chalkpoint.publishing.scene import scene
from chalkpoint.records import kept
from chalkpoint.records.kept import Kept
from chalkpoint.teaching.lessonfile import lesson_of
from chalkpoint.teaching.parts import storyboard
from chalkpoint.web.changed import Changed, change_lines, line_of
from chalkpoint.web.courses import course_asked, courses_of
from chalkpoint.web.forms import Form
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.paging import part_asked
from chalkpoint.web.rendering import address
from chalkpoint.web.showing import show
from chalkpoint.web.standalone import stand_alone
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.work import work
from chalkpoint.working.working import Working

__all__ = ["ROUTES", "working_asked"]

KIND = "question"
LISTED = 20  # kept questions below the working
KEYS = ("operation", "operands", "format", "method", "course", "names")
TYPES = {
    "pdf": "application/pdf",
    "pptx": "application/vnd.openxmlformats-officedocument.presentationml.presentation",
    "svg": "image/svg+xml",
    "json": "application/json",
}
#: What the page shows before anything is worked: operation, operands and format, and what is to be seen there.
EXAMPLES: tuple[tuple[str, tuple[str, ...], str, str], ...] = (
    ("subtract", ("8.875", "3.6875"), "8+4", "subtract: every step, and a 1 that is lost on the way"),
    ("encode", ("-5.3",), "8+4", "encode: a number that no pattern holds exactly"),
    ("normalise", ("00010110 0101",), "8+4", "normalise: a pattern whose first two bits are alike"),
    ("decode", ("0 10001 1010000000",), "binary16", "decode: a pattern of the IEEE standard"),
    ("convert", ("01010000 0011", "binary16"), "8+4", "convert: a pattern, then the format it goes into"),
    ("choose-format", ("0", "59.75", "0.25"), "", "choose-format: the lowest, the highest and the step"),
    ("range", (), "6+4", "range: nothing but a format"),
    ("explain", ("subtract", "8.875", "3.6875"), "8+4", "explain: a question, told in points"),
)
#: What is said of a changed line, by what it was judged to be.
KINDS = {
    "right": "right",
    "follow-through": "follows from the line before",
    "recovered": "right again",
    "right elsewhere": "right under another method or convention",
    "misconception": "another rule gives this",
    "slip": "a slip",
    "copied": "copied from the line before",
    "off": "unexplained",
}


def work_page(request: PageRequest) -> Response:
    """Show the form, and under its question's address the working."""
    form, refused, working = request.form, "", None
    changed: Changed | None = None
    if form.has("operation"):
        try:
            working = working_asked(request)
            changed = _changed(working.question, _lines(form))
        except ChalkpointError as reason:
            refused = str(reason)
    drawn = scene(working) if working else None
    query = query_of(form)
    with request.app.store.read() as db:
        part = part_asked(form, kept.count_of(db, request.teacher, KIND), size=LISTED)
        questions = kept.all_of(db, request.teacher, KIND, start=part.start, limit=part.size)
    return show(
        request,
        "work.html.jinja",
        status=422 if refused else 200,
        query=query,
        lines=_lines(form),
        others=lambda rule: [line for line in _lines(form) if line.partition(":")[0] != rule],
        scene=drawn,
        drawing=html.drawing(drawn) if drawn else None,
        changed=changed,
        kinds=KINDS,
        asked=line_of(working.question) if working else "",
        typed=_typed(query) if working else "",
        alike=conditions_like(working.question) if working else [],
        refused=refused,
        operations=list(OPERATIONS),
        formats=[listed.spelling for listed in list_formats()],
        methods=[("", "the course's"), *METHODS],
        courses=courses_of(request),
        examples=_examples(),
        part=part,
        questions=[(one, address("/work", **json.loads(one.body))) for one in questions],
    )


@cache
def _examples() -> list[tuple[str, str, str]]:
    """Return the heading of each example's page, what is to be seen there, and its address."""
    return [
        (
            work(operation, *operands, format=spelling or None).title,
            seen,
            address("/work", operation=operation, operands=", ".join(operands), format=spelling),
        )
        for operation, operands, spelling, seen in EXAMPLES
    ]


def _changed(question: Question, lines: list[str]) -> Changed | None:
    """Return the working with the lines changed; None where its lines are not judged one by one."""
    try:
        return change_lines(question, lines)
    except EntryError:
        if lines:
            raise
        return None


def query_of(form: Form) -> JsonObject:
    """Return what was asked, as its address says it."""
    return {key: form.text(key) for key in KEYS}


def _typed(query: JsonObject) -> str:
    """Return the question as it was typed, so that a lesson of it keeps its decimals; "" where it came otherwise."""
    return f"{query['operation']} {query['operands']}" if query["operation"] and query["operands"] else ""


def _lines(form: Form) -> list[str]:
    """Return the lines changed: those of the address, and the one being written; the last for a rule counts."""
    lines = [text for text in form.texts("line") if text]
    if form.text("written"):
        lines.append(f"{form.text('rule')}:{form.text('written')}")
    by_rule = {line.partition(":")[0]: line for line in lines}
    return list(by_rule.values())


def working_asked(request: PageRequest) -> Working:
    """Return the question of an address, worked.

    Raises EntryError for one that cannot be.
    """
    form, course = request.form, course_asked(request)
    operation, operands = form.text("operation"), split(form.text("operands"), point=course.point)
    if form.text("question"):
        operation, _, rest = form.text("question").partition(" ")
        operands = split(rest, point=course.point)
    if operation == "explain" and operands:  # which is asked about a question, written like any other
        about, _, first = operands[0].partition(" ")
        operands = [about, *filter(None, [first]), *operands[1:]]
    return work(
        operation,
        *operands,
        format=form.text("format") or None,
        method=form.text("method") or None,
        course=course,
        names=tuple(form.text("names").split(",")),
    )


def split(text: str, *, point: str = ".") -> list[str]:
    """Return the entries of a line, separated by semicolons, else by commas that are no decimal ones.

    >>> split("01000111 0100, 3.6875"), split("8,875; 3,6875"), split("")
    (['01000111 0100', '3.6875'], ['8,875', '3,6875'], [])
    >>> split("8,875, 3,6875", point=",")
    ['8,875', '3,6875']
    """
    parts = text.split(";" if ";" in text else ", " if point == "," else ",")
    return [part.strip() for part in parts if part.strip()]


def board_page(request: PageRequest) -> Response:
    """Show a working on the board."""
    home = address("/work", **query_of(request.form))
    return stand_alone(board(lesson_of(working_asked(request)), home=home), script=board_script())


def file_page(request: PageRequest) -> Response:
    """Send a working as a file: PDF, slides, drawing or JSON."""
    kind = request.path["kind"]
    content = _made(working_asked(request), kind)
    headers = {
        "Content-Disposition": f'{"inline" if kind == "pdf" else "attachment"}; filename="working.{kind}"'
    }
    return Response(content, media_type=TYPES[kind], headers=headers)


def _made(working: Working, kind: str) -> str | bytes:
    match kind:
        case "pdf":
            from chalkpoint.publishing.typst.document import pdf

            return pdf(scene(working))
        case "pptx":
            from chalkpoint.publishing.slides import slides

            return slides(storyboard(lesson_of(working)))
        case "svg":
            from chalkpoint.publishing.svg import svg

            return svg(scene(working))
        case "json":
            from chalkpoint.publishing.jsonform import as_json

            return json.dumps(as_json(working), ensure_ascii=False, indent=2)
    raise EntryError(f"a working is not made as {kind!r}; give one of: {', '.join(TYPES)}")


def keep_question(request: PageRequest) -> Response:
    """Keep a question, to open it again."""
    working = working_asked(request)
    query = {key: value for key, value in query_of(request.form).items() if value}
    with request.app.store.write() as db:
        kept.keep(
            db, request.teacher, KIND, _title(working), json.dumps(query, ensure_ascii=False, sort_keys=True)
        )
    return see(address("/work", **query))


def _title(working: Working) -> str:
    return working.title[: kept.LONGEST_TITLE]


def kept_question(request: PageRequest) -> Response:
    """Lead to a kept question."""
    with request.app.store.read() as db:
        one: Kept = kept.one(db, request.teacher, KIND, request.path["id"])
    return see(address("/work", **json.loads(one.body)))


ROUTES = [
    Route("/work", teacher_page(work_page)),
    Route("/work/board", teacher_page(board_page)),
    Route("/work/working.{kind}", teacher_page(file_page)),
    Route("/work/questions", teacher_page(keep_question), methods=["POST"]),
    Route("/work/questions/{id}", teacher_page(kept_question)),
]
