"""What every writer of steps does: a line of right working has its own words, a faulty one its belief's."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

from chalkpoint.working.methods import Method
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.heading import format_said
from chalkpoint.working.wording.said import Record, Sentence, Speaker, Told, say
from chalkpoint.working.written import Row, Written

__all__ = ["StepWriter", "absolute_error", "relative_error", "told"]

EXTREMES = frozenset(
    {"largest positive", "smallest normal", "smallest positive", "largest negative", "most negative"}
)
STORING = frozenset({"encode", "error"})


def told(
    title: str, sentences: Sequence[Sentence | str], facts: Record | None = None, /, **more: object
) -> Told:
    """Return what a step tells under *title*: a plain key among *sentences* states the step's own facts."""
    stated = {**(facts._asdict() if facts else {}), **more}
    said = [Sentence(key, stated) if isinstance(key, str) else key for key in sentences]
    return Told(Sentence(f"title.{title}", stated), said, stated)


class StepWriter:
    """Writes the steps of one question.

    A class under it has for each line a method `_line`, which tells its facts, and where it has rows a method
    `_line_rows`.
    """

    stem: str = ""  # what the names of those methods begin with
    faulty_titles: Mapping[str, str] = {}  # by line: the key of the title over a faulty rule's sentence

    def __init__(self, question: Question, method: Method | None = None) -> None:
        self.question = question
        self.method = method
        self.format = question.format
        # A method that changes the order puts the second operand on the first row.
        self.names = question.names[::-1] if method and "order" in method.rules else question.names
        self.speaker = Speaker(self.names, question.course.point)
        self.lines = {line.name: line for line in method.lines} if method else {}

    @classmethod
    def of(cls, question: Question, method: Method | None = None) -> Callable[[Step], Written]:
        """Return what writes a step of *question*, which *method* worked where there is more than one way."""
        return cls(question, method).write

    def write(self, step: Step) -> Written:
        """Return *step* as written on the board."""
        if self.method and self.is_faulty(step):
            facts, belief = self.faulty_facts(step), self.method.says[step.rule]
            title = self.faulty_titles.get(step.rule, step.rule)
            said = told(title, ["belief", *self.faulty_says(step)], belief=belief, **facts)
            return self.speaker.written(said, self.faulty_rows(step))
        if step.rule == "read" and self.question.past_range:
            return self.speaker.written(self.past_range(), ())
        said = self.tell(step)
        return self.speaker.written(said, self.rows(step, said.facts))

    def tell(self, step: Step) -> Told:
        """Return what a line of right working tells: its facts, and the sentences that state them."""
        line: Callable[[Step], Told] = getattr(self, f"_{self.stem}{self.line_name(step)}")
        return line(step)

    def rows(self, step: Step, facts: Mapping[str, object]) -> Sequence[Row]:
        """Return the rows of a line of right working."""
        write: Callable[[Step, Mapping[str, object]], Sequence[Row]] | None
        write = getattr(self, f"_{self.stem}{self.line_name(step)}_rows", None)
        return write(step, facts) if write else ()

    def line_name(self, step: Step) -> str:
        """Return the name that the methods of *step*'s line have."""
        return "extreme" if step.rule in EXTREMES else step.rule

    # === What a belief writes ===

    @property
    def under(self) -> object:
        """What rules are given beside the page: the course where a value is stored, else the format."""
        return self.question.course if self.question.operation.name in STORING else self.format

    def is_faulty(self, step: Step) -> bool:
        """Tell whether a faulty rule wrote *step*; of an extreme a belief's sentence takes the place of the reason."""
        if self.method is None or step.rule not in self.method.says or step.rule in EXTREMES:
            return False
        return self.method.departs(self.lines[step.rule], step.before, step.after, self.under)

    def faulty_says(self, step: Step) -> Sequence[str]:
        """Return the keys of what is said after a belief's own sentence."""
        return ()

    def faulty_facts(self, step: Step) -> Mapping[str, object]:
        """Return the facts of those sentences."""
        return {}

    def faulty_rows(self, step: Step) -> Sequence[Row]:
        """Return the rows a faulty rule left."""
        return ()

    def value(self, x: Fraction | int) -> str:
        """Return *x* as the course writes it."""
        return self.speaker.value(x)

    def name_of(self, which: str) -> str:
        """Return what the operand *which* is called."""
        return self.speaker.names[which]

    def stored_first(self) -> list[Sentence]:
        """Return a sentence for each operand that was not stored as it was asked for."""
        return [
            say("read.stored", operand=which, asked=given, kept=value, gone=abs(given - value))
            for which, given, value in zip(
                ("first", "second"), self.question.given, self.question_values(), strict=False
            )
            if given is not None and value is not None and given != value
        ]  # what is past the range is not stored at all

    def past_range(self) -> Told:
        """Return what is told of operands that the format cannot hold: no row is written of them."""
        past = self.question.past_range
        said = [
            say("read.past", operand=("first", "second")[at], asked=value, format=format_said(self.format))
            for at, value in past.items()
        ]
        return told("read", [*said, "read.past-so"])

    def question_values(self) -> Sequence[Fraction | None]:
        """Return the values of the operands as they are stored."""
        return self.question.values


def absolute_error(exact: Fraction, stored: Fraction) -> Told:
    """Return the line of an absolute error, of *stored* against *exact*."""
    missed = exact - stored
    return told("absolute", ["absolute"], exact=exact, stored=stored, missed=missed, size=abs(missed))


def relative_error(exact: Fraction, size: Fraction) -> Told:
    """Return the line of a relative error: the absolute error, *size*, against the size of *exact*."""
    return told("relative", ["relative"], size=size, true=abs(exact), ratio=size / abs(exact))
