"""Every pair of patterns of the 8-bit formats, added, multiplied and divided, against two other libraries."""

from __future__ import annotations

import random
from functools import cache
from typing import Any

import ml_dtypes
import numpy as np
import pytest
from gfloat import FormatInfo, RoundMode, encode_ndarray, round_ndarray
from gfloat.formats import format_info_ocp_e4m3, format_info_ocp_e5m2
from gfloat.types import Domain

import chalkpoint as cp
from chalkpoint.numbers.lanes import Lanes
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.size_arithmetic import size_method
from chalkpoint.working.sizes import SizePage
from codes_in_lanes import cut_code, join_code

MINI = FormatInfo(
    "mini",
    8,
    4,
    bias=7,
    is_signed=True,
    domain=Domain.Extended,
    has_nz=True,
    num_high_nans=7,
    has_subnormals=True,
    is_twos_complement=False,
)
TYPES = {
    "1+4+3": (ml_dtypes.float8_e4m3, MINI),
    "E4M3": (ml_dtypes.float8_e4m3fn, format_info_ocp_e4m3),
    "E5M2": (ml_dtypes.float8_e5m2, format_info_ocp_e5m2),
}
MODES = {
    "nearest": RoundMode.TiesToEven,
    "nearest away": RoundMode.TiesToAway,
    "toward zero": RoundMode.TowardZero,
    "up": RoundMode.TowardPositive,
    "down": RoundMode.TowardNegative,
}
EXACT = {"add": np.add, "subtract": np.subtract, "multiply": np.multiply, "divide": np.divide}


def every_pair() -> tuple[Any, Any]:
    """Return the codes of all pairs of 8-bit patterns."""
    first, second = np.divmod(np.arange(1 << 16), 1 << 8)
    return first, second


@cache
def worked(operation: str, spelling: str, rounding: str) -> Any:
    """Return the answers' codes for every pair, by the rules run once in lanes."""
    course = cp.Course(format=spelling, rounding=rounding)
    fmt, lanes = course.size_format, Lanes(1 << 16)
    codes = [lanes.pack(column.tolist()) for column in every_pair()]
    page: Any = SizePage(*cut_code(codes[0], fmt), *cut_code(codes[1], fmt))
    last: Any = size_method(operation, course).finish(page, fmt)
    return np.array(lanes.unpack(join_code(last.sign, last.stored, last.fraction, fmt)))


def code_of(pattern: Fields, fmt: SignMagnitudeFormat) -> int:
    """Return a pattern as one number."""
    return int(join_code(pattern.sign, pattern.exponent, pattern.fraction, fmt))


def values(spelling: str, codes: Any) -> Any:
    """Return what codes stand for, by the other library."""
    return np.asarray(codes, dtype=np.uint8).view(TYPES[spelling][0]).astype(np.float64)


def exact(operation: str, spelling: str) -> Any:
    """Return the exact answers: double precision holds sums and products of 8-bit numbers in full."""
    first, second = every_pair()
    with np.errstate(all="ignore"):
        return EXACT[operation](values(spelling, first), values(spelling, second))


def same(found: Any, wanted: Any) -> Any:
    """Tell where two arrays agree, signs of zero and NaN counted."""
    alike = (found == wanted) & (np.signbit(found) == np.signbit(wanted))
    return alike | (np.isnan(found) & np.isnan(wanted))


@pytest.mark.parametrize("spelling", TYPES)
@pytest.mark.parametrize("operation", EXACT)
def test_every_pair_to_the_nearest(operation: str, spelling: str) -> None:
    """Each of the 65,536 answers is the exact one as ml_dtypes stores it."""
    with np.errstate(all="ignore"):
        wanted = exact(operation, spelling).astype(TYPES[spelling][0]).astype(np.float64)

    assert same(values(spelling, worked(operation, spelling, "nearest")), wanted).all()


@pytest.mark.parametrize("rounding", MODES)
@pytest.mark.parametrize("spelling", TYPES)
@pytest.mark.parametrize("operation", ["add", "multiply"])
def test_every_pair_in_every_direction(operation: str, spelling: str, rounding: str) -> None:
    """Each of the 65,536 answers is the exact one as gfloat rounds it, in all five directions."""
    found = values(spelling, worked(operation, spelling, rounding))
    exactly = exact(operation, spelling)
    with np.errstate(all="ignore"):
        wanted = round_ndarray(TYPES[spelling][1], exactly, MODES[rounding])
    if rounding == "down" and operation == "add":  # numpy's nothing is +0, which rounding down makes -0
        first, second = (values(spelling, codes) for codes in every_pair())
        made_zero = (exactly == 0) & (np.signbit(first) != np.signbit(second))
        wanted = np.where(made_zero, -0.0, wanted)

    assert same(found, wanted).all()


@pytest.mark.parametrize("rounding", MODES)
@pytest.mark.parametrize("spelling", TYPES)
def test_full_workings_end_as_the_arrays_do(spelling: str, rounding: str) -> None:
    """On integers, with steps and check, the answers are those of the array carrier."""
    course = cp.Course(format=spelling, rounding=rounding)
    fmt = course.size_format
    draws = random.Random(8)
    for operation in EXACT:
        codes = worked(operation, spelling, rounding)
        for _ in range(60):
            first, second = draws.randrange(256), draws.randrange(256)
            patterns = tuple(Fields(*cut_code(code, fmt)) for code in (first, second))
            question = Question(OPERATIONS[operation], course, fmt, patterns, given=(None, None))
            assert code_of(cp.work_question(question).pattern, fmt) == codes[first << 8 | second]


@pytest.mark.parametrize("spelling", TYPES)
def test_every_code_is_read_and_written_back(spelling: str) -> None:
    """Each of the 256 codes decodes to ml_dtypes' value, and that value encodes to the code gfloat gives."""
    course = cp.Course(format=spelling)
    fmt = course.number_format
    wanted = values(spelling, np.arange(256))
    for code in range(256):
        working = cp.work("decode", f"0x{code:02X}", course=course)
        if np.isnan(wanted[code]):
            assert working.result.outcome == "not a number"
        elif np.isinf(wanted[code]):
            assert working.result.outcome == "infinity"
        else:
            value = working.result.value
            assert value is not None
            assert value == wanted[code]
            stored = cp.work("encode", value, course=course)
            written = code if value else 0  # the value 0 is stored with its plain sign
            assert stored.result.hexadecimal == f"0x{written:02X}"
            assert int(encode_ndarray(TYPES[spelling][1], np.array([float(value)]))[0]) == written
    assert fmt.bits == 8
