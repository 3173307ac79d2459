"""Find: questions by what they do. The one way from an operation and a request to its questions."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, partial

from chalkpoint.finding.atlas import Watch, atlas_for
from chalkpoint.finding.brute import Brute, is_small, space_size
from chalkpoint.finding.case import case_of
from chalkpoint.finding.contradiction import Nearest, contradiction, nearest_requests
from chalkpoint.finding.diagram import TooLargeError
from chalkpoint.finding.drawing import sample
from chalkpoint.finding.estimate import Estimate, Source
from chalkpoint.finding.familyspace import FamilySpace
from chalkpoint.finding.found import Found, Given
from chalkpoint.finding.registry import PAIR_OPERATIONS, operation_named, trait_in
from chalkpoint.finding.rejection import draw_in_lanes, meeting_in_lanes
from chalkpoint.finding.request import Term, parse_request
from chalkpoint.finding.selection import Selection
from chalkpoint.finding.singles import MOST_LISTED, Listed, Space, space_of, worked
from chalkpoint.finding.trait import MOST_QUESTIONS, AnyCase
from chalkpoint.finding.wholepairs import WholePairs, meeting_in_order
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.families import WHOLE
from chalkpoint.numbers.named import format_called, is_school
from chalkpoint.working.course import Course

__all__ = ["SPACES", "Find", "Table", "find"]

SPACES = ("normalised", "all")
ROADS = {  # by what answers a request: what it is called
    Selection: "diagrams",
    Brute: "every question in lanes",
    Listed: "every question by itself",
    Estimate: "a sample",
    WholePairs: "diagrams",
}


@dataclass(frozen=True)
class Table:
    """Counts over the values of one or two traits.

    traits  their names
    counts  by values in words, such as ("yes", "2")

    >>> Table(("carry-dropped",), {("yes",): 3, ("no",): 5}).counts["yes",]
    3
    """

    traits: tuple[str, ...]
    counts: dict[tuple[str, ...], int]


class Find:
    """The questions of an operation that meet a request; nothing is computed before it is asked for.

    >>> found = find("subtract", format="6+4", where=["align-shift = 2", "lost-ones = 1", "carry-dropped"])
    >>> found.count, found.exact
    (5936, True)
    >>> found.simplest(1)[0].operands
    ['100001 1110', '010000 0000']
    """

    def __init__(
        self,
        operation: str,
        course: Course,
        terms: Sequence[Term],
        space: str,
        watch: Watch | None,
        into: str = "",
    ) -> None:
        self.operation = operation
        self.into = into
        self.course = course
        self.terms = tuple(terms)
        self._every = space == "all"
        self._watch = watch
        self._drawn_by = ""

    def __repr__(self) -> str:
        return (
            f"<find {self.operation} in {self.course.format} where {' and '.join(self.where) or 'anything'}>"
        )

    @property
    def where(self) -> tuple[str, ...]:
        """The terms of the request, as they are written."""
        return tuple(term.text for term in self.terms)

    @property
    def _in_pairs(self) -> bool:
        return self._school and self.operation in PAIR_OPERATIONS

    @property
    def _school(self) -> bool:
        """Whether mantissas and exponents are in two's complement: other formats are looked at one by one."""
        return is_school(self.course.number_format)

    @cached_property
    def _single(self) -> Space | FamilySpace:
        if not self._school or self.into:
            return FamilySpace(self.operation, self.course, self.into)
        return space_of(self.operation, self.course, every=self._every)

    @property
    def space(self) -> str:
        """What the questions are looked for in."""
        if not self._in_pairs:
            return self._single.name
        return "all pairs" if self._every else "normalised pairs"

    @property
    def of(self) -> int:
        """How many questions there are to look for them in."""
        if not self._in_pairs:
            return self._single.count
        return space_size(self.course.float_format, normalised=not self._every)

    @cached_property
    def _source(self) -> Selection | Brute | Listed | WholePairs | Estimate:
        if not self._in_pairs:
            return self._in_family()
        singly = [term for term in self.terms if term.trait.one_by_one]
        at_once = [term for term in self.terms if term not in singly]
        base = self._among_all(at_once) if self._every else self._among_normalised(at_once)
        if not singly:
            return base
        if isinstance(base, Estimate):
            return self._estimate(base.base, (*base.terms, *singly))
        return self._looked_at(base, singly, _most_seen(singly))

    def _in_family(self) -> Listed | WholePairs | Estimate:
        """Return the questions of another operation, or of a format that is not the school's."""
        sums = self.course.number_format.family == WHOLE and self.operation in PAIR_OPERATIONS
        if not sums:
            return self._looked_at(self._single, self.terms, MOST_LISTED)
        asked = (self.operation, self.course, self.terms)
        if self._single.count <= MOST_LISTED:
            return Listed(
                self._single, self.terms, self._case, self._watch, partial(meeting_in_order, *asked)
            )
        try:
            return WholePairs(*asked)
        except TooLargeError:
            return self._estimate(self._single, self.terms)

    def _looked_at(self, base: Source, terms: Sequence[Term], most: int) -> Listed | Estimate:
        """Return the questions of *base* that meet *terms*: looked at one by one up to *most*, or else drawn."""
        if base.count <= most:
            return Listed(base, terms, self._case, self._watch)
        return self._estimate(base, terms)

    def _estimate(self, base: Source, terms: Sequence[Term]) -> Estimate:
        """Return the questions of *base* that meet *terms*, known by drawing only."""
        lanes = partial(meeting_in_lanes, self.operation, self.course) if self._in_pairs else None
        return Estimate(base, terms, self._case, lanes, self._watch)

    def _among_normalised(self, terms: Sequence[Term]) -> Selection | Brute | Estimate:
        atlas = atlas_for(self.operation, self.course)
        loose = [term for term in terms if atlas.does_not_fit(term, self._watch)]
        if not loose:
            return Selection(atlas, terms, self._watch)
        if is_small(self.course.float_format, normalised=True) and self.of <= _most_seen(loose):
            return self._brute(terms)
        base = Selection(atlas, [term for term in terms if term not in loose], self._watch)
        return self._estimate(base, loose)

    def _among_all(self, terms: Sequence[Term]) -> Brute | Estimate:
        if is_small(self.course.float_format, normalised=False) and self.of <= _most_seen(terms):
            return self._brute(terms)
        return self._estimate(_AllPairs(self.course), terms)

    def _brute(self, terms: Sequence[Term]) -> Brute:
        return Brute(self.operation, self.course, terms, normalised=not self._every, watch=self._watch)

    def _case(self, given: Given) -> AnyCase:
        if not self._in_pairs:
            return worked(self.operation, self.course, given)
        return case_of(self.operation, self.course, *given)

    @property
    def exact(self) -> bool:
        """Whether the count is exact; otherwise it is an estimate with an interval."""
        return not isinstance(self._source, Estimate) or self._source.is_exact

    @property
    def count(self) -> int:
        """How many questions meet the request."""
        return self._source.count

    def __len__(self) -> int:
        return self.count

    @property
    def interval(self) -> tuple[int, int] | None:
        """The 95% interval of an estimate (Wilson's), None where the count is exact."""
        return None if self.exact or not isinstance(self._source, Estimate) else self._source.interval

    def _number_of(self, given: Given) -> int | None:
        return self._source.number_of(*given) if isinstance(self._source, Selection) else None

    @property
    def _counted_by(self) -> str:
        """What answers the request: diagrams, or how its questions are looked at."""
        return ROADS[type(self._source)]

    def _found(self, number: int | Callable[[], int | None] | None, given: Given) -> Found:
        return Found(number, self.operation, self.course, given)

    def __getitem__(self, number: int) -> Found:
        """Return the question with this permanent number, from 0."""
        if isinstance(self._source, Estimate):
            self._source.refuse_numbers()
        if not 0 <= number < self.count:
            raise EntryError(
                f"{number} is no number of a question here; the request has {self.count}"
                + (f", numbered from 0 to {self.count - 1}" if self.count else "")
            )
        return self._found(number, self._source.pairs([number])[0])

    def draw(self, n: int, seed: int = 0) -> list[Found]:
        """Return *n* different questions drawn uniformly, the same ones for the same *seed*.

        In wide formats a common request is drawn from random lanes, and any other from diagrams.

        All of them, in an order drawn, where they are fewer.
        """
        self._refuse_count(n)
        if self._in_pairs:
            rng, normalised = random.Random(seed), not self._every
            pairs = draw_in_lanes(self.operation, self.course, self.terms, n, rng, normalised=normalised)
            if pairs is not None:
                self._drawn_by = "random lanes"
                return [self._found(partial(self._number_of, given), given) for given in pairs]
        self._drawn_by = self._counted_by
        if isinstance(self._source, Estimate):
            return [self._found(None, given) for given in self._source.draw(n, seed)]
        numbers = sample(random.Random(seed), self.count, n)
        return [
            self._found(number, given)
            for number, given in zip(numbers, self._source.pairs(numbers), strict=True)
        ]

    def simplest(self, n: int) -> list[Found]:
        """Return the *n* simplest questions: fewest 1s, smallest exponents and shifts (see `simplest.py`)."""
        self._refuse_count(n)
        numbered = not isinstance(self._source, Estimate)
        return [
            self._found(number if numbered else None, given) for number, given in self._source.simplest(n)
        ]

    @staticmethod
    def _refuse_count(n: int) -> None:
        if n < 1:
            raise EntryError(f"{n} questions cannot be given; ask for 1 or more")

    def table(self, *names: str) -> Table:
        """Return exact counts over the values of one or two traits; values that none has are left out."""
        if not 1 <= len(names) <= 2:
            raise EntryError(f"a table has one trait or two; got {len(names)}")
        source = self._source
        if isinstance(source, Estimate):
            source.refuse_numbers()
        columns = [self._column(name) for name in names]
        if self._in_pairs:
            source = self._tabled(source, [term for column in columns for _, term in column[-1:]])
        counts = source.table([[term for _, term in column] for column in columns])
        words = [{term.text: value for value, term in column} for column in columns]
        kept = {
            tuple(word[text] for word, text in zip(words, texts, strict=True)): count
            for texts, count in counts.items()
            if count
        }
        return Table(names, kept)

    def _column(self, name: str) -> list[tuple[str, Term]]:
        """Return each value of a trait, in words, and the term for it."""
        trait = trait_in(self.course, self.operation)(name)
        if trait.kind == "number":
            if not trait.is_whole or trait.most is None:
                raise EntryError(
                    f"{name} has no list of values to make a table of; ask for it with --where, as in "
                    f"{trait.accepted}"
                )
            values = [str(value) for value in range(trait.most(self.course.number_format) + 1)]
        else:
            values = list(trait.choices or ("no", "yes"))
        numbers = [
            Fraction(value) if trait.kind == "number" else Fraction(at) for at, value in enumerate(values)
        ]
        return [
            (value, Term(trait, (("=", number),), negated=False, text=f"{name} = {value}"))
            for value, number in zip(values, numbers, strict=True)
        ]

    def _tabled(
        self, source: Selection | Brute | Listed | WholePairs, asked: Sequence[Term]
    ) -> Selection | Brute | Listed | WholePairs:
        """Return the questions of *source* as they can be counted by every trait in *asked*."""
        if any(term.trait.one_by_one for term in asked) and not isinstance(source, Listed):
            most = _most_seen(asked)
            if source.count > most:
                raise EntryError(
                    f"this table looks at every question by itself, and {source.count:,} are too many; "
                    f"ask for {most:,} at most, with --where or a smaller format"
                )
            return Listed(source, (), self._case, self._watch)
        if not isinstance(source, Selection):
            return source
        atlas = source.atlas
        loose = [term for term in asked if atlas.does_not_fit(term, self._watch)]
        if not loose:
            return source
        if not is_small(self.course.float_format, normalised=True) or self.of > _most_seen(loose):
            raise EntryError(
                f"{loose[0].trait.name} has no diagram in {self.course.format}; take a smaller format"
            )
        return self._brute(self.terms)

    @cached_property
    def contradiction(self) -> tuple[str, ...] | None:
        """The fewest terms that exclude each other, where the request is proved to select nothing."""
        if self.count or not self.exact:
            return None
        if isinstance(self._source, Selection):
            return tuple(term.text for term in contradiction(self._source.atlas, self.terms))
        if isinstance(self._source, WholePairs):
            return self._source.contradiction
        return self.where

    @cached_property
    def nearest(self) -> list[Nearest]:
        """Requests that do select something and differ from an empty one in one term."""
        if self.contradiction is None or not isinstance(self._source, Selection):
            return []
        return nearest_requests(self._source.atlas, self.terms)

    def to_dict(self, questions: Sequence[Found] = ()) -> JsonObject:
        """Return the request, its count and *questions* as JSON keys (chalkpoint.find/1)."""
        contradicting = self.contradiction
        return {
            "schema": "chalkpoint.find/1",
            "operation": self.operation,
            "format": self.course.format,
            **({"into": self.into} if self.into else {}),
            "where": list(self.where),
            "space": self.space,
            "of": str(self.of),
            "count": str(self.count),
            "exact": self.exact,
            "interval": [str(end) for end in self.interval] if self.interval else None,
            "road": {"count": self._counted_by, "questions": self._drawn_by or self._counted_by},
            "questions": [
                {
                    "number": None if found.number is None else str(found.number),
                    "operands": found.operands,
                    "result": found.result,
                }
                for found in questions
            ],
            "contradiction": list(contradicting) if contradicting else None,
            "nearest": [
                {"change": near.change, "where": list(near.where), "count": str(near.count)}
                for near in self.nearest
            ],
        }


def _most_seen(terms: Sequence[Term]) -> int:
    """Return how many questions may all be looked at for *terms*."""
    return min((term.trait.most_seen for term in terms), default=MOST_QUESTIONS)


class _AllPairs:
    """Every pair of patterns of a format, numbered as they come: for drawing only."""

    def __init__(self, course: Course) -> None:
        self.course = course
        self.count = space_size(course.float_format, normalised=False)

    def pairs(self, numbers: Sequence[int]) -> list[Given]:
        """Return several pairs by their numbers."""
        single = Space("add", self.course.float_format, "all patterns", 0)
        bits = self.course.number_format.bits
        return [
            (*single.item(number >> bits), *single.item(number & ((1 << bits) - 1))) for number in numbers
        ]

    def simplest(self, most: int) -> list[tuple[int, Given]]:
        """Refuse: the simplest of all pairs are not ranked where they cannot be listed."""
        raise EntryError(
            f"the simplest of all pairs cannot be ranked in {self.course.format}; "
            "draw instead, or look among normalised pairs"
        )


def find(
    operation: str,
    *,
    format: str | None = None,
    where: Iterable[str] = (),
    course: Course | None = None,
    space: str = "normalised",
    watch: Watch | None = None,
    into: str | None = None,
) -> Find:
    """Return the questions of *operation* that meet every condition in *where*.

    operation  add, subtract, multiply, divide, decode, normalise, negate, encode, error or convert
    format     ``m+e``, mantissa and exponent bits; the course's by default
    where      conditions such as "lost-ones >= 2", "shifted-operand = second", "not carry-dropped"
    course     the conventions questions are worked under
    space      "normalised" operands, or "all" patterns
    watch      called with (done, of) while something long is worked out
    into       of a conversion, the format converted into

    >>> find("add", format="8+4", where=["align-shift = 2", "exponent-overflow"]).count
    6144
    >>> find("add", format="6+4", where=["equal-exponents", "lost-ones >= 1"]).contradiction
    ('equal-exponents', 'lost-ones >= 1')

    Raises EntryError, whose one sentence says what is wrong and what would be accepted.
    """
    operation_named(operation)
    if space not in SPACES:
        raise EntryError(f"{space!r} is not a space; {near_misses(space, SPACES)}")
    conventions = (course or Course()).with_(format=format)
    if (operation == "convert") != bool(into):
        raise EntryError(
            "a conversion needs the format converted into, such as 6+4 (--to 6+4)"
            if operation == "convert"
            else f"{operation!r} has no second format; leave {into!r} out, or ask for convert"
        )
    if into:
        into = str(format_called(into))
    if into or not is_school(conventions.number_format):
        FamilySpace(operation, conventions, into or "").refuse()
    if isinstance(where, str):
        where = [where]
    terms = parse_request(where, trait_in(conventions, operation))
    return Find(operation, conventions, terms, space, watch, into or "")
