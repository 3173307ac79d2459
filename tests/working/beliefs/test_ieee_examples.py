"""Every belief about IEEE-style patterns gives the answer its example says (4-bit exponent, bias 7)."""

from fractions import Fraction

import pytest

from chalkpoint.working.beliefs.belief import IEEE, Belief
from chalkpoint.working.beliefs.catalogue import BELIEFS, beliefs_for
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import method_named, right_method
from chalkpoint.working.question import ask
from chalkpoint.working.size_values import SIZE_READING
from chalkpoint.working.work import work_by
from chalkpoint.working.working import Working

SMALL = Course(format="1+4+3")

# belief, pattern, what it reads
READ = [
    ("bias-added", "0 1001 101", "106496"),
    ("bias-power-of-two", "0 1001 101", "3.25"),
    ("hidden-one-missing", "0 1001 101", "2.5"),
    ("ieee-negative-complemented", "1 1001 010", "-7"),
    ("subnormal-as-normal", "0 0000 101", "0.0126953125"),
    ("all-ones-as-number", "0 1111 000", "256"),
    ("bias-not-removed", "0 1001 101", "832"),
    ("first-one-leads", "0 1001 011", "6"),
    ("subnormal-exponent-minus-bias", "0 0000 101", "0.0048828125"),
]


def read(belief: str, pattern: str) -> Working:
    """Return the working of the holder of *belief* who reads *pattern*."""
    faulty = BELIEFS[belief].method_for("decode", SIZE_READING, IEEE)
    assert faulty is not None
    return work_by(ask("decode", pattern, course=SMALL), faulty)


@pytest.mark.parametrize("example", READ, ids=lambda example: example[0])
def test_a_word_is_read_as_its_example_says(example: tuple[str, ...]) -> None:
    """The last line of the faulty working has the value of the example."""
    belief, pattern, wrong = example
    assert read(belief, pattern).steps[-1].after.value == Fraction(wrong)


@pytest.mark.parametrize("example", READ, ids=lambda example: example[0])
def test_a_faulty_reading_is_told_on_the_line_it_spoils(example: tuple[str, ...]) -> None:
    """The belief's own sentence stands on the board, and the working is marked as faulty."""
    belief, pattern, _ = example
    place, working = BELIEFS[belief].place_for("decode", IEEE), read(belief, pattern)
    assert place is not None
    assert working.faulty
    board = {step.rule: step.detail for step in working.steps}
    assert all(board[line].startswith(said) for line, said in place.says.items())


@pytest.mark.parametrize("belief", beliefs_for("decode", IEEE), ids=lambda belief: belief.id)
def test_an_infinity_is_read_as_one_unless_that_is_the_belief(belief: Belief) -> None:
    """Beliefs about exponent and size leave special patterns alone."""
    special = [step.rule for step in read(belief.id, "1 1111 000").steps] == ["sign", "special"]
    assert special is (belief.id != "all-ones-as-number")


# belief, value, right, wrong
STORED = [
    ("hidden-one-stored", "6.5", "0 1001 101", "0 1001 110"),
    ("cuts-when-told-to-round", "7.875", "0 1010 000", "0 1001 111"),
    ("bias-omitted", "6.5", "0 1001 101", "0 0010 101"),
    ("exponent-stores-power", "6.5", "0 1001 101", "0 0100 101"),
    ("below-one-no-exponent", "0.4375", "0 0101 110", "0 0111 011"),
    ("decimal-exponent-kept", "65", "0 1101 000", "0 1000 100"),
    ("sign-digit-counted", "-6.5", "1 1001 101", "1 1010 110"),
]


def stored(belief: str, value: str) -> Working:
    """Return the working of the holder of *belief* who stores *value*."""
    question = ask("encode", value, course=SMALL)
    faulty = BELIEFS[belief].method_for("encode", method_named(question), IEEE)
    assert faulty is not None
    return work_by(question, faulty)


@pytest.mark.parametrize("example", STORED, ids=lambda example: example[0])
def test_a_word_is_written_as_its_example_says(example: tuple[str, ...]) -> None:
    """The right working gives the right word and the faulty one the example's."""
    belief, value, right, wrong = example
    assert work_by(ask("encode", value, course=SMALL)).result.bits == right
    assert stored(belief, value).result.bits == wrong


@pytest.mark.parametrize("example", STORED, ids=lambda example: example[0])
def test_a_faulty_writing_is_told_on_the_line_it_spoils(example: tuple[str, ...]) -> None:
    """The belief's own sentence stands on the board."""
    belief, value, *_ = example
    place, working = BELIEFS[belief].place_for("encode", IEEE), stored(belief, value)
    assert place is not None
    assert working.faulty
    board = [step.detail for step in working.steps]
    assert any(line.startswith(said) for line in board for said in place.says.values())


@pytest.mark.parametrize(("value", "wrong"), [("250", "0 1110 111"), ("300", "0 1111 000")])
def test_cutting_stops_at_the_end_of_the_range(value: str, wrong: str) -> None:
    """Digits past the largest are cut, but an exponent past the highest is still an infinity."""
    assert stored("cuts-when-told-to-round", value).result.bits == wrong


@pytest.mark.parametrize("belief", beliefs_for("encode", IEEE), ids=lambda belief: belief.id)
def test_zero_is_stored_as_zero_by_every_belief(belief: Belief) -> None:
    """Zero has a pattern of its own, which no belief touches."""
    assert stored(belief.id, "0").result.bits == "0 0000 000"


# belief, operation, operands, right, wrong
WORKED = [
    ("words-added-as-integers", "add", "0 1001 101", "0 0111 011", "0 1010 000", "1 0001 000"),
    ("bias-kept-twice", "multiply", "0 1000 101", "0 0101 110", "0 0111 011", "0 1110 011"),
]


@pytest.mark.parametrize("example", WORKED, ids=lambda example: example[0])
def test_two_words_are_worked_as_the_example_says(example: tuple[str, ...]) -> None:
    """The right method gives the right word; the belief's gives its own, told on the line it spoils."""
    belief, operation, first, second, right, wrong = example
    question = ask(operation, first, second, course=SMALL)
    faulty = BELIEFS[belief].method_for(operation, right_method(operation, SMALL), IEEE)
    place = BELIEFS[belief].place_for(operation, IEEE)
    assert faulty is not None
    assert place is not None
    working = work_by(question, faulty)
    assert (work_by(question).result.bits, working.result.bits) == (right, wrong)
    (said,) = place.says.values()
    assert working.faulty
    assert any(step.detail.startswith(said) for step in working.steps)
