"""Classes of other teachers, to look at: marks and beliefs for a viewer, every script too for a moderator."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.summary import Summary
from chalkpoint.publishing.classes.pages import says, status_words
from chalkpoint.records import audit, marks, overrides, pupils, sharing
from chalkpoint.records.kept import NotKept
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.table import shown_table
from chalkpoint.web.showing import show

__all__ = ["ROUTES"]


def shared_page(request: PageRequest) -> Response:
    """Show the classes that other teachers share."""
    with request.app.store.read() as db:
        listed = sharing.shared_with(db, request.teacher)
    return show(request, "shared.html.jinja", listed=listed)


def class_page(request: PageRequest) -> Response:
    """Show the papers that a shared class sat."""
    with request.app.store.read() as db:
        (shared,) = sharing.shared_with(db, request.teacher, request.path["id"])
        sat = pupils.papers_of(db, shared.owner, shared.one.id)
    return show(request, "shared-class.html.jinja", shared=shared, sat=sat)


def papers_page(request: PageRequest) -> Response:
    """Show the marks of papers that a shared class sat, and nothing to change."""
    with request.app.store.read() as db:
        shared, one = sharing.papers_shared(db, request.teacher, request.path["id"], request.path["papers"])
        run = marks.latest(db, shared.owner, one.id)
        summary = Summary(request.app.markers.papers(one.body))
        entries = list(marks.entries_of(db, run)) if run else []
        told = audit.audit_of(db, shared.owner, one.id) if shared.sees_scripts else []
    for entry in entries:
        summary.add(entry)
    return show(
        request,
        "shared-papers.html.jinja",
        shared=shared,
        one=one,
        run=run,
        all=summary,
        entries=entries,
        says=says,
        told=told,
    )


def table_page(request: PageRequest) -> Response:
    """Show a moderator a question across the class, as its teacher rules on it, and note who looked."""
    with request.app.store.write() as db:
        shared, one = sharing.papers_shared(db, request.teacher, request.path["id"], request.path["papers"])
        run = marks.latest(db, shared.owner, one.id)
        if run is None or not shared.sees_scripts:
            raise NotKept("no scripts of these papers are shared with you")
        audit.note_look(db, request.teacher, one.id, f"question {request.path['number']}, every script")
    base = f"/shared/{shared.one.id}/{one.id}"
    return show(
        request,
        "table.html.jinja",
        **shown_table(request, one, run, request.path["number"], base),
    )


def script_page(request: PageRequest) -> Response:
    """Show a moderator one script as it was marked and decided, and note who looked."""
    student = request.path["student"]
    with request.app.store.write() as db:
        shared, one = sharing.papers_shared(db, request.teacher, request.path["id"], request.path["papers"])
        run = marks.latest(db, shared.owner, one.id)
        if run is None or not shared.sees_scripts:
            raise NotKept(f"no script of {student!r} is shared with you")
        entry = marks.entry_of(db, run, student)
        decided = overrides.decisions_of(db, shared.owner, one.id, student)
        audit.note_look(db, request.teacher, one.id, student)
    return show(
        request,
        "shared-script.html.jinja",
        shared=shared,
        one=one,
        run=run,
        entry=entry,
        asks=request.app.markers.asks(one.body, entry["variant"]),
        decided=decided,
        stroke=status_words,
    )


def share(request: PageRequest) -> Response:
    """Let another teacher look at a class of one's own."""
    form, class_id = request.form, request.path["id"]
    with request.app.store.write() as db:
        sharing.grant(db, request.teacher, class_id, form.text("teacher"), form.text("role"))
    return see(f"/mark/classes/{class_id}")


def unshare(request: PageRequest) -> Response:
    """Let another teacher look at it no longer."""
    class_id = request.path["id"]
    with request.app.store.write() as db:
        sharing.revoke(db, request.teacher, class_id, request.form.text("teacher"))
    return see(f"/mark/classes/{class_id}")


ROUTES = [
    Route("/mark/classes/{id}/share", teacher_page(share), methods=["POST"]),
    Route("/mark/classes/{id}/unshare", teacher_page(unshare), methods=["POST"]),
    Route("/shared", teacher_page(shared_page)),
    Route("/shared/{id}", teacher_page(class_page)),
    Route("/shared/{id}/{papers}", teacher_page(papers_page)),
    Route("/shared/{id}/{papers}/questions/{number:int}", teacher_page(table_page)),
    Route("/shared/{id}/{papers}/scripts/{student:path}", teacher_page(script_page)),
]
