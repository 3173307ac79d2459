"""Every rule, method and belief in every family of formats: many questions in one stroke, or one by one."""

from __future__ import annotations

from itertools import product
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chalkpoint.numbers.lanes import Lanes
from chalkpoint.numbers.symbolic import Condition, Integer
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.page import Page
from chalkpoint.working.reading import ReadPage
from chalkpoint.working.sizes import SizePage
from every_way import ways

PAIRS = ("add", "subtract", "multiply", "divide")
MOST = 1024  # questions of which every one is worked: all of 3+2, 1+2+1 and every 4-bit row
CASES = [
    *(
        (operation, spelling)
        for operation in PAIRS
        for spelling in ("3+2", "4+3", "1+2+1", "1+3+2", "4", "Q2.2", "4 unsigned")
    ),
    *((operation, "5+3") for operation in ("normalise", "negate", "decode")),
]
#: Beliefs whose rules write digits or take fractions of a place: they see one question at a time.
BY_DIGITS = {
    "m+e decode": {"leading-zeros-dropped", "point-before-first-bit", "decimal-standard-form"},
    "IEEE add": {"words-added-as-integers"},
}


def scattered(lanes: Lanes, page: Any) -> list[Any]:
    """Return the page of each question, from one *page* that holds all their numbers."""
    columns = (
        lanes.unpack(part) if isinstance(part, (int, Integer, Condition)) else [part] * lanes.count
        for part in page
    )
    return [page._make(row) for row in zip(*columns, strict=True)]


def fields_of(spelling: str) -> list[tuple[int, ...]]:
    """Return the fields of every pattern of a format, as its pages hold them."""
    fmt: Any = Course(format=spelling).number_format
    if hasattr(fmt, "mantissa"):
        return list(
            product(
                range(-(1 << fmt.places), 1 << fmt.places),
                range(fmt.lowest_exponent, fmt.highest_exponent + 1),
            )
        )
    if hasattr(fmt, "fraction_bits"):
        stored = range(fmt.lowest_stored, fmt.highest_stored + 1)
        return list(product((0, 1), stored, range(1 << fmt.fraction_bits)))
    return [(number, 0) for number in range(fmt.field.lowest, fmt.field.highest + 1)]


def first_pages(operation: str, spelling: str) -> list[Any]:
    """Return the first page of every question of a format that can be asked."""
    patterns = fields_of(spelling)
    fmt: Any = Course(format=spelling).number_format
    if operation == "decode":
        return [
            ReadPage(m & ((1 << fmt.mantissa_bits) - 1), e & ((1 << fmt.exponent_bits) - 1))
            for m, e in patterns
        ]
    if operation in {"normalise", "negate"}:
        return [Page(0, 0, m, e, total=m, exponent=e) for m, e in patterns]
    pairs = list(product(patterns, repeat=2))
    if len(patterns[0]) == 3:
        return [SizePage(*first, *second) for first, second in pairs]
    return [Page(*first, *second) for first, second in pairs if operation != "divide" or second[0]]


@pytest.mark.parametrize(("operation", "spelling"), CASES, ids=str)
def test_every_way_of_working_in_lanes(operation: str, spelling: str) -> None:
    """The last page of every question of a small format is the one that it has by itself; of a larger, of many."""
    course = Course(format=spelling)
    pages = first_pages(operation, spelling)
    if len(pages) > MOST:
        pages = Random(17).sample(pages, MOST // 3)
    by_digits = set()
    for name, method in ways(operation, course).items():
        try:
            assert_alike(method, pages, course.number_format)
        except (TypeError, AttributeError):
            by_digits.add(name)
    assert by_digits == BY_DIGITS.get(family_of(course.number_format) + " " + operation, set())


def assert_alike(method: Method, pages: list[Any], fmt: Any) -> None:
    """Hold the last page of *pages* in one stroke against the last page of each."""
    lanes = Lanes(len(pages))
    by_line = method.trail(lanes.gather(pages), fmt) if not isinstance(pages[0], ReadPage) else []
    alone = [method.trail(page, fmt) for page in pages]
    if by_line:
        assert scattered(lanes, by_line[-1].after) == [trail[-1].after for trail in alone], method.name
        return
    page = lanes.gather(pages)
    for at, line in enumerate(line for line in method.lines if line.name != "scale"):
        page = method.apply(line, page, fmt)  # a scaled value is a fraction, of one question only
        assert scattered(lanes, page) == [trail[at].after for trail in alone], line.name


def test_many_numbers_have_no_digits() -> None:
    """A rule that would write them is refused, and never answered with something else."""
    lanes = Lanes(2)
    with pytest.raises(TypeError, match="cannot be written in digits"):
        str(lanes.pack([1, 2]))


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 2**32), st.sampled_from(["8+4", "24+8", "12+6", "binary16", "binary32", "16", "Q8.8"]))
def test_wide_formats_in_lanes(seed: int, spelling: str) -> None:
    """Formats too wide to be walked: some questions, some ways, alike."""
    rng, course = Random(seed), Course(format=spelling)
    fmt: Any = course.number_format
    operation = rng.choice(PAIRS)
    pages = [_drawn(fmt, rng) for _ in range(40)]
    found = ways(operation, course)
    for name in rng.sample(list(found), min(4, len(found))):
        if name not in BY_DIGITS.get(family_of(fmt) + " " + operation, set()):
            assert_alike(found[name], pages, fmt)


def _drawn(fmt: Any, rng: Random) -> Any:
    def one() -> tuple[int, ...]:
        if hasattr(fmt, "mantissa"):
            m, e = fmt.places, rng.randint(fmt.lowest_exponent, fmt.highest_exponent)
            return rng.randrange(-(1 << m), 1 << m), e
        if hasattr(fmt, "fraction_bits"):
            stored = rng.randint(fmt.lowest_stored, fmt.highest_stored)
            return rng.randrange(2), stored, rng.randrange(1 << fmt.fraction_bits)
        return rng.randint(fmt.field.lowest, fmt.field.highest) or 1, 0

    return (SizePage if hasattr(fmt, "fraction_bits") else Page)(*one(), *one())
