"""A condition as a line of a form: what it is about, how it compares, and how many questions meet it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from chalkpoint.finding.registry import trait_in
from chalkpoint.finding.request import Term, parse_term
from chalkpoint.finding.trait import Trait
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.numbers.exact import write_exact
from chalkpoint.working.course import Course

__all__ = ["COMPARISONS", "Line", "condition", "counted", "line_of", "sentence_of"]

USUAL = Course()
COMPARISONS = {"=": "exactly", ">=": "at least", "<=": "at most", "!=": "not"}
SIGNS = {"+": "positive", "-": "negative"}


@dataclass(frozen=True, slots=True)
class Line:
    """One condition as the page shows it.

    trait    what it is about; None where the line cannot be asked, and is shown as it was written
    count    how many questions meet it and all lines above
    follows  whether it rules nothing out that the lines above let through
    without  the address of the page without it
    """

    text: str
    sentence: str = ""
    trait: Trait | None = None
    comparison: str = ""
    value: str = ""
    count: int | None = None
    follows: bool = False
    without: str = ""


def line_of(text: str, operation: str, without: str = "", *, course: Course = USUAL) -> Line:
    """Return the line that shows a condition as it is written, in the course's format.

    >>> line_of("align-shift >= 2", "add").value
    '2'
    >>> line_of("carry-out", "add", course=Course(format="8")).sentence
    'a carry leaves the first place'

    Raises EntryError for one that cannot be asked of *operation*.
    """
    term = parse_term(text, trait_in(course, operation))
    comparison, value = _parts(term)
    return Line(term.text, term.trait.sentence, term.trait, comparison, value, without=without)


def _parts(term: Term) -> tuple[str, str]:
    """Return the comparison and the value of a condition, as the form's line shows them."""
    comparison, value = term.bounds[0]
    if term.trait.kind == "yes or no":
        return ("not" if term.negated else "", "")
    if term.trait.kind == "choice":
        return ("not" if term.negated or comparison == "!=" else "", term.trait.choices[int(value)])
    low, *high = [write_exact(bound) for _, bound in term.bounds]
    return ("=" if high else comparison, f"{low}..{high[0]}" if high else low)


def condition(operation: str, name: str, comparison: str, value: str, *, course: Course = USUAL) -> str:
    """Return a condition as it is written, from the entries of its line in a form."""
    try:
        return _written(trait_in(course, operation)(name), comparison, value)
    except (ChalkpointError, KeyError):  # a trait of another operation: the page says so, beside its line
        return (
            f"not {name}"
            if comparison == "not"
            else " ".join([name, *([comparison or "=", value] if value else [])])
        )


def _written(trait: Trait, comparison: str, value: str) -> str:
    """Return a condition as it is written, from a line of the form; what was left open is the usual."""
    if trait.kind == "yes or no":
        return f"not {trait.name}" if comparison == "not" else trait.name
    if trait.kind == "choice":
        chosen = value if value in trait.choices else trait.choices[0]
        return f"{trait.name} {'!=' if comparison in {'not', '!='} else '='} {chosen}"
    usual = comparison if comparison in COMPARISONS else ">="
    return f"{trait.name} {usual} {value or 1}"


def counted(lines: Sequence[Line], of: int, counts: Sequence[int | None]) -> list[Line]:
    """Return *lines* with how many questions meet each and all above it; *of* is how many there are without any."""
    above: int | None = of
    found = []
    for line, count in zip(lines, counts, strict=False):
        follows = count is not None and count == above and count > 0
        found.append(replace(line, count=count, follows=follows))
        above = count
    return found


def sentence_of(text: str, operation: str, course: Course = USUAL) -> str:
    """Return a condition as its trait puts it, with the value asked for where it is not a plain yes.

    >>> sentence_of("carry-dropped", "add")
    'a carry leaves the sign place and is dropped'
    >>> sentence_of("sign-pattern = +-", "add"), sentence_of("align-shift >= 2", "add")
    ('signs of the operands, zero counting as positive: positive, negative', \
'places one mantissa is shifted to match the exponents: at least 2')
    """
    term = parse_term(text, trait_in(course, operation))
    comparison, value = _parts(term)
    if set(value) <= set(SIGNS):
        value = ", ".join(map(SIGNS.__getitem__, value))
    asked = " ".join(
        filter(None, [COMPARISONS.get(comparison, comparison) if comparison != "=" else "", value])
    )
    return f"{term.trait.sentence}: {asked}" if asked else term.trait.sentence
