"""One question marked without a class, and a key read for the conventions it was made under."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.marking.judging import judge
from chalkpoint.marking.key import read_key
from chalkpoint.marking.keyfile import read_key_text
from chalkpoint.marking.saying import say
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.publishing.classes.pages import status_words
from chalkpoint.publishing.keyed import key_page
from chalkpoint.web.courses import course_asked, courses_of
from chalkpoint.web.pagerequest import PageRequest, teacher_page
from chalkpoint.web.showing import show
from chalkpoint.web.standalone import stand_alone
from chalkpoint.working.wording.heading import heading

__all__ = ["ROUTES"]


def question_page(request: PageRequest) -> Response:
    """Ask for a question, its lines and its answer; show what can be said of them."""
    form, refused, said, title = request.form, "", None, ""
    if form.text("question"):
        try:
            course = course_asked(request).with_(format=form.text("format") or None)
            judgement = judge(
                form.text("question"), _lines(form.text("lines")), form.text("answer"), course=course
            )
            said, title = say(judgement), heading(judgement.question)
        except ChalkpointError as reason:
            refused = str(reason)
    return show(
        request,
        "question.html.jinja",
        status=422 if refused else 200,
        query={key: form.text(key) for key in ("question", "lines", "answer", "format", "course")},
        refused=refused,
        said=said,
        heading=title,
        stroke=status_words,
        courses=courses_of(request),
    )


def _lines(text: str) -> dict[str, str]:
    r"""Return lines of working, one a line: "align 00011101" or "align: 00011101".

    >>> _lines("align 00011101\nnegate: 11100011")
    {'align': '00011101', 'negate': '11100011'}
    """
    lines = {}
    for row in text.splitlines():
        name, _, written = row.strip().replace(":", " ", 1).replace("=", " ", 1).partition(" ")
        if name:
            lines[name] = written.strip()
    return lines


def key_asked(request: PageRequest) -> Response:
    """Show the form for a key."""
    return show(request, "key.html.jinja", refused="", text="")


def key_read(request: PageRequest) -> Response:
    """Read a key, and show under which conventions it was made, or where it does not hold together."""
    text = request.form.text("key").replace("\r\n", "\n")
    try:
        page = key_page(read_key(read_key_text(text), format=request.form.text("format") or None))
    except ChalkpointError as reason:
        return show(request, "key.html.jinja", status=422, refused=str(reason), text=text)
    return stand_alone(page)


ROUTES = [
    Route("/mark/question", teacher_page(question_page)),
    Route("/mark/key", teacher_page(key_asked)),
    Route("/mark/key", teacher_page(key_read), methods=["POST"]),
]
