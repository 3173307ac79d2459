"""Find: a request written line by line, each counted; then the questions, or why there are none."""

from __future__ import annotations

from concurrent.futures import wait
from dataclasses import dataclass
from fractions import Fraction

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.finding.contradiction import Nearest
from chalkpoint.finding.find import SPACES, Find, find
from chalkpoint.finding.found import Found
from chalkpoint.finding.registry import FOUND_BY, beliefs_in, groups_in, trait_in
from chalkpoint.finding.request import parse_term
from chalkpoint.finding.sentences import Understood, read_sentence
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.named import AnyPattern, is_school
from chalkpoint.web.conditions import COMPARISONS, Line, condition, counted, line_of
from chalkpoint.web.courses import course_asked, courses_of
from chalkpoint.web.examples import REQUESTS, found_example, move
from chalkpoint.web.forms import Form
from chalkpoint.web.jobs import Watch
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.rendering import address
from chalkpoint.web.searches import Search
from chalkpoint.web.showing import show
from chalkpoint.working.course import Course
from chalkpoint.working.question import OPERATIONS, show_pattern
from chalkpoint.working.working import Working

__all__ = ["ROUTES"]

PATIENCE = 1.0  # seconds a page waits before it becomes a job
TEN = 10
MOST_DRAWN = 100
MOST_LINES = 20
MOST_BITS_ABREAST = 32
#: Formats that are offered; any other may be typed.
FORMATS = (
    *("6+4", "8+4", "8+8", "10+6", "12+4", "16+8", "24+8"),
    *("8", "8 unsigned", "8 ones-complement", "Q3.4"),
    *("1+4+3", "binary16", "binary32", "1750A-32", "C3x-32"),
)


@dataclass(frozen=True, slots=True)
class Row:
    """One question found: its number, operands, the sum in decimal, the exact answer, the worked one.

    bits    the worked answer in bits; "" where two numbers are put together, and its value says more
    answer  its value, or a word
    """

    number: int | None
    operands: list[str]
    decimal: str
    exact: str
    bits: str
    answer: str
    verdict: str
    line: str
    asked: str

    @property
    def wide(self) -> bool:
        """Whether its operands are shown one below the other, since a page has no room for them side by side."""
        return sum(map(len, self.operands)) > MOST_BITS_ABREAST


@dataclass(frozen=True, slots=True)
class Answer:
    """What a request gave.

    counts     of the first line, of the first two, and so on; the last may be all there is
    one_in     about how many questions there are for each that meets the request
    """

    of: int
    space: str
    count: int
    interval: tuple[int, int] | None
    counts: tuple[int | None, ...]
    rows: tuple[Row, ...]
    table: tuple[tuple[tuple[str, ...], int], ...]
    contradiction: tuple[str, ...]
    nearest: tuple[Nearest, ...]
    alone: tuple[tuple[str, int], ...] = ()

    @property
    def one_in(self) -> int:
        """About how many questions there are for each that meets the request."""
        return round(Fraction(self.of, self.count)) if self.count else 0


@dataclass(frozen=True, slots=True)
class FindRequest:
    """A request, as its address says it."""

    operation: str
    course: Course
    where: tuple[str, ...]
    space: str
    seed: int
    draw: int
    simplest: int
    number: int | None = None
    table: tuple[str, ...] = ()

    def key(self) -> str:
        """What tells this request from others."""
        return repr(self)


def find_page(request: PageRequest) -> Response:
    """Show the request with its counts, and questions drawn from those that meet it."""
    form = request.form
    if form.has("trait"):
        return _to_address(request)
    query = _query(form)
    lines: list[Line] = []
    try:
        if form.text("say") and not form.has("operation"):
            return _from_sentence(query, _course_of(request))
        if not form.has("operation"):
            return _page(request, query)
        asked = _asked(request)
        lines, refused = _lines(asked, query)
        if refused:
            return _page(request, query, lines=lines, refused=refused)
        search = request.app.searches.begin(asked.key(), lambda watch: _look(asked, watch))
        wait([search.answer], timeout=PATIENCE)
        if not search.answer.done():
            return _as_job(request, search)
        answer: Answer = search.answer.result()
    except ChalkpointError as reason:
        return _page(request, query, lines=lines, refused=str(reason))
    return _page(request, query, lines=counted(lines, answer.of, answer.counts), answer=answer)


def _lines(asked: FindRequest, query: JsonObject) -> tuple[list[Line], str]:
    """Return the lines of a request, and why the first of those that cannot be asked is refused."""
    lines, refused = [], ""
    for text in asked.where:
        rest = [other for other in asked.where if other != text]
        without = address("/find", **query | {"where": rest})
        try:
            lines.append(line_of(text, asked.operation, without, course=asked.course))
        except ChalkpointError as reason:
            refused = refused or str(reason)
            lines.append(Line(text, without=without))
    return lines, refused


def _as_job(request: PageRequest, search: Search) -> Response:
    """Let a search that takes long be waited for on a page of its own, which leads back here."""
    to = request.address

    def work(watch: Watch) -> str:
        search.wait(watch)
        return to

    return see(f"/jobs/{request.app.jobs.start(request.teacher, 'Counting every question', work)}")


def _course_of(request: PageRequest) -> Course:
    """Return the course of the request, in the format that is asked for; in its own where that is none."""
    course = course_asked(request)
    try:
        return course.with_(format=request.form.text("format") or None)
    except EntryError:  # the page says so when it is asked
        return course


def _asked(request: PageRequest) -> FindRequest:
    form = request.form
    course = course_asked(request).with_(format=form.text("format") or None)
    where = tuple(text for text in form.texts("where") if text)
    if len(where) > MOST_LINES:
        raise EntryError(f"{len(where)} conditions are asked for at once; give up to {MOST_LINES}")
    return FindRequest(
        form.one_of("operation", FOUND_BY, "subtract"),
        course,
        where,
        form.one_of("space", SPACES, SPACES[0]),
        form.number("seed", 1, least=0, most=10**9),
        form.number("draw", TEN, least=1, most=MOST_DRAWN),
        form.number("simplest", 0, least=0, most=MOST_DRAWN),
        form.number("number", 0, least=0, most=10**30) if form.text("number") else None,
        tuple(name for name in form.texts("table") if name),
    )


def _look(asked: FindRequest, watch: Watch) -> Answer:
    """Count the request line by line, and draw from it."""
    found = _find(asked, asked.where, watch)
    counts: list[int | None] = []
    for size in range(1, len(asked.where)):
        above = _find(asked, asked.where[:size], watch)
        counts.append(above.count if above.exact else None)
    count = found.count
    if count:
        rows = tuple(_row(asked, question) for question in _chosen(asked, found))
        table = tuple(found.table(*asked.table).counts.items()) if asked.table else ()
        return Answer(found.of, found.space, count, found.interval, (*counts, count), rows, table, (), ())
    excluding = tuple(found.contradiction or ())
    alone = tuple((text, _find(asked, (text,), watch).count) for text in excluding)
    return Answer(
        found.of,
        found.space,
        0,
        found.interval,
        (*counts, 0),
        (),
        (),
        excluding,
        tuple(found.nearest or ()),
        alone,
    )


def _chosen(asked: FindRequest, found: Find) -> list[Found]:
    """Return the questions to show: the one asked for by number, the simplest, or some drawn fairly."""
    if asked.number is not None:
        return [found[asked.number]]
    return found.simplest(asked.simplest) if asked.simplest else found.draw(asked.draw, asked.seed)


def _find(asked: FindRequest, where: tuple[str, ...], watch: Watch) -> Find:
    return find(asked.operation, where=where, course=asked.course, space=asked.space, watch=watch)


def _row(asked: FindRequest, question: Found) -> Row:
    working, point = question.work(), asked.course.point
    kind = OPERATIONS[asked.operation]
    values = [_value(part, asked, point) for part in question.given]
    check = working.check
    operands = ", ".join(question.operands)
    return Row(
        question.number,
        _shown(asked, question) if kind.takes != "values" else [],
        f" {kind.sign} ".join(values) if kind.sign else ", ".join(values),
        check.special or write_value(check.exact, point=point),
        "" if kind.sign or working.pattern is None else _bits(asked, working.pattern),
        _answer(working, point),
        check.verdict,
        f"{asked.operation} {operands}",
        operands,
    )


def _shown(asked: FindRequest, question: Found) -> list[str]:
    """Return the operands as the page shows them."""
    return [_bits(asked, part) for part in question.given]


def _bits(asked: FindRequest, pattern: AnyPattern) -> str:
    """Return a pattern as the page shows it: rails show the point of a school's mantissa."""
    fmt = asked.course.number_format
    return fmt.write(pattern, point=not is_school(fmt))


def _answer(working: Working, point: str) -> str:
    ended = working.result
    return ended.outcome if ended.value is None else write_value(ended.value, point=point)


def _value(part: AnyPattern | Fraction, asked: FindRequest, point: str) -> str:
    if isinstance(part, Fraction):
        return write_value(part, point=point)
    value = show_pattern(asked.course.number_format, part, point)
    signed = value.startswith("−") and OPERATIONS[asked.operation].sign
    return f"({value})" if signed else value


def _to_address(request: PageRequest) -> Response:
    """Lead from the form to the address that says the same; lines that cannot be asked stay as they are."""
    form, course = request.form, _course_of(request)
    query = _query(form)
    operation = form.text("operation", "subtract")
    where = [text for text in form.texts("where") if text]
    for name, comparison, value in zip(
        form.texts("trait"), form.texts("is"), form.texts("value"), strict=False
    ):
        if name:
            where.append(condition(operation, name, comparison, value, course=course))
    return see(address("/find", **query | {"where": where}))


def _from_sentence(query: JsonObject, course: Course) -> Response:
    """Lead from a sentence to the address of the conditions it was understood as, which keeps it as typed."""
    read = read_sentence(query["say"], course=course)
    if read.operation == "convert":
        raise EntryError(
            "conversions are not looked for on this page; type: chalkpoint find convert --to 6+4"
        )
    found = {
        "operation": read.operation or "subtract",
        "format": read.format or query["format"],
        "where": list(read.where),
    }
    return see(address("/find", **query | found))


def _understood(
    query: JsonObject, operation: str, course: Course
) -> tuple[Understood | None, list[tuple[str, str, str]]]:
    """Return how the sentence of a page was read, and (words, other reading, its address) for what is ambiguous."""
    try:
        read = read_sentence(query["say"], operation, course) if query["say"] else None
    except EntryError:
        return None, []
    others = []
    for other in read.others if read else ():
        if all(text in query["where"] for text in other.taken):
            where = [text for text in query["where"] if text not in other.taken] + list(other.instead)
            sentences = [parse_term(text, trait_in(course, operation)) for text in other.instead]
            says = "; ".join(f"{term.trait.sentence} ({term.text})" for term in sentences)
            others.append((other.words, says, address("/find", **query | {"where": where})))
    return read, others


def _query(form: Form) -> JsonObject:
    query: JsonObject = {
        key: form.text(key)
        for key in ("say", "operation", "format", "course", "space", "seed", "draw", "simplest", "number")
    }
    lists = {name: [text for text in form.texts(name) if text] for name in ("where", "table")}
    return query | lists


def _page(
    request: PageRequest,
    query: JsonObject,
    *,
    lines: list[Line] | None = None,
    answer: Answer | None = None,
    refused: str = "",
) -> Response:
    operation = str(query["operation"] or "subtract")
    known = operation if operation in FOUND_BY else "subtract"
    course = _course_of(request)
    read, others = _understood(query, known, course)
    return show(
        request,
        "find.html.jinja",
        read=read,
        others=others,
        status=422 if refused else 200,
        query=query,
        operation=known,
        lines=lines or [],
        answer=answer,
        refused=refused,
        operations=list(FOUND_BY),
        groups=groups_in(course, known),
        beliefs=beliefs_in(course, known),
        school=is_school(course.number_format),
        comparisons=COMPARISONS,
        courses=courses_of(request),
        example=None if request.form.has("operation") else found_example(),
        move=move,
        requests=REQUESTS,
        formats=FORMATS,
    )


ROUTES = [Route("/find", teacher_page(find_page))]
