"""Examples made on demand: papers, a marked class; marked as examples, and taken away in one step."""

from __future__ import annotations

import json

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.exampleclass import CLASS, example_scripts
from chalkpoint.records import kept, marks, scripts
from chalkpoint.records.kept import NotKept
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.setter import set_papers
from chalkpoint.web.examples import ANSWERED, PAPERS
from chalkpoint.web.jobs import Watch
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.papers import home
from chalkpoint.web.places.papers import begin_setting

__all__ = ["EXAMPLE", "ROUTES"]

#: What is kept about each example, so that it is never taken for the teacher's own.
EXAMPLE = {"example": "yes"}
SEED = 7


def make_papers(request: PageRequest) -> Response:
    """Set one of the example papers, and make its files."""
    name = request.path["name"]
    if name not in PAPERS:
        raise NotKept(f"there is no example {name!r}; open one from the place Set")
    blueprint, title, variants = PAPERS[name]
    return begin_setting(request, title, blueprint, variants, SEED, back="/set", more=EXAMPLE)


def make_class(request: PageRequest) -> Response:
    """Set a paper, hand in the answers of the example class, and mark them."""

    def make(watch: Watch) -> str:
        plan = parse_blueprint(ANSWERED)
        body = json.dumps(set_papers(plan, variants=1, seed=SEED).to_dict(), ensure_ascii=False)
        handed_in = example_scripts(request.app.markers.papers(body))
        entries = request.app.markers.mark(body, handed_in, {}, watch)
        about = {"blueprint": ANSWERED, "variants": "1", "seed": str(SEED), **EXAMPLE}
        with request.app.store.write() as db:
            own = kept.keep(db, request.teacher, "class", "12 Heron", "\n".join(CLASS), about=EXAMPLE)
            papers = kept.keep(
                db, request.teacher, "papers", plan.title, body, about=about | {"class": own.id}
            )
            scripts.put_scripts(db, request.teacher, papers.id, handed_in)
            marks.keep_marks(db, request.teacher, papers.id, entries)
        return home(papers)

    what = "Marking the example class"
    return see(f"/jobs/{request.app.jobs.start(request.teacher, what, make, of=len(CLASS), back='/mark')}")


def take_away(request: PageRequest) -> Response:
    """Delete every example; each can be brought back like anything else that was deleted."""
    with request.app.store.write() as db:
        for kind in kept.KINDS:
            for one in kept.examples_of(db, request.teacher, kind):
                kept.delete(db, request.teacher, kind, one.id)
    return see("/kept")


ROUTES = [
    Route("/examples/papers/{name}", teacher_page(make_papers), methods=["POST"]),
    Route("/examples/class", teacher_page(make_class), methods=["POST"]),
    Route("/examples/remove", teacher_page(take_away), methods=["POST"]),
]
