"""The atlas against brute force: every trait and every belief, on two other carriers."""

import pytest

from asking import OPERATIONS, belief_terms, normalised_pairs, term, trait_terms
from chalkpoint.finding.atlas import Atlas, atlas_for
from chalkpoint.finding.brute import Brute
from chalkpoint.finding.case import case_of
from chalkpoint.finding.request import Term
from chalkpoint.finding.selection import Selection
from chalkpoint.working.course import Course


def counted(operation: str, course: Course, terms: list[Term]) -> dict[str, int]:
    """Return what the atlas counts for each term by itself."""
    atlas = atlas_for(operation, course)
    counts = {}
    for one in terms:
        assert not atlas.does_not_fit(one), one.text
        counts[one.text] = Selection(atlas, [one]).count
    return counts


def looked_at(operation: str, course: Course, terms: list[Term]) -> dict[str, int]:
    """Return what looking at every question, one integer at a time, counts for each term."""
    counts = dict.fromkeys((one.text for one in terms), 0)
    for first, second in normalised_pairs(course.float_format):
        case = case_of(operation, course, first, second)
        for one in terms:
            counts[one.text] += bool(one.meets(case))
    return counts


def in_lanes(operation: str, course: Course, terms: list[Term]) -> dict[str, int]:
    """Return what looking at every question, in lanes, counts for each term."""
    everything = Brute(operation, course, [])
    counts = dict.fromkeys((one.text for one in terms), 0)
    for block in everything.blocks:
        case = everything.case(block.apart, block.lanes.counting(block.start))
        for one in terms:
            counts[one.text] += block.lanes.mask(one.meets(case)).bit_count()
    return counts


@pytest.mark.parametrize("operation", OPERATIONS)
def test_traits_are_counted_as_by_integers_in_4_3(operation: str) -> None:
    """On all of 4+3 the atlas and lanes count what single integers count, trait by trait."""
    course, terms = Course(format="4+3"), trait_terms(operation, few=True)
    alone = looked_at(operation, course, terms)
    assert counted(operation, course, terms) == alone
    assert in_lanes(operation, course, terms) == alone


@pytest.mark.parametrize("operation", OPERATIONS)
def test_beliefs_are_counted_as_by_integers_in_4_3(operation: str) -> None:
    """On all of 4+3 the atlas and lanes count what single integers count, belief by belief."""
    course, terms = Course(format="4+3"), belief_terms(operation, ("exposes",))
    alone = looked_at(operation, course, terms)
    assert counted(operation, course, terms) == alone
    assert in_lanes(operation, course, terms) == alone


@pytest.mark.parametrize("sign", ["=", "!=", ">", ">=", "<", "<="])
def test_the_value_lost_is_compared_in_every_way(sign: str) -> None:
    """Where the exponents lie so far apart that every digit is lost, too: below it, at it and above it."""
    course = Course(format="3+4")
    values = ("0", "1/64", "3/128", "1/8", "5/3", "31", "96")
    terms = [term(f"lost-value {sign} {value}", "add") for value in values]
    assert counted("add", course, terms) == in_lanes("add", course, terms)


@pytest.mark.parametrize("operation", OPERATIONS)
@pytest.mark.parametrize("size", ["6+4"])
def test_everything_is_counted_as_in_lanes(operation: str, size: str) -> None:
    """On all of 6+4, where exponents may lie far apart, the atlas counts what lanes count."""
    course = Course(format=size)
    terms = [*trait_terms(operation), *belief_terms(operation)]
    assert counted(operation, course, terms) == in_lanes(operation, course, terms)


@pytest.mark.parametrize("operation", OPERATIONS)
def test_traits_are_counted_as_in_lanes_in_8_4(operation: str) -> None:
    """On all four million questions of 8+4 the atlas counts what lanes count."""
    course, terms = Course(), trait_terms(operation)[::3]
    assert counted(operation, course, terms) == in_lanes(operation, course, terms)


@pytest.mark.parametrize(
    "course",
    [
        Course(format="5+3", method="negate-then-align"),
        Course(format="5+3", method="one-guard-bit"),
        Course(format="5+3", method="exact-then-nearest", accepts=("size-and-sign",)),
        Course(format="5+3", method="size-and-sign", underflow="un-normalised"),
        Course(format="5+3", method="spare-place-first", underflow="zero"),
    ],
    ids=lambda course: f"{course.method}, {course.underflow}",
)
def test_other_courses_are_counted_as_in_lanes(course: Course) -> None:
    """Under any course the atlas counts what lanes count."""
    terms = trait_terms("subtract")
    assert counted("subtract", course, terms) == in_lanes("subtract", course, terms)


@pytest.mark.parametrize("size", ["2+2", "2+5", "3+2", "3+5", "7+2"])
def test_the_smallest_formats_are_counted_as_in_lanes(size: str) -> None:
    """Formats with hardly a mantissa or hardly an exponent are no exception."""
    course = Course(format=size)
    terms = [*trait_terms("subtract")[::2], *belief_terms("subtract", ("exposes",))]
    assert counted("subtract", course, terms) == in_lanes("subtract", course, terms)


def test_two_beliefs_at_once_are_counted_as_in_lanes() -> None:
    """Traits that compare one belief with others are no exception."""
    course = Course(format="5+3")
    texts = ("ambiguous:align-skip,exponents-added", "exposes-only:align-left", "exposes-only:invert-only")
    terms = [term(text, "subtract") for text in texts]
    assert counted("subtract", course, terms) == in_lanes("subtract", course, terms)


def test_a_trait_that_does_not_fit_says_so_and_is_remembered() -> None:
    """A diagram that would outgrow its limit is given up, and that too is kept."""
    pairs_bits = term("palindromic-bits", "subtract")
    course = Course(format="24+8")
    assert Atlas("subtract", course).does_not_fit(pairs_bits)
    assert Atlas("subtract", course).does_not_fit(pairs_bits)
