"""Answers handed in and marked: kept with their marks in one piece, at once where they are few, else counted."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.answerfiles import Row, encoding_of, rows_in_text
from chalkpoint.marking.answers import Script, whole_scripts
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.records import marks, overrides, scripts
from chalkpoint.records.ids import now
from chalkpoint.records.kept import Kept, NotKept
from chalkpoint.records.store import Transaction
from chalkpoint.web.forms import Form, Upload
from chalkpoint.web.jobs import Watch
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.codes import check_code
from chalkpoint.web.places.marking.papers import home, papers_asked, shown_again, summed_up

__all__ = ["ROUTES", "mark_again"]

AT_ONCE = 12  # scripts that are marked while the page waits
MARKED_BEFORE = 500  # scripts that are marked again while the page waits: what is unchanged costs little
LARGEST = 10_000_000  # bytes of a form with files
TEXT_AT_ONCE, SHEET_AT_ONCE = 200_000, 30_000  # bytes of a file that are read within half a second
LONGEST_NAME = 60  # characters of a file's name that are shown


def take_answers(request: PageRequest) -> Response:
    """Keep the answers that were pasted or sent, and mark them; a table that cannot be read is shown again."""
    one, form = papers_asked(request), request.form
    over = form.has("over")
    file = form.files.get("file")
    most = SHEET_AT_ONCE if file and file.ending == ".xlsx" else TEXT_AT_ONCE

    def read() -> list[Script]:
        return _scripts(request, one, form)

    try:
        if file and len(file.data) > most:
            _check_ending(file)
            return _begin(request, one, read, f"Reading and marking {file.name[:LONGEST_NAME]}", over=over)
        return mark_again(request, one, read(), over=over)
    except NotKept:
        raise
    except ChalkpointError as reason:
        return shown_again(request, one, refused=str(reason), pasted=form.text("pasted"))


def _scripts(request: PageRequest, one: Kept, form: Form) -> list[Script]:
    """Return what was handed in, whole."""
    found = whole_scripts(_rows(form), request.app.markers.papers(one.body))
    if not found:
        raise EntryError(
            "there are no answers in it; give one row for each pupil, or one for each line, under a row of heads"
        )
    for script in found:
        check_code(script.student)
    return found


def _rows(form: Form) -> Iterator[Row]:
    if "file" in form.files:
        return _rows_of_file(form.files["file"])
    text = form.text("pasted")
    if not text:
        raise EntryError("no answers were given; paste a table of them, or choose a file")
    return rows_in_text(text, is_json=text.startswith(("[", "{")))


def _check_ending(upload: Upload) -> None:
    if upload.ending not in {".xlsx", ".csv", ".txt", ".tsv", ".json"}:
        raise EntryError(f"{upload.name!r} is not read; give a .csv, .xlsx or .json file")


def _rows_of_file(upload: Upload) -> Iterator[Row]:
    _check_ending(upload)
    if upload.ending == ".xlsx":
        from chalkpoint.publishing.workbooks import rows_of

        return rows_of(io.BytesIO(upload.data))
    try:
        text = upload.data.decode(encoding_of(upload.data))
    except UnicodeDecodeError as reason:
        raise EntryError(f"{upload.name!r} is not text in UTF-8; save it as .csv or .xlsx") from reason
    return rows_in_text(text, is_json=upload.ending == ".json")


def mark_page_again(request: PageRequest) -> Response:
    """Mark everything that was handed in."""
    return mark_again(request, papers_asked(request))


def mark_again(
    request: PageRequest, one: Kept, handed_in: Sequence[Script] = (), *, over: bool = False, to: str = ""
) -> Response:
    """Keep *handed_in*, and mark everything of some papers: at once where it is little, else as work that may be left.

    over  keep them in place of other and of deleted scripts of the same pupils too
    to    where it leads; by default to the page of the papers
    """
    app = request.app
    with app.store.read() as db:
        if not over:
            _check_standing(db, request.teacher, one, handed_in)
        codes = scripts.codes_of(db, request.teacher, one.id)
    count = len(codes | {script.student for script in handed_in})
    known = app.markers.knows(one.body)
    if count <= AT_ONCE or (to and count <= min(known, MARKED_BEFORE)):
        return see(_mark(request, one, handed_in, lambda done, of: None, over=over, to=to))
    what = f"Marking {count:,} {'script' if count == 1 else 'scripts'}"
    return _begin(request, one, lambda: handed_in, what, over=over, to=to, of=count)


def _check_standing(db: Transaction, teacher: str, one: Kept, handed_in: Sequence[Script]) -> None:
    """Raise EntryError where something that pupils wrote would be lost unasked."""
    scripts.check_deleted(db, teacher, one.id, handed_in)
    scripts.check_changed(db, teacher, one.id, handed_in)


def _begin(
    request: PageRequest,
    one: Kept,
    read: Callable[[], Sequence[Script]],
    what: str,
    *,
    over: bool,
    to: str = "",
    of: int = 0,
) -> Response:
    """Begin reading, marking and saving as work that may be left."""

    def work(watch: Watch) -> str:
        return _mark(request, one, read(), watch, over=over, to=to)

    return see(f"/jobs/{request.app.jobs.start(request.teacher, what, work, of=of, back=to or home(one))}")


def _mark(
    request: PageRequest, one: Kept, handed_in: Sequence[Script], watch: Watch, *, over: bool, to: str
) -> str:
    """Mark everything, then keep what was handed in and all marks in one piece; return where that is shown.

    Where anything was changed meanwhile, the marking is kept as of the time before its scripts were read, so that what
    it has not seen counts as unmarked.
    """
    began, teacher, app = now(), request.teacher, request.app
    with app.store.read() as db:
        if not over:
            _check_standing(db, teacher, one, handed_in)
        all_of = {script.student: script for script in scripts.scripts_of(db, teacher, one.id)}
        decisions = overrides.standing(db, teacher, one.id)
        rulings = overrides.rulings(db, teacher, one.id)
    all_of |= {script.student: script for script in handed_in}
    in_order = [all_of[student] for student in sorted(all_of, key=_by_bytes)]
    entries = app.markers.mark(one.body, in_order, decisions, watch, rulings=rulings)
    with app.store.write() as db:
        ended = now()
        created = began if scripts.touched_since(db, teacher, one.id, began) else ended
        scripts.put_scripts(db, teacher, one.id, handed_in, over=over, at=ended)
        run = marks.keep_marks(db, teacher, one.id, entries, created=created)
    summed_up(request, one, run)  # so that nobody waits for it
    return to or home(one, kept=len(handed_in) or None)


def _by_bytes(code: str) -> bytes:
    """Return what the list of scripts is sorted by; half a sign, which the database will refuse, sorts too."""
    return code.encode(errors="surrogatepass")


ROUTES = [
    Route("/mark/papers/{id}/answers", teacher_page(take_answers), methods=["POST"], max_body_size=LARGEST),
    Route("/mark/papers/{id}/mark", teacher_page(mark_page_again), methods=["POST"]),
]
