"""What is kept: deleted and brought back."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from starlette.background import BackgroundTask
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.records import exchange, kept, retention
from chalkpoint.records.kept import NotKept
from chalkpoint.web.forms import ARCHIVE, MOST_ARCHIVED
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


def kept_page(request: PageRequest, refused: str = "", brought: int | None = None) -> Response:
    """Show how much is kept and for how long, and what was deleted and can be brought back."""
    with request.app.store.read() as db:
        counts = {kind: kept.count_of(db, request.teacher, kind) for kind in kept.KINDS}
        deleted = list(kept.deleted(db, request.teacher))
        examples = sum(len(kept.examples_of(db, request.teacher, kind)) for kind in kept.KINDS)
        days, notice = retention.days_kept(db), retention.notice_of(db)
    return show(
        request,
        "kept.html.jinja",
        status=422 if refused else 200,
        days=days,
        notice=notice,
        counts=counts,
        deleted=deleted,
        examples=examples,
        homes=HOMES,
        last=request.form.text("deleted"),
        refused=refused,
        brought=brought,
    )


def bring(request: PageRequest) -> Response:
    """Bring in what was carried away, all of it or nothing; only on a machine of one's own."""
    if request.app.sign_in_needed:
        raise NotKept("what is carried away is brought in by the command `chalkpoint records import` alone")
    upload = request.form.files.get(ARCHIVE)
    try:
        if upload is None:
            raise EntryError("no file is chosen; choose the one that was carried away")
        counts = exchange.import_all(request.app.store, upload.data.decode().splitlines(keepends=True))
    except UnicodeDecodeError:
        return kept_page(
            request, refused="the file is not text in UTF-8; choose the one that was carried away"
        )
    except ChalkpointError as reason:
        return kept_page(request, refused=str(reason))
    return kept_page(request, brought=sum(counts.values()))


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
        return kept_page(request, str(reason))
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
    Route("/kept/bring", teacher_page(bring), methods=["POST"], max_body_size=MOST_ARCHIVED + 100_000),
    Route("/kept/days", teacher_page(keep_for), methods=["POST"]),
    Route("/kept/{kind}/{id}/delete", teacher_page(delete), methods=["POST"]),
    Route("/kept/{kind}/{id}/restore", teacher_page(restore), methods=["POST"]),
]
