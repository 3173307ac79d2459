"""The reports of a marking: the class's page, each pupil's, and the marks as tables and on paper."""

from __future__ import annotations

from pathlib import Path

from markupsafe import Markup
from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.publishing.classes.folder import write_class
from chalkpoint.publishing.classes.pages import Leads, class_body, report_styles
from chalkpoint.publishing.classes.pupils import student_page
from chalkpoint.records import marks
from chalkpoint.records.kept import Kept, NotKept
from chalkpoint.records.marks import Run
from chalkpoint.web.jobs import Watch
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.codes import script_address
from chalkpoint.web.places.marking.papers import home, papers_asked, summed_up
from chalkpoint.web.rendering import address
from chalkpoint.web.showing import show
from chalkpoint.web.standalone import STANDALONE, stand_alone

__all__ = ["ROUTES", "latest_run"]

FILES = ("class.html", "class.pdf", "students.pdf", "marks.csv", "marks.xlsx", "marks.json")


def report_page(request: PageRequest) -> Response:
    """Show the class's report as a page of the app: the same report, and each thing in it leads on."""
    one = papers_asked(request)
    run = latest_run(request, one)
    return show(
        request,
        "report.html.jinja",
        one=one,
        run=run,
        report=_body(request, one, run),
        styles=report_styles(),
    )


def _body(request: PageRequest, one: Kept, run: Run) -> Markup:
    summed = summed_up(request, one, run)
    return class_body(summed.all, _leads(request, one), summed.groups)


def _leads(request: PageRequest, one: Kept) -> Leads:
    home = f"/mark/papers/{one.id}"
    return Leads(
        pupil=lambda code: script_address(one.id, code),
        decide=lambda code, question: f"{script_address(one.id, code)}#q{question}",
        board=lambda key, value: address(f"{home}/again/board", **{key: value}),
        again=f"{home}/again",
        token=request.token,
        ruled=lambda question: f"{home}/questions/{question}#waiting",
        second=f"{home}/second",
    )


def report_file(request: PageRequest) -> Response:
    """Send a file of the latest marking, made now if it is not made yet."""
    one, name = papers_asked(request), request.path["name"]
    if name not in FILES:
        raise NotKept(f"there is no report {name!r}")
    run = latest_run(request, one)
    folder = request.app.artefacts.folder("marks", one.id, run.id)
    if not folder.is_dir():
        to = request.address

        def work(watch: Watch) -> str:
            request.app.artefacts.make(folder, lambda fresh: _write(request, one, run, fresh))
            return to

        return see(
            f"/jobs/{request.app.jobs.start(request.teacher, 'Writing the reports', work, back=home(one))}"
        )
    sent = request.app.artefacts.send(folder, name, download=not name.endswith((".html", ".pdf")))
    if name.endswith(".html"):
        sent.headers["Content-Security-Policy"] = STANDALONE
    return sent


def _write(request: PageRequest, one: Kept, run: Run, folder: Path) -> None:
    with request.app.store.read() as db:
        write_class(request.app.markers.papers(one.body), marks.entries_of(db, run), folder, pdf=True)


def latest_run(request: PageRequest, one: Kept) -> Run:
    """Return the latest marking of some papers.

    Raises NotKept where there is none.
    """
    with request.app.store.read() as db:
        run = marks.latest(db, request.teacher, one.id)
    if run is None:
        raise NotKept("these papers are not marked yet; mark them first")
    return run


def pupil_page(request: PageRequest) -> Response:
    """Show the page a pupil is given."""
    one = papers_asked(request)
    run = latest_run(request, one)
    with request.app.store.read() as db:
        entry = marks.entry_of(db, run, request.path["student"])
    return stand_alone(student_page(entry, request.app.markers.papers(one.body)))


ROUTES = [
    Route("/mark/papers/{id}/report", teacher_page(report_page)),
    Route("/mark/papers/{id}/report/{name}", teacher_page(report_file)),
    Route("/mark/papers/{id}/pupils/{student:path}", teacher_page(pupil_page)),
]
