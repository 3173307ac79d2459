"""The teacher's page on a class, and a page for each pupil: complete in themselves, without script."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from chalkpoint.marking.groups import Group
from chalkpoint.marking.reteaching import reteach
from chalkpoint.marking.saying import STROKES
from chalkpoint.marking.students import is_diagnosed, skill_of
from chalkpoint.marking.summary import MOST_AGAIN, MOST_NAMES, QuestionCount, Summary
from chalkpoint.marking.ways import Way
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.exact import MINUS
from chalkpoint.publishing.classes.plots import dots, dots_in_words, square
from chalkpoint.publishing.classes.rails import rail_pair
from chalkpoint.setting.papers import Papers
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.conventions import CONVENTIONS
from chalkpoint.working.course import Course
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import Question, ask
from chalkpoint.working.wording.heading import heading

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

__all__ = [
    "Again",
    "Leads",
    "by_answer",
    "class_body",
    "class_page",
    "discrimination",
    "monday",
    "plain_why",
    "report_styles",
    "reteaching",
    "says",
    "singly",
    "status_words",
]


ACROSS = 32  # pupils in one map of skills
SEVERAL = 2  # pupils from whom on a belief not yet named is mentioned


@dataclass(frozen=True, slots=True)
class Leads:
    """Where a class's report leads to, as addresses; nowhere in a page by itself.

    pupil   a pupil's script, by code
    decide  a decision, by the pupil's code and the number of the question
    board   an example on the board, by what a form would say: ("belief", ...) or ("question", ...)
    again   where a sheet of practice is printed, or a live class opened, for a belief: forms are sent there
    token   what those forms carry
    ruled   where a group of answers is ruled on, by the number of a question
    second  where the sample is marked again
    """

    pupil: Callable[[str], str] | None = None
    decide: Callable[[str, int], str] | None = None
    board: Callable[[str, str], str] | None = None
    again: str = ""
    token: str = ""
    ruled: Callable[[int], str] | None = None
    second: str = ""


def class_page(summary: Summary) -> str:
    """Return the teacher's page on a class."""
    return (
        _environment().get_template("class.html.jinja").render(styles=styles(), **_of_class(summary, Leads()))
    )


def class_body(summary: Summary, leads: Leads, groups: Sequence[Group] = ()) -> Markup:
    """Return the content of that page, for a page that has `styles` of its own and leads on from it.

    groups  answers that are ruled on together
    """
    from markupsafe import Markup

    page = _environment().get_template("class-body.html.jinja").render(**_of_class(summary, leads, groups))
    return Markup(page)  # noqa: S704 - our own template escapes what it is given


def _of_class(summary: Summary, leads: Leads, groups: Sequence[Group] = ()) -> JsonObject:
    papers = summary.papers
    beliefs = summary.most_common()
    groups = groups or [group for group in summary.groups if group.is_ruled_together]
    return {
        "title": papers.title or papers.course.name or "Class",
        "all": summary,
        "of": papers.first.marks,
        "skills": dict(summary.skills),
        "beliefs": beliefs,
        "shared": [count for count in beliefs if summary.shared_by_most(count)],
        "monday": (again := monday(summary)),
        "singly": singly(summary, groups),
        "maps": _maps(summary),
        "on_monday": _on_monday(again),
        "groups": groups,
        "asked": {one.number: heading(one.question) for one in papers.first.questions},
        "leads": leads,
        "statuses": list(STROKES),
        "says": says,
        "by": _by,
        "hint": lambda among: BELIEFS[among[0]].rule,
        "reteach": lambda among: reteaching(among[0], papers),
        "asks": lambda entry: _asks(entry, papers),
        "pupil": leads.pupil,
        "decide": leads.decide,
        "board": leads.board,
        "second": leads.second,
    }


def _maps(summary: Summary) -> list[list[tuple[str, int, dict[str, int], bool]]]:
    """Return the pupils of the map of skills, those with most marks first, as many in a map as fit its width."""
    rows = sorted(summary.rows, key=lambda row: (row[3], -row[1], row[0]))
    return [rows[at : at + ACROSS] for at in range(0, len(rows), ACROSS)]


def _on_monday(things: list[Again]) -> dict[str, list[int]]:
    """Return which of the things taught again each pupil needs, by pupil."""
    found: dict[str, list[int]] = {}
    for number, again in enumerate(things, start=1):
        for name in again.names:
            found.setdefault(name, []).append(number)
    return found


@dataclass(frozen=True, slots=True)
class Again:
    """One thing to teach again: a belief that was named, or a skill that cost most where none was.

    says   what its pupils do, or where it shows
    key    what a form says of it: ("belief", its id) or ("question", its number)
    board  the example for the board, in words
    ask    a question for the class
    """

    title: str
    names: list[str]
    more: int
    lost: int
    says: str
    key: tuple[str, str]
    shown: list[tuple[str, int, str, str]]
    board: str
    ask: str


def monday(summary: Summary) -> list[Again]:
    """Return at most three things to teach again, those that cost most marks first."""
    papers, found = summary.papers, []
    for count in summary.to_teach_again():
        belief, again = BELIEFS[count.among[0]], reteaching(count.among[0], papers)
        board = (
            f"{again['example']}. It ends at {again['wrong']} instead of {again['right']}." if again else ""
        )
        more, hinge = count.pupils - len(count.names), again["hinge"] if again else belief.nudge
        key, said = ("belief", belief.id), says(count.among)
        found.append(Again(belief.rule, count.names, more, count.lost, said, key, count.shown, board, hinge))
    return found or list(_skills_again(summary))


def _skills_again(summary: Summary) -> Iterator[Again]:
    """Yield the skills that cost most marks where they were shown: what is not written says nothing of them."""
    for skill, lost in (+summary.shown_lost).most_common(MOST_AGAIN):
        names = [name for name, _, gone, absent in summary.rows if not absent and gone.get(skill)]
        asked = [
            one
            for one in summary.papers.first.questions
            if any(skill_of(one.question.operation.name, point.rule) == skill for point in one.points)
        ]
        if not asked or not names:
            continue
        worst = max(asked, key=lambda one: summary.questions[one.number].wrong[skill])
        words = f"{_suspected(summary, names)} Most of it was lost in question {worst.number}."
        board = f"{heading(worst.question)}, worked line by line."
        more, key = max(0, len(names) - MOST_NAMES), ("question", str(worst.number))
        title = f"{skill[:1].upper()}{skill[1:]}"
        yield Again(title, names[:MOST_NAMES], more, lost, words, key, [], board, "")


def _suspected(summary: Summary, names: Sequence[str]) -> str:
    """Return which belief several of *names* may share, on too few answers each to be named."""
    open_ = Counter(
        tuple(belief["among"]) for student, belief in summary.open if student in names and belief["shown_on"]
    )
    among, pupils = open_.most_common(1)[0] if open_ else ((), 0)
    if pupils < SEVERAL:
        return "No single belief explains it."
    return f"{pupils} of them may share one belief, on too few answers to name it: {_quoted(among)}"


def singly(summary: Summary, groups: Sequence[Group]) -> list[tuple[str, int, str, str]]:
    """Return what waits and is in no group: (pupil, question, its points, why), a question a line."""
    together = {group.name for group in groups}
    return by_answer(one for one in summary.waiting if one[2]["group"] not in together)


def by_answer(waiting: Iterable[tuple[str, int, JsonObject]]) -> list[tuple[str, int, str, str]]:
    """Return points that wait as (pupil, question, its points, why), an answer a line."""
    found: dict[tuple[str, int], list[JsonObject]] = {}
    for student, question, point in waiting:
        found.setdefault((student, question), []).append(point)
    return [
        (student, question, ", ".join(point["name"] for point in points), _why_of(points))
        for (student, question), points in found.items()
    ]


def _why_of(points: Sequence[JsonObject]) -> str:
    """Return why an answer waits: in the words of its own place, where lines wait with it."""
    return str(next((point for point in points if point["rule"] == "answer"), points[0])["why"])


def plain_why(point: JsonObject) -> str:
    """Return why, without naming a belief: what was expected is enough for a pupil."""
    if point["status"] == "misconception" and "expects" in point:
        return f"{point['expects']} was expected."
    return str(point["why"])


def _asks(entry: JsonObject, papers: Papers) -> str:
    course = diagnosed_course(papers).with_(format=entry.get("format"))
    return _words(ask(entry["operation"], *entry["operands"], course=course))


def diagnosed_course(papers: Papers) -> Course:
    """Return the course under which beliefs are named and shown: of the first question that says anything of them."""
    found = (one.question.course for one in papers.first.questions if is_diagnosed(one.question))
    return next(found, papers.course)


def _words(question: Question, part: str = "") -> str:
    """Return a question in one line: what it asks, which *part* of it, and the patterns it is asked with."""
    patterns = ", ".join(question.format.write(pattern, point=True) for pattern in question.patterns)
    asked = ", ".join(words for words in (heading(question), part) if words)
    return f"{asked} ({patterns})" if patterns else asked


def says(among: list[str] | tuple[str, ...]) -> str:
    """Return the beliefs as pupils would put them; a class of look-alikes is said to be one of them."""
    said = _quoted(among)
    return said if len(among) == 1 else f"One of these, which the same answers show: {said}"


def _quoted(among: Sequence[str]) -> str:
    return " or ".join(f"\u201c{BELIEFS[name].says}\u201d" for name in among)


def _by(method: str) -> str:
    """Return a right way of working that is not the course's, in words."""
    convention = Way(method).convention
    return (
        CONVENTIONS[convention].words
        if convention
        else METHODS[method].words
        if method in METHODS
        else method
    )


def reteaching(belief: str, papers: Papers) -> dict[str, str] | None:
    """Return a counter-example and a hinge question in words; None where the paper asks nothing that shows it."""
    asked = [one.question for one in papers.first.questions if is_diagnosed(one.question)]
    again = reteach(
        belief, diagnosed_course(papers), frozenset(question.operation.name for question in asked)
    )
    if again is None:
        return None
    hinge = (
        f"{_words(again.hinge, again.part)}. Is it {', '.join(again.choices[:-1])} or {again.choices[-1]}?"
    )
    return {
        "example": _words(again.example, again.part),
        "right": again.right,
        "wrong": again.wrong,
        "hinge": hinge,
    }


# === The templates ===

#: The strokes of marks, in a square of 20 units.
DRAWN = {
    "right": '<path d="M3 11l5 5 9-12"/>',
    "follow-through": '<path d="M1 10h5M4 7l3 3-3 3M10 11l3 4 6-9"/>',
    "recovered": '<path d="M2 5c3 12 10 14 14 3M12 9l4-2 2 4"/>',
    "misconception": '<path d="M2 10h5M7 10l10-6"/><path d="M7 10l10 6" stroke-dasharray="1.5 3.5"/>',
    "copied": '<path d="M4 7h12M4 13h12"/>',
    "off": '<path d="M4 4l12 12M16 4L4 16"/>',
    "implied": '<circle cx="10" cy="10" r="6.5" stroke-dasharray="2.5 3.3"/>',
    "absent": '<path d="M5 10h10"/>',
}


@cache
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("chalkpoint.publishing"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )
    environment.globals |= {
        "number": _number,
        "percent": _percent,
        "discrimination": discrimination,
        "count": _count,
        "stroke": status_words,
        "dots": _dots,
        "in_words": dots_in_words,
        "square": _square,
        "rails": rail_pair,
    }
    return environment


def styles() -> Markup:
    """Return the styles of a self-contained page."""
    return _sheet("class.css") + report_styles()


def report_styles() -> Markup:
    """Return the styles of what `class_body` returns, for a page of the app."""
    return _sheet("report.css")


@cache
def _sheet(name: str) -> Markup:
    from markupsafe import Markup

    sheet = files("chalkpoint.publishing").joinpath("templates", name).read_text(encoding="utf-8")
    return Markup(sheet)  # noqa: S704 - our own file


def _number(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def discrimination(count: QuestionCount) -> str:
    """Return how far marks on a question go with marks on the rest, as both reports show it."""
    value = count.discrimination
    return "\u2013" if value is None else f"{value:.2f}".replace("-", MINUS)


def _percent(part: int, whole: int) -> str:
    return f"{100 * part / whole:.0f}%" if whole else "\u2013"


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def status_words(status: str) -> Markup:
    """Return how a line is judged, as a stroke and a word."""
    from markupsafe import Markup

    drawn = f'<svg class="g1" viewBox="0 0 20 20" aria-hidden="true">{DRAWN[status]}</svg>'
    return Markup(f'<span class="said">{drawn} {STROKES[status][2]}</span>')  # noqa: S704 - shapes and words of ours


def _dots(counts: dict[int, int], of: int) -> tuple[Markup, int, int, int]:
    from markupsafe import Markup

    shapes, width, height, worth = dots(counts, of)
    return Markup(shapes), width, height, worth  # noqa: S704 - shapes of ours


def _square(lost: int, of: int, unseen: int = 0) -> Markup:
    from markupsafe import Markup

    return Markup(square(lost, of, unseen))  # noqa: S704 - shapes of ours
