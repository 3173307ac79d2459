"""From folder to browser and back: papers of the command line, and decisions made in either, in the same files."""

from __future__ import annotations

import json

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.groups import READ_ONE_BY_ONE, decisions_for
from chalkpoint.marking.overrides import Decision, Rulings, check_decisions, overrides_in, write_overrides
from chalkpoint.numbers.datafiles import load_json
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.records import kept, marks, overrides
from chalkpoint.records.ids import now
from chalkpoint.records.kept import Kept, NotKept
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.web.forms import Form
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.answers import mark_again
from chalkpoint.web.places.marking.habits import remember
from chalkpoint.web.places.marking.papers import home, papers_asked, shown_again, summed_up
from chalkpoint.web.showing import show

__all__ = ["ROUTES"]

LARGEST = 20_000_000  # bytes of a form with papers of many variants
NO_REASON = "decided in a file"


def take_in_form(request: PageRequest) -> Response:
    """Ask for the papers that a command set."""
    return show(request, "take-in.html.jinja", refused="")


def take_in(request: PageRequest) -> Response:
    """Keep papers that the command line set, so that they can be marked here; their scheme and seed stay theirs."""
    try:
        text = _text_of(request.form, "papers.json of a set")
        table = load_json(text)
        papers = papers_from(table)
        title = papers.title or papers.course.name or "Papers"
        body = json.dumps(table, ensure_ascii=False)
        with request.app.store.write() as db:
            made = kept.keep(db, request.teacher, "papers", title[: kept.LONGEST_TITLE], body)
    except json.JSONDecodeError as reason:
        refused = f"the file is not JSON ({reason.msg}); give the papers.json of a set"
        return show(request, "take-in.html.jinja", status=422, refused=refused)
    except ChalkpointError as reason:
        return show(request, "take-in.html.jinja", status=422, refused=str(reason))
    return see(f"/mark/papers/{made.id}")


def _text_of(form: Form, what: str) -> str:
    file = form.files.get("file")
    if file is None:
        raise EntryError(f"no file was given; give the {what}")
    try:
        return file.data.decode("utf-8-sig")
    except UnicodeDecodeError as reason:
        raise EntryError(f"{file.name!r} is not text in UTF-8; give the {what}") from reason


def decisions_file(request: PageRequest) -> Response:
    """Send the decisions that are in force as the file that `chalkpoint mark --overrides` reads."""
    one = papers_asked(request)
    with request.app.store.read() as db:
        standing = overrides.standing(db, request.teacher, one.id)
        rulings = overrides.rulings(db, request.teacher, one.id)
    name = "attachment; filename=decisions.csv"
    text = write_overrides(standing, rulings)
    return Response(text, media_type="text/csv", headers={"Content-Disposition": name})


def _by_group(request: PageRequest, one: Kept, rulings: Rulings) -> dict[tuple[str, int, str], Decision]:
    """Return rulings on groups whose answers have to be read as decisions on those that wait."""
    with request.app.store.read() as db:
        run = marks.latest(db, request.teacher, one.id)
    found: dict[tuple[str, int, str], Decision] = {}
    for group in summed_up(request, one, run).groups if run and rulings else ():
        if ruling := rulings.get(group.name):
            found |= decisions_for(group, taken=ruling.accepted, reason=ruling.reason)
    return found


def take_decisions(request: PageRequest) -> Response:
    """Take in a file of decisions: each that is new is written down, all of one moment, undone as one."""
    one, at = papers_asked(request), now()
    try:
        given, rulings = overrides_in(_text_of(request.form, "decisions.csv"), "decisions")
        read = {group: ruling for group, ruling in rulings.items() if group in READ_ONE_BY_ONE}
        given = _by_group(request, one, read) | given
        check_decisions(given, request.app.markers.papers(one.body))
        with request.app.store.write() as db:
            known = overrides.standing(db, request.teacher, one.id)
            ruled = overrides.rulings(db, request.teacher, one.id)
            for group, ruling in rulings.items():
                if group not in read and ruled.get(group) != ruling:
                    overrides.rule(db, request.teacher, one.id, group, ruling, at=at)
                    remember(request, db, one, group, taken=ruling.accepted)
            for (student, question, line), decision in given.items():
                if known.get((student, question, line)) != decision:
                    overrides.decide(
                        db, request.teacher, one.id, student=student, question=question, line=line,
                        marks=decision.marks, reason=decision.reason or NO_REASON, before="as marked", at=at,
                    )  # fmt: skip
    except NotKept:
        raise
    except ChalkpointError as reason:
        return shown_again(request, one, unruled=str(reason))
    return mark_again(request, one, to=home(one, ruled=at) + "#decisions")


ROUTES = [
    Route("/mark/take-in", teacher_page(take_in_form)),
    Route("/mark/take-in", teacher_page(take_in), methods=["POST"], max_body_size=LARGEST),
    Route("/mark/papers/{id}/decisions.csv", teacher_page(decisions_file)),
    Route(
        "/mark/papers/{id}/decisions", teacher_page(take_decisions), methods=["POST"], max_body_size=LARGEST
    ),
]
