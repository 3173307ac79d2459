"""Courses: a class's conventions, written once and worked under everywhere."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.numbers.listed import list_formats
from chalkpoint.numbers.writingtoml import write_toml
from chalkpoint.records import kept
from chalkpoint.setting.alike import course_table
from chalkpoint.web.courses import COURSE, USUAL, course_in
from chalkpoint.web.forms import Form
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.showing import show
from chalkpoint.working.choices import CHOICES, allowed_choices
from chalkpoint.working.course import ALLOWED, Course
from chalkpoint.working.methods import METHODS

__all__ = ["ROUTES", "course_text"]

KIND = "course"
#: What is asked, in the order a teacher thinks of it; the conventions of a format come last.
LABELS = {
    "name": "What the class is called",
    "format": "Format",
    "method": "Method taught",
    "accepts": "Methods whose answers are right too",
    "rounding": "A value that does not fit is",
    "operands": "Operands that are not normalised",
    "zero": "Exponent of zero",
    "underflow": "Underflow gives",
    "overflow": "Overflow gives",
    "point": "Decimal mark",
    "binary_point": "Binary point in sentences",
    "exponent": "The exponent is written",
    "hexadecimal": "Hexadecimal beside patterns",
}


def courses_page(request: PageRequest) -> Response:
    """Show the courses, and which one is worked under."""
    with request.app.store.read() as db:
        mine = [(one, course_in(one.body)) for one in kept.all_of(db, request.teacher, KIND)]
    chosen = request.cookie(COURSE) or USUAL
    return show(request, "courses.html.jinja", mine=mine, chosen=chosen, usual=Course(), form_of=Course())


def choose_course(request: PageRequest) -> Response:
    """Work under a course from now on."""
    chosen = request.form.text(COURSE)
    if chosen != USUAL:
        with request.app.store.read() as db:
            kept.one(db, request.teacher, KIND, chosen)
    request.remember(COURSE, chosen)
    return see("/courses")


def new_page(request: PageRequest) -> Response:
    """Ask for the conventions of a new course."""
    return _form_page(request, Course().to_dict(), "")


def course_page(request: PageRequest) -> Response:
    """Ask for changes of a course."""
    with request.app.store.read() as db:
        course = course_in(kept.one(db, request.teacher, KIND, request.path["id"]).body)
    return _form_page(request, course.to_dict(), request.path["id"])


def keep_course(request: PageRequest) -> Response:
    """Keep a course, new or changed, and work under it; a refused one is shown again as it was written."""
    written, known = _written(request.form), request.path.get("id", "")
    try:
        course = Course(**written)
    except ChalkpointError as reason:
        return _form_page(request, written, known, refused=str(reason))
    title, text = course.name or course.format, course_text(course)
    with request.app.store.write() as db:
        if known:
            kept.change(db, request.teacher, KIND, known, title=title, body=text)
        else:
            known = kept.keep(db, request.teacher, KIND, title, text).id
    request.remember(COURSE, known)
    return see("/courses")


def _written(form: Form) -> JsonObject:
    """Return the entries of the form as a course takes them; what is left open is the format's own."""
    usual = Course().to_dict() | dict.fromkeys(CHOICES, "")
    return {key: form.text(key, usual[key]) for key in usual if key != "accepts"} | {
        "accepts": form.texts("accepts")
    }


def course_text(course: Course) -> str:
    """Return *course* as the lines of a course file: those that differ from the usual one, and the format.

    >>> print(course_text(Course(name="12 Heron", accepts=("negate-then-align",))))
    name = "12 Heron"
    format = "8+4"
    accepts = ["negate-then-align"]
    """
    return write_toml(course_table(course))


def _form_page(request: PageRequest, written: JsonObject, known: str, refused: str = "") -> Response:
    return show(
        request,
        "course.html.jinja",
        status=422 if refused else 200,
        written=written,
        known=known,
        refused=refused,
        labels=LABELS,
        options=ALLOWED | _choices(written["format"]),
        methods=list(METHODS),
        formats=[listed.spelling for listed in list_formats()],
    )


def _choices(spelling: str) -> dict[str, tuple[str, ...]]:
    """Return what may be chosen in a format; in one that cannot be read, what may be in the usual one."""
    try:
        course = Course(format=spelling)
    except ChalkpointError:
        course = Course()
    return {key: ("", *allowed) for key, allowed in allowed_choices(course.number_format).items()}


ROUTES = [
    Route("/courses", teacher_page(courses_page)),
    Route("/courses/choose", teacher_page(choose_course), methods=["POST"]),
    Route("/courses/new", teacher_page(new_page)),
    Route("/courses/new", teacher_page(keep_course), methods=["POST"]),
    Route("/courses/{id}", teacher_page(course_page)),
    Route("/courses/{id}", teacher_page(keep_course), methods=["POST"]),
]
