"""Entry by exception: a script a page, the expected answers standing there, then at most two lines that matter."""

from __future__ import annotations

from collections.abc import Iterator

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.answers import Script
from chalkpoint.marking.cells import cell_text
from chalkpoint.marking.entering import Count, expected_answer, keys_pressed, lines_that_matter
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.records import scripts
from chalkpoint.records.kept import Kept
from chalkpoint.setting.papers import Paper, Papers
from chalkpoint.web.forms import Form
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.codes import check_code
from chalkpoint.web.places.marking.papers import class_codes, papers_asked
from chalkpoint.web.showing import show

__all__ = ["ROUTES"]

LONGEST_CODE = 60
MOST_COUNTED = 10**9


def enter_page(request: PageRequest) -> Response:
    """Ask for a pupil's answers, the expected ones standing there already."""
    return _page(request, papers_asked(request))


def _page(
    request: PageRequest,
    one: Kept,
    *,
    refused: str = "",
    lines: list[tuple[int, str]] | None = None,
    count: Count | None = None,
    over: bool = False,
) -> Response:
    papers = request.app.markers.papers(one.body)
    paper = _paper(papers, request.form)
    with request.app.store.read() as db:
        done = scripts.codes_of(db, request.teacher, one.id)
        codes = class_codes(request, one, db)
    waiting = [code for code in codes if code not in done]
    return show(
        request,
        "enter.html.jinja",
        status=422 if refused else 200,
        one=one,
        paper=paper,
        variants=list(papers.variants),
        expected={asked.number: expected_answer(asked) for asked in paper.questions},
        student=request.form.text("student") or next(iter(waiting), ""),
        entered=request.form,
        lines=lines or [],
        done=done,
        waiting=waiting,
        refused=refused,
        count=count or _count(request.form),
        over=over,
    )


def _count(form: Form) -> Count:
    """Return how much was typed up to here, which the page carries along."""
    return Count(
        form.number("scripts", 0, least=0, most=MOST_COUNTED),
        form.number("keys", 0, least=0, most=MOST_COUNTED),
    )


def _paper(papers: Papers, form: Form) -> Paper:
    least, most = min(papers.variants), max(papers.variants)
    return papers.variants[form.number("variant", least, least=least, most=most)]


def enter(request: PageRequest) -> Response:
    """Keep a script; where one or two of its lines would change a mark or a belief, ask for those."""
    one, form = papers_asked(request), request.form
    try:
        papers = request.app.markers.papers(one.body)
        paper = _paper(papers, form)
        student = form.text("student")
        if not student or len(student) > LONGEST_CODE:
            raise EntryError(
                f"the pupil {student!r} is not taken; give a code of 1 to {LONGEST_CODE} characters"
            )
        check_code(student)
        script = _script(student, paper, form)
        count = _count(form)
    except ChalkpointError as reason:
        return _page(request, one, refused=str(reason), count=Count())
    over = form.text("over") == student
    if not form.has("asked") and not over and (standing := _standing(request, one, student)):
        return _page(request, one, refused=standing, over=True)
    with request.app.store.write() as db:
        scripts.put_script(db, request.teacher, one.id, script, over=over)
    answers = {number: lines["answer"] for number, lines in script.written.items() if "answer" in lines}
    matter = (
        []
        if form.has("asked")
        else [(asked.number, line) for asked, line in lines_that_matter(paper, answers)]
    )
    count.keystrokes += keys_pressed(_typed(form, paper))
    count.scripts += not form.has("asked")
    if matter:
        return _page(request, one, lines=matter, count=count)
    return see(
        f"/mark/papers/{one.id}/enter",
        last=student,
        variant=str(paper.variant),
        scripts=str(count.scripts),
        keys=str(count.keystrokes),
    )


def _standing(request: PageRequest, one: Kept, student: str) -> str:
    """Say what this script would take the place of; nothing where it takes none's."""
    with request.app.store.read() as db:
        if student in scripts.codes_of(db, request.teacher, one.id):
            return f"the script of {student!r} is kept already; keep this one to put it in its place, lines and all"
        if student in scripts.deleted_of(db, request.teacher, one.id):
            return (
                f"a script of {student!r} was deleted and can still be brought back from the page of the papers; "
                "keep this one to put it in its place for good"
            )
    return ""


def _typed(form: Form, paper: Paper) -> Iterator[tuple[str, str]]:
    """Yield the old and the new text of each entry of the page: the lines asked for, or all the rest."""
    if form.has("asked"):
        yield from (("", form.text(name)) for name in form.entries if _is_line(name))
        return
    yield form.text("offered"), form.text("student")
    for asked in paper.questions:
        yield expected_answer(asked), form.text(f"{asked.number} answer")


def _is_line(name: str) -> bool:
    question, _, line = name.partition(" ")
    return question.isdecimal() and line not in {"", "answer"}


def _script(student: str, paper: Paper, form: Form) -> Script:
    """Return what was entered; an entry left as it stood is the expected answer, and an emptied one a blank."""
    script = Script(student, paper.variant)
    for asked in paper.questions:
        for name in form.entries:
            question, _, line = name.partition(" ")
            if question == str(asked.number) and line and form.text(name):
                where = f"question {asked.number}, {line}"
                text, trouble = cell_text(form.text(name), asked.question, line, where)
                if trouble:
                    script.troubles.append(trouble)
                if text:
                    script.written.setdefault(asked.number, {})[line] = text
    return script


ROUTES = [
    Route("/mark/papers/{id}/enter", teacher_page(enter_page)),
    Route("/mark/papers/{id}/enter", teacher_page(enter), methods=["POST"]),
]
