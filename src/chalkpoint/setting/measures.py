"""The declared measure of how equal questions are: demands, marks, lines, writing and difficulty.

demands     values of the traits in PINS: the same in every variant
lines       the lines of working written: the same in every variant
points      marking points: the same in every variant
writing     characters of the model solution, digits in boxes and decimals: within a tenth of the class's median
difficulty  how many beliefs of the catalogue give a wrong answer: within 3 of the class's median
met         what a pupil meets on the way (setting/met.py), such as carries: the same in every variant
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from chalkpoint.finding.trait import AnyCase, Trait
from chalkpoint.finding.traits.families import family_traits
from chalkpoint.numbers.named import is_school
from chalkpoint.setting.met import Met
from chalkpoint.setting.sources import case_from, trait_of
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question
from chalkpoint.working.working import Working

__all__ = ["DIFFICULTY_TOLERANCE", "PINS", "Measure", "lines_of", "pins_of"]

WRITING_TOLERANCE = 10  # a tenth
LEAST_WRITING_TOLERANCE = 4  # characters: short solutions differ by a few digits of their decimals
DIFFICULTY_TOLERANCE = 3

# Most telling first: where a class needs more questions than there are, the last goes first.
PAIR_PINS = (
    "align-shift",
    "mantissa-overflow",
    "norm-shift",
    "shifted-operand",
    "exact-result",
    "operand-minus-one",
    "carry-dropped",
    "carry-chain",
    "triple-one-column",
    "sign-pattern",
)
PINS: dict[str, tuple[str, ...]] = {
    "add": PAIR_PINS,
    "subtract": PAIR_PINS,
    "decode": ("sign-pattern", "exponent-signs"),
    "encode": ("sign-pattern", "terminating", "exact-result"),
    "error": ("sign-pattern", "terminating"),
    "normalise": ("norm-shift", "sign-pattern", "exponent-signs"),
    "negate": ("sign-pattern", "operand-minus-one", "exponent-signs"),
    "multiply": ("norm-shift", "exact-result", "sign-pattern"),
    "divide": ("exact-result", "norm-shift", "sign-pattern"),
    "range": (),
}
#: In formats that are not the school's, of those that an operation has there.
FAMILY_PINS = (
    "sign-pattern",
    "overflow",
    "carry-out",
    "end-around-carry",
    "borrow-past-first",
    "subnormal-result",
    "exact-result",
    "terminating",
)


@dataclass(frozen=True, slots=True)
class Measure:
    """What a question asks of a pupil."""

    lines: tuple[str, ...]
    points: int
    writing: int
    difficulty: int
    met: Met = field(default_factory=Met)

    @property
    def effort(self) -> tuple[int, int, int]:
        """What makes one question harder than another of its kind: carries, then the longest chain, then writing."""
        return self.met.carries, self.met.chain, self.writing

    def like(self, other: Measure) -> bool:
        """Tell whether this is equal to *other* by the declared measure."""
        return self.same_steps(other) and self.met == other.met and self.near(other.writing, other.difficulty)

    def same_steps(self, other: Measure) -> bool:
        """Tell whether the same lines are written for the same points."""
        return self.lines == other.lines and self.points == other.points

    def near(self, writing: int, difficulty: int) -> bool:
        """Tell whether writing and difficulty are within tolerance of what is given."""
        return (
            abs(self.writing - writing) <= writing_tolerance(writing)
            and abs(self.difficulty - difficulty) <= DIFFICULTY_TOLERANCE
        )

    def away(self, writing: int, difficulty: int) -> int:
        """Return how far it is from what is given, for choosing the nearest."""
        return 5 * abs(self.difficulty - difficulty) + abs(self.writing - writing)


def writing_tolerance(writing: int) -> int:
    """Return the difference in writing that counts as none.

    >>> writing_tolerance(120), writing_tolerance(20)
    (12, 4)
    """
    return max(writing // WRITING_TOLERANCE, LEAST_WRITING_TOLERANCE)


def lines_of(working: Working) -> tuple[str, ...]:
    """Return the lines that are written; of an explanation, what each of its sentences is about."""
    in_words = working.question.operation.name == "explain"
    return tuple(step.after.kind if in_words else step.rule for step in working.steps)


def pins_of(question: Question) -> tuple[str, ...]:
    """Return the question's values of the traits that its variants share, as terms of a request.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> pins_of(ask("normalise", "00011010 0011", course=Course()))
    ('norm-shift = 2', 'sign-pattern = +', 'exponent-signs = positive')
    >>> pins_of(ask("add", "5", "9", course=Course(format="8")))
    ('sign-pattern = ++', 'not overflow', 'not carry-out', 'exact-result')
    """
    operation = question.operation.name
    case: AnyCase
    if is_school(question.format):
        case = case_from(question)
        traits = [trait_of(operation, name) for name in PINS.get(operation, ())]
    else:
        case = work_question(question)
        known = family_traits(operation, question.format)
        traits = [known[name] for name in FAMILY_PINS if name in known]
    pins = []
    for trait in traits:
        name = trait.name
        seen = trait.look(case) if trait.look is not None else _greatest(trait, case, question)
        if trait.kind == "yes or no":
            pins.append(name if seen else f"not {name}")
        else:
            pins.append(f"{name} = {trait.choices[seen] if trait.choices else seen}")
    return tuple(pins)


def _greatest(trait: Trait, case: AnyCase, question: Question) -> int:
    """Return the value of a number that is asked for step by step: the greatest it is not less than."""
    assert trait.most is not None  # noqa: S101 - such a trait has a largest value
    return max(at for at in range(trait.most(question.format) + 1) if trait.meets(case, ">=", Fraction(at)))
