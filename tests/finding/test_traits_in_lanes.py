"""Every trait and belief, question by question: many in one stroke say what each says by itself."""

from dataclasses import replace
from itertools import product
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asking import OPERATIONS, belief_terms, term, trait_terms
from chalkpoint.finding.case import case_of
from chalkpoint.finding.found import question_of
from chalkpoint.finding.rejection import RandomPairs, meeting_in_lanes
from chalkpoint.finding.request import Term
from chalkpoint.finding.traits.aligning import ALIGNING
from chalkpoint.finding.traits.families import family_traits
from chalkpoint.finding.traits.summing import SUMMING
from chalkpoint.numbers.formats import Pattern
from chalkpoint.numbers.lanes import positions
from chalkpoint.working.course import Course
from chalkpoint.working.work import work_question

Pair = tuple[Pattern, Pattern]


def terms_of(operation: str) -> list[Term]:
    """Return terms of every trait that is looked at in lanes, and of every belief."""
    terms = [*trait_terms(operation, few=True), *belief_terms(operation, ("exposes",))]
    return [one for one in terms if not one.trait.one_by_one]


def every_pair(course: Course) -> list[Pair]:
    """Return all pairs of patterns of a small format, normalised or not."""
    fmt = course.float_format
    half = 1 << fmt.places
    exponents = range(fmt.lowest_exponent, fmt.highest_exponent + 1)
    patterns = [Pattern(*fields) for fields in product(range(-half, half), exponents)]
    return [(first, second) for first in patterns for second in patterns]


def assert_alike(operation: str, course: Course, pairs: list[Pair], terms: list[Term]) -> None:
    """Hold what lanes say of each pair against what a single question says."""
    cases = [case_of(operation, course, *pair) for pair in pairs]
    for one in terms:
        together = meeting_in_lanes(operation, course, pairs, [one])
        assert positions(together) == [at for at, case in enumerate(cases) if one.meets(case)], one.text


@pytest.mark.parametrize("operation", OPERATIONS)
def test_on_all_of_3_2(operation: str) -> None:
    """All 1,024 pairs of patterns are looked at, those that are not normalised too."""
    course = Course(format="3+2")
    assert_alike(operation, course, every_pair(course), terms_of(operation))


@pytest.mark.parametrize(("worth", "met"), [("1/16", True), ("1/8", False), ("1", False)])
def test_what_an_operand_loses_that_is_not_normalised(worth: str, *, met: bool) -> None:
    """-1.00 * 2^-1 plus 1.11 * 2^-2, which is -1/16: half of a last place that is 1/8, and all of it is lost."""
    course, pair = Course(format="3+2"), (Pattern(-4, -1), Pattern(-1, -2))
    lost = term(f"lost-value >= {worth}", "add")
    assert lost.meets(case_of("add", course, *pair)) is met
    assert meeting_in_lanes("add", course, [pair, pair], [lost]) == 3 * met


@settings(max_examples=15, deadline=None)
@given(
    st.integers(0, 2**32),
    st.sampled_from(["8+4", "24+8", "12+6"]),
    st.sampled_from(OPERATIONS),
    st.booleans(),
)
def test_beyond(seed: int, spelling: str, operation: str, normalised: bool) -> None:
    """Formats too wide to be walked: some pairs, some terms."""
    rng, course = Random(seed), Course(format=spelling)
    drawn = RandomPairs(course, 24, rng, normalised=normalised)
    pairs = drawn.pairs(drawn.lanes.yes)
    assert_alike(operation, course, pairs, rng.sample(terms_of(operation), 6))


@pytest.mark.parametrize("spelling", ["3+2 excess-2", "3+3 excess-4"])
@pytest.mark.parametrize("operation", OPERATIONS)
def test_of_a_machines_mantissas(operation: str, spelling: str) -> None:
    """Where exponents are stored otherwise, a trait looks at the working, and says what lanes say of the patterns."""
    course = Course(format=spelling)
    pairs = Random(11).sample(every_pair(course), 150)
    workings = [work_question(question_of(operation, course, pair)) for pair in pairs]
    known = family_traits(operation, course.number_format)
    shared = {trait.name for trait in (*ALIGNING, *SUMMING)} & set(
        known
    )  # "sparse" counts 1s as they are stored
    terms = [one for one in trait_terms(operation, few=True) if one.trait.name in shared]
    assert len(terms) > 10
    for one in terms:
        alone = replace(one, trait=known[one.trait.name])
        met = [at for at, working in enumerate(workings) if alone.meets(working)]
        assert positions(meeting_in_lanes(operation, course, pairs, [one])) == met, one.text


def test_of_no_pairs() -> None:
    """Nothing is met where nothing is asked."""
    assert meeting_in_lanes("add", Course(), [], terms_of("add")[:1]) == 0
