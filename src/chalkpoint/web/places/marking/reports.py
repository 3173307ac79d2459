"""The reports of a marking: the class's page, each pupil's, and the marks as tables and on paper."""

from __future__ import annotations

from pathlib import Path

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.publishing.classes.folder import write_class
from chalkpoint.publishing.classes.pages import Leads, class_body, report_styles, student_page
from chalkpoint.records import marks
from chalkpoint.records.kept import Kept, NotKept
from chalkpoint.records.marks import Run
from chalkpoint.web.asking import Asking, see, teacher_page
from chalkpoint.web.jobs import Watch
from chalkpoint.web.places.marking.codes import script_address
from chalkpoint.web.places.marking.papers import home, papers_asked, summed_up
from chalkpoint.web.showing import address, show
from chalkpoint.web.standalone import STANDALONE, stand_alone

__all__ = ["ROUTES", "latest_run"]

FILES = ("class.html", "class.pdf", "students.pdf", "marks.csv", "marks.xlsx", "marks.json")


def report_page(asking: Asking) -> Response:
    """Show the class's report as a page of the app: the same report, and each thing in it leads on."""
    one = papers_asked(asking)
    run = latest_run(asking, one)
    return show(
        asking,
        "report.html.jinja",
        one=one,
        run=run,
        report=class_body(summed_up(asking, one, run).all, _leads(one)),
        styles=report_styles(),
    )


def _leads(one: Kept) -> Leads:
    return Leads(
        pupil=lambda code: script_address(one.id, code),
        decide=lambda code, question: f"{script_address(one.id, code)}#q{question}",
        board=lambda belief: address("/teach/counter", belief=belief, papers=one.id),
        second=f"/mark/papers/{one.id}/second",
    )


def report_file(asking: Asking) -> Response:
    """Send a file of the latest marking, made now if it is not made yet."""
    one, name = papers_asked(asking), asking.path["name"]
    if name not in FILES:
        raise NotKept(f"there is no report {name!r}")
    run = latest_run(asking, one)
    folder = asking.house.artefacts.folder("marks", one.id, run.id)
    if not folder.is_dir():
        to = asking.address

        def work(watch: Watch) -> str:
            asking.house.artefacts.make(folder, lambda fresh: _write(asking, one, run, fresh))
            return to

        return see(
            f"/jobs/{asking.house.jobs.start(asking.teacher, 'Writing the reports', work, back=home(one))}"
        )
    sent = asking.house.artefacts.send(folder, name, download=not name.endswith((".html", ".pdf")))
    if name.endswith(".html"):
        sent.headers["Content-Security-Policy"] = STANDALONE
    return sent


def _write(asking: Asking, one: Kept, run: Run, folder: Path) -> None:
    with asking.house.store.read() as db:
        write_class(asking.house.markers.papers(one.body), marks.entries_of(db, run), folder, pdf=True)


def latest_run(asking: Asking, one: Kept) -> Run:
    """Return the latest marking of some papers.

    Raises NotKept where there is none.
    """
    with asking.house.store.read() as db:
        run = marks.latest(db, asking.teacher, one.id)
    if run is None:
        raise NotKept("these papers are not marked yet; mark them first")
    return run


def pupil_page(asking: Asking) -> Response:
    """Show the page a pupil is given."""
    one = papers_asked(asking)
    run = latest_run(asking, one)
    with asking.house.store.read() as db:
        entry = marks.entry_of(db, run, asking.path["student"])
    return stand_alone(student_page(entry, asking.house.markers.papers(one.body)))


ROUTES = [
    Route("/mark/papers/{id}/report", teacher_page(report_page)),
    Route("/mark/papers/{id}/report/{name}", teacher_page(report_file)),
    Route("/mark/papers/{id}/pupils/{student:path}", teacher_page(pupil_page)),
]
