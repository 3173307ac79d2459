"""Set: blueprints written and kept, papers set from them, and every file that is printed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from concurrent.futures import wait
from pathlib import Path
from typing import Any

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.finding.registry import groups_of
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.publishing.papers.folder import write_folder
from chalkpoint.publishing.qti import has_items
from chalkpoint.records import kept, scripts
from chalkpoint.records.kept import Kept
from chalkpoint.setting.alike import LIKE, blueprint_like
from chalkpoint.setting.asking import ASKED_KEYS, BLUEPRINT_KEYS, PRINT_KEYS
from chalkpoint.setting.blueprint import STARTING, parse_blueprint
from chalkpoint.setting.papers import SetPapers
from chalkpoint.setting.setter import MOST_VARIANTS, set_papers
from chalkpoint.setting.sources import SET_OPERATIONS
from chalkpoint.web.asking import countable_row, has_traits, lines_with_counts, needed_by
from chalkpoint.web.bank import questions_in
from chalkpoint.web.blueprints import blueprint_of_questions, changed_by, rows_of, text_of_form, unread
from chalkpoint.web.conditions import COMPARISONS
from chalkpoint.web.courses import course_asked, own_course, own_or_asked
from chalkpoint.web.examples import paper_example
from chalkpoint.web.forms import Form
from chalkpoint.web.jobs import Watch
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.paging import part_asked
from chalkpoint.web.picking import count_rows, options_for
from chalkpoint.web.preview import begin_preview, preview_folder, previews_of
from chalkpoint.web.rendering import address
from chalkpoint.web.searches import Search
from chalkpoint.web.showing import show
from chalkpoint.working.question import Question, ask

__all__ = ["ROUTES", "begin_setting", "files_of"]

KIND = "blueprint"
MOST_SEED = 10**9
SOURCE = "the blueprint"
PATIENCE = 1.0  # seconds a page waits for counts and the preview
WITHOUT = "without"  # earlier papers whose questions are not asked again
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
    return _form_page(request, one.body, one.id, about=one.about)


def keep_blueprint(request: PageRequest) -> Response:
    """Keep a blueprint, new or changed; a refused one is shown again as it was written."""
    form, known = request.form, request.path.get("id", "")
    kept_id, refused = _keep(request, known)
    if refused:
        return refused
    what, _, rest = form.text("do").partition(":")
    asks = rest if what == "show" else ""
    shown = {"question": form.text("question"), "variant": form.text("shown"), "ask": asks}
    if what in {"swap", "harder", "easier", "more room", "less room"}:
        shown["question"] = rest
    if asks:
        shown["say"] = form.text(f"say-{asks}")
    where = f"#row-{asks or rest.partition(':')[0]}" if what in {"show", "off", "add"} else ""
    return see(address(f"/set/blueprints/{kept_id}", **shown) + where)


def _keep(request: PageRequest, known: str) -> tuple[str, Response | None]:
    """Keep what the form says; return the blueprint's id, or the page that refuses it."""
    form, rows = request.form, {}
    about: dict[str, str] = {}
    if known:  # another teacher's is not found, whatever was entered
        with request.app.store.read() as db:
            about = dict(kept.one(db, request.teacher, KIND, known).about)
    text = form.text("blueprint").replace("\r\n", "\n") or text_of_form(form, own_or_asked(request))
    try:
        variants, seed = _variants(form, about), _seed(form, about)
        about |= {"variants": str(variants), "seed": str(seed)}
        if form.text("do"):
            rows = rows_of(unread(text))
            text = changed_by(text, form.text("do"), rows)
        title = parse_blueprint(text, source=SOURCE).title
        with request.app.store.write() as db:
            if known:
                kept.change(db, request.teacher, KIND, known, title=title, body=text, about=about)
            else:
                known = kept.keep(db, request.teacher, KIND, title, text, about=about).id
    except ChalkpointError as reason:
        return known, _form_page(request, text, known, refused=str(reason), about=about)
    return known, None


def _variants(form: Form, about: Mapping[str, str]) -> int:
    return form.number("variants", int(about.get("variants", 1)), least=1, most=MOST_VARIANTS)


def _seed(form: Form, about: Mapping[str, str]) -> int:
    return form.number("seed", int(about.get("seed", 1)), least=0, most=MOST_SEED)


def set_like(request: PageRequest) -> Response:
    """Keep a blueprint for thirty papers, each with another question like the one that was found."""
    form = request.form
    course = course_asked(request).with_(format=form.text("format") or None)
    operation, _, operands = form.text("question").partition(" ")
    parts = [part.strip() for part in operands.split(",") if part.strip()]
    where = [text for text in form.texts("where") if text]
    text = blueprint_like(ask(operation, *parts, course=course), where, LIKE)
    title = parse_blueprint(text, source=SOURCE).title
    with request.app.store.write() as db:
        one = kept.keep(db, request.teacher, KIND, title, text, about={"variants": str(LIKE), "seed": "1"})
    return see(f"/set/blueprints/{one.id}")


def _form_page(
    request: PageRequest, text: str, known: str, refused: str = "", about: Mapping[str, str] | None = None
) -> Response:
    table = unread(text)
    own, courses = own_course(request, table)
    rows = [row for row in table.get("question", []) if isinstance(row, dict)]
    form, about = request.form, about or {}
    as_text = form.text("as") == "text" or form.has("blueprint") or not table
    own_format = json.loads(own or "{}").get("format", "")
    with request.app.store.read() as db:
        earlier = kept.titles_of(db, request.teacher, "papers", limit=20)
    return show(
        request,
        "blueprint.html.jinja",
        status=422 if refused else 200,
        text=text,
        table=table,
        rows=rows,
        own=own,
        own_format=own_format,
        known=known,
        refused=refused,
        as_text=as_text,
        operations=list(SET_OPERATIONS),
        keys=BLUEPRINT_KEYS,
        printed=PRINT_KEYS,
        asked_keys=ASKED_KEYS,
        courses=courses,
        most=MOST_VARIANTS,
        variants=form.text("variants") or about.get("variants", "1"),
        seed=form.text("seed") or about.get("seed", "1"),
        earlier=earlier,
        without=form.text("without"),
        needed=needed_by,
        comparisons=COMPARISONS,
        **({} if as_text else _beside(request, text, rows, known and not refused, about)),
    )


def _beside(
    request: PageRequest, text: str, rows: list[JsonObject], ready: object, about: Mapping[str, str]
) -> JsonObject:
    """Return what stands beside the form's entries: each question's lines with their counts, options, a preview."""
    form = request.form
    try:
        asked = parse_blueprint(text, source=SOURCE).questions
    except ChalkpointError:
        asked = ()
    countable = [countable_row(one) for one in asked]
    searches = [request.app.searches.begin(f"counts {countable}", lambda _: count_rows(countable))]
    at, said = form.text("ask"), form.text("say")
    picked = countable[int(at)] if at.isdigit() and int(at) < len(countable) else None
    if picked and said:
        searches.append(
            request.app.searches.begin(f"options {picked} {said}", lambda _: options_for(picked, said))
        )
    variant = 1
    if ready and asked:
        variants, seed = int(about.get("variants", 1)), int(about.get("seed", 1))
        variant = min(form.number("variant", 1, least=1, most=MOST_VARIANTS), variants)
        previewed = begin_preview(request, text, variants, seed, variant)
    else:
        previewed = None
    wait([one.answer for one in (*searches, previewed) if one], timeout=PATIENCE)
    counts = _result(searches[0])
    preview, trouble = None, ""
    try:
        preview = _result(previewed)
    except ChalkpointError as reason:
        trouble = str(reason)
    return {
        "lines": [
            lines_with_counts(row, counts[number] if counts and number < len(counts) else None)
            for number, row in enumerate(rows)
        ],
        "counted": counts is not None,
        "groups": {row.get("operation"): groups_of(row["operation"]) for row in rows if has_traits(row)},
        "ask": at,
        "said": said,
        "options": _result(searches[1]) if len(searches) > 1 else None,
        "preview": preview,
        "trouble": trouble,
        "waiting": previewed is not None and preview is None and not trouble,
        "chosen": int(form.text("question")) if form.text("question").isdigit() else 0,
        "variant": variant,
    }


def _result(search: Search | None) -> Any:
    """Return what a search found; None while it is under way, and where there is none."""
    return search.answer.result() if search and search.answer.done() else None


def side_page(request: PageRequest) -> Response:
    """Send the picture of a side of the preview."""
    with request.app.store.read() as db:
        one = kept.one(db, request.teacher, KIND, request.path["id"])
    variants, seed = (int(one.about.get(key, 1)) for key in ("variants", "seed"))
    shown = request.form.number("variant", 1, least=1, most=MOST_VARIANTS)
    folder = preview_folder(request, one.body, variants, seed, shown)
    return previews_of(request).send(folder, f"side-{request.path['side']}.png")


def set_from_blueprint(request: PageRequest) -> Response:
    """Set papers from a kept blueprint, as the form has it now, and make their files, as work that may be left."""
    form, known = request.form, request.path["id"]
    with request.app.store.read() as db:
        one = kept.one(db, request.teacher, KIND, known)
    if form.has("title") or form.has("blueprint"):
        _, refused = _keep(request, known)
        if refused:
            return refused
        with request.app.store.read() as db:
            one = kept.one(db, request.teacher, KIND, known)
    try:
        variants, seed = _variants(form, one.about), _seed(form, one.about)
        parse_blueprint(one.body, source=SOURCE)
    except ChalkpointError as reason:
        return _form_page(request, one.body, one.id, refused=str(reason), about=one.about)
    without = {WITHOUT: form.text(WITHOUT)} if form.text(WITHOUT) else {}
    back = f"/set/blueprints/{one.id}"
    return begin_setting(request, one.title, one.body, variants, seed, back=back, more=without)


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
        papers = _set(request, about, lambda done, of: watch(done, of * HALVES))
        body = json.dumps(papers.to_dict(), ensure_ascii=False)
        with request.app.store.write() as db:
            made = kept.keep(db, request.teacher, "papers", title, body, about=about)
        _write(request, about, papers, lambda done, of: watch(of + done, of * HALVES))
        return f"/set/papers/{made.id}"

    what = f"Setting {variants} papers" if variants > 1 else "Setting a paper"
    return see(f"/jobs/{request.app.jobs.start(request.teacher, what, work, back=back)}")


def _set(request: PageRequest, about: Mapping[str, str], watch: Watch) -> SetPapers:
    plan = parse_blueprint(about["blueprint"], source=SOURCE)
    had: list[Question] = []
    if about.get(WITHOUT):
        had = questions_in(request.app.store, request.teacher, about[WITHOUT])
    variants, seed = int(about["variants"]), int(about["seed"])
    return set_papers(plan, variants=variants, seed=seed, had=had, watch=watch)


def _folder(request: PageRequest, about: Mapping[str, str]) -> Path:
    """Return the folder of the files made from a blueprint; for papers without one it is never filled."""
    made_from = (
        about.get(key, "")
        for key in ("blueprint", "variants", "seed", WITHOUT)
        if key != WITHOUT or about.get(key)
    )
    return request.app.artefacts.folder("papers", *made_from)


def _write(request: PageRequest, about: Any, papers: SetPapers, watch: Watch) -> None:
    request.app.artefacts.make(_folder(request, about), lambda folder: _fill(papers, folder, watch))


def files_of(request: PageRequest, one: Kept) -> Path:
    """Return the folder of the files of kept papers, made again where they are gone.

    Raises EntryError for papers that came without a blueprint: there is nothing to make them from.
    """
    if not one.about.get("blueprint"):
        raise EntryError(
            "these papers came without their blueprint, so their print cannot be made here; "
            "read the stack with chalkpoint mark --scan, or set the papers here"
        )
    folder = _folder(request, one.about)
    if not folder.is_dir():
        quiet: Watch = lambda done, of: None  # noqa: E731
        _write(request, one.about, _set(request, one.about, quiet), quiet)
    return folder


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
        papers = _set(request, one.about, lambda done, of: watch(done, of * HALVES))
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
    Route("/set/like", teacher_page(set_like), methods=["POST"]),
    Route("/set/blueprints/{id}", teacher_page(blueprint_page)),
    Route("/set/blueprints/{id}/side/{side:int}", teacher_page(side_page)),
    Route("/set/blueprints/{id}", teacher_page(keep_blueprint), methods=["POST"]),
    Route("/set/blueprints/{id}/set", teacher_page(set_from_blueprint), methods=["POST"]),
    Route("/set/papers/{id}", teacher_page(papers_page)),
    Route("/set/papers/{id}/make", teacher_page(make_files), methods=["POST"]),
    Route("/set/papers/{id}/files/{name}", teacher_page(file_page)),
]
