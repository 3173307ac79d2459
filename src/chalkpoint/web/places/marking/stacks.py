"""A stack of handwritten papers: handed in, read as work that may be left, looked through by montage, then marked."""

from __future__ import annotations

import tempfile
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.answers import whole_scripts
from chalkpoint.numbers.errors import ChalkpointError, EntryError, missing_extra
from chalkpoint.records import marks, stacks
from chalkpoint.records.kept import Kept, NotKept
from chalkpoint.web.forms import STACK, Upload
from chalkpoint.web.jobs import Watch
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.answers import mark_again
from chalkpoint.web.places.marking.papers import home, papers_asked
from chalkpoint.web.places.papers import check_printable, files_of
from chalkpoint.web.showing import show

if TYPE_CHECKING:
    from collections.abc import Iterator

    from chalkpoint.scanning.pictures import Source
    from chalkpoint.scanning.printed import Printed
    from chalkpoint.scanning.review import Sheet
    from chalkpoint.scanning.stack import Stack

__all__ = ["ROUTES"]

LARGEST = 120_000_000  # bytes of a form with the pages of a class
SCALE = 6.0  # px a mm of a box in a montage


def address_of(one: Kept, *more: str) -> str:
    """Return an address of the stack of some papers."""
    return "/".join([f"/mark/papers/{one.id}/stack", *more])


def _room() -> None:
    """Raise EntryError where the libraries that read stacks are not installed."""
    try:
        import chalkpoint.scanning.reading  # noqa: F401
    except ImportError as reason:
        raise missing_extra("Reading a stack", reason.name or "opencv", "scan") from reason


def _stack(request: PageRequest, one: Kept) -> Stack:
    """Return the stack of some papers.

    Raises NotKept where none was read.
    """
    from chalkpoint.scanning.stack import Stack

    with request.app.store.read() as db:
        table = stacks.stack_of(db, request.teacher, one.id)
    if table is None:
        raise NotKept("no stack of these papers was read yet")
    return Stack.from_dict(table)


def _sheets(stack: Stack, *, every: bool = False) -> list[Sheet]:
    from chalkpoint.scanning.review import every_box, sheets_of

    return sheets_of(stack) or (every_box(stack) if every else [])


def stack_page(request: PageRequest) -> Response:
    """Show what was read of the stack of some papers, and what waits; or ask for the pages."""
    return _page(request, papers_asked(request))


def _page(request: PageRequest, one: Kept, refused: str = "") -> Response:
    _room()
    from chalkpoint.scanning.audit import audit_of
    from chalkpoint.scanning.pupils import matters_of
    from chalkpoint.scanning.review import every_box

    try:
        stack: Stack | None = _stack(request, one)
    except NotKept:
        stack = None
        check_printable(one)  # said before the pages are sent, not after
    more: dict[str, object] = {}
    if stack:
        sheets = _sheets(stack)
        _keep(request, one, stack)  # what was drawn by lot is drawn once
        more = {
            "sheets": sheets,
            "waiting": sum(sheet.count for sheet in sheets),
            "every": [] if sheets else every_box(stack),
            "matters": matters_of(stack),
            "audit": audit_of(stack).sentence,
            "read": sum(1 for _ in stack.used()),
        }
    return show(
        request,
        "stack.html.jinja",
        status=422 if refused else 200,
        one=one,
        stack=stack,
        refused=refused,
        **more,
    )


def _keep(request: PageRequest, one: Kept, stack: Stack) -> None:
    with request.app.store.write() as db:
        stacks.keep(db, request.teacher, one.id, stack.to_dict())


def read_pages(request: PageRequest) -> Response:
    """Begin to read the pages that were sent, beside those that were read already."""
    one = papers_asked(request)
    sent = [upload for name, upload in request.form.files.items() if name.startswith(STACK)]
    named = request.form.text("side").replace(" ", "")
    in_order = request.form.has("in-order")
    if not sent:
        return _page(request, one, "no pages were given; give the scanner's PDF, or photographs")
    _room()

    def work(watch: Watch) -> str:
        _read(request, one, sent, watch, named=named, in_order=in_order)
        return address_of(one)

    what = f"Reading {sent[0].name[:60]}" + (f" and {len(sent) - 1} more" if len(sent) > 1 else "")
    return see(f"/jobs/{request.app.jobs.start(request.teacher, what, work, back=address_of(one))}")


def _read(
    request: PageRequest, one: Kept, sent: list[Upload], watch: Watch, *, named: str, in_order: bool
) -> None:
    """Read what was sent; it is on the disk only while it is read, and what is kept has the names masked."""
    from chalkpoint.scanning.folder import packed
    from chalkpoint.scanning.reading import read_stack

    pictures: dict[int, bytes] = {}
    printed = _printed(request, one)
    try:
        before = _stack(request, one)
    except NotKept:
        before = None
    with _on_disk(sent) as sources:
        stack = read_stack(
            sources,
            printed,
            title=one.title,
            keep=lambda number, picture: pictures.update({number: packed(picture)}),
            watch=watch,
            in_order=in_order,
            before=before,
            named=named,
        )
    with request.app.store.write() as db:
        stacks.keep(db, request.teacher, one.id, stack.to_dict())
        for number, picture in pictures.items():
            stacks.keep_picture(db, one.id, number, picture)


def _printed(request: PageRequest, one: Kept) -> Printed:
    from chalkpoint.scanning.printed import Printed

    return Printed.beside(files_of(request, one) / "papers.json")


@contextmanager
def _on_disk(sent: list[Upload]) -> Iterator[list[Source]]:
    from dataclasses import replace

    from chalkpoint.scanning.pictures import sources_in

    with tempfile.TemporaryDirectory() as folder:
        found = []
        for at, upload in enumerate(sent):
            path = Path(folder) / f"{at:04}{upload.ending}"
            path.write_bytes(upload.data)
            found += [replace(source, name=upload.name[-60:]) for source in sources_in([path])]
        yield found


def picture(request: PageRequest) -> Response:
    """Send the picture of a page, its name masked."""
    number = int(request.path["number"])
    with request.app.store.read() as db:
        content = stacks.picture_of(db, request.teacher, papers_asked(request).id, number)
    return Response(content, media_type="image/jpeg", headers={"Cache-Control": "private, max-age=3600"})


def sheet_page(request: PageRequest) -> Response:
    """Show one sheet of boxes or lines."""
    one = papers_asked(request)
    return _sheet(request, one, _stack(request, one))


def _sheet(request: PageRequest, one: Kept, stack: Stack, refused: str = "") -> Response:
    from chalkpoint.scanning.audit import audit_of
    from chalkpoint.scanning.review import words_for
    from chalkpoint.scanning.showing import crop_svg, shown_in

    name = request.path["sheet"]
    sheets = _sheets(stack, every=name.startswith("every"))
    sheet = next((found for found in sheets if found.name == name), None)
    if sheet is None:
        return see(address_of(one))

    def crop(extent: str, number: int, scale: float) -> str:
        return crop_svg(extent, address_of(one, "pages", str(number)), stack.page(number), scale)

    return show(
        request,
        "sheet.html.jinja",
        status=422 if refused else 200,
        one=one,
        sheet=sheet,
        shown=shown_in(sheet, stack),
        words=words_for(sheet.kind),
        crop=crop,
        scale=SCALE if sheet.kind == "bits" else 3.5,
        at=sheets.index(sheet) + 1,
        of=len(sheets),
        audit=audit_of(stack).sentence,
        refused=refused,
    )


def take_sheet(request: PageRequest) -> Response:
    """Take what the teacher says of a sheet, and lead to the next."""
    from chalkpoint.scanning.folder import as_said
    from chalkpoint.scanning.review import say

    one = papers_asked(request)
    stack = _stack(request, one)
    said = {key[2:]: request.form.text(key) for key in request.form.entries if key.startswith("b.")}
    every = request.path["sheet"].startswith("every")
    _sheets(stack, every=every)
    try:
        say(stack, as_said(said))
    except ChalkpointError as reason:
        return _sheet(request, one, stack, str(reason))
    following = _sheets(stack, every=every)
    _keep(request, one, stack)
    return see(address_of(one, "sheets", following[0].name) if following else address_of(one))


def take_pages(request: PageRequest) -> Response:
    """Take whose each page is, and which are set aside."""
    one = papers_asked(request)
    stack = _stack(request, one)
    for page in stack.pages:
        if request.form.has(f"pupil-{page.number}"):
            page.pupil = request.form.text(f"pupil-{page.number}")
            page.dropped = request.form.has(f"drop-{page.number}")
    _keep(request, one, stack)
    return see(address_of(one))


def mark_stack(request: PageRequest) -> Response:
    """Hand what was read to marking, once nothing waits."""
    from chalkpoint.scanning.answers import HEADS, answer_rows

    one = papers_asked(request)
    stack = _stack(request, one)
    if _sheets(stack):
        return _page(request, one, "some boxes wait for you, and no mark is made before; look at them first")
    rows = list(answer_rows(stack))
    if not rows:
        return _page(
            request, one, "no pupil's paper is whole, so there is nothing to mark; read the missing sides"
        )
    found = whole_scripts([HEADS, *rows], request.app.markers.papers(one.body))
    return mark_again(request, one, found, over=True, to=home(one))


def ink(request: PageRequest) -> Response:
    """Show every mark of the latest marking beside the line it is for, as the pupil wrote it."""
    from chalkpoint.scanning.inked import inked

    one = papers_asked(request)
    stack = _stack(request, one)
    with request.app.store.read() as db:
        run = marks.latest(db, request.teacher, one.id)
        entries = list(marks.entries_of(db, run)) if run else []
    if not entries:
        raise EntryError("nothing is marked yet; look through the stack, then mark it")
    pupils = {page.pupil for page in stack.used()}
    return show(
        request,
        "ink.html.jinja",
        one=one,
        pupils=inked(
            stack,
            [entry for entry in entries if entry["student"] in pupils],
            lambda number: address_of(one, "pages", str(number)),
        ),
    )


def forget_stack(request: PageRequest) -> Response:
    """Forget the stack and every picture of it, for good; marks that were made stay."""
    one = papers_asked(request)
    with request.app.store.write() as db:
        stacks.forget(db, request.teacher, one.id)
    request.app.store.forget_traces()
    return see(address_of(one))


PLACE = "/mark/papers/{id}/stack"
ROUTES = [
    Route(PLACE, teacher_page(stack_page)),
    Route(PLACE, teacher_page(read_pages), methods=["POST"], max_body_size=LARGEST),
    Route(f"{PLACE}/pages/{{number:int}}", teacher_page(picture)),
    Route(f"{PLACE}/pages", teacher_page(take_pages), methods=["POST"]),
    Route(f"{PLACE}/sheets/{{sheet}}", teacher_page(sheet_page)),
    Route(f"{PLACE}/sheets/{{sheet}}", teacher_page(take_sheet), methods=["POST"]),
    Route(f"{PLACE}/mark", teacher_page(mark_stack), methods=["POST"]),
    Route(f"{PLACE}/ink", teacher_page(ink)),
    Route(f"{PLACE}/forget", teacher_page(forget_stack), methods=["POST"]),
]
