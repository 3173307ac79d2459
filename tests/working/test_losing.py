"""Every error is traced: the parts that the losses account for add up to it."""

from fractions import Fraction
from itertools import product

import pytest

import chalkpoint as cp
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.storing import StorePage, give_sign, sign_mantissa
from chalkpoint.working.work import work_by


@pytest.mark.parametrize("operation", ["add", "subtract"])
@pytest.mark.parametrize("name", list(METHODS))
def test_losses_add_up_to_the_error(name: str, operation: str) -> None:
    """Every pair of 3+2 patterns under each method and reading of underflow: a shift takes all three digits."""
    for underflow in ("word", "un-normalised"):
        course = cp.Course(format="3+2", method=name, underflow=underflow)
        fmt = course.number_format
        patterns = [
            fmt.read(f"{mantissa:03b} {exponent:02b}") for mantissa in range(8) for exponent in range(4)
        ]
        for pair in product(patterns, patterns):
            working = work_by(Question(OPERATIONS[operation], course, fmt, pair, given=(None, None)))
            if working.check.error is not None:
                assert sum((loss.worth for loss in working.losses), Fraction(0)) == working.check.error


@pytest.mark.parametrize("rounding", ["cut", "cut size", "nearest", "nearest away"])
@pytest.mark.parametrize("value", ["4.6", "-5.3", "0.1", "-0.1", "1/3", "100.03125", "-5.25"])
def test_storing_traces_its_error_to_the_fit(value: str, rounding: str) -> None:
    """The tail that was cut accounts for all of the error of a stored value."""
    working = cp.work("encode", value, course=cp.Course(rounding=rounding))
    worth = sum((loss.worth for loss in working.losses), Fraction(0))

    assert worth == working.check.error
    assert all(loss.rule == "fit" and loss.bits for loss in working.losses)


def test_a_loss_names_its_step_and_its_bits() -> None:
    """The gauge less the datum: the 1 lost in step 2 makes the whole error."""
    (loss,) = cp.work("subtract", "8.875", "3.6875").losses

    assert (loss.step, loss.rule, loss.bits, loss.worth) == (2, "align", "10", Fraction(-1, 16))


def test_cutting_the_size_loses_digits_of_the_size() -> None:
    """Under size-and-sign the digits in the tray are the size's."""
    (loss,) = cp.work("add", "8.875", "-3.6875", method="size-and-sign").losses

    assert (loss.bits, loss.worth) == ("10", Fraction(-1, 16))


def test_a_tail_that_never_ends_is_inverted_only() -> None:
    """-0.1 to eight places is 0.00011001 inverted, 1.11100110, in units of the last place -26; -0.125 is exact."""
    course = cp.Course(format="8+4")
    tenth = StorePage(Fraction(-1, 10), number=25, places=8, ends=False)
    eighth = StorePage(Fraction(-1, 8), number=32, places=8)
    assert give_sign(tenth, course).number == -26
    assert give_sign(eighth, course).number == -32


def test_only_a_half_changes_its_exponent_when_it_is_negated() -> None:
    """0.1000000 is written as -1.0 with an exponent one less; 0.0001010 and 0.1100000 keep theirs."""
    course = cp.Course(format="8+4")
    for mantissa, negated, exponent in ((64, -128, 1), (10, -10, 2), (96, -96, 2)):
        page = sign_mantissa(StorePage(Fraction(-1), exponent=2, mantissa=mantissa), course)
        assert (page.mantissa, page.exponent) == (negated, exponent)


@pytest.mark.parametrize(
    ("method", "lost"),
    [
        ("exact-then-truncate", "10"),
        ("exact-then-nearest", "10"),
        ("one-guard-bit", "1"),
    ],
)
def test_digits_cut_at_the_end_are_those_past_the_mantissa(method: str, lost: str) -> None:
    """8.875 + 3.6875: 0.1000111 + 0.0011101|10 = 0.1100100|10; one guard bit keeps the first of the two."""
    (loss,) = [loss for loss in cp.work("add", "8.875", "3.6875", method=method).losses if loss.rule == "cut"]

    assert loss.bits == lost


def test_cutting_a_negative_size_takes_its_own_digits() -> None:
    """-3.65625 = -0.1110101 * 2^2: two places further its size loses 01, worth 1/32, where the pattern's are 11."""
    (loss,) = cp.work("add", "8.875", "-3.65625", method="size-and-sign").losses

    assert (loss.bits, loss.worth) == ("01", Fraction(-1, 32))
