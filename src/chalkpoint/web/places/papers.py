"""Papers that were set: begun as work that may be left, kept, shown with their files, and made again."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.numbers.errors import EntryError
from chalkpoint.publishing.papers.folder import write_folder
from chalkpoint.publishing.qti import has_items
from chalkpoint.records import kept, scripts
from chalkpoint.records.kept import Kept
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.papers import SetPapers
from chalkpoint.setting.setter import set_papers
from chalkpoint.web.bank import questions_in
from chalkpoint.web.jobs import Watch
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.papers import papers_asked
from chalkpoint.web.rendering import address
from chalkpoint.web.showing import show
from chalkpoint.working.question import Question

__all__ = ["ROUTES", "SOURCE", "WITHOUT", "begin_setting", "check_printable", "files_of"]

SOURCE = "the blueprint"
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
        papers = set_again(request, about, lambda done, of: watch(done, of * HALVES))
        body = json.dumps(papers.to_dict(), ensure_ascii=False)
        with request.app.store.write() as db:
            made = kept.keep(db, request.teacher, "papers", title, body, about=about)
        _write(request, about, papers, lambda done, of: watch(of + done, of * HALVES))
        return f"/set/papers/{made.id}"

    what = f"Setting {variants} papers" if variants > 1 else "Setting a paper"
    return see(f"/jobs/{request.app.jobs.start(request.teacher, what, work, back=back)}")


def set_again(request: PageRequest, about: Mapping[str, str], watch: Watch) -> SetPapers:
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


def check_printable(one: Kept) -> None:
    """Raise EntryError for papers that came without a blueprint: there is nothing to make their print from."""
    if not one.about.get("blueprint"):
        raise EntryError(
            "these papers came as a file, without the blueprint from which their print could be made here; "
            "where papers.json and paper-1.pdf are, chalkpoint mark --scan STACK papers.json --out marks reads the "
            "stack, and marks-read/answers.csv can be given here as answers; or set the papers here"
        )


def files_of(request: PageRequest, one: Kept) -> Path:
    """Return the folder of the files of kept papers, made again where they are gone; see check_printable."""
    check_printable(one)
    folder = _folder(request, one.about)
    if not folder.is_dir():
        quiet: Watch = lambda done, of: None  # noqa: E731
        _write(request, one.about, set_again(request, one.about, quiet), quiet)
    return folder


def _fill(papers: SetPapers, folder: Path, watch: Watch) -> None:
    items = has_items(papers.to_dict())
    write_folder(papers, folder, qti=items, watch=watch)


def papers_page(request: PageRequest) -> Response:
    """Show papers that were set: what they ask, how equal they are, and their files."""
    one = papers_asked(request)
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


def make_files(request: PageRequest) -> Response:
    """Make the files of kept papers again, the same byte for byte."""
    one = papers_asked(request)
    if "blueprint" not in one.about:
        raise EntryError(
            "these papers came without a blueprint, so there is nothing to make their files from"
        )

    def work(watch: Watch) -> str:
        papers = set_again(request, one.about, lambda done, of: watch(done, of * HALVES))
        _write(request, one.about, papers, lambda done, of: watch(of + done, of * HALVES))
        return f"/set/papers/{one.id}"

    job = request.app.jobs.start(request.teacher, "Making the files", work, back=f"/set/papers/{one.id}")
    return see(f"/jobs/{job}")


def file_page(request: PageRequest) -> Response:
    """Send one of the files of kept papers."""
    one = papers_asked(request)
    return request.app.artefacts.send(
        _folder(request, one.about), request.path["name"], download=request.form.has("save")
    )


ROUTES = [
    Route("/set/papers/{id}", teacher_page(papers_page)),
    Route("/set/papers/{id}/make", teacher_page(make_files), methods=["POST"]),
    Route("/set/papers/{id}/files/{name}", teacher_page(file_page)),
]
