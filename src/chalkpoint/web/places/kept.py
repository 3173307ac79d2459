"""What is kept: deleted and brought back."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from starlette.background import BackgroundTask
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.records import exchange, kept, retention
from chalkpoint.records.kept import NotKept
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.showing import show

__all__ = ["HOMES", "ROUTES"]

#: Where each kind of thing is listed.
HOMES = {
    "course": "/courses",
    "question": "/work",
    "blueprint": "/set",
    "papers": "/set",
    "lesson": "/teach",
    "class": "/mark",
}


def kept_page(request: PageRequest) -> Response:
    """Show how much is kept and for how long, and what was deleted and can be brought back."""
    return _page(request)


def _page(request: PageRequest, refused: str = "") -> Response:
    with request.app.store.read() as db:
        counts = {kind: kept.count_of(db, request.teacher, kind) for kind in kept.KINDS}
        deleted = list(kept.deleted(db, request.teacher))
        examples = sum(len(kept.examples_of(db, request.teacher, kind)) for kind in kept.KINDS)
        days, notice = retention.days_kept(db), retention.notice_of(db)
    return show(
        request,
        "kept.html.jinja",
        status=422 if refused else 200,
        refused=refused,
        days=days,
        notice=notice,
        counts=counts,
        deleted=deleted,
        examples=examples,
        homes=HOMES,
        last=request.form.text("deleted"),
    )


def export(request: PageRequest) -> Response:
    """Send everything that is kept, in one file; only on a machine of one's own, where it is all the teacher's."""
    if request.app.sign_in_needed:
        raise NotKept(
            "what several teachers keep is exported by the command `chalkpoint records export` alone"
        )
    handle, name = tempfile.mkstemp(suffix=".jsonl")
    with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
        exchange.export_all(request.app.store, file)
    gone = BackgroundTask(Path(name).unlink, missing_ok=True)
    return FileResponse(name, filename="chalkpoint.jsonl", media_type="application/jsonl", background=gone)


def keep_for(request: PageRequest) -> Response:
    """Keep what pupils wrote for so many days; only on a machine of one's own, since it goes for all teachers."""
    if request.app.sign_in_needed:
        raise NotKept("how long is said by the command `chalkpoint records retention` alone")
    try:
        days = request.form.number("days", retention.USUAL_DAYS, least=0, most=retention.MOST)
        with request.app.store.write() as db:
            retention.keep_for(db, days)
    except NotKept:
        raise
    except ChalkpointError as reason:
        return _page(request, str(reason))
    return see("/kept")


def delete(request: PageRequest) -> Response:
    """Delete a thing, and show where it can be brought back."""
    kind, name = request.path["kind"], request.path["id"]
    with request.app.store.write() as db:
        kept.delete(db, request.teacher, kind, name)
    return see("/kept", deleted=name)


def restore(request: PageRequest) -> Response:
    """Bring a deleted thing back, and show it in its list."""
    kind, name = request.path["kind"], request.path["id"]
    with request.app.store.write() as db:
        kept.restore(db, request.teacher, kind, name)
    return see(HOMES[kind])


ROUTES = [
    Route("/kept", teacher_page(kept_page)),
    Route("/kept/chalkpoint.jsonl", teacher_page(export)),
    Route("/kept/days", teacher_page(keep_for), methods=["POST"]),
    Route("/kept/{kind}/{id}/delete", teacher_page(delete), methods=["POST"]),
    Route("/kept/{kind}/{id}/restore", teacher_page(restore), methods=["POST"]),
]
