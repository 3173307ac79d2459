"""Classes: a title and the codes of its pupils, and each pupil's history over the papers the class sat. No names."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.publishing.classes.pages import says
from chalkpoint.records import audit, kept, one_pupil, pupils, sharing
from chalkpoint.records.kept import Kept
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.codes import looks_like_name
from chalkpoint.web.showing import show

__all__ = ["ROUTES"]

KIND = "class"
MOST_PUPILS = 400
HEADS = ("student", "pupil", "code", "codes", "candidate")
SHOWN = 3  # codes said in a question
CODE = re.compile(r"[\w.-]{1,60}")


def class_form(request: PageRequest) -> Response:
    """Ask for a class."""
    return _form(request, "", "", "")


def class_page(request: PageRequest) -> Response:
    """Show a class: its pupils, and the papers it sat."""
    with request.app.store.read() as db:
        one = kept.one(db, request.teacher, KIND, request.path["id"])
        sat = pupils.papers_of(db, request.teacher, one.id)
        shares = sharing.shares_of(db, request.teacher, one.id)
        looks = audit.looks_at(db, [papers.id for papers in sat])
    return _form(request, one.id, one.title, one.body, sat=sat, shares=shares, looks=looks)


def keep_class(request: PageRequest) -> Response:
    """Keep a class, new or changed; a number of pupils makes that many codes."""
    form, known = request.form, request.path.get("id", "")
    if known:  # another teacher's is not found, whatever was entered
        with request.app.store.read() as db:
            kept.one(db, request.teacher, KIND, known)
    title, written = form.text("title"), form.text("codes")
    try:
        codes = _codes(title, written)
        _question_names(codes, sure=form.has("no-names"))
        with request.app.store.write() as db:
            if known:
                kept.change(db, request.teacher, KIND, known, title=title, body="\n".join(codes))
            else:
                known = kept.keep(db, request.teacher, KIND, title, "\n".join(codes)).id
    except ChalkpointError as reason:
        return _form(request, known, title, written, refused=str(reason))
    return see(f"/mark/classes/{known}")


def _codes(title: str, written: str) -> list[str]:
    """Return the codes of a class's pupils.

    >>> _codes("12 Heron", "3")
    ['H01', 'H02', 'H03']
    """
    if written.isascii() and written.isdigit() and 1 <= int(written) <= MOST_PUPILS:
        letter = next((sign for sign in title if sign.isalpha()), "P").upper()
        return [f"{letter}{number:02}" for number in range(1, int(written) + 1)]
    codes = list(dict.fromkeys(_pasted(written)))
    wrong = [code for code in codes if not CODE.fullmatch(code) or not code.strip(".")]
    if not codes or wrong or len(codes) > MOST_PUPILS:
        shown = wrong[0] if wrong else f"{len(codes)} codes"
        raise EntryError(
            f"{shown!r} is not taken; give how many pupils there are, 1 to {MOST_PUPILS}, or their codes of "
            "letters and digits, and no names"
        )
    return codes


def _pasted(written: str) -> list[str]:
    r"""Return the codes in what was pasted: words, or the first column of a sheet with or without its head.

    >>> _pasted("student\tvariant\nH01\t1\nH02\t2"), _pasted("H01, H02 H03")
    (['H01', 'H02'], ['H01', 'H02', 'H03'])
    """
    if "\t" not in written:
        return written.replace(",", " ").split()
    first = [line.split("\t")[0].strip() for line in written.splitlines()]
    return [code for code in first if code and code.lower() not in HEADS]


def _question_names(codes: Sequence[str], *, sure: bool) -> None:
    """Raise EntryError where codes look like names, unless it is said that they are none."""
    found = [code for code in codes if looks_like_name(code)]
    if found and not sure:
        more = f" and {len(found) - SHOWN} more" if len(found) > SHOWN else ""
        raise EntryError(
            f"{', '.join(found[:SHOWN])}{more} may be a name; give codes such as H01, and keep the list of who is who "
            "elsewhere, or say below that these are no names"
        )


def _form(
    request: PageRequest,
    known: str,
    title: str,
    codes: str,
    *,
    refused: str = "",
    sat: Sequence[Kept] = (),
    shares: Sequence[tuple[str, str]] = (),
    looks: Sequence[audit.Noted] = (),
) -> Response:
    return show(
        request,
        "class-kept.html.jinja",
        status=422 if refused else 200,
        known=known,
        title=title,
        codes=codes.split(),
        written=codes,
        sat=sat,
        shares=shares,
        looks=looks,
        names=any(looks_like_name(code) for code in codes.split()),
        refused=refused,
    )


def pupil_page(request: PageRequest, *, asked: bool = False) -> Response:
    """Show what a pupil did over the papers of a class."""
    code = request.path["code"]
    with request.app.store.read() as db:
        one = kept.one(db, request.teacher, KIND, request.path["id"])
        history = pupils.history(db, request.teacher, one.id, code)
    return show(
        request,
        "pupil.html.jinja",
        one=one,
        code=code,
        history=history,
        says=says,
        asked=asked,
        backups=one_pupil.BACKUPS,
    )


def carry_away(request: PageRequest) -> Response:
    """Send all that is kept under a pupil's code, in one file."""
    code = request.path["code"]
    with request.app.store.read() as db:
        found = one_pupil.export_pupil(db, request.teacher, code, request.path["id"])
    name = "".join(sign if sign.isalnum() and sign.isascii() else "-" for sign in code)
    return Response(
        json.dumps(found, ensure_ascii=False, indent=1),
        media_type="application/json",
        headers={"Content-Disposition": f'attachment; filename="{name}.json"'},
    )


def erase(request: PageRequest) -> Response:
    """Erase all that is kept under a pupil's code, once it was said that it is meant."""
    if not request.form.has("sure"):
        return pupil_page(request, asked=True)
    app, code, class_id = request.app, request.path["code"], request.path["id"]
    with app.store.write() as db:
        erased = one_pupil.erase_pupil(db, request.teacher, code, class_id)
    for papers, run in erased.runs:
        app.artefacts.forget("marks", papers, run)
    app.store.forget_traces()
    return see(f"/mark/classes/{class_id}")


ROUTES = [
    Route("/mark/classes/new", teacher_page(class_form)),
    Route("/mark/classes/new", teacher_page(keep_class), methods=["POST"]),
    Route("/mark/classes/{id}", teacher_page(class_page)),
    Route("/mark/classes/{id}", teacher_page(keep_class), methods=["POST"]),
    Route("/mark/classes/{id}/pupils/{code:path}", teacher_page(pupil_page)),
    Route("/mark/classes/{id}/all-of/{code:path}", teacher_page(carry_away)),
    Route("/mark/classes/{id}/erase/{code:path}", teacher_page(erase), methods=["POST"]),
]
