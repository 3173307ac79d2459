"""Entry: a script a page, boxes for each answer, and nothing in them until it is typed or said to be as expected."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from chalkpoint.marking.answers import Script
from chalkpoint.marking.cells import cell_text
from chalkpoint.marking.entering import Count, Place, lines_that_matter, places_of
from chalkpoint.marking.marks import mark_question
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.publishing.classes.pupils import empty_answer
from chalkpoint.publishing.classes.written import rows_of
from chalkpoint.records import scripts
from chalkpoint.records.kept import Kept, NotKept
from chalkpoint.setting.papers import Asked, Paper, Papers
from chalkpoint.web.forms import Form
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.codes import check_code
from chalkpoint.web.places.marking.papers import class_codes, papers_asked
from chalkpoint.web.showing import show
from chalkpoint.working.wording.heading import heading

__all__ = ["ROUTES"]

LONGEST_CODE = 60
MOST_COUNTED = 10**9
SEVERAL = 2  # beliefs that a line may tell apart
MOST_EARLIER = 200  # scripts among which the same answer is looked for
AS_EXPECTED, NOTHING, UNREADABLE = "expected", "nothing", "unreadable"  # what a key says of a whole row


@dataclass(frozen=True, slots=True)
class ShownPlace:
    """One place where an answer is typed, as the page shows it.

    boxes     empty boxes; None where a line is typed on
    right     the expected answer drawn, shown while it is typed
    run       the expected bits in the order of the boxes
    earlier   (pupil, answer) of scripts that have another answer there, the latest first
    typed     what was typed before
    """

    place: Place
    name: str
    boxes: Markup | None
    right: Markup | None
    run: str
    earlier: list[tuple[str, str]]
    typed: str


def enter_page(request: PageRequest) -> Response:
    """Ask for a pupil's answers."""
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
        few = len(done) <= MOST_EARLIER
        kept = list(scripts.scripts_of(db, request.teacher, one.id)) if few else []
    waiting = [code for code in codes if code not in done]
    student = request.form.text("student") or next(iter(waiting), "")
    return show(
        request,
        "enter.html.jinja",
        status=422 if refused else 200,
        one=one,
        paper=paper,
        variants=list(papers.variants),
        questions=[
            (asked, heading(asked.question), list(_shown(asked, paper, kept, request.form)))
            for asked in paper.questions
        ],
        student=student,
        next=next((code for code in waiting if code != student), ""),
        entered=request.form,
        lines=lines or [],
        done=done,
        waiting=waiting,
        refused=refused,
        count=count or _count(request.form),
        over=over,
    )


def _shown(asked: Asked, paper: Paper, kept: list[Script], form: Form) -> Iterator[ShownPlace]:
    rows = rows_of(asked.question)
    for place in places_of(asked):
        right = rows.written(place.line, place.expected) if place.expected else None
        earlier: dict[str, str] = {}
        for script in kept[::-1]:
            text = script.written.get(asked.number, {}).get(place.line, "")
            if script.variant == paper.variant and text and text != place.expected:
                earlier.setdefault(text, script.student)
        name = f"{asked.number} {place.line}"
        empty = empty_answer(asked.question, place.line) if right else None
        yield ShownPlace(
            place,
            name,
            rows.markup(empty) if empty else None,
            rows.markup(right) if right else None,
            "".join(sign for sign in place.expected if sign in "01") if right else "",
            [(student, text) for text, student in earlier.items()],
            form.text(name),
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


def _student(form: Form) -> str:
    student = form.text("student")
    if not student or len(student) > LONGEST_CODE:
        raise EntryError(f"the pupil {student!r} is not taken; give a code of 1 to {LONGEST_CODE} characters")
    check_code(student)
    return student


def enter(request: PageRequest) -> Response:
    """Keep a script; where one or two of its lines would change a mark or a belief, ask for those."""
    one, form = papers_asked(request), request.form
    try:
        paper = _paper(request.app.markers.papers(one.body), form)
        student = _student(form)
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
    matter = [] if form.has("asked") else lines_that_matter(paper, answers)
    count.keystrokes += sum(_typed(form, paper))
    count.scripts += not form.has("asked")
    if matter:
        return _page(request, one, lines=[(asked.number, line) for asked, line in matter], count=count)
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


def _typed(form: Form, paper: Paper) -> Iterator[int]:
    """Yield the keys of each entry of the page without script: what is typed, and one to leave it or to tick it."""
    if form.has("asked"):
        yield from (1 + len(form.text(name)) for name in form.entries if _is_line(name))
        return
    student = form.text("student")
    yield 1 + (len(student) if student != form.text("offered") else 0)
    for asked in paper.questions:
        for place in places_of(asked):
            yield 1 + len(form.text(f"{asked.number} {place.line}"))


def _is_line(name: str) -> bool:
    question, _, line = name.partition(" ")
    return question.isdecimal() and line not in {"", "answer"}


def _script(student: str, paper: Paper, form: Form) -> Script:
    """Return what was entered; what was neither typed nor said to be as expected is a blank."""
    script = Script(student, paper.variant)
    for asked in paper.questions:
        expected = {place.line: place.expected for place in places_of(asked)}
        names = [
            name.partition(" ")[2] for name in form.entries if name.partition(" ")[0] == str(asked.number)
        ]
        for line in dict.fromkeys([*expected, *names]):
            said = form.text(f"said {asked.number} {line}")
            written = form.text(f"{asked.number} {line}")
            if said == AS_EXPECTED and written and written != expected.get(line):
                raise EntryError(
                    f"question {asked.number} is ticked as expected, and {written!r} is written there too; leave one"
                )
            _put(script, asked, line, expected.get(line, "") if said == AS_EXPECTED else written)
    return script


def _put(script: Script, asked: Asked, line: str, written: str) -> None:
    """Put *written* in the place of what a script has on a line; "" is nothing written."""
    where = f"question {asked.number}, {line}"
    text, trouble = cell_text(written, asked.question, line, where)
    script.troubles = [one for one in script.troubles if one.place != where] + ([trouble] if trouble else [])
    lines = script.written.setdefault(asked.number, {})
    if text:
        lines[line] = text
    else:
        lines.pop(line, None)
    if not lines:
        del script.written[asked.number]


def enter_row(request: PageRequest) -> Response:
    """Keep one row as it is typed, and say at once what it earns; what cannot be taken is said too."""
    one, form = papers_asked(request), request.form
    try:
        paper = _paper(request.app.markers.papers(one.body), form)
        student = _student(form)
        asked, line = _place(paper, form)
        if not form.has("begun") and (standing := _standing(request, one, student)):
            raise EntryError(standing)
        with request.app.store.write() as db:
            script = (
                _begun(request, one, student, paper) if form.has("begun") else Script(student, paper.variant)
            )
            expected = next((place.expected for place in places_of(asked) if place.line == line), "")
            said = form.text("said")
            text = {AS_EXPECTED: expected, NOTHING: "", UNREADABLE: UNREADABLE}.get(
                said, form.text("written")
            )
            _put(script, asked, line, text)
            scripts.put_script(db, request.teacher, one.id, script, over=True)
    except ChalkpointError as reason:
        return JSONResponse({"refused": f"{str(reason)[:1].upper()}{str(reason)[1:]}."}, status_code=422)
    return JSONResponse(_verdict(asked, script))


def _place(paper: Paper, form: Form) -> tuple[Asked, str]:
    number, line = form.number("question", 0, least=0, most=MOST_COUNTED), form.text("line") or "answer"
    asked = next((asked for asked in paper.questions if asked.number == number), None)
    if asked is None:
        raise EntryError(f"question {number} is not in this paper")
    return asked, line


def _begun(request: PageRequest, one: Kept, student: str, paper: Paper) -> Script:
    with request.app.store.read() as db:
        try:
            return scripts.script_of(db, request.teacher, one.id, student)
        except NotKept:
            return Script(student, paper.variant)


def _verdict(asked: Asked, script: Script) -> dict[str, object]:
    """Return what is said beside a row: its marks, how it is judged, and the line that would tell beliefs apart."""
    written = script.written.get(asked.number, {})
    marked = mark_question(asked, written)
    if marked.blank:
        said, status = "nothing written", "absent"
    elif marked.marks == asked.marks:
        said, status = "as expected", "right"
    elif marked.waiting:
        said, status = f"waits for the class's table: {marked.waiting[0].group}", "recovered"
    else:
        said, status = "not as expected", "off"
    line, why = _line_asked(asked, written, {name for point in marked.points for name in point.among})
    return {
        "marks": marked.marks,
        "of": asked.marks,
        "said": said,
        "status": status,
        "asks": line,
        "why": why,
    }


def _line_asked(asked: Asked, written: Mapping[str, str], among: set[str]) -> tuple[str, str]:
    """Return the line that would tell apart the beliefs that give an answer, and why it is asked for; or nothing."""
    if set(written) != {"answer"} or len(among) < SEVERAL:
        return "", ""
    lines = lines_that_matter(Paper(0, "", (asked,)), {asked.number: written["answer"]})
    if not lines:
        return "", ""
    return lines[0][1], f"{len(among)} beliefs give this answer, and this line tells them apart."


ROUTES = [
    Route("/mark/papers/{id}/enter", teacher_page(enter_page)),
    Route("/mark/papers/{id}/enter", teacher_page(enter), methods=["POST"]),
    Route("/mark/papers/{id}/enter/row", teacher_page(enter_row), methods=["POST"]),
]
