"""Lessons: written as a form or as text, and kept."""

from __future__ import annotations

from datetime import UTC, date, datetime

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.publishing.board import board, board_script
from chalkpoint.records import kept, taught
from chalkpoint.records.kept import Kept
from chalkpoint.setting.alike import homework_on
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.teaching.lesson import KINDS
from chalkpoint.teaching.lessonfile import STARTING, lesson_of
from chalkpoint.web.courses import course_asked, own_course, own_or_asked
from chalkpoint.web.examples import move, worked_example
from chalkpoint.web.lessons import lesson_in, lesson_of_questions, tables_of, text_of_form
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.paging import part_asked
from chalkpoint.web.places.papers import begin_setting
from chalkpoint.web.places.work import working_asked
from chalkpoint.web.showing import show
from chalkpoint.web.standalone import stand_alone
from chalkpoint.working.question import OPERATIONS

__all__ = ["ROUTES", "lesson_asked"]

KIND = "lesson"
MOST_CLASSES = 200  # to choose from


def teach_page(request: PageRequest) -> Response:
    """Show the lessons that are kept."""
    with request.app.store.read() as db:
        part = part_asked(request.form, kept.count_of(db, request.teacher, KIND))
        lessons = kept.titles_of(db, request.teacher, KIND, start=part.start, limit=part.size)
    return show(
        request,
        "teach.html.jinja",
        lessons=lessons,
        part=part,
        worked=None if lessons else worked_example(),
        move=move,
    )


def new_page(request: PageRequest) -> Response:
    """Show a lesson to be written: of questions, or the one to start from."""
    questions = [text for text in request.form.texts("question") if text]
    text = STARTING
    if questions:
        course = course_asked(request).with_(format=request.form.text("format") or None)
        names = [name.strip() for name in request.form.text("names").split(",") if name.strip()]
        called = {"names": names} if names else {}
        text = lesson_of_questions(
            "Worked on the board", course, [{"kind": "worked", "question": one} | called for one in questions]
        )
    return _form_page(request, text, "")


def lesson_page(request: PageRequest) -> Response:
    """Show a kept lesson, to change it or to make something of it."""
    one = lesson_asked(request)
    return _form_page(request, one.body, one.id)


def lesson_asked(request: PageRequest) -> Kept:
    """Return the lesson of the address.

    Raises NotKept where it is not the teacher's.
    """
    with request.app.store.read() as db:
        return kept.one(db, request.teacher, KIND, request.path["id"])


def keep_lesson(request: PageRequest) -> Response:
    """Keep a lesson, new or changed; a refused one is shown again as it was written."""
    form, known = request.form, request.path.get("id", "")
    if known:  # another teacher's is not found, whatever was entered
        with request.app.store.read() as db:
            kept.one(db, request.teacher, KIND, known)
    text = form.text("lesson").replace("\r\n", "\n") or text_of_form(form, own_or_asked(request))
    try:
        title = lesson_in(text).title
        with request.app.store.write() as db:
            if known:
                about = dict(kept.one(db, request.teacher, KIND, known).about)
                about.pop("script", None)  # told anew, since its parts may be others
                kept.change(db, request.teacher, KIND, known, title=title, body=text, about=about)
            else:
                known = kept.keep(db, request.teacher, KIND, title, text).id
    except ChalkpointError as reason:
        return _form_page(request, text, known, refused=str(reason))
    return see(f"/teach/lessons/{known}")


def _form_page(request: PageRequest, text: str, known: str, refused: str = "") -> Response:
    table = tables_of(text)
    own, courses = own_course(request, table)
    classes, told = _classes(request, known)
    return show(
        request,
        "lesson.html.jinja",
        status=422 if refused else 200,
        text=text,
        table=table,
        own=own,
        known=known,
        classes=classes,
        taught=told,
        today=datetime.now(UTC).date().isoformat(),
        refused=refused,
        as_text=request.form.text("as") == "text" or request.form.has("lesson") or not table,
        kinds=list(KINDS),
        operations=list(OPERATIONS),
        courses=courses,
    )


def _classes(request: PageRequest, known: str) -> tuple[list[tuple[str, str]], list[tuple[str, str, date]]]:
    """Return the teacher's classes, and those that were taught the lesson: title, class and day."""
    if not known:
        return [], []
    with request.app.store.read() as db:
        classes = kept.titles_of(db, request.teacher, "class", limit=MOST_CLASSES)
        lesson = kept.one(db, request.teacher, KIND, known)
    told = [(one.title, one.id, on) for one in classes if (on := taught.taught_on(lesson, one.id))]
    return [(one.id, one.title) for one in classes], told


def say_taught(request: PageRequest) -> Response:
    """Keep that a class was taught the lesson, on the day given; without one, that it was not."""
    one, form = lesson_asked(request), request.form
    on = taught.day_in(form.text("on")) if form.text("on") else None
    with request.app.store.write() as db:
        taught.say_taught(db, request.teacher, one.id, form.text("class"), on)
    return see(f"/teach/lessons/{one.id}")


def set_homework(request: PageRequest) -> Response:
    """Set and print homework on a lesson: fresh questions like those that it works.

    Raises EntryError where the lesson works none that papers ask.
    """
    one = lesson_asked(request)
    lesson = lesson_in(one.body)
    questions = [part.working.question for part in lesson.parts if part.working]
    if not questions:
        raise EntryError(f"the lesson {lesson.title!r} works no question; give it a part of the kind worked")
    blueprint = homework_on(lesson.title, questions)
    title = parse_blueprint(blueprint, source="the lesson").title
    return begin_setting(request, title, blueprint, 1, 1, back=f"/teach/lessons/{one.id}")


def lesson_board(request: PageRequest) -> Response:
    """Show a lesson on the board."""
    one = lesson_asked(request)
    return stand_alone(board(lesson_in(one.body), home=f"/teach/lessons/{one.id}"), script=board_script())


def example_board(request: PageRequest) -> Response:
    """Show the lesson to start from on the board."""
    return stand_alone(board(lesson_in(STARTING), home="/teach"), script=board_script())


def question_board(request: PageRequest) -> Response:
    """Show a question on the board."""
    return stand_alone(board(lesson_of(working_asked(request)), home="/teach"), script=board_script())


ROUTES = [
    Route("/teach", teacher_page(teach_page)),
    Route("/teach/board", teacher_page(question_board)),
    Route("/teach/example", teacher_page(example_board)),
    Route("/teach/new", teacher_page(new_page)),
    Route("/teach/new", teacher_page(keep_lesson), methods=["POST"]),
    Route("/teach/lessons/{id}", teacher_page(lesson_page)),
    Route("/teach/lessons/{id}", teacher_page(keep_lesson), methods=["POST"]),
    Route("/teach/lessons/{id}/taught", teacher_page(say_taught), methods=["POST"]),
    Route("/teach/lessons/{id}/homework", teacher_page(set_homework), methods=["POST"]),
    Route("/teach/lessons/{id}/board", teacher_page(lesson_board)),
]
