"""Set: blueprints written and kept, papers set from them, and every file that is printed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from concurrent.futures import wait
from typing import Any

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.finding.registry import groups_in
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.records import kept, scripts
from chalkpoint.setting.alike import LIKE, blueprint_like
from chalkpoint.setting.asking import ASKED_KEYS, BLUEPRINT_KEYS, PRINT_KEYS
from chalkpoint.setting.blueprint import STARTING, parse_blueprint
from chalkpoint.setting.setter import MOST_VARIANTS
from chalkpoint.setting.sources import SET_OPERATIONS
from chalkpoint.web.asking import countable_row, has_traits, lines_with_counts, needed_by
from chalkpoint.web.blueprints import blueprint_of_questions, changed_by, rows_of, text_of_form, unread
from chalkpoint.web.conditions import COMPARISONS
from chalkpoint.web.courses import course_asked, own_course, own_or_asked
from chalkpoint.web.examples import paper_example
from chalkpoint.web.forms import Form
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.paging import part_asked
from chalkpoint.web.picking import count_rows, options_for
from chalkpoint.web.places.papers import SOURCE, WITHOUT, begin_setting
from chalkpoint.web.preview import begin_preview, draw_preview, preview_folder, previews_of
from chalkpoint.web.rendering import address
from chalkpoint.web.searches import Search
from chalkpoint.web.showing import show
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

__all__ = ["ROUTES"]

KIND = "blueprint"
MOST_SEED = 10**9
PUT_BACK, BEFORE = (
    "put back",
    "before",
)  # what a click does, and where the blueprint before the last click is kept
PATIENCE = 1.0  # seconds a page waits for counts and the preview
EARLIER, ANY_PAPER = 20, "any"  # the newest papers whose questions can be left out; all of them at once


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
    form = request.form
    about: dict[str, str] = {}
    if known:  # another teacher's is not found, whatever was entered
        with request.app.store.read() as db:
            about = dict(kept.one(db, request.teacher, KIND, known).about)
    text = form.text("blueprint").replace("\r\n", "\n") or text_of_form(form, own_or_asked(request))
    try:
        variants, seed = _variants(form, about), _seed(form, about)
        about |= {"variants": str(variants), "seed": str(seed)}
        if form.text("do"):
            before = text
            back = about.get(BEFORE) if form.text("do") == PUT_BACK else None
            text = back or changed_by(text, form.text("do"), rows_of(unread(text)))
            about |= {BEFORE: before} if text != before else {}
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
        earlier = kept.titles_of(db, request.teacher, "papers", limit=EARLIER)
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
        put_back=PUT_BACK if about.get(BEFORE) else "",
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
    """Return what is beside the form's entries: each question's lines with their counts, options, a preview."""
    form = request.form
    try:
        asked = parse_blueprint(text, source=SOURCE).questions
    except ChalkpointError:
        asked = ()
    countable = [countable_row(one) for one in asked]
    courses = [*(one.course for one in asked), *[Course()] * len(rows)]
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
            lines_with_counts(row, counts[number] if counts and number < len(counts) else None, course)
            for number, (row, course) in enumerate(zip(rows, courses, strict=False))
        ],
        "counted": counts is not None,
        "groups": {
            number: groups_in(course, row["operation"])
            for number, (row, course) in enumerate(zip(rows, courses, strict=False))
            if has_traits(row)
        },
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
    if not folder.is_dir() and shown <= variants:
        draw_preview(request, one.body, variants, seed, shown)
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
    had = form.text(WITHOUT)
    if had == ANY_PAPER:
        with request.app.store.read() as db:
            had = ",".join(paper.id for paper in kept.titles_of(db, request.teacher, "papers", limit=EARLIER))
    without = {WITHOUT: had} if had else {}
    back = f"/set/blueprints/{one.id}"
    return begin_setting(request, one.title, one.body, variants, seed, back=back, more=without)


ROUTES = [
    Route("/set", teacher_page(set_page)),
    Route("/set/new", teacher_page(new_page)),
    Route("/set/new", teacher_page(keep_blueprint), methods=["POST"]),
    Route("/set/like", teacher_page(set_like), methods=["POST"]),
    Route("/set/blueprints/{id}", teacher_page(blueprint_page)),
    Route("/set/blueprints/{id}/side/{side:int}", teacher_page(side_page)),
    Route("/set/blueprints/{id}", teacher_page(keep_blueprint), methods=["POST"]),
    Route("/set/blueprints/{id}/set", teacher_page(set_from_blueprint), methods=["POST"]),
]
