"""The bank's page: kept questions by tag, when each was last used, how the class did; some of them put in a paper."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.records import kept
from chalkpoint.web.bank import bank_of, tags_in
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.paging import part_asked
from chalkpoint.web.showing import show

__all__ = ["ROUTES"]

KIND = "question"


def bank_page(request: PageRequest) -> Response:
    """Show the kept questions, all or those with a tag."""
    wanted = request.form.text("tag").lower()
    with request.app.store.read() as db:
        part = part_asked(request.form, kept.count_of(db, request.teacher, KIND))
        questions = kept.all_of(db, request.teacher, KIND, start=part.start, limit=part.size)
    banked = bank_of(request.app.store, request.teacher, questions)
    tags = sorted({tag for one in banked for tag in one.tags})
    shown = [one for one in banked if not wanted or wanted in one.tags]
    return show(request, "bank.html.jinja", banked=shown, tags=tags, wanted=wanted, part=part)


def keep_tags(request: PageRequest) -> Response:
    """Keep the tags of a question."""
    known = request.path["id"]
    with request.app.store.write() as db:
        one = kept.one(db, request.teacher, KIND, known)
        tags = ", ".join(tags_in(request.form.text("tags")))
        kept.change(db, request.teacher, KIND, known, about={**one.about, "tags": tags})
    return see("/set/questions")


ROUTES = [
    Route("/set/questions", teacher_page(bank_page)),
    Route("/set/questions/{id}/tags", teacher_page(keep_tags), methods=["POST"]),
]
