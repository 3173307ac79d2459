"""Teaching again, a step from the class's page: the counter-example on the board, practice on paper, a live class."""

from __future__ import annotations

import json
import secrets

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.papers import Papers
from chalkpoint.marking.reteaching import Reteaching, reteach
from chalkpoint.marking.students import is_diagnosed
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.publishing.classes.pages import diagnosed_course
from chalkpoint.records import rooms
from chalkpoint.records.kept import LONGEST_TITLE, Kept
from chalkpoint.teaching.live import new_word, open_room, room_to_dict
from chalkpoint.teaching.practising.fresh import line_of
from chalkpoint.web.courses import course_table
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.papers import class_codes, papers_asked
from chalkpoint.web.places.set import begin_setting
from chalkpoint.web.showing import address
from chalkpoint.web.toml import write_toml
from chalkpoint.working.beliefs.catalogue import BELIEFS

__all__ = ["ROUTES"]

PRACTISED = 4  # questions on a sheet of practice
LEAST_SEATS, MOST_SEATS = 30, 999


def _again(request: PageRequest) -> tuple[Kept, Papers, str, Reteaching]:
    """Return the papers, the belief asked for, and what helps with it.

    Raises EntryError where nothing that the papers ask shows it.
    """
    one, belief = papers_asked(request), request.form.text("belief")
    if belief not in BELIEFS:
        raise EntryError(f"{belief!r} is not a belief of the catalogue; {near_misses(belief, BELIEFS)}")
    papers = request.app.markers.papers(one.body)
    asked = frozenset(
        one.question.operation.name for one in papers.first.questions if is_diagnosed(one.question)
    )
    again = reteach(belief, diagnosed_course(papers), asked)
    if again is None:
        raise EntryError(f"nothing that these papers ask shows {belief!r}; choose another belief")
    return one, papers, belief, again


def board(request: PageRequest) -> Response:
    """Show the counter-example on the board."""
    _, _, _, again = _again(request)
    question = again.example
    return see(address("/teach/board", question=line_of(question), format=str(question.format)))


def practice(request: PageRequest) -> Response:
    """Set and print a sheet of questions on which the belief goes wrong."""
    one, papers, belief, again = _again(request)
    course = diagnosed_course(papers)
    title = f"Practice: {BELIEFS[belief].rule}"[:LONGEST_TITLE]
    blueprint = {
        "title": title,
        "purpose": "starter",
        "course": course_table(course),
        "question": [
            {"operation": again.example.operation.name, "where": [f"exposes:{belief}"], "count": PRACTISED}
        ],
    }
    back = f"/mark/papers/{one.id}/report"
    return begin_setting(request, title, write_toml(blueprint), 1, 1, back=back)


def live(request: PageRequest) -> Response:
    """Open a live class with the counter-example and the question for the whole class."""
    one, _, _, again = _again(request)
    lines = list(dict.fromkeys([line_of(again.example), line_of(again.hinge)]))
    with request.app.store.write() as db:
        seats = min(max(LEAST_SEATS, len(class_codes(request, one, db))), MOST_SEATS)
        word = new_word(secrets.choice, taken=rooms.words_taken(db))
        room = open_room(lines, course=again.example.course, word=word, seats=seats)
        made = rooms.keep_room(db, request.teacher, word, json.dumps(room_to_dict(room), ensure_ascii=False))
    return see(f"/teach/rooms/{made}")


ROUTES = [
    Route("/mark/papers/{id}/again/board", teacher_page(board)),
    Route("/mark/papers/{id}/again/practice", teacher_page(practice), methods=["POST"]),
    Route("/mark/papers/{id}/again/live", teacher_page(live), methods=["POST"]),
]
