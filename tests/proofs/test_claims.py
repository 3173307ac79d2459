"""Claims the working makes, proved for every bit pattern of a width.

Each test asks a solver for a pattern that breaks the claim; the claim is proved when there is
none. Patterns are bit vectors and the rule is written on bits, as a class does it; the claim is
stated on the integers they stand for, in a width with room to spare. docs/proofs.md lists them.
"""

from __future__ import annotations

import pytest
import z3
from z3 import And, BitVec, BitVecRef, BoolRef, Extract, If, Implies, LShR, Not, Or, SignExt, ZeroExt

WIDTHS = [2, 3, 4, 5, 6, 8, 10, 12, 16, 24, 32, 64]
SHIFTED = [2, 3, 4, 5, 6, 8, 10, 12, 16]
"""Widths for claims with a shift by any number of places, which cost the solver more."""


def counterexample(claim: BoolRef) -> z3.ModelRef | None:
    """Return values that break a claim, None when no values do."""
    solver = z3.Solver()
    solver.add(Not(claim))
    found = solver.check()
    assert found != z3.unknown
    return solver.model() if found == z3.sat else None


def sign(x: BitVecRef) -> BitVecRef:
    """Return the first bit."""
    return Extract(x.size() - 1, x.size() - 1, x)


def second(x: BitVecRef) -> BitVecRef:
    """Return the second bit."""
    return Extract(x.size() - 2, x.size() - 2, x)


def normalised(x: BitVecRef) -> BoolRef:
    """The first two bits differ."""
    return sign(x) != second(x)


def wide(x: BitVecRef, bits: int) -> BitVecRef:
    """Return the same signed integer in *bits* bits."""
    return SignExt(bits - x.size(), x)


def column_sum(a: BitVecRef, b: BitVecRef) -> BitVecRef:
    """Return the row written under two rows: as many columns, and the carry out in front."""
    return ZeroExt(1, a) + ZeroExt(1, b)


def fits(x: BitVecRef, bits: int) -> BoolRef:
    """A signed integer can be written in *bits* bits: the bits in front all repeat the sign."""
    return wide(Extract(bits - 1, 0, x), x.size()) == x


def test_a_false_claim_is_found_out() -> None:
    """That two m-bit numbers always add up in m bits is refuted: the proofs below could fail."""
    a, b = BitVec("a", 8), BitVec("b", 8)

    assert counterexample(fits(wide(a, 9) + wide(b, 9), 8)) is not None


# === Carry and mantissa overflow ============================================================


@pytest.mark.parametrize("m", WIDTHS)
def test_carry_out_is_harmless_when_the_sum_fits(m: int) -> None:
    """Where the true sum fits m bits, the m columns without the carry out are that sum."""
    a, b = BitVec("a", m), BitVec("b", m)
    true_sum = wide(a, m + 2) + wide(b, m + 2)
    kept = Extract(m - 1, 0, column_sum(a, b))

    assert counterexample(Implies(fits(true_sum, m), wide(kept, m + 2) == true_sum)) is None


@pytest.mark.parametrize("m", WIDTHS)
def test_a_carry_out_says_nothing_about_overflow(m: int) -> None:
    """Both with and without a carry out there are sums that fit and sums that do not."""
    a, b = BitVec("a", m), BitVec("b", m)
    carry = sign(column_sum(a, b)) == 1
    good = fits(wide(a, m + 1) + wide(b, m + 1), m)

    for with_carry in (carry, Not(carry)):
        assert counterexample(Implies(with_carry, good)) is not None
        assert counterexample(Implies(with_carry, Not(good))) is not None


@pytest.mark.parametrize("m", WIDTHS)
def test_overflow_shows_on_the_extra_sign_place(m: int) -> None:
    """With each sign copied once, m + 1 columns hold the true sum; it fits iff its first two agree."""
    a, b = BitVec("a", m), BitVec("b", m)
    true_sum = wide(a, m + 2) + wide(b, m + 2)
    row = wide(a, m + 1) + wide(b, m + 1)

    assert counterexample(wide(row, m + 2) == true_sum) is None
    assert counterexample(fits(true_sum, m) == Not(normalised(row))) is None


@pytest.mark.parametrize("m", WIDTHS)
def test_overflow_needs_equal_signs_and_changes_them(m: int) -> None:
    """The sum does not fit iff both operands have one sign and the m kept columns the other."""
    a, b = BitVec("a", m), BitVec("b", m)
    kept = Extract(m - 1, 0, column_sum(a, b))
    overflow = Not(fits(wide(a, m + 1) + wide(b, m + 1), m))

    claim = overflow == And(sign(a) == sign(b), sign(kept) != sign(a))
    assert counterexample(claim) is None


@pytest.mark.parametrize("m", WIDTHS)
def test_overflow_is_where_the_two_last_carries_differ(m: int) -> None:
    """The sum does not fit iff the carries into and out of the sign column differ."""
    a, b = BitVec("a", m), BitVec("b", m)
    carry_out = sign(column_sum(a, b))
    below = column_sum(Extract(m - 2, 0, a), Extract(m - 2, 0, b))
    overflow = Not(fits(wide(a, m + 1) + wide(b, m + 1), m))

    assert counterexample(overflow == (carry_out != sign(below))) is None


@pytest.mark.parametrize("m", WIDTHS)
def test_a_difference_fits_the_extra_sign_place_too(m: int) -> None:
    """The difference a - b, with b negated in m + 1 bits, is right in m + 1 columns, also when b is -1.0."""
    a, b = BitVec("a", m), BitVec("b", m)
    row = wide(a, m + 1) + (~wide(b, m + 1) + 1)

    assert counterexample(wide(row, m + 2) == wide(a, m + 2) - wide(b, m + 2)) is None


# === Repair =================================================================================


def repaired(row: BitVecRef) -> BitVecRef:
    """Shift an m + 1 bit row right one place, the true sign in front, and keep m bits."""
    return Extract(row.size() - 1, 1, row)


@pytest.mark.parametrize("m", WIDTHS)
def test_a_repaired_sum_fits_and_is_normalised(m: int) -> None:
    """After one shift right an overflowed sum or difference fits m bits in normal form."""
    a, b = BitVec("a", m), BitVec("b", m)
    for row in (wide(a, m + 1) + wide(b, m + 1), wide(a, m + 1) - wide(b, m + 1)):
        assert counterexample(Implies(normalised(row), normalised(repaired(row)))) is None


@pytest.mark.parametrize("m", WIDTHS)
def test_a_repair_halves_rounding_down(m: int) -> None:
    """The repaired mantissa is half the sum, less a half exactly when the last bit was 1."""
    row = BitVec("row", m + 1)
    half = wide(repaired(row), m + 2)
    dropped = ZeroExt(m + 1, Extract(0, 0, row))

    assert counterexample(half + half + dropped == wide(row, m + 2)) is None


@pytest.mark.parametrize("m", WIDTHS)
def test_the_bit_brought_in_is_the_operands_sign(m: int) -> None:
    """When a sum overflows, its true sign is the sign that both operands have."""
    a, b = BitVec("a", m), BitVec("b", m)
    row = wide(a, m + 1) + wide(b, m + 1)

    assert counterexample(Implies(normalised(row), sign(repaired(row)) == sign(a))) is None


@pytest.mark.parametrize("m", WIDTHS)
def test_a_spare_place_leaves_nothing_to_repair(m: int) -> None:
    """Operands both shifted right one place first add and subtract within m bits."""
    a, b = BitVec("a", m), BitVec("b", m)
    first, other = wide(a >> 1, m + 2), wide(b >> 1, m + 2)

    assert counterexample(And(fits(first + other, m), fits(first - other, m))) is None


# === Negating ===============================================================================


@pytest.mark.parametrize("m", WIDTHS)
def test_inverting_and_adding_one_negates_all_but_one(m: int) -> None:
    """Invert and add one gives minus the number in m bits for all but 100...0, in m + 1 for all."""
    a = BitVec("a", m)
    minus = -wide(a, m + 2)
    lowest = z3.BitVecVal(1 << (m - 1), m)

    assert counterexample((wide(~a + 1, m + 2) == minus) == (a != lowest)) is None
    assert counterexample(wide(~wide(a, m + 1) + 1, m + 2) == minus) is None


@pytest.mark.parametrize("m", WIDTHS)
def test_copying_up_to_the_first_one_negates(m: int) -> None:
    """Copy from the right through the first 1, invert the rest: the same pattern every time."""
    a = BitVec("a", m)
    first_one = a & -a
    copied = first_one | (first_one - 1)

    assert counterexample(If(a == 0, a, (a & copied) | (~a & ~copied)) == ~a + 1) is None


# === Cutting ================================================================================


def place(name: str, m: int) -> tuple[BitVecRef, BoolRef]:
    """Return a number of places and the condition that it lies from 0 to m."""
    places = BitVec(name, 2 * m + 2)
    return places, And(places >= 0, places <= m)


@pytest.mark.parametrize("m", SHIFTED)
def test_dropping_bits_rounds_toward_minus_infinity(m: int) -> None:
    """Shifting right d places with sign copies gives the floor of mantissa / 2^d."""
    a = BitVec("a", m)
    d, in_range = place("d", m)
    whole = wide(a, 2 * m + 2)
    scale = z3.BitVecVal(1, 2 * m + 2) << d
    kept = whole >> d

    floor = And(kept * scale <= whole, whole < kept * scale + scale)
    assert counterexample(Implies(in_range, floor)) is None


@pytest.mark.parametrize("m", SHIFTED)
def test_the_dropped_bits_are_the_error(m: int) -> None:
    """What a shift right takes from the value is the dropped bits read as a plain number."""
    a = BitVec("a", m)
    d, in_range = place("d", m)
    whole = wide(a, 2 * m + 2)
    dropped = whole & ((z3.BitVecVal(1, 2 * m + 2) << d) - 1)

    claim = And(dropped >= 0, ((whole >> d) << d) + dropped == whole)
    assert counterexample(Implies(in_range, claim)) is None


@pytest.mark.parametrize("m", WIDTHS)
def test_a_long_shift_leaves_only_sign_bits(m: int) -> None:
    """Shifted m - 1 places or more, a mantissa is 0 or -1 in the last place, by its sign."""
    a, d = BitVec("a", m), BitVec("d", m)
    signs = If(sign(a) == 1, z3.BitVecVal(-1, m), z3.BitVecVal(0, m))

    assert counterexample(Implies(z3.UGE(d, m - 1), (a >> d) == signs)) is None


@pytest.mark.parametrize("m", SHIFTED)
def test_negating_first_costs_one_place_with_a_lost_bit(m: int) -> None:
    """Negate then align is one last place below align then negate iff a 1 is lost, else equal."""
    b = BitVec("b", m)
    d, in_range = place("d", m)
    whole = wide(b, 2 * m + 2)
    lost = ((whole >> d) << d) != whole
    align_first, negate_first = -(whole >> d), (-whole) >> d

    claim = align_first - negate_first == If(lost, z3.BitVecVal(1, 2 * m + 2), z3.BitVecVal(0, 2 * m + 2))
    assert counterexample(Implies(in_range, claim)) is None


@pytest.mark.parametrize("m", SHIFTED)
def test_negating_first_is_then_inverting_only(m: int) -> None:
    """With a lost 1, negate then align equals align then invert, the one not added; else it does not."""
    b = BitVec("b", m)
    d, in_range = place("d", m)
    whole = wide(b, 2 * m + 2)
    lost = ((whole >> d) << d) != whole

    claim = ((-whole) >> d == ~(whole >> d)) == lost
    assert counterexample(Implies(in_range, claim)) is None


@pytest.mark.parametrize("m", SHIFTED)
def test_a_lost_bit_always_shows(m: int) -> None:
    """By the default method, a 1 lost in aligning or repair makes the result differ, no 1 lost never.

    All in units of the shifted operand's last place: A is the unshifted mantissa, b the shifted
    one, result the kept sum after any repair. The four cases are A + b, A - b and b - A.
    """
    bits = 3 * m + 4
    a, b, d = BitVec("a", m), BitVec("b", m), BitVec("d", bits)
    larger, smaller = wide(a, bits), wide(b, bits)
    shifted = smaller >> d
    align_lost = (shifted << d) != smaller
    in_range = And(d >= 0, d <= m)

    for total, exact in (
        (larger + shifted, (larger << d) + smaller),
        (larger - shifted, (larger << d) - smaller),
        (shifted - larger, smaller - (larger << d)),
    ):
        overflow = Not(fits(total, m))
        result = If(overflow, (total >> 1) << 1, total) << d
        repair_lost = And(overflow, Extract(0, 0, total) == 1)
        claim = Or(align_lost, repair_lost) == (result != exact)

        assert counterexample(Implies(in_range, claim)) is None


# === Normalising ============================================================================


@pytest.mark.parametrize("m", WIDTHS)
def test_normalised_is_a_range_of_mantissas(m: int) -> None:
    """The first two bits differ iff the mantissa is in [1/2, 1) or in [-1, -1/2)."""
    a = BitVec("a", m)
    half = z3.BitVecVal(1 << (m - 2), m + 1)
    whole = wide(a, m + 1)

    assert counterexample(normalised(a) == Or(whole >= half, whole < -half)) is None


def sign_copies(x: BitVecRef) -> BitVecRef:
    """Return how many bits after the first repeat it, in as many bits as x."""
    count, still = z3.BitVecVal(0, x.size()), z3.BoolVal(val=True)
    for index in reversed(range(x.size() - 1)):
        still = And(still, Extract(index, index, x) == sign(x))
        count = If(still, count + 1, count)
    return count


NORMALISED_WIDTHS = [3, 4, 5, 6, 8, 10, 12, 16]


@pytest.mark.parametrize("m", NORMALISED_WIDTHS)
def test_normalising_loses_nothing(m: int) -> None:
    """Shifting left by the number of repeated sign bits brings normal form and loses no bit."""
    a = BitVec("a", m)
    copies = sign_copies(a)
    moved = a << copies

    claim = And(normalised(moved), (moved >> copies) == a)
    assert counterexample(Implies(a != 0, claim)) is None


@pytest.mark.parametrize("m", NORMALISED_WIDTHS)
def test_normal_form_is_the_only_one(m: int) -> None:
    """Two normalised mantissas that differ only by a shift, zeros filling in, are the same row."""
    a, b = BitVec("a", m), BitVec("b", m)
    d = BitVec("d", 2 * m + 2)

    claim = Not(And(d > 0, d <= m, wide(a, 2 * m + 2) == wide(b, 2 * m + 2) << d))
    assert counterexample(Implies(And(normalised(a), normalised(b)), claim)) is None


# === Far apart ==============================================================================


def cut_to(row: BitVecRef, m: int) -> tuple[BitVecRef, BitVecRef]:
    """Return the first m bits of a row brought to normal form, and the places it moved left."""
    copies = sign_copies(row)
    return Extract(row.size() - 1, row.size() - m, row << copies), copies


@pytest.mark.parametrize("m", NORMALISED_WIDTHS)
def test_a_far_operand_shifts_no_further(m: int) -> None:
    """From m + 2 places on, the exact sum cut to m bits does not depend on the shift."""
    bits = 3 * m + 4
    a, b, d = BitVec("a", m), BitVec("b", m), BitVec("d", bits)
    near = m + 2
    far_sum = (wide(a, bits) << d) + wide(b, bits)
    near_sum = (wide(a, bits) << near) + wide(b, bits)
    (far_bits, far_moved), (near_bits, near_moved) = cut_to(far_sum, m), cut_to(near_sum, m)

    same = And(far_bits == near_bits, far_moved + d == near_moved + near)
    in_range = And(normalised(a), normalised(b), d >= near, d <= 2 * m + 2)
    assert counterexample(Implies(in_range, same)) is None


# === Filling in on the left =================================================================


@pytest.mark.parametrize("m", WIDTHS)
def test_filling_with_zeros_is_wrong_for_negatives_only(m: int) -> None:
    """A 0 instead of a sign copy in front is right for exactly the mantissas not negative."""
    a = BitVec("a", m)

    assert counterexample((LShR(a, 1) == (a >> 1)) == (sign(a) == 0)) is None
