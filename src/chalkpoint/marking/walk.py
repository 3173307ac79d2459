"""The walk: a pupil's lines judged in order, each from the pupil's own previous line.

At every line written there is a set of ways in which the pupil may have got this far. The right rules
are tried first; then, from each way, every belief. A belief that leaves no trace on a line (it may
have changed an exponent nobody wrote) is carried along silently until it shows.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from operator import itemgetter
from typing import NamedTuple

from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.sheets import Believing, Sheet, Written
from chalkpoint.marking.slips import slip_between
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.lanes import positions
from chalkpoint.setting.answering import answer_format
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.page import AnyPage
from chalkpoint.working.question import Question
from chalkpoint.working.together import Slots, run_each, slots_of_methods

__all__ = ["FAULTS", "Account", "LineMark", "walk", "walk_clean"]

FAULTS = ("misconception", "copied", "off")
CLEAN = ("right", "implied", "absent")
IMPLYING = ("right", "follow-through")  # what a line written is, where one not written before it is implied
MOST_WAYS = 80
KEPT_STARTS = 1 << 10  # pages from which it is kept how holders of each belief go on


class Route(NamedTuple):
    """One way in which a pupil may have got this far: a page, and the faulty method that led to it, if any.

    page     the page so far
    method   the faulty method that led here; None where only right rules did
    belief   that method's belief
    seen     whether that method has shown itself; until then only it goes on from its page
    at       the line on which it first wrote something else than the right rules
    """

    page: AnyPage
    method: Method | None = None
    belief: str = ""
    seen: bool = False
    at: str = ""

    @property
    def silent(self) -> bool:
        """Whether a faulty method led here that has not shown itself."""
        return self.method is not None and not self.seen


class Ran(NamedTuple):
    """Lines run on a page: the pages before and after the last of them."""

    before: AnyPage
    after: AnyPage


@dataclass(frozen=True)
class LineMark:
    """One line judged.

    line      its name
    written   what the pupil wrote, or ""
    status    right, follow-through, recovered, misconception, copied, off, implied or absent
    expects   what the right working has there
    own       what would have followed from the pupil's own previous line
    had       what the pupil had before the line
    among     beliefs whose rule gives exactly what is written
    slip      a slip that would explain it, in words, or ""
    note      anything else worth saying
    at        the earlier line, not written, on which every one of those beliefs acted; "" where it is this one
    """

    line: str
    written: str
    status: str
    expects: str = ""
    own: str = ""
    had: str = ""
    among: tuple[str, ...] = ()
    slip: str = ""
    note: str = ""
    at: str = ""


@dataclass
class Account:
    """All lines judged under one method.

    base    the method
    marks   the lines in the method's order
    page    the pupil's own page after the last line written, as the first way explains it
    """

    base: Method
    marks: list[LineMark] = field(default_factory=list)
    page: AnyPage = None

    @property
    def faults(self) -> int:
        """How many lines went wrong."""
        return sum(mark.status in FAULTS for mark in self.marks)

    @property
    def first_wrong(self) -> LineMark | None:
        """The first line that went wrong, if any did."""
        return next((mark for mark in self.marks if mark.status in FAULTS), None)


def walk(sheet: Sheet, base: Method, written: Written, *, believing: Believing | None = None) -> Account:
    """Return *written* judged under *base*; without *believing* only right rules are tried."""
    walker = Walker(sheet, base, written, believing)
    for line in sheet.lines(base, written):
        walker.take(line, walker.to_come(line))
    return walker.account()


def walk_clean(sheet: Sheet, base: Method, written: Written) -> Account | None:
    """Return *written* judged under *base* where every line is right; None as soon as one is not.

    What may explain a wrong line is not looked for, which is most of the work of judging it.
    """
    walker = Walker(sheet, base, written, None)
    for line in sheet.lines(base, written):
        right = walker.to_come(line)
        if line.name in written and not sheet.shows(line.name, *right, written[line.name]):
            return None
        walker.take(line, right)
        if walker.marks and walker.marks[-1].status not in CLEAN:
            return None
    return walker.account()


def _with_implied(marks: list[LineMark]) -> list[LineMark]:
    """Return *marks*, where a line not written is implied if the next one written needs it and is right."""
    found: list[LineMark] = []
    implied = False
    for mark in reversed(marks):
        if mark.written:
            implied = mark.status in IMPLYING
        found.append(replace(mark, status="implied") if mark.status == "absent" and implied else mark)
    return found[::-1]


def _run(page: AnyPage, method: Method, lines: tuple[Line, ...], context: object) -> Ran:
    before = page
    for line in lines:
        before, page = page, method.apply(line, page, context)
    return Ran(before, page)


@lru_cache(KEPT_STARTS)
def _acting(base: Method, believing: Believing, lines: tuple[Line, ...]) -> tuple[int, Slots, Slots]:
    """Return a mask of the methods that write any of *lines* otherwise than *base*, and their slots.

    The slots are those of the lines up to the last, and those of the last.
    """
    acting = {
        number: method
        for number, (_, method) in enumerate(believing.methods(base))
        if not all(method.writes_alike(base, line) for line in lines)
    }
    everyone = sum(1 << number for number in acting)
    return everyone, slots_of_methods(acting, lines[:-1]), slots_of_methods(acting, lines[-1:])


@lru_cache(KEPT_STARTS)
def _believed_from(
    page: AnyPage, base: Method, believing: Believing, lines: tuple[Line, ...], context: object
) -> tuple[tuple[Ran, int], ...]:
    """Return how *lines* go on from *page* by *believing*'s methods, where not as *base* has it, with a mask of them.

    Whatever pupils write, every way of working a question begins alike.
    """
    everyone, to_last, last = _acting(base, believing, lines)
    if not everyone:
        return ()
    usual = _run(page, base, lines, context).after
    return tuple(
        (Ran(before, after), held)
        for before, holders in run_each(to_last, [(page, everyone)], context)
        for after, held in run_each(last, [(before, holders)], context)
        if after != usual
    )


class Walker:
    """The ways so far, and the correct page beside them."""

    def __init__(self, sheet: Sheet, base: Method, written: Written, believing: Believing | None) -> None:
        self.sheet = sheet
        self.base = base
        self.written = written
        self.believing = believing
        self.correct = sheet.start
        self.ways = [Route(sheet.start)]
        self.pending: list[Line] = []
        self.seen: list[str] = []
        self.marks: list[LineMark] = []
        self.right: list[tuple[AnyPage, tuple[Line, ...], str, tuple[Reading, ...]]] = []
        self.lines_of_first: tuple[Line, ...] = ()

    def run(self, method: Method, page: AnyPage) -> Ran:
        """Return the lines not yet judged, run by *method* on *page*."""
        return _run(page, method, tuple(self.pending), self.sheet.context)

    def to_come(self, line: Line) -> Ran:
        """Return how the right working goes on *line*, which comes next."""
        return Ran(self.correct, self.base.apply(line, self.correct, self.sheet.context))

    def account(self) -> Account:
        """Return what was judged up to here."""
        return Account(self.base, _with_implied(self.marks), self.ways[0].page)

    def take(self, line: Line, right: Ran) -> None:
        """Judge *line*, where the right working goes *right*, if it is written; if not, it is still to be run."""
        self.pending.append(line)
        self.correct = right.after
        if line.name in self.written:
            self.judge(line, self.written[line.name], right)
            self.pending = []
        elif line.slots and line.name != "read" and not (line.optional and right.after == right.before):
            self.marks.append(LineMark(line.name, "", "absent", expects=self.sheet.says(line.name, *right)))

    def judge(self, line: Line, entries: tuple[Reading, ...], right: Ran) -> None:
        """Judge what is written on *line*, where the right working goes *right*, and go on from it."""
        sheet, name = self.sheet, line.name
        correct = sheet.shows(name, *right, entries)
        over = not any(one.slots for one in self.pending)  # after a word only the answer is left to write
        before = [way.page for way in self.ways if not way.silent and (over or sheet.goes_on(way.page))]
        plain = [self.run(self.base, page) for page in before]
        own = [ran for ran in plain if sheet.shows(name, *ran, entries)]
        faulty = self._faulty(name, entries)
        origin = plain[0] if plain else right
        details: JsonObject = {}
        if own:
            status, ways = (
                "right" if correct else "follow-through",
                [Route(ran.after) for ran in own] + faulty,
            )
        elif correct:
            status, ways = "recovered", [Route(right.after)]
        elif faulty := self._unrefuted(faulty):
            status, ways = "misconception", [way._replace(seen=True) for way in faulty]
            details["among"] = tuple(dict.fromkeys(way.belief for way in faulty))
            details["at"] = self._acted_at(name, faulty)
            details["slip"] = slip_between(entries[0].bare, self._digits(name, origin))
        else:
            ways = [Route(sheet.adopt(name, *origin, entries))]
            status, details["slip"] = self._unexplained(name, entries, origin)
        self.ways = list(dict.fromkeys(ways))[:MOST_WAYS]
        if status == "right":
            self.right.append((before[0], tuple(self.pending), name, entries))
        if not self.seen:
            self.lines_of_first = tuple(self.pending)
        elif status == "off" and not details["slip"]:
            self._doubt_first()
        expects = sheet.says(name, *right)
        self.marks.append(
            LineMark(
                name,
                "; ".join(entry.text for entry in entries),
                status,
                expects=expects,
                own=expects if origin == right else sheet.says(name, *origin),
                had=sheet.had(name, origin.before),
                **details,
            )
        )
        self.seen.append(name)

    def _unrefuted(self, faulty: list[Route]) -> list[Route]:
        """Return those of *faulty* whose belief would have written the right lines before; all where none would."""
        kept = [
            way
            for way in faulty
            if way.method is not None
            and all(
                self.sheet.shows(name, *_run(page, way.method, lines, self.sheet.context), entries)
                for page, lines, name, entries in self.right
            )
        ]
        return kept or faulty

    def _faulty(self, name: str, entries: tuple[Reading, ...]) -> list[Route]:
        """Return every way in which a belief writes what is written."""
        if self.believing is None:
            return []
        found: list[Route] = []
        for way in self.ways:
            goes_on = not way.silent and self.sheet.goes_on(way.page)
            if way.method is not None:
                ran = self.run(way.method, way.page)
                usual = self.run(self.base, way.page).after if goes_on else None
                if ran.after != usual and self.sheet.shows(name, *ran, entries):
                    found.append(self._held(way, way.belief, way.method, ran))
            if goes_on:
                found += self._begun_here(way, name, entries)
        return found

    def _begun_here(self, way: Route, name: str, entries: tuple[Reading, ...]) -> list[Route]:
        """Return every way in which a belief not held before writes what is written."""
        assert self.believing is not None  # noqa: S101 - beliefs are looked for
        every = self.believing.methods(self.base)
        begun = _believed_from(way.page, self.base, self.believing, tuple(self.pending), self.sheet.context)
        shown = [
            (number, ran)
            for ran, holders in begun
            if self.sheet.shows(name, *ran, entries)
            for number in positions(holders)
        ]
        shown.sort(key=itemgetter(0))
        return [
            self._held(way, *every[number], ran) for number, ran in shown if every[number][0] != way.belief
        ]

    def _held(self, way: Route, belief: str, method: Method, ran: Ran) -> Route:
        """Return *way* as it goes on where *belief* wrote what is written."""
        return Route(ran.after, method, belief, at=way.at or self._apart_at(method, way.page))

    def _apart_at(self, method: Method, page: AnyPage) -> str:
        """Return the first line not yet judged on which *method* writes something else than the right rules."""
        usual = faulty = page
        for line in self.pending:
            usual = self.base.apply(line, usual, self.sheet.context)
            faulty = method.apply(line, faulty, self.sheet.context)
            if usual != faulty:
                return line.name
        return ""

    def _acted_at(self, name: str, faulty: list[Route]) -> str:
        """Return the earlier line on which all of *faulty* acted, where that is one."""
        places = {way.at for way in faulty}
        return places.pop() if len(places) == 1 and name not in places else ""

    def _unexplained(self, name: str, entries: tuple[Reading, ...], origin: Ran) -> tuple[str, str]:
        """Return the status of a line that no rule gives, and the slip that may."""
        digits = self._row(name, entries[0])
        copied = [row.replace(".", "") for row in self.sheet.inputs(origin.before)]
        if digits and digits in copied and name != "answer":
            return "copied", ""
        slip = slip_between(digits, self._digits(name, origin)) if digits else ""
        if not slip and not self.seen:
            slip = self._miscopied(name, entries, tuple(self.pending))
        if not slip and digits and name != "answer" and any(_one_apart(digits, row) for row in copied):
            return "copied", ""
        return "off", slip

    def _row(self, name: str, entry: Reading) -> str:
        """Return the digits that are written: of an answer all, in the order of the format's fields."""
        if name != "answer":
            return entry.bare
        fmt = answer_format(self.sheet.question)
        exponent_first = fmt.family == FLOATING and fmt.exponent_first
        return entry.exponent + entry.bare if exponent_first else entry.bare + entry.exponent

    def _digits(self, name: str, ran: Ran) -> str:
        """Return the digits that a line should have."""
        row = self.sheet.says(name, *ran).split("×")[0].removeprefix("(1)")  # a carry that may be left out
        return "".join(c for c in row if c in "01")

    def _doubt_first(self) -> None:
        """Lay the first line to a slip in copying where one gives it as well as a belief.

        It is asked where a later line goes wrong by no rule and no slip: this hand slips in this very answer.
        """
        at = next(number for number, mark in enumerate(self.marks) if mark.line == self.seen[0])
        first = self.marks[at]
        if first.status == "misconception" and (
            words := self._miscopied(first.line, self.written[first.line], self.lines_of_first)
        ):
            self.marks[at] = replace(first, status="off", among=(), slip=words, at="")

    def _miscopied(self, name: str, entries: tuple[Reading, ...], lines: tuple[Line, ...]) -> str:
        """Return the slip in copying the question after which *lines* lead to *entries*, in words, or ""."""
        for words, ran in _miscopied(_Asked(self.sheet.question, self.sheet), self.base, lines):
            if self.sheet.shows(name, *ran, entries):
                return words
        return ""


@dataclass(frozen=True)
class _Asked:
    """A question with its sheet, told from others by the question alone."""

    question: Question
    sheet: Sheet = field(compare=False)


@lru_cache(KEPT_STARTS)
def _miscopied(asked: _Asked, base: Method, lines: tuple[Line, ...]) -> tuple[tuple[str, Ran], ...]:
    """Return each small slip in copying the question, and how *lines* go on from there."""
    sheet = asked.sheet
    return tuple((words, _run(page, base, lines, sheet.context)) for words, page in sheet.altered())


def _one_apart(a: str, b: str) -> bool:
    return len(a) == len(b) and sum(x != y for x, y in zip(a, b, strict=True)) == 1
