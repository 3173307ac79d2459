"""Every belief about adding, subtracting and normalising gives the answer its example says."""

from itertools import product

import pytest

from chalkpoint.numbers.formats import parse_format
from chalkpoint.numbers.lanes import Lanes
from chalkpoint.working.adding import start, written_answer
from chalkpoint.working.beliefs.catalogue import BELIEFS, beliefs_for
from chalkpoint.working.beliefs.negating import negate_exponent_too
from chalkpoint.working.changing import CHANGING, one_row
from chalkpoint.working.course import Course
from chalkpoint.working.methods import METHODS, method_for
from chalkpoint.working.page import IN_RANGE, Page
from chalkpoint.working.question import ask
from chalkpoint.working.work import work_by

# belief, operation, operands, the right answer, the belief's answer, in 8+4
SUMS = [
    ("align-skip", "add", "2.5", "0.75", "0.1101000 0010", "0.1011000 0011"),
    ("align-left", "add", "4.5", "1.25", "0.1011100 0011", "0.1000100 0100"),
    ("align-larger-right", "add", "4.5", "1.25", "0.1011100 0011", "0.1100010 0011"),
    ("align-right-to-smaller", "add", "4.5", "1.25", "0.1011100 0011", "0.1100010 0001"),
    ("align-larger-left", "add", "4.5", "1.25", "0.1011100 0011", "0.1110000 0001"),
    ("align-fill-zeros", "add", "6.5", "-1.25", "0.1010100 0011", "0.1001010 0100"),
    ("align-sign-pinned", "add", "6.5", "-1.25", "0.1010100 0011", "1.0100000 0000"),
    ("align-off-by-one", "add", "2.5", "0.75", "0.1101000 0010", "0.1011100 0010"),
    ("exp-unsigned-compare", "add", "1.25", "0.125", "0.1011000 0001", "0.1000000 1110"),
    ("exponents-added", "add", "4.5", "1.25", "0.1011100 0011", "0.1001100 0101"),
    ("result-smaller-exponent", "add", "2.5", "0.75", "0.1101000 0010", "0.1101000 0000"),
    ("carry-kept", "add", "7", "-5", "0.1000000 0010", "10.0100000 0011"),
    ("carry-means-overflow", "add", "7", "-5", "0.1000000 0010", "overflow"),
    ("carry-shifted-in", "add", "7", "-5", "0.1000000 0010", "1.0010000 0100"),
    ("wrap-accepted", "add", "3.25", "2.75", "0.1100000 0011", "1.0000000 0001"),
    ("repair-copies-wrong-sign", "add", "3.25", "2.75", "0.1100000 0011", "1.0000000 0001"),
    ("repair-exponent-same", "add", "3.25", "2.75", "0.1100000 0011", "0.1100000 0010"),
    ("repair-says-overflow", "add", "3.25", "2.75", "0.1100000 0011", "overflow"),
    ("exp-wrap-silent", "add", "96", "80", "overflow", "0.1011000 1000"),
    ("sign-bits-left-out", "add", "3.25", "2.75", "0.1100000 0011", "0.1000000 0010"),
    ("xor-add", "add", "3.25", "2.75", "0.1100000 0011", "0.1100000 0001"),
    ("triple-one-zero", "add", "3.5", "3.75", "0.1110100 0011", "0.1000100 0011"),
    ("norm-skipped", "add", "2.75", "-1.5", "0.1010000 0001", "0.0101000 0010"),
    ("invert-only", "subtract", "6.5", "1.25", "0.1010100 0011", "0.1010011 0011"),
    ("sub-adds", "subtract", "6.5", "1.25", "0.1010100 0011", "0.1111100 0011"),
    ("sub-reversed", "subtract", "6.5", "1.25", "0.1010100 0011", "1.0101100 0011"),
    ("neg-exponent-too", "subtract", "6.5", "1.25", "0.1010100 0011", "0.1010100 1101"),
    ("complement-both", "subtract", "6.5", "1.25", "0.1010100 0011", "1.0000100 0011"),
    ("rounds-when-told-to-cut", "add", "6.5", "0.34375", "0.1101101 0011", "0.1101110 0011"),
]


def answer(belief: str, operation: str, *operands: str) -> str:
    """Return what the holder of *belief* writes, in 8+4; a method's own answer for ""."""
    question = ask(operation, *operands, course=Course())
    method = method_for(operation)
    if belief:
        faulty = BELIEFS[belief].method_for(operation, method)
        assert faulty is not None
        method = faulty
    return written_answer(method.finish(start(question), question.float_format), question.float_format)


@pytest.mark.parametrize("example", SUMS, ids=lambda example: example[0])
def test_a_sum_goes_wrong_as_its_example_says(example: tuple[str, ...]) -> None:
    """The right method gives the right answer and the belief its own."""
    belief, operation, first, second, right, wrong = example
    assert answer("", operation, first, second) == right.replace(".", "")
    assert answer(belief, operation, first, second) == wrong.replace(".", "")


# belief, pattern, normalised, as the belief leaves it
SHIFTED = [
    ("norm-mantissa-only", "0.0011010 0011", "0.1101000 0001", "0.1101000 0011"),
    ("norm-exponent-wrong-way", "0.0011010 0011", "0.1101000 0001", "0.1101000 0101"),
    ("norm-one-place-only", "0.0011010 0011", "0.1101000 0001", "0.0110100 0010"),
    ("norm-one-too-far", "0.0011010 0011", "0.1101000 0001", "1.1010000 0000"),
    ("norm-fill-sign", "1.1110010 0010", "1.0010000 1111", "1.0010111 1111"),
    ("norm-wants-point-one", "1.1110010 0010", "1.0010000 1111", "1.1110010 0010"),
]


@pytest.mark.parametrize(("belief", "pattern", "right", "wrong"), SHIFTED)
def test_a_pattern_is_normalised_as_its_example_says(
    belief: str, pattern: str, right: str, wrong: str
) -> None:
    """The right rule reaches normal form and the belief what its example says."""
    question = ask("normalise", pattern, course=Course())
    method = CHANGING["normalise"]
    faulty = BELIEFS[belief].method_for("normalise", method)
    assert faulty is not None
    assert [
        written_answer(run.finish(one_row(question), question.float_format), question.float_format)
        for run in (method, faulty)
    ] == [
        right.replace(".", ""),
        wrong.replace(".", ""),
    ]


# belief, the opposite of 00110100 (52) as the belief writes it; 11001100 is right
OPPOSITES = [
    ("invert-only", "11001011"),
    ("sign-bit-only", "10110100"),
    ("keep-sign-invert-rest", "01001100"),
    ("add-then-invert", "11001010"),
]


@pytest.mark.parametrize(("belief", "wrong"), OPPOSITES)
def test_a_sign_is_changed_as_its_example_says(belief: str, wrong: str) -> None:
    """The negate rule of the belief gives the pattern of its example."""
    fmt = parse_format("8+4")
    place = BELIEFS[belief].place_for("negate")
    assert place is not None
    assert fmt.mantissa.write(place.rules["negate"](Page(0, 0, 52, 0), fmt).second) == wrong


@pytest.mark.parametrize("belief", [belief.id for belief in beliefs_for("subtract")])
def test_rules_are_the_same_on_integers_and_in_lanes(belief: str) -> None:
    """On every pair of 4+3 patterns, the answer in lanes is the integer answer."""
    fmt = parse_format("4+3")
    pages = list(product(range(-8, 8), range(-4, 4), range(-8, 8), range(-4, 4)))
    lanes = Lanes(len(pages))
    method = BELIEFS[belief].method_for("subtract", method_for("subtract"))
    assert method is not None
    together = method.finish(Page(*(lanes.pack(column) for column in zip(*pages, strict=True))), fmt)
    alone = [method.finish(Page(*page), fmt) for page in pages]
    for field in ("total", "exponent", "outcome"):
        assert lanes.unpack(getattr(together, field)) == [getattr(page, field) for page in alone]


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("operation", ["add", "subtract"])
def test_every_answer_can_be_written(operation: str, method: str) -> None:
    """Where a belief's answer is no word, its mantissa and exponent fit their fields."""
    fmt = parse_format("3+2")
    for belief in beliefs_for(operation):
        faulty = belief.method_for(operation, method_for(operation, method))
        assert faulty is not None
        for operands in product(range(-4, 4), range(-2, 2), range(-4, 4), range(-2, 2)):
            page = faulty.finish(Page(*operands), fmt)
            assert page.outcome != IN_RANGE or (-4 <= page.total < 4 and fmt.holds(page.exponent))


@pytest.mark.parametrize("belief", [belief.id for belief in beliefs_for("subtract")])
def test_a_faulty_working_can_be_written_on_the_board(belief: str) -> None:
    """Each step of it has a title, a sentence and words for the ear."""
    method = BELIEFS[belief].method_for("subtract", method_for("subtract"))
    for operands in (("6.5", "1.25"), ("3.25", "-2.75"), ("-7", "-5"), ("-0.1875", "100"), ("96", "-80")):
        working = work_by(ask("subtract", *operands, course=Course()), method)
        assert working.faulty
        assert all(step.title and step.detail and step.spoken for step in working.steps)
        assert working.check_words.verdict


def test_a_belief_about_aligning_keeps_the_guard_bit() -> None:
    """2.5 + 0.75, no place moved: 0.1010000 + 0.1100000 = 01.0110000, by any method 0.1011000 with exponent 3."""
    for name in ("align-then-negate", "one-guard-bit"):
        method = BELIEFS["align-skip"].method_for("add", method_for("add", name))
        assert work_by(ask("add", "2.5", "0.75", course=Course()), method).result.bits == "01011000 0011"


def test_a_negated_exponent_is_negated_as_it_is_read() -> None:
    """Stored 5 with 3 taken off when it is read, 8: negated -8, which is stored as -11."""
    page = negate_exponent_too(Page(0, 0, 12, 5, datum=3), parse_format("8+4"))
    assert (page.second, page.second_exponent) == (-12, -11)
