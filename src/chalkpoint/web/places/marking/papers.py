"""A set of papers being marked: answers pasted or sent, marks, beliefs with their evidence, decisions waiting."""

from __future__ import annotations

import io
from collections.abc import Iterator

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.answers import Row, rows_in_text, whole_scripts
from chalkpoint.marking.summary import Summary
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.publishing.classes.pages import says, status_words
from chalkpoint.records import kept, marks, overrides, scripts
from chalkpoint.records.kept import Kept, NotKept
from chalkpoint.records.marks import Run
from chalkpoint.records.store import Transaction
from chalkpoint.web.asking import Asking, see, teacher_page
from chalkpoint.web.forms import Form, Upload
from chalkpoint.web.jobs import Watch
from chalkpoint.web.showing import show

__all__ = ["ROUTES", "mark_again", "papers_asked"]

AT_ONCE = 12  # scripts that are marked while the page waits
LARGEST = 10_000_000  # bytes of a form with files


def mark_page(asking: Asking) -> Response:
    """Show the papers that can be marked, and the classes."""
    with asking.house.store.read() as db:
        papers = kept.all_of(db, asking.teacher, "papers")
        counts = scripts.count_of(db, asking.teacher, [one.id for one in papers])
        classes = kept.all_of(db, asking.teacher, "class")
    return show(asking, "mark.html.jinja", papers=papers, counts=counts, classes=classes)


def papers_page(asking: Asking) -> Response:
    """Show what was handed in of some papers, and what came of it."""
    return _page(asking, papers_asked(asking))


def _page(asking: Asking, one: Kept, *, refused: str = "", pasted: str = "") -> Response:
    with asking.house.store.read() as db:
        listed = scripts.handed_in(db, asking.teacher, one.id)
        deleted = scripts.deleted_of(db, asking.teacher, one.id)
        run = marks.latest(db, asking.teacher, one.id)
        classes = kept.all_of(db, asking.teacher, "class")
        summary, by_student = _summed(asking, one, db, run)
    stale = run is not None and any(script.changed > run.created for script in listed)
    return show(
        asking,
        "marking.html.jinja",
        status=422 if refused else 200,
        one=one,
        listed=listed,
        deleted=deleted,
        run=run,
        stale=stale or len(by_student) != len(listed),
        all=summary,
        by_student=by_student,
        classes=classes,
        says=says,
        stroke=status_words,
        refused=refused,
        pasted=pasted,
        kept_count=asking.form.text("kept"),
        gone=asking.form.text("gone"),
    )


def _summed(
    asking: Asking, one: Kept, db: Transaction, run: Run | None
) -> tuple[Summary | None, dict[str, tuple[int, int]]]:
    """Return the latest marks summed up, and by pupil the marks and how many decisions wait."""
    if run is None:
        return None, {}
    summary = Summary(asking.house.markers.papers(one.body))
    by_student = {}
    for entry in marks.entries_of(db, run):
        summary.add(entry)
        waiting = sum(point["for_teacher"] for question in entry["questions"] for point in question["points"])
        by_student[entry["student"]] = entry["marks"], waiting
    return summary, by_student


def papers_asked(asking: Asking) -> Kept:
    """Return the papers of the address.

    Raises NotKept where they are not the teacher's.
    """
    with asking.house.store.read() as db:
        return kept.one(db, asking.teacher, "papers", asking.path["id"])


def take_answers(asking: Asking) -> Response:
    """Keep the answers that were pasted or sent, and mark them; a table that cannot be read is shown again."""
    one, form = papers_asked(asking), asking.form
    try:
        found = whole_scripts(_rows(form), asking.house.markers.papers(one.body))
        if not found:
            raise EntryError(
                "there are no answers in it; give a row a pupil, or a row a line, under a row of heads"
            )
        with asking.house.store.write() as db:
            scripts.put_scripts(db, asking.teacher, one.id, found)
    except NotKept:
        raise
    except ChalkpointError as reason:
        return _page(asking, one, refused=str(reason), pasted=form.text("pasted"))
    return mark_again(asking, one, kept_count=len(found))


def _rows(form: Form) -> Iterator[Row]:
    if "file" in form.files:
        return _rows_of_file(form.files["file"])
    text = form.text("pasted")
    if not text:
        raise EntryError("no answers were given; paste a table of them, or choose a file")
    return rows_in_text(text, is_json=text.startswith(("[", "{")))


def _rows_of_file(upload: Upload) -> Iterator[Row]:
    match upload.ending:
        case ".xlsx":
            from chalkpoint.publishing.workbooks import rows_of

            return rows_of(io.BytesIO(upload.data))
        case ".csv" | ".txt" | ".tsv" | ".json":
            try:
                text = upload.data.decode("utf-8-sig")
            except UnicodeDecodeError as reason:
                raise EntryError(
                    f"{upload.name!r} is not text in UTF-8; save it as .csv or .xlsx"
                ) from reason
            return rows_in_text(text, is_json=upload.ending == ".json")
    raise EntryError(f"{upload.name!r} is not read; give a .csv, .xlsx or .json file")


def mark_page_again(asking: Asking) -> Response:
    """Mark everything that was handed in."""
    return mark_again(asking, papers_asked(asking))


def mark_again(asking: Asking, one: Kept, *, kept_count: int = 0, to: str = "") -> Response:
    """Mark everything handed in of some papers: at once where it is little, else as work that may be left."""
    back = to or f"/mark/papers/{one.id}" + (f"?kept={kept_count}" if kept_count else "")
    teacher, house = asking.teacher, asking.house

    def work(watch: Watch) -> str:
        with house.store.read() as db:
            found = list(scripts.scripts_of(db, teacher, one.id))
            decisions = overrides.standing(db, teacher, one.id)
        entries = house.markers.mark(one.body, found, decisions, watch)
        with house.store.write() as db:
            marks.keep_marks(db, teacher, one.id, entries)
        return back

    with house.store.read() as db:
        count = scripts.count_of(db, teacher, [one.id])[one.id]
        known = marks.latest(db, teacher, one.id)
    quick = count <= AT_ONCE or (known is not None and known.pupils == count and bool(to))
    if quick:
        return see(work(lambda done, of: None))
    return see(f"/jobs/{house.jobs.start(teacher, f'Marking {count} scripts', work, of=count)}")


def choose_class(asking: Asking) -> Response:
    """Say which class some papers were set for, so that pupils have a history."""
    one, chosen = papers_asked(asking), asking.form.text("class")
    with asking.house.store.write() as db:
        if chosen:
            kept.one(db, asking.teacher, "class", chosen)
        about = {key: value for key, value in one.about.items() if key != "class"}
        kept.change(db, asking.teacher, "papers", one.id, about=about | ({"class": chosen} if chosen else {}))
    return see(f"/mark/papers/{one.id}")


ROUTES = [
    Route("/mark", teacher_page(mark_page)),
    Route("/mark/papers/{id}", teacher_page(papers_page)),
    Route("/mark/papers/{id}/answers", teacher_page(take_answers), methods=["POST"], max_body_size=LARGEST),
    Route("/mark/papers/{id}/mark", teacher_page(mark_page_again), methods=["POST"]),
    Route("/mark/papers/{id}/class", teacher_page(choose_class), methods=["POST"]),
]
