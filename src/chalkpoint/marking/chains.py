"""The sheet of a question made of others: a conversion is a reading and a storing, a sum a chain of additions.

Each part is judged on the sheet of its own operation, and begins from what the pupil's part before it came to. The
answer of a part is a line of the whole: the value of a conversion, the totals of a sum.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any, NamedTuple

from chalkpoint.marking.answer import read_answer
from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.sheets import ANSWER, Believing, Sheet, Written
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import AnyPattern
from chalkpoint.working.beliefs.belief import Belief
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.chained import Word, came_to, part_asked, parts_asked
from chalkpoint.working.methods import READ, Line, Method, Rule
from chalkpoint.working.page import AnyPage
from chalkpoint.working.procedures import begin, context_of, method_named
from chalkpoint.working.question import Question

__all__ = ["ChainBelieving", "ChainSheet", "number_written", "result_line"]

VALUE = "value"
#: Lines of storing, by the names that schemes have for them in a conversion.
STORED = {"digits": "size", "point": "exponent", "exponent": "stored exponent"}
SheetOf = Callable[[Question], Sheet]


class ChainPage(NamedTuple):
    """How far a pupil has come in the chain.

    stage    which part is at work
    page     that part's own page; None once a word has ended the chain
    carried  what the part began from: a value, a pattern, a word; None for the first
    came_to  what is written as the part's answer, where that is not what its page says
    done     whether the part was finished at once, by rules that the right working does not need
    """

    stage: int
    page: AnyPage
    carried: Any = None
    came_to: Any = None
    done: bool = False


@dataclass(frozen=True, eq=False)
class ChainMethod(Method):
    """A method for each part, one after another."""

    parts: tuple[Method, ...] = ()


class ChainSheet:
    """What a conversion or a sum writes."""

    def __init__(self, question: Question, sheet_of: SheetOf) -> None:
        self.question = question
        self.sheet_of = sheet_of
        self.context = None
        self.count = parts_asked(question)
        self.sheets: dict[tuple[int, Any], Sheet] = {}
        self.start = ChainPage(0, self.part(0, None).start)
        self.names: dict[str, tuple[int, str]] = {}
        for base in self.methods:
            self.lines(base)

    # === Parts ===

    def part(self, stage: int, carried: Any) -> Sheet:
        """Return the sheet of one part that begins from what is *carried*."""
        key = stage, carried
        if key not in self.sheets:
            self.sheets[key] = self.sheet_of(self._asked(stage, carried))
        return self.sheets[key]

    def _asked(self, stage: int, carried: Any) -> Question:
        return part_asked(self.question, stage, carried)

    @cached_property
    def right(self) -> tuple[Question, ...]:
        """The parts as the right working has them, up to the first that a word ends."""
        found, carried = [], None
        for stage in range(self.count):
            asked = self._asked(stage, carried)
            found.append(asked)
            page = method_named(asked).finish(begin(asked), context_of(asked))
            carried = came_to(self.question, asked, page)
            if isinstance(carried, Word):
                break
        return tuple(found)

    @cached_property
    def methods(self) -> tuple[ChainMethod, ...]:
        """The course's way through every part, then those it accepts."""
        course = self.question.course
        names = dict.fromkeys((course.method, *course.accepts)) if self.question.target is None else ("",)
        return tuple(
            self.joined(tuple(method_named(asked, name) for asked in self.every_part())) for name in names
        )

    def every_part(self) -> tuple[Question, ...]:
        """Return a question for each part: where a word ends the chain, one to stand for each of the rest."""
        number = Fraction(1) if self.question.target is not None else self.question.patterns[0]
        rest = (self._asked(stage, number) for stage in range(len(self.right), self.count))
        return (*self.right, *rest)

    def joined(self, parts: tuple[Method, ...]) -> ChainMethod:
        """Return *parts* as one method."""
        rules: dict[str, Rule] = {}
        for stage, part in enumerate(parts):
            rules |= {f"{stage} {slot}": self._at(stage, rule) for slot, rule in part.rules.items()}
            if stage:
                rules[f"begin {stage}"] = self._beginning(stage)
        faulty = next((part for part in parts if part.right is not None), None)
        return ChainMethod(parts[0].name, "", (), rules, faulty and faulty.right, parts=parts)

    def _at(self, stage: int, rule: Rule) -> Rule:
        """Return *rule* as it works on the page of its part."""

        def work(page: ChainPage, context: object) -> ChainPage:
            if page.page is None or page.done:
                return page
            return page._replace(page=rule(page.page, self.part(stage, page.carried).context))

        return work

    def _beginning(self, stage: int) -> Rule:
        """Return the rule that goes on from one part to the next."""

        def go_on(page: ChainPage, context: object) -> ChainPage:
            came_to = self._result(page)
            if isinstance(came_to, Word):
                return ChainPage(stage, None, came_to)
            asked = self._asked(stage, came_to)
            own, right = method_named(asked), self.every_part()[stage]
            if self.question.target is not None and bool(came_to) != bool(right.value):
                # Zero is stored by a rule of its own, which the right working does not need, or alone needs.
                return ChainPage(stage, own.finish(begin(asked), context_of(asked)), came_to, done=True)
            return ChainPage(stage, begin(asked), came_to)

        return go_on

    def _result(self, page: ChainPage) -> Any:
        """Return what the part on *page* came to."""
        if page.page is None:
            return page.carried
        if page.came_to is not None:
            return page.came_to
        return came_to(self.question, self.part(page.stage, page.carried).question, page.page)

    # === Lines ===

    def lines(self, base: Method, written: Written | None = None) -> tuple[Line, ...]:
        """Return the lines of every part; what is only read goes with the line behind it."""
        found: list[Line] = []
        parts = base.parts if isinstance(base, ChainMethod) else ()
        for stage, (part, asked) in enumerate(zip(parts, self.every_part(), strict=False)):
            if stage:
                found.append(Line(READ.name, (f"begin {stage}",)))
            slots: tuple[str, ...] = ()
            for line in self.sheet_of(asked).lines(part):
                slots += tuple(f"{stage} {slot}" for slot in line.slots)
                name = self._name(stage, line.name)
                if name == READ.name:
                    found.append(Line(name, slots))
                    slots = ()
                if name in {"", READ.name}:
                    continue
                self.names[name] = stage, line.name
                # The answer of a part is written, although no rule writes more than the lines before it.
                found.append(
                    Line(name, slots or ((f"{stage} answer",) if line is ANSWER else ()), line.optional)
                )
                slots = ()
        return tuple(found)

    def _name(self, stage: int, line: str) -> str:
        """Return what *line* of a part is called in the whole; "" where it is written with the next."""
        last = stage == self.count - 1
        if line == READ.name:
            return line
        if line == ANSWER.name:
            return result_line(self.question, stage)
        if self.question.target is None:
            return f"{'move' if line == 'align' else line} {stage + 2}"
        if last:
            return STORED.get(line, line)
        return "" if line in {"scale", "weigh"} else f"read {line}"

    def stage_of(self, line: str) -> int:
        """Return which part *line* belongs to, from 0."""
        return self.names.get(line, (self.count - 1, line))[0]

    def place(self, line: str) -> tuple[Question, str]:
        """Return the part that *line* belongs to, and what it is called there."""
        stage, name = self.names.get(line, (self.count - 1, line))
        return self.every_part()[stage], name

    def _within(self, line: str, before: ChainPage, after: ChainPage) -> tuple[Sheet, str, AnyPage]:
        """Return the sheet of *line*'s part, its name there, and that part's page before it."""
        sheet = self.part(after.stage, after.carried)
        page = before.page if before.stage == after.stage else sheet.start
        return sheet, self.names[line][1], page

    def goes_on(self, page: ChainPage) -> bool:
        """Tell whether right rules can go on: past a word the answer is left, which is that word."""
        return True

    def shows(self, line: str, before: ChainPage, after: ChainPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether *entries* are what *line* writes in going from *before* to *after*."""
        if after.page is None:
            return self._is_word(entries[0], after.carried.word)
        sheet, name, page = self._within(line, before, after)
        return sheet.shows(name, page, after.page, entries)

    def _is_word(self, entry: Reading, word: str) -> bool:
        """Tell whether *entry* is the word that ended the chain, or the pattern that stands for it."""
        return entry.word == word or read_answer(self.question, entry.text).spelling == word

    def adopt(
        self, line: str, before: ChainPage, after: ChainPage, entries: tuple[Reading, ...]
    ) -> ChainPage:
        """Return *after* with what is written in the place of what should have been."""
        if after.page is None:
            return after
        sheet, name, page = self._within(line, before, after)
        if name == ANSWER.name:
            return after._replace(came_to=number_written(sheet.question, entries[0]))
        return after._replace(page=sheet.adopt(name, page, after.page, entries))

    def pages(
        self, base: Method, line: str, before: ChainPage, after: ChainPage
    ) -> tuple[Method, AnyPage, AnyPage]:
        """Return the method of *line*'s part, and that part's pages before and after it."""
        parts = base.parts if isinstance(base, ChainMethod) else (base,)
        return parts[self.names[line][0]], self._within(line, before, after)[2], after.page

    # === Words ===

    def says(self, line: str, before: ChainPage, after: ChainPage) -> str:
        """Return what *line* writes in going from *before* to *after*."""
        if after.page is None:
            return str(after.carried.word)
        sheet, name, page = self._within(line, before, after)
        return sheet.says(name, page, after.page)

    def had(self, line: str, before: ChainPage) -> str:
        """Return what the page had before *line*."""
        stage, name = self.names[line]
        if before.page is None:
            return str(before.carried.word)
        if before.stage != stage:
            return self._said(self._result(before))
        return self.part(stage, before.carried).had(name, before.page)

    def _said(self, came_to: Any) -> str:
        if isinstance(came_to, Word):
            return came_to.word
        return str(came_to) if self.question.target is not None else self.question.format.write(came_to)

    def inputs(self, before: ChainPage) -> list[str]:
        """Return the rows a pupil might copy instead of working on them."""
        return [] if before.page is None else self.part(before.stage, before.carried).inputs(before.page)

    def altered(self) -> list[tuple[str, ChainPage]]:
        """Return (what was miscopied, the page it leads to) for each small slip in copying the first part."""
        return [(words, ChainPage(0, page)) for words, page in self.part(0, None).altered()]


def result_line(question: Question, stage: int) -> str:
    """Return the line on which what part number *stage* of *question* comes to is written."""
    if stage == parts_asked(question) - 1:
        return ANSWER.name
    return VALUE if question.target is not None else f"total {stage + 2}"


def number_written(asked: Question, entry: Reading) -> Any:
    """Return the number that is written as the answer of the part *asked*; None where none can be read."""
    if asked.operation.name == "decode":
        return entry.value
    if entry.word in {"overflow", "underflow"}:
        return Word(entry.word)
    answer = read_answer(asked, entry.text)
    try:
        pattern: AnyPattern = asked.format.read(answer.spelling)
    except EntryError:
        return None
    return pattern


class ChainBelieving(Believing):
    """The faulty methods of a chain: who holds a belief may hold it in every part where it acts, or in one."""

    def __init__(self, sheet: ChainSheet) -> None:
        self.sheet = sheet
        self.parts = tuple(
            Believing(asked.operation.name, family_of(asked.format)) for asked in sheet.every_part()
        )
        super().__init__(sheet.question.operation.name, self.parts[0].family)

    @cached_property
    def beliefs(self) -> tuple[Belief, ...]:
        """The beliefs that act in some part, in the order of the catalogue."""
        return tuple(dict.fromkeys(belief for part in self.parts for belief in part.beliefs))

    def held(self, belief: Belief, base: Method) -> tuple[Method, ...]:
        """Return *base* as the holder of *belief* works it: in every part, then in each alone."""
        if not isinstance(base, ChainMethod):
            return ()
        faulty = [
            method
            for part, own in zip(self.parts, base.parts, strict=True)
            for method in (part.held(belief, own) or (None,))
        ]
        whole = tuple(bad or own for bad, own in zip(faulty, base.parts, strict=True))
        places = [stage for stage, bad in enumerate(faulty) if bad is not None]
        alone = [
            tuple(whole[at] if at == stage else own for at, own in enumerate(base.parts)) for stage in places
        ]
        every = [whole] if len(places) > 1 else []
        return tuple(self.sheet.joined(parts) for parts in [*every, *alone])
