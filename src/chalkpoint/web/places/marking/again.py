"""Teaching again, a step from the class's page: the counter-example on the board, practice on paper, a live class."""

from __future__ import annotations

import json
import secrets
from dataclasses import dataclass

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.reteaching import reteach
from chalkpoint.marking.students import is_diagnosed
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.writingtoml import write_toml
from chalkpoint.publishing.classes.pages import diagnosed_course
from chalkpoint.records import rooms
from chalkpoint.records.kept import LONGEST_TITLE, Kept
from chalkpoint.setting.alike import course_table
from chalkpoint.teaching.live.room import open_room
from chalkpoint.teaching.live.roomjson import room_to_dict
from chalkpoint.teaching.live.words import new_word
from chalkpoint.teaching.practising.fresh import line_of
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.marking.papers import class_codes, papers_asked
from chalkpoint.web.places.papers import begin_setting
from chalkpoint.web.rendering import address
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.question import Question
from chalkpoint.working.wording.heading import heading

__all__ = ["ROUTES"]

PRACTISED = 4  # questions on a sheet of practice
LEAST_SEATS, MOST_SEATS = 30, 999


@dataclass(frozen=True, slots=True)
class ToTeach:
    """What is taught again: an example for the board, what else to ask a class, and what practice must show."""

    title: str
    example: Question
    others: tuple[Question, ...]
    where: tuple[str, ...]


def _to_teach(request: PageRequest, one: Kept) -> ToTeach:
    """Return what a belief, or a question of the papers, is taught again with.

    Raises EntryError where nothing that the papers ask shows the belief.
    """
    papers = request.app.markers.papers(one.body)
    if request.form.has("question"):
        number = request.form.number("question", 1, least=1, most=len(papers.first.questions))
        question = papers.first.questions[number - 1].question
        return ToTeach(heading(question), question, (), ())
    belief = request.form.text("belief")
    if belief not in BELIEFS:
        raise EntryError(f"{belief!r} is not a belief of the catalogue; {near_misses(belief, BELIEFS)}")
    asked = (one.question for one in papers.first.questions if is_diagnosed(one.question))
    again = reteach(
        belief, diagnosed_course(papers), frozenset(question.operation.name for question in asked)
    )
    if again is None:
        raise EntryError(f"nothing that these papers ask shows {belief!r}; choose another belief")
    return ToTeach(BELIEFS[belief].rule, again.example, (again.hinge,), (f"exposes:{belief}",))


def board(request: PageRequest) -> Response:
    """Show the example on the board."""
    example = _to_teach(request, papers_asked(request)).example
    return see(address("/teach/board", question=line_of(example), format=str(example.format)))


def practice(request: PageRequest) -> Response:
    """Set and print a sheet of fresh questions of the same kind."""
    one = papers_asked(request)
    taught = _to_teach(request, one)
    asked = {"operation": taught.example.operation.name, "count": PRACTISED}
    title = f"Practice: {taught.title}"[:LONGEST_TITLE]
    blueprint = {
        "title": title,
        "purpose": "starter",
        "course": course_table(taught.example.course),
        "question": [asked | ({"where": list(taught.where)} if taught.where else {})],
    }
    return begin_setting(request, title, write_toml(blueprint), 1, 1, back=f"/mark/papers/{one.id}/report")


def live(request: PageRequest) -> Response:
    """Open a live class with the example and the question for the whole class."""
    one = papers_asked(request)
    taught = _to_teach(request, one)
    lines = list(dict.fromkeys(line_of(question) for question in (taught.example, *taught.others)))
    with request.app.store.write() as db:
        seats = min(max(LEAST_SEATS, len(class_codes(request, one, db))), MOST_SEATS)
        word = new_word(secrets.choice, taken=rooms.words_taken(db))
        room = open_room(lines, course=taught.example.course, word=word, seats=seats)
        made = rooms.keep_room(db, request.teacher, word, json.dumps(room_to_dict(room), ensure_ascii=False))
    return see(f"/teach/rooms/{made}")


ROUTES = [
    Route("/mark/papers/{id}/again/board", teacher_page(board)),
    Route("/mark/papers/{id}/again/practice", teacher_page(practice), methods=["POST"]),
    Route("/mark/papers/{id}/again/live", teacher_page(live), methods=["POST"]),
]
