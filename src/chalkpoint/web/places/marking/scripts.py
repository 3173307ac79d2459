"""One script: each line with its mark and the reason, and the teacher's decisions, which never lose the mark before."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.overrides import Decision, check_decisions
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.publishing.classes.pages import says, status_words
from chalkpoint.records import marks, overrides, retyping, scripts
from chalkpoint.records.kept import Kept, NotKept
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.answers import mark_again
from chalkpoint.web.places.marking.codes import script_address
from chalkpoint.web.places.marking.papers import papers_asked, summed_up
from chalkpoint.web.showing import show

__all__ = ["ROUTES"]

MOST_MARKS = 100


def script_page(request: PageRequest) -> Response:
    """Show a pupil's script as it was marked, with a form for each decision."""
    return _page(request, papers_asked(request))


def _page(request: PageRequest, one: Kept, refused: str = "") -> Response:
    student = request.path["student"]
    with request.app.store.read() as db:
        run = marks.latest(db, request.teacher, one.id)
        if run is None:
            raise NotKept(f"{student!r} is not marked yet; mark the papers first")
        entry = marks.entry_of(db, run, student)
        scripts.script_of(db, request.teacher, one.id, student)  # a deleted one is not found
        decided = overrides.decisions_of(db, request.teacher, one.id, student)
        codes = scripts.codes_of(db, request.teacher, one.id)
        retyped = retyping.retyped_of(db, request.teacher, one.id, student)
    waiting = summed_up(request, one, run).waiting
    return show(
        request,
        "script.html.jinja",
        status=422 if refused else 200,
        one=one,
        entry=entry,
        asks=request.app.markers.asks(one.body, entry["variant"]),
        decided=decided,
        retyped=retyped,
        mine=waiting.get(student, 0),
        next=_after(student, [code for code in waiting if code in codes]),
        says=says,
        stroke=status_words,
        refused=refused,
    )


def _after(student: str, waiting: Sequence[str]) -> str:
    """Return the next pupil with a decision that waits: the first after *student*, else the first of all."""
    others = [code for code in waiting if code != student]
    return next((code for code in others if code.encode() > student.encode()), next(iter(others), ""))


def decide(request: PageRequest) -> Response:
    """Write down a decision, and mark again."""
    one, form, student = papers_asked(request), request.form, request.path["student"]
    try:
        question = form.number("question", 1, least=1, most=1000)
        given = form.number("marks", 0, least=0, most=MOST_MARKS)
        line, reason = form.text("line"), form.text("reason")
        decision = {(student, question, line): Decision(given, reason)}
        check_decisions(decision, request.app.markers.papers(one.body))
        with request.app.store.write() as db:
            overrides.decide(
                db,
                request.teacher,
                one.id,
                student=student,
                question=question,
                line=line,
                marks=given,
                reason=reason,
                before=form.text("before"),
            )
    except ChalkpointError as reason_refused:
        if isinstance(reason_refused, NotKept):
            raise
        return _page(request, one, refused=str(reason_refused))
    return mark_again(request, one, to=f"{script_address(one.id, student)}#q{question}")


def withdraw(request: PageRequest) -> Response:
    """Take a decision back, and mark again."""
    one = papers_asked(request)
    with request.app.store.write() as db:
        overrides.withdraw(db, request.teacher, one.id, request.form.text("decision"))
    return mark_again(request, one, to=script_address(one.id, request.path["student"]))


def delete(request: PageRequest) -> Response:
    """Delete a script; the page of the papers can undo it."""
    one, student = papers_asked(request), request.path["student"]
    with request.app.store.write() as db:
        scripts.delete_script(db, request.teacher, one.id, student)
    return see(f"/mark/papers/{one.id}", gone=student)


def restore(request: PageRequest) -> Response:
    """Bring a deleted script back."""
    one = papers_asked(request)
    with request.app.store.write() as db:
        scripts.restore_script(db, request.teacher, one.id, request.path["student"])
    return see(f"/mark/papers/{one.id}")


HOME = "/mark/papers/{id}/scripts/{student:path}"
ROUTES = [
    Route(HOME, teacher_page(script_page)),
    Route(f"{HOME}/decide", teacher_page(decide), methods=["POST"]),
    Route(f"{HOME}/withdraw", teacher_page(withdraw), methods=["POST"]),
    Route(f"{HOME}/delete", teacher_page(delete), methods=["POST"]),
    Route(f"{HOME}/restore", teacher_page(restore), methods=["POST"]),
]
