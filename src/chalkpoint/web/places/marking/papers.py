"""A set of papers being marked: answers pasted or sent, marks, beliefs with their evidence, decisions waiting."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.publishing.classes.pages import by_answer, says
from chalkpoint.records import kept, marks, overrides, retention, scripts
from chalkpoint.records.kept import Kept, NotKept, Titled
from chalkpoint.records.marks import Run
from chalkpoint.records.store import Transaction
from chalkpoint.web.examples import JUDGED, judged_example
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.paging import part_asked
from chalkpoint.web.places.marking.codes import looks_like_name
from chalkpoint.web.rendering import address
from chalkpoint.web.showing import show
from chalkpoint.web.summaries import Summed

__all__ = ["ROUTES", "class_codes", "home", "is_current", "papers_asked", "shown_again", "summed_up"]

LISTED = 100  # scripts on a page
DECIDED = 50  # decisions listed, those of one moment being one


def mark_page(request: PageRequest) -> Response:
    """Show the papers that can be marked, and the classes."""
    with request.app.store.read() as db:
        part = part_asked(request.form, kept.count_of(db, request.teacher, "papers"))
        papers = kept.titles_of(db, request.teacher, "papers", start=part.start, limit=part.size)
        counts = scripts.count_of(db, request.teacher, [one.id for one in papers])
        own = part_asked(request.form, kept.count_of(db, request.teacher, "class"), name="classes")
        classes = kept.all_of(db, request.teacher, "class", start=own.start, limit=own.size)
        notice = retention.notice_of(db)
    return show(
        request,
        "mark.html.jinja",
        papers=papers,
        part=part,
        counts=counts,
        classes=classes,
        classes_part=own,
        judged=None if _has_own(papers) or any(counts.values()) else judged_example(),
        asked=JUDGED,
        notice=notice,
    )


def _has_own(papers: Sequence[Titled]) -> bool:
    """Tell whether any of them is the teacher's own, and no ready example."""
    return any(one.about.get("example") != "yes" for one in papers)


def papers_page(request: PageRequest) -> Response:
    """Show what was handed in of some papers, and what came of it."""
    return _page(request, papers_asked(request))


def shown_again(
    request: PageRequest, one: Kept, *, refused: str = "", pasted: str = "", unruled: str = ""
) -> Response:
    """Show that page with what was pasted still there, and why it was not taken, or why a ruling was not."""
    return _page(request, one, refused=refused, pasted=pasted, unruled=unruled)


def is_current(db: Transaction, teacher: str, papers: str, run: Run) -> bool:
    """Tell whether a marking is of every script as it is now."""
    count = scripts.count_of(db, teacher, [papers])[papers]
    return run.pupils == count and not scripts.unmarked_of(db, teacher, papers, run)


def _page(
    request: PageRequest, one: Kept, *, refused: str = "", pasted: str = "", unruled: str = ""
) -> Response:
    with request.app.store.read() as db:
        run = marks.latest(db, request.teacher, one.id)
        count = scripts.count_of(db, request.teacher, [one.id])[one.id]
        part = part_asked(request.form, count, size=LISTED)
        listed = scripts.handed_in(
            db, request.teacher, one.id, run.id if run else "", start=part.start, limit=part.size
        )
        unmarked = scripts.unmarked_of(db, request.teacher, one.id, run) if run else count
        deleted = scripts.deleted_of(db, request.teacher, one.id)
        classes = kept.titles_of(db, request.teacher, "class")
        missing = _missing(request, one, db)
        decided = overrides.decided_together(db, request.teacher, one.id)[:DECIDED]
        stale = run is None or not is_current(db, request.teacher, one.id, run)
    summed = summed_up(request, one, run) if run else None
    waiting = summed.waiting if summed else {}
    return show(
        request,
        "marking.html.jinja",
        status=422 if refused or unruled else 200,
        one=one,
        listed=listed,
        count=count,
        part=part,
        deleted=deleted,
        run=run,
        unmarked=unmarked,
        stale=stale,
        all=summed.all if summed else None,
        waiting=waiting,
        groups=summed.groups if summed and not stale else [],
        decided=decided,
        ruled=next((few for few in decided if few[0].at == request.form.text("ruled")), None),
        unruled=unruled,
        waits=sum(waiting.values()) - sum(waiting.get(code, 0) for code in deleted),
        classes=classes,
        missing=missing,
        names=[one.student for one in listed if looks_like_name(one.student)],
        says=says,
        by_answer=by_answer,
        refused=refused,
        pasted=pasted,
        kept_count=request.form.text("kept"),
        gone=request.form.text("gone"),
    )


def summed_up(request: PageRequest, one: Kept, run: Run) -> Summed:
    """Return a marking of some papers, summed up."""
    return request.app.summaries.of(request.app.store, run, request.app.markers.papers(one.body))


def class_codes(request: PageRequest, one: Kept, db: Transaction) -> list[str]:
    """Return the codes of the class that sat some papers; none where no class is said to, or it was deleted."""
    if "class" not in one.about:
        return []
    try:
        return kept.one(db, request.teacher, "class", one.about["class"]).body.split()
    except NotKept:
        return []


def _missing(request: PageRequest, one: Kept, db: Transaction) -> list[str]:
    """Return which pupils of the class handed in nothing."""
    codes = class_codes(request, one, db)
    there = scripts.codes_of(db, request.teacher, one.id) if codes else set()
    return [code for code in codes if code not in there]


def home(one: Kept, **query: object) -> str:
    """Return the address of the page of some papers."""
    return address(f"/mark/papers/{one.id}", **query)


def papers_asked(request: PageRequest) -> Kept:
    """Return the papers of the address.

    Raises NotKept where they are not the teacher's.
    """
    with request.app.store.read() as db:
        return kept.one(db, request.teacher, "papers", request.path["id"])


def choose_class(request: PageRequest) -> Response:
    """Say which class some papers were set for, so that pupils have a history."""
    one, chosen = papers_asked(request), request.form.text("class")
    with request.app.store.write() as db:
        if chosen:
            kept.one(db, request.teacher, "class", chosen)
        about = {key: value for key, value in one.about.items() if key != "class"}
        kept.change(
            db, request.teacher, "papers", one.id, about=about | ({"class": chosen} if chosen else {})
        )
    return see(home(one))


ROUTES = [
    Route("/mark", teacher_page(mark_page)),
    Route("/mark/papers/{id}", teacher_page(papers_page)),
    Route("/mark/papers/{id}/class", teacher_page(choose_class), methods=["POST"]),
]
