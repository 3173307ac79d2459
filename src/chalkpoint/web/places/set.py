"""Set: blueprints written and kept, papers set from them, and every file that is printed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.publishing.papers.folder import write_folder
from chalkpoint.publishing.qti import has_items
from chalkpoint.records import kept, scripts
from chalkpoint.records.kept import Kept
from chalkpoint.setting.asking import ASKED_KEYS, BLUEPRINT_KEYS, PRINT_KEYS
from chalkpoint.setting.blueprint import STARTING, parse_blueprint
from chalkpoint.setting.doors import EXPLAINED
from chalkpoint.setting.papers import SetPapers
from chalkpoint.setting.setter import MOST_VARIANTS, set_papers
from chalkpoint.setting.sources import SET_OPERATIONS
from chalkpoint.web.blueprints import blueprint_of_questions, text_of_form, unread
from chalkpoint.web.courses import course_asked, own_course, own_or_asked
from chalkpoint.web.examples import paper_example
from chalkpoint.web.jobs import Watch
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.paging import part_asked
from chalkpoint.web.showing import address, show

__all__ = ["ROUTES", "begin_setting"]

KIND = "blueprint"
MOST_SEED = 10**9
SOURCE = "the blueprint"
HALVES = 2  # choosing and writing each fill half of a job's bar
WHAT = {
    "papers.pdf": "every paper, to print",
    "mark-schemes.pdf": "mark schemes",
    "key.pdf": "the key, on a page",
    "solutions.pdf": "every working, drawn",
    "answers.xlsx": "a sheet to type answers in",
    "key.xlsx": "the key, as a sheet",
    "key.csv": "the key, as text",
    "items.zip": "final answers as items for other systems (QTI 3.0)",
    "papers.json": "for chalkpoint mark",
    "report.txt": "how equal the papers are",
}


def set_page(request: PageRequest) -> Response:
    """Show the papers and the blueprints that are kept."""
    with request.app.store.read() as db:
        part = part_asked(request.form, kept.count_of(db, request.teacher, "papers"))
        papers = kept.titles_of(db, request.teacher, "papers", start=part.start, limit=part.size)
        counts = scripts.count_of(db, request.teacher, [one.id for one in papers])
        own = part_asked(request.form, kept.count_of(db, request.teacher, KIND), name="blueprints")
        blueprints = kept.titles_of(db, request.teacher, KIND, start=own.start, limit=own.size)
    return show(
        request,
        "set.html.jinja",
        papers=papers,
        part=part,
        counts=counts,
        blueprints=blueprints,
        blueprints_part=own,
        example=None if papers else paper_example(),
    )


def new_page(request: PageRequest) -> Response:
    """Show a blueprint to be written: of found questions, of one that is kept, or the one to start from."""
    form = request.form
    questions = [text for text in form.texts("question") if text]
    if questions:
        course = course_asked(request).with_(format=form.text("format") or None)
        text = blueprint_of_questions(questions, course, "Found questions")
    elif form.has("from"):
        with request.app.store.read() as db:
            text = kept.one(db, request.teacher, KIND, form.text("from")).body
    else:
        text = STARTING
    return _form_page(request, text, "")


def blueprint_page(request: PageRequest) -> Response:
    """Show a kept blueprint, to change it or to set papers from it."""
    with request.app.store.read() as db:
        one = kept.one(db, request.teacher, KIND, request.path["id"])
    return _form_page(request, one.body, one.id)


def keep_blueprint(request: PageRequest) -> Response:
    """Keep a blueprint, new or changed; a refused one is shown again as it was written."""
    form, known = request.form, request.path.get("id", "")
    if known:  # another teacher's is not found, whatever was entered
        with request.app.store.read() as db:
            kept.one(db, request.teacher, KIND, known)
    text = form.text("blueprint").replace("\r\n", "\n") or text_of_form(form, own_or_asked(request))
    try:
        title = parse_blueprint(text, source=SOURCE).title
        with request.app.store.write() as db:
            if known:
                kept.change(db, request.teacher, KIND, known, title=title, body=text)
            else:
                known = kept.keep(db, request.teacher, KIND, title, text).id
    except ChalkpointError as reason:
        return _form_page(request, text, known, refused=str(reason))
    return see(f"/set/blueprints/{known}")


def _form_page(request: PageRequest, text: str, known: str, refused: str = "") -> Response:
    table = unread(text)
    own, courses = own_course(request, table)
    return show(
        request,
        "blueprint.html.jinja",
        status=422 if refused else 200,
        text=text,
        table=table,
        rows=[row for row in table.get("question", []) if isinstance(row, dict)],
        own=own,
        own_format=json.loads(own or "{}").get("format", ""),
        known=known,
        refused=refused,
        as_text=request.form.text("as") == "text" or request.form.has("blueprint") or not table,
        operations=list(SET_OPERATIONS),
        explained=EXPLAINED,
        keys=BLUEPRINT_KEYS,
        printed=PRINT_KEYS,
        kinds=ASKED_KEYS["kind"].choices,
        courses=courses,
        most=MOST_VARIANTS,
    )


def set_from_blueprint(request: PageRequest) -> Response:
    """Set papers from a kept blueprint, and make their files, as work that may be left."""
    form = request.form
    with request.app.store.read() as db:
        one = kept.one(db, request.teacher, KIND, request.path["id"])
    try:
        variants = form.number("variants", 1, least=1, most=MOST_VARIANTS)
        seed = form.number("seed", 1, least=0, most=MOST_SEED)
        parse_blueprint(one.body, source=SOURCE)
    except ChalkpointError as reason:
        return _form_page(request, one.body, one.id, refused=str(reason))
    return begin_setting(request, one.title, one.body, variants, seed, back=f"/set/blueprints/{one.id}")


def begin_setting(
    request: PageRequest,
    title: str,
    blueprint: str,
    variants: int,
    seed: int,
    *,
    back: str,
    more: Mapping[str, str] | None = None,
) -> Response:
    """Begin setting papers and making their files, as work that may be left.

    back  the page it is begun on
    more  what else is kept about the papers
    """
    about = {"blueprint": blueprint, "variants": str(variants), "seed": str(seed), **(more or {})}

    def work(watch: Watch) -> str:
        papers = _set(about, lambda done, of: watch(done, of * HALVES))
        body = json.dumps(papers.to_dict(), ensure_ascii=False)
        with request.app.store.write() as db:
            made = kept.keep(db, request.teacher, "papers", title, body, about=about)
        _write(request, about, papers, lambda done, of: watch(of + done, of * HALVES))
        return f"/set/papers/{made.id}"

    what = f"Setting {variants} papers" if variants > 1 else "Setting a paper"
    return see(f"/jobs/{request.app.jobs.start(request.teacher, what, work, back=back)}")


def _set(about: Any, watch: Watch) -> SetPapers:
    plan = parse_blueprint(about["blueprint"], source=SOURCE)
    return set_papers(plan, variants=int(about["variants"]), seed=int(about["seed"]), watch=watch)


def _folder(request: PageRequest, about: Mapping[str, str]) -> Path:
    """Return the folder of the files made from a blueprint; for papers without one it is never filled."""
    made_from = (about.get(key, "") for key in ("blueprint", "variants", "seed"))
    return request.app.artefacts.folder("papers", *made_from)


def _write(request: PageRequest, about: Any, papers: SetPapers, watch: Watch) -> None:
    request.app.artefacts.make(_folder(request, about), lambda folder: _fill(papers, folder, watch))


def _fill(papers: SetPapers, folder: Path, watch: Watch) -> None:
    items = has_items(papers.to_dict())
    write_folder(papers, folder, qti=items, watch=watch)


def papers_page(request: PageRequest) -> Response:
    """Show papers that were set: what they ask, how equal they are, and their files."""
    one = _papers(request)
    papers = request.app.markers.papers(one.body)
    folder = _folder(request, one.about)
    files = sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []
    report = (folder / "report.txt").read_text(encoding="utf-8").split("\n\n") if files else []
    with request.app.store.read() as db:
        written = scripts.count_of(db, request.teacher, [one.id])[one.id]
    return show(
        request,
        "papers.html.jinja",
        one=one,
        paper=papers.first,
        variants=len(papers.variants),
        files=files,
        report=report,
        what=WHAT,
        written=written,
        address=address,
    )


def _papers(request: PageRequest) -> Kept:
    with request.app.store.read() as db:
        return kept.one(db, request.teacher, "papers", request.path["id"])


def make_files(request: PageRequest) -> Response:
    """Make the files of kept papers again, the same byte for byte."""
    one = _papers(request)
    if "blueprint" not in one.about:
        raise EntryError(
            "these papers came without a blueprint, so there is nothing to make their files from"
        )

    def work(watch: Watch) -> str:
        papers = _set(one.about, lambda done, of: watch(done, of * HALVES))
        _write(request, one.about, papers, lambda done, of: watch(of + done, of * HALVES))
        return f"/set/papers/{one.id}"

    job = request.app.jobs.start(request.teacher, "Making the files", work, back=f"/set/papers/{one.id}")
    return see(f"/jobs/{job}")


def file_page(request: PageRequest) -> Response:
    """Send one of the files of kept papers."""
    one = _papers(request)
    return request.app.artefacts.send(
        _folder(request, one.about), request.path["name"], download=request.form.has("save")
    )


ROUTES = [
    Route("/set", teacher_page(set_page)),
    Route("/set/new", teacher_page(new_page)),
    Route("/set/new", teacher_page(keep_blueprint), methods=["POST"]),
    Route("/set/blueprints/{id}", teacher_page(blueprint_page)),
    Route("/set/blueprints/{id}", teacher_page(keep_blueprint), methods=["POST"]),
    Route("/set/blueprints/{id}/set", teacher_page(set_from_blueprint), methods=["POST"]),
    Route("/set/papers/{id}", teacher_page(papers_page)),
    Route("/set/papers/{id}/make", teacher_page(make_files), methods=["POST"]),
    Route("/set/papers/{id}/files/{name}", teacher_page(file_page)),
]
