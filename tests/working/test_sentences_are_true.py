"""What every sentence of every operation states, judged by code of the tests' own from the operands' bits.

A sentence is a key and its facts. For each key there is a test of truth here, or it is an instruction that states
nothing ("Copy the sign bit into the new place"), or the walk of `test_facts_against_the_bits.py` proves it.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import product
from typing import Any, NamedTuple

import pytest

import chalkpoint as cp
from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.question import ask
from chalkpoint.working.work import work_question
from fact_road import columns, pattern

MINUS = "\u2212"


class Case(NamedTuple):
    """A working, with what the tests know of it themselves.

    operands  exact values of the operands
    bits      their bits
    """

    working: cp.Working
    operands: tuple[Fraction, ...]
    bits: tuple[str, ...]

    @property
    def name(self) -> str:
        """The operation."""
        return self.working.question.operation.name

    @property
    def worked(self) -> Fraction:
        """The value of the result."""
        value = self.working.result.value
        assert value is not None
        return value

    @property
    def exact(self) -> Fraction:
        """The exact answer."""
        a, *rest = self.operands
        if not rest:
            return -a if self.name == "negate" else a
        (b,) = rest
        return {"add": a + b, "subtract": a - b, "multiply": a * b}.get(self.name, a / (b or 1))


def twos(bits: str) -> int:
    """Return *bits* read in two's complement."""
    return int(bits, 2) - (int(bits[0]) << len(bits))


def fixed(bits: str) -> Fraction:
    """Return *bits* with a point, read as a size."""
    whole, _, part = bits.partition(".")
    return Fraction(int(whole + part, 2), 2 ** len(part))


def total(weights: str) -> Fraction | None:
    """Return what a written sum of weights comes to; None where a part of it is left out."""
    if "\u2026" in weights:
        return None
    return sum((Fraction(part.replace(MINUS, "-")) for part in weights.split(" + ")), Fraction(0))


def sums_to(weights: str, value: object) -> bool:
    """Tell whether a written sum of weights comes to *value*, as far as it is written out."""
    return total(weights) in {None, value}


def bring(x: Fraction) -> int:
    """Return the exponent that brings *x* to its normal form."""
    exponent = 0
    while not (Fraction(1, 2) <= x < 1 or -1 <= x < Fraction(-1, 2)):
        up = x >= 1 or x < -1
        x, exponent = (x / 2, exponent + 1) if up else (x * 2, exponent - 1)
    return exponent


Facts = dict[str, Any]
Truth = Callable[[Facts, Case], bool]


def cut_size(case: Case) -> bool:
    """Tell whether sizes are cut before they have their sign."""
    return case.working.question.course.rounding == "cut size"


def placed(f: Facts, case: Case) -> bool:
    """Tell whether the point is placed where the first two digits differ."""
    x = abs(case.operands[0]) if cut_size(case) else case.operands[0]
    return bool(f["exponent"] == bring(x) and f["places"] == abs(f["exponent"]))


def half(f: Facts) -> Fraction:
    """Return what the lost digits are worth in units in the last place."""
    return Fraction(int(f["lost"], 2), 2 ** len(f["lost"]))


def unit(case: Case) -> Fraction:
    """Return what a 1 in the last place is worth."""
    return case.working.question.fixed_format.unit_value


def kept_of_size(f: Facts, case: Case) -> bool:
    """Tell whether what is missed of a size is the difference to what is stored, where that has a pattern."""
    return bool(abs(case.operands[0]) - abs(case.worked) == f["missed"])


def digits_written(f: Facts, case: Case) -> int:
    """Return how many digits stand there before they are filled up: of a size, or of what was cut."""
    number, x = f["number"], case.operands[0]
    if x >= 0 or case.working.question.course.rounding != "cut" or f["number"] * unit(case) == x:
        return int(abs(number).bit_length())
    spelling = str(case.working.question.format)
    if "excess" in spelling:
        return int(f["code"].bit_length())
    return int(abs(number).bit_length() if "-" in spelling else (~number).bit_length() + 1)


def rounds_down(case: Case) -> bool:
    """Tell whether the course rounds toward minus infinity."""
    return bool(case.working.question.course.rounding == "down")


def is_power(number: int) -> bool:
    """Tell whether *number* is a power of two."""
    return number & (number - 1) == 0


def sign_of_second(case: Case) -> int:
    """Return the sign bit of the second operand once it is added."""
    return int(case.bits[1][0]) ^ (case.name == "subtract")


def ones_added(case: Case) -> tuple[str, str]:
    """Return the two rows that are added in ones' complement."""
    first, second = case.bits
    if case.name == "subtract":
        second = second.translate(str.maketrans("01", "10"))
    return first, second


def added(f: Facts, case: Case) -> bool:
    """Tell whether carries and overflow are those of adding the bits by hand."""
    first, second = case.bits
    width = f["columns"]
    signed = "unsigned" not in str(case.working.question.format)
    if case.name == "subtract":
        second = pattern(-twos(second), width)
    wide = [(row[0] if signed else "0") * (width - len(row)) + row for row in (first, second)]
    _, carried, out = columns(*wide)
    bits = len(case.bits[0])
    low, high = (-(1 << bits - 1), (1 << bits - 1) - 1) if signed else (0, (1 << bits) - 1)
    unit = case.working.question.fixed_format.unit_value
    return bool(
        f["carried"] == carried
        and f["carry_out"] is out
        and f["overflowed"] is not (low <= case.exact / unit <= high)
        and f["extra_place"] is (width > bits)
    )


def both(test: Callable[[Facts, Case], bool], more: Truth) -> Truth:
    """Return the test that both are so."""
    return lambda f, c: test(f, c) and more(f, c)


def always(f: Facts, case: Case) -> bool:
    """Return True: an instruction."""
    return True


TRUTHS: dict[str, Truth] = {
    # Reading
    "exponent.negative.weights": lambda f, c: f["bits"][0] == "1" and twos(f["bits"]) == f["exponent"] < 0,
    "exponent.negative.equals": lambda f, c: f["bits"][0] == "1" and twos(f["bits"]) == f["exponent"] < 0,
    "exponent.leading-0.weights": lambda f, c: f["bits"][0] == "0" and sums_to(f["weights"], f["exponent"]),
    "exponent.leading-0.equals": lambda f, c: f["bits"][0] == "0" and twos(f["bits"]) == f["exponent"],
    "exponent.weights": lambda f, c: (
        twos(f["bits"]) == f["exponent"] and sums_to(f["weights"], f["exponent"])
    ),
    "exponent.equals": lambda f, c: twos(f["bits"]) == f["exponent"],
    "exponent.excess": lambda f, c: int(f["bits"], 2) == f["code"] and f["code"] - f["excess"] == f["true"],
    "exponent.subnormal": lambda f, c: (
        1 - f["excess"] == f["exponent"] and set(c.bits[0].split()[1]) == {"0"}
    ),
    "exponent.for-zero": lambda f, c: f["bits"].lstrip("1").strip("0") == "" and c.operands[0] == 0,
    "mantissa.weights": lambda f, c: Fraction(twos(f["bits"]), 1 << len(f["bits"]) - 1) == f["value"],
    "mantissa.weights-sum": lambda f, c: sums_to(f["weights"], f["value"]),
    "mantissa.implied": lambda f, c: f["implied"] == f["bits"][1] != f["bits"][0] or c.operands[0] == 0,
    "mantissa.implied-weights": lambda f, c: Fraction(twos(f["bits"]), 1 << len(f["bits"]) - 2) == f["value"],
    "mantissa.implied-weights-sum": lambda f, c: sums_to(f["weights"], f["value"]),
    "scale": lambda f, c: f["mantissa"] * Fraction(2) ** f["power"] == f["value"] == c.operands[0],
    "scale.right": lambda f, c: f["power"] == f["places"] > 0,
    "scale.left": lambda f, c: -f["power"] == f["places"] > 0,
    "scale.zero": lambda f, c: c.operands[0] == 0,
    "scale.plus": lambda f, c: f["size"] * Fraction(2) ** f["power"] == f["value"] == c.operands[0] > 0,
    "scale.minus": lambda f, c: -f["size"] * Fraction(2) ** f["power"] == f["value"] == c.operands[0] < 0,
    "scale.point-right": lambda f, c: f["power"] == f["places"] > 0,
    "scale.point-left": lambda f, c: -f["power"] == f["places"] > 0,
    "scale.nothing": lambda f, c: c.operands[0] == 0 and c.bits[0][0] == "0",
    "scale.minus-nothing": lambda f, c: c.operands[0] == 0 and c.bits[0][0] == "1",
    "weigh.excess": lambda f, c: int(f["bits"], 2) == f["code"] and f["code"] - f["excess"] == f["true"],
    "weigh.plus": lambda f, c: f["bits"][0] == "0" and sums_to(f["weights"], int(f["bits"], 2)),
    "weigh.minus": lambda f, c: f["bits"][0] == "1" and sums_to(f["weights"], int("0" + f["bits"][1:], 2)),
    "weigh.ones": lambda f, c: int(f["turned"], 2) == f["size"] == -f["number"],
    "weigh.unsigned": lambda f, c: int(f["bits"], 2) == f["number"] and sums_to(f["weights"], f["number"]),
    "weigh.unsigned-alone": lambda f, c: sums_to(f["weights"], int(f["bits"], 2)),
    "weigh.signed": lambda f, c: twos(f["bits"]) == f["number"] and sums_to(f["weights"], f["number"]),
    "weigh.signed-alone": lambda f, c: sums_to(f["weights"], twos(f["bits"])),
    "point.fixed": lambda f, c: (
        Fraction(f["number"], f["unit"]) == f["value"] and f["unit"] == 1 << f["places"]
    ),
    "sign.plus": lambda f, c: c.bits[0][0] == "0",
    "sign.minus": lambda f, c: c.bits[0][0] == "1",
    "size.none": lambda f, c: c.operands[0] == 0,
    "size.hidden": lambda f, c: fixed(f["size"]) == f["value"] >= 1,
    "size.subnormal": lambda f, c: fixed(f["size"]) == f["value"] < 1 and "1" not in c.bits[0].split()[1],
    # Storing
    "size.whole": lambda f, c: f["size"] == abs(c.operands[0]),
    "size.signed": lambda f, c: f["size"] == abs(c.operands[0]),
    "size.fixed": lambda f, c: f["size"] == abs(c.operands[0]),
    "size.endless": lambda f, c: not is_power(c.operands[0].denominator),
    "size.endless-more": lambda f, c: not is_power(c.operands[0].denominator),
    "store.zero": lambda f, c: c.operands[0] == 0,
    "store.size-zero": lambda f, c: c.operands[0] == 0,
    "store.negate": lambda f, c: c.operands[0] < 0 and is_power(c.operands[0].denominator),
    "store.negate-endless": lambda f, c: c.operands[0] < 0 and not is_power(c.operands[0].denominator),
    "store.negate-kept": lambda f, c: c.operands[0] < 0 and cut_size(c),
    "store.half": lambda f, c: c.operands[0] < 0,
    "store.point-none": both(placed, lambda f, c: f["exponent"] == 0),
    "store.point-left": both(placed, lambda f, c: f["exponent"] > 0),
    "store.point-right": both(placed, lambda f, c: f["exponent"] < 0),
    "store.fill": lambda f, c: f["worth"] == 0 and f["short"] > 0,
    "store.full": lambda f, c: f["worth"] == 0 and f["short"] == 0,
    "store.cut": lambda f, c: f["worth"] > 0,
    "store.cut-size": lambda f, c: f["worth"] > 0 and "1" in f["lost"],
    "store.exponent": lambda f, c: twos(f["code"]) == f["exponent"] and len(f["code"]) == f["bits"],
    "store.positive": lambda f, c: c.operands[0] > 0,
    "store.negative": lambda f, c: c.operands[0] < 0,
    "store.size-none": lambda f, c: f["exponent"] == bring(abs(c.operands[0])) - 1 == 0,
    "store.size-left": lambda f, c: f["exponent"] == bring(abs(c.operands[0])) - 1 == f["places"],
    "store.size-right": lambda f, c: f["exponent"] == bring(abs(c.operands[0])) - 1 == -f["places"],
    "store.subnormal": lambda f, c: bring(abs(c.operands[0])) - 1 < f["exponent"],
    "store.all-fit": lambda f, c: f["worth"] == 0,
    "store.grows": lambda f, c: f["worth"] < 0,
    "store.stays": lambda f, c: f["worth"] > 0,
    "fit.cut": lambda f, c: f["missed"] > 0 and c.worked == c.operands[0] - f["missed"],
    "fit.cut-of-size": lambda f, c: kept_of_size(f, c) and f["missed"] > 0,
    "fit.cut-size": lambda f, c: kept_of_size(f, c) and f["missed"] > 0,
    "fit.nearest": lambda f, c: kept_of_size(f, c) and 0 < 2 * abs(f["missed"]) <= unit(c),
    "fit.nearest-away": lambda f, c: kept_of_size(f, c) and 0 < 2 * abs(f["missed"]) <= unit(c),
    "fit.negative": lambda f, c: c.operands[0] < 0 and is_power(c.operands[0].denominator),
    "fit.negative-endless": lambda f, c: c.operands[0] < 0 and not is_power(c.operands[0].denominator),
    "fit.with-excess": lambda f, c: (
        f["asked"] == c.operands[0] < 0 <= f["raised"] == f["asked"] + f["excess"]
    ),
    "code.past": lambda f, c: not f["low"] <= c.operands[0] <= f["high"],
    "code.excess": lambda f, c: f["number"] + f["excess"] == f["code"],
    "code.fill": lambda f, c: digits_written(f, c) < f["bits"],
    "code.fill-sign": lambda f, c: f["number"] < 0 and len(set((c.working.result.bits or "")[:2])) == 1,
    "code.full": lambda f, c: digits_written(f, c) == f["bits"],
    "code.nothing": lambda f, c: f["number"] == 0 > c.operands[0],
    "code.sign": lambda f, c: f["number"] < 0,
    "code.ones": lambda f, c: f["number"] < 0,
    "code.twos": lambda f, c: f["number"] < 0,
    "absolute": lambda f, c: f["exact"] - f["stored"] == f["missed"] and abs(f["missed"]) == f["size"],
    "relative": lambda f, c: f["size"] / f["true"] == f["ratio"] and f["true"] == abs(c.operands[0]),
    "cut.lost-0s": lambda f, c: f["worth"] == 0 and "1" not in f["lost"],
    "cut.lost": lambda f, c: f["worth"] > 0,
    "cut.size": lambda f, c: f["worth"] < 0 and c.exact < 0,
    "cut.above": lambda f, c: f["worth"] < 0,
    "cut.below": lambda f, c: f["worth"] > 0,
    "range.over": lambda f, c: f["exponent"] > f["highest"],
    "range.under": lambda f, c: f["exponent"] < f["lowest"],
    "range.zero": lambda f, c: (
        c.working.outcome == "zero" and f["row"] in {"sum", "product", "quotient", "mantissa"}
    ),
    "zero.lowest": lambda f, c: str(c.working.result.bits).endswith(("1000", " 100")),
    "zero.kept": lambda f, c: f["zero_exponent"] == -8,
    # Changing
    "negate.zero": lambda f, c: f["mantissa"] == 0,
    "negate.extra": lambda f, c: f["inverted"] == "0" + "1" * (f["width"] - 1) and f["mantissa"] < 0,
    "opposite.none": lambda f, c: c.working.result.bits is None,
    **{
        f"opposite.{way}": lambda f, c: c.working.result.value == -c.operands[0]
        for way in ("invert", "sign", "ones", "zero", "excess")
    },
    "read.one-zero": lambda f, c: c.operands[0] == 0,
    "read.one-normalised": lambda f, c: (
        c.working.question.float_format.implied or c.bits[0][0] != c.bits[0][1]
    ),
    "read.one-loose": lambda f, c: c.bits[0][0] == c.bits[0][1] and c.operands[0] != 0,
    "read.neither": lambda f, c: all(bits[0] == bits[1] for bits in c.bits),
    "read.loose": lambda f, c: c.bits[f["operand"] == "second"][0] == c.bits[f["operand"] == "second"][1],
    "read.zero": lambda f, c: c.operands[f["operand"] == "second"] == 0,
    "read.exponent": lambda f, c: twos(c.bits[f["operand"] == "second"].split()[1]) == f["exponent"],
    "read.both": lambda f, c: all(bits[0] != bits[1] for bits in c.bits),
    "read.exponents": lambda f, c: (
        [twos(bits.split()[1]) for bits in c.bits] == [f["first_exponent"], f["second_exponent"]]
    ),
    "normalise.one": lambda f, c: f["places"] == 1,
    "normalise.more": lambda f, c: f["alike"] == f["places"] + 1 > 2,
    "extreme.value": lambda f, c: f["mantissa"] * Fraction(2) ** f["exponent"] == f["value"],
    "size.value": lambda f, c: fixed(f["size"]) * Fraction(2) ** f["exponent"] == f["value"] > 0,
    "size.minus-value": lambda f, c: -fixed(f["size"]) * Fraction(2) ** f["exponent"] == f["value"] < 0,
    # Multiplying and dividing
    "exponents.multiply-both": lambda f, c: f["first"] + f["second"] == f["exponent"],
    "exponents.divide-both": lambda f, c: f["first"] - f["second"] == f["exponent"],
    "exponents.multiply-zero": lambda f, c: 0 in c.operands,
    "exponents.divide-zero": lambda f, c: c.operands[0] == 0,
    "exponents.stored-multiply": lambda f, c: f["first_code"] + f["second_code"] - f["excess"] == f["code"],
    "exponents.stored-divide": lambda f, c: f["first_code"] - f["second_code"] + f["excess"] == f["code"],
    "product": lambda f, c: f["first"] * f["second"] == f["product"] and (f["product"] < 0) == (c.exact < 0),
    "product.zero": lambda f, c: 0 in c.operands,
    "product.positive": lambda f, c: c.exact > 0 and min(c.operands) < 0,
    "product.negative": lambda f, c: c.exact < 0,
    "product.overflow": lambda f, c: f["product"] == 1,
    "product.of-sizes": lambda f, c: fixed(f["first"]) * fixed(f["second"]) == fixed(f["product"]),
    "quotient": lambda f, c: f["dividend"] > 0 and f["divisor"] > 0,
    "quotient.zero": lambda f, c: c.operands[0] == 0,
    "sign.alike": lambda f, c: c.exact > 0,
    "sign.differ": lambda f, c: c.exact < 0,
    "sign.zero": lambda f, c: c.exact == 0,
    "sign.are-alike": lambda f, c: c.bits[0][0] == c.bits[1][0],
    "sign.are-different": lambda f, c: c.bits[0][0] != c.bits[1][0],
    # Whole numbers and fixed point
    "whole.carry-overflow": both(added, lambda f, c: f["carry_out"]),
    "whole.carry-none": both(added, lambda f, c: not f["carry_out"]),
    "whole.extra-overflow": both(added, lambda f, c: f["overflowed"]),
    "whole.dropped": both(added, lambda f, c: f["carry_out"]),
    "whole.no-carry": both(added, lambda f, c: not f["carry_out"]),
    "whole.zero": lambda f, c: 0 in c.operands,
    "add.extra": lambda f, c: f["extra_place"] and (" " in c.bits[0] or added(f, c)),
    "add.agrees": lambda f, c: not f["overflowed"],
    "add.extra-dropped": lambda f, c: f["carry_out"],
    "add.opposite": lambda f, c: (
        (c.operands[0] < 0) != ((-c.operands[1] if c.name == "subtract" else c.operands[1]) < 0)
    ),
    "whole.positives": lambda f, c: not f["overflowed"] and c.exact > 0,
    "whole.negatives": lambda f, c: not f["overflowed"] and c.exact < 0,
    "whole.positives-overflow": lambda f, c: f["overflowed"] and c.exact > 0,
    "whole.negatives-overflow": lambda f, c: f["overflowed"] and c.exact < 0,
    "whole.below-0": lambda f, c: c.operands[0] < c.operands[1],
    "whole.borrow": lambda f, c: c.operands[0] >= c.operands[1],
    "whole.sizes": lambda f, c: min(c.operands) < 0,
    "whole.product-0": lambda f, c: 0 in c.operands,
    "whole.quotient-0": lambda f, c: c.operands[0] == 0,
    "whole.alike": lambda f, c: c.exact > 0 and min(c.operands) < 0,
    "whole.differ": lambda f, c: c.exact < 0,
    "whole.goes-no-time": lambda f, c: f["dividend"] == abs(c.operands[0]) and f["quotient"] == 0,
    "whole.remainder": lambda f, c: (
        abs(c.operands[0]) - f["quotient"] * c.working.question.fixed_format.unit_value * abs(c.operands[1])
        == abs(f["left"])
    ),
    "whole.fits": lambda f, c: f["needed"] <= f["bits"],
    "whole.too-long": lambda f, c: f["needed"] > f["bits"],
    "whole.cut": lambda f, c: f["worth"] > 0,
    "whole.cut-0s": lambda f, c: f["worth"] == 0 and "1" not in f["lost"],
    "whole.nearest": lambda f, c: f["worth"] != 0 and "1" in f["lost"],
    # Sizes
    "unpack.zero": lambda f, c: c.operands[f["operand"] == "second"] == 0,
    "unpack.hidden": lambda f, c: (
        f["code"] - f["excess"] == f["exponent"]
        and fixed(f["size"]) * Fraction(2) ** f["exponent"] == abs(c.operands[f["operand"] == "second"])
    ),
    "unpack.subnormal": lambda f, c: (
        fixed(f["size"]) * Fraction(2) ** f["exponent"] == abs(c.operands[f["operand"] == "second"])
    ),
    "flip": lambda f, c: f["sign"] == sign_of_second(c),
    "align.size-equal": lambda f, c: f["apart"] == 0,
    "align.size-zero": lambda f, c: 0 in c.operands,
    "align.size": lambda f, c: f["high"] - f["low"] == f["apart"] > 0,
    "align.sticky": lambda f, c: f["sticky"] and f["apart"] >= 3,
    "combine.alike": lambda f, c: int(c.bits[0][0]) == sign_of_second(c),
    "combine.equal-plus": lambda f, c: c.exact == 0,
    "combine.equal-minus": lambda f, c: c.exact == 0,
    "combine.differ": lambda f, c: (
        abs(c.operands[f["smaller"] == "second"]) <= abs(c.operands[f["smaller"] != "second"])
    ),
    "renormalise.lowest": lambda f, c: abs(c.exact) < Fraction(2) ** f["lowest"],
    "round.0s": lambda f, c: "1" not in f["lost"],
    "round.tie": lambda f, c: half(f) == Fraction(1, 2),
    "round.more": lambda f, c: half(f) > Fraction(1, 2),
    "round.less": lambda f, c: 0 < half(f) < Fraction(1, 2),
    "round.grows": lambda f, c: c.exact < 0 if rounds_down(c) else half(f) >= Fraction(1, 2),
    "round.stays": lambda f, c: c.exact > 0 if rounds_down(c) else half(f) <= Fraction(1, 2),
    "round.carried": lambda f, c: f["grew"],
    "pack.nothing": lambda f, c: c.working.result.value == 0,
    "pack.excess": lambda f, c: f["exponent"] + f["excess"] == f["stored"] == int(f["code"], 2),
    "pack.subnormal": lambda f, c: int(f["code"], 2) == 0,
    "pack.past-exponent": lambda f, c: f["exponent"] > f["highest"],
    # Other codes of whole numbers
    "codes.add": lambda f, c: f["first"] + f["second"] == f["total"] == sum(int(bits, 2) for bits in c.bits),
    "codes.leaves": lambda f, c: f["carry_out"] and columns(*ones_added(c))[2],
    "codes.stays": lambda f, c: not f["carry_out"] and not columns(*ones_added(c))[2],
    "codes.zero-too": lambda f, c: c.exact == 0,
    "codes.alike": lambda f, c: f["first"] + f["second"] == f["total"] == abs(c.exact),
    "codes.too-long": lambda f, c: f["total"] >= 1 << f["digits"],
    "codes.equal": lambda f, c: c.exact == 0,
    "codes.differ": lambda f, c: f["large"] - f["small"] == f["total"] == abs(c.exact) > 0,
    "codes.positives": lambda f, c: c.exact > 0,
    "codes.negatives": lambda f, c: c.exact < 0,
    "codes.take-away": lambda f, c: f["first"] - f["second"] == f["total"] == c.exact,
    "codes.excess-off": lambda f, c: f["before"] - f["excess"] == f["after"],
    "codes.excess-back": lambda f, c: f["before"] + f["excess"] == f["after"],
    "codes.hold": lambda f, c: not 0 <= f["after"] <= f["highest"],
    "codes.answer": lambda f, c: int(c.working.result.bits or "", 2) == f["after"],
    # The check
    "check.sum": lambda f, c: c.exact == 0 or c.name == "divide",
    "check.both-ways": lambda f, c: f["exact"] == c.operands[0] != 0,
    "check.stands-for": lambda f, c: f["exact"] == c.operands[0],
    "check.unchanged": lambda f, c: f["exact"] == c.operands[0],
    "check.missed": lambda f, c: c.working.result.value != c.exact,
    "verdict.exact": lambda f, c: (
        c.working.result.value == c.exact or (c.name == "divide" and c.operands[1] == 0) or c.name == "range"
    ),
    "verdict.error": lambda f, c: f["error"] == abs(c.exact - c.worked) > 0,
    "why.relative-value": lambda f, c: f["error"] / f["exact"] == f["ratio"] and f["exact"] == abs(c.exact),
    "why.relative": lambda f, c: f["error"] / f["exact"] == f["ratio"],
    "why.none-nearer-than": lambda f, c: 0 < f["least"] < abs(c.exact - c.worked),
    "why.lost-one": lambda f, c: f["lost"].count("1") == 1,
    "why.lost-ones": lambda f, c: f["lost"].count("1") != 1,
    "why.tail": lambda f, c: f["lost"].endswith("\u2026"),
}


def own_value(bits: str, spelling: str) -> Fraction:
    """Return the value of a pattern, read by the tests' own code."""
    fields = bits.split()
    if len(fields) == 2:
        mantissa, exponent = fields
        return Fraction(twos(mantissa), 1 << len(mantissa) - 1) * Fraction(2) ** twos(exponent)
    if len(fields) == 3:
        sign, exponent, fraction = fields
        excess, stored = (1 << len(exponent) - 1) - 1, int(exponent, 2)
        size = Fraction(int(fraction, 2), 1 << len(fraction)) + (stored > 0)
        signed = -size if sign == "1" else size
        return signed * Fraction(2) ** ((stored or 1) - excess)
    return Fraction(whole_value(bits, spelling)) / (
        1 << int(spelling.split(".")[1]) if "." in spelling else 1
    )


def implied_value(exponent: str, mantissa: str) -> Fraction:
    """Return the value of a pattern whose second mantissa bit is left out: the opposite of the first."""
    if exponent == "1000":
        return Fraction(0)
    written = mantissa[0] + ("0" if mantissa[0] == "1" else "1") + mantissa[1:]
    return Fraction(twos(written), 1 << len(written) - 2) * Fraction(2) ** twos(exponent)


def whole_value(bits: str, spelling: str) -> int:
    """Return a row of bits read by the code that *spelling* names."""
    if "sign-and" in spelling:
        return int((-1) ** int(bits[0]) * int(bits[1:], 2))
    if "excess" in spelling:
        return int(bits, 2) - int(spelling.split("-")[1])
    if "ones" in spelling and bits[0] == "1":
        return -int(bits.translate(str.maketrans("01", "10")), 2)
    return int(bits, 2) if "unsigned" in spelling or "ones" in spelling else twos(bits)


def patterns(spelling: str, stride: int) -> list[str]:
    """Return every *stride*-th pattern of a format, its fields apart."""
    fields = (
        [4, 12]
        if spelling == "C3x-16"
        else [int(size) for size in re.findall(r"\d+", spelling.split(" ", maxsplit=1)[0])]
    )
    if spelling.startswith("Q") or not (spelling == "C3x-16" or "+" in spelling):
        fields = [sum(fields)]
    width = sum(fields)
    found = []
    for number in range(0, 1 << width, stride):
        bits, at, parts = format(number, f"0{width}b"), 0, []
        for size in fields:
            parts.append(bits[at : at + size])
            at += size
        found.append(" ".join(parts))
    if fields[0] == 1 and len(fields) == 3:  # without infinities and what is not a number
        found = [bits for bits in found if "0" in bits.split()[1]]
    return found


PAIRS = [
    ("4+3", ("add", "subtract", "multiply", "divide"), 5, {}),
    ("5+3", ("multiply", "divide"), 7, {"rounding": "nearest"}),
    ("5+3", ("multiply", "divide"), 11, {"rounding": "cut size", "underflow": "zero"}),
    ("1+4+3", ("add", "subtract", "multiply", "divide"), 7, {}),
    ("1+3+2", ("add", "subtract", "multiply", "divide"), 1, {"rounding": "down"}),
    ("4", ("add", "subtract", "multiply", "divide"), 1, {}),
    ("4 unsigned", ("add", "subtract", "multiply", "divide"), 1, {}),
    ("Q3.2", ("add", "subtract", "multiply", "divide"), 1, {}),
    ("Q3.2", ("multiply",), 1, {"rounding": "nearest"}),
    ("4 ones-complement", ("add", "subtract"), 1, {}),
    ("4 sign-and-magnitude", ("add", "subtract"), 1, {}),
    ("4 excess-7", ("add", "subtract"), 1, {}),
]
ONES = [
    ("5+4", ("decode", "normalise", "negate"), 1),
    ("1+4+3", ("decode",), 1),
    ("6", ("decode", "negate"), 1),
    ("6 unsigned", ("decode",), 1),
    ("Q3.3", ("decode", "negate"), 1),
    ("5 sign-and-magnitude", ("decode", "negate"), 1),
    ("5 excess-15", ("decode", "negate"), 1),
    ("5 ones-complement", ("decode", "negate"), 1),
    ("C3x-16", ("decode", "negate", "normalise"), 4099),
]
RANGES = ["5+4", "1+4+3", "6", "Q3.3", "C3x-16", "binary16"]
VALUES = [Fraction(number, part) for number in range(-40, 41, 5) for part in (1, 4, 7, 32)]
STORED = ["5+4", "1+4+3", "6", "Q3.3", "6 unsigned", "1+3+2", "6 excess-31", "6 ones-complement"]


def cases() -> Iterator[Case]:
    """Yield workings of every operation on patterns or values, in every family."""
    for spelling, operations, stride, options in PAIRS:
        course = cp.Course(format=spelling, **options)  # type: ignore[arg-type]
        some = patterns(spelling, stride)
        for first, second in product(some, some[:: max(1, len(some) // 8) | 1]):
            for operation in operations:
                yield from case(operation, (first, second), course)
    for spelling, operations, stride in ONES:
        for bits, operation in product(patterns(spelling, stride), operations):
            yield from case(operation, (bits,), cp.Course(format=spelling))
    for spelling in RANGES:
        yield Case(cp.work("range", format=spelling), (Fraction(0),), ("00",))
    for spelling, x in product(STORED, VALUES):
        sized = spelling.startswith("1+")
        for rounding in ("nearest", "toward zero", "down") if sized else ("cut", "cut size", "nearest"):
            yield from case("error", (str(x),), cp.Course(format=spelling, rounding=rounding))


def case(operation: str, operands: tuple[str, ...], course: cp.Course) -> Iterator[Case]:
    """Yield the case of one question, unless it has no answer."""
    try:
        working = work_question(ask(operation, *operands, course=course))
    except EntryError:
        return
    if operation == "error":
        yield Case(working, (Fraction(operands[0]),), ())
    else:
        implied = course.format == "C3x-16"
        values = (
            implied_value(*bits.split()) if implied else own_value(bits, course.format) for bits in operands
        )
        yield Case(working, tuple(values), operands)


def test_every_sentence_is_true() -> None:
    """Some 100,000 sentences of every family, each judged by its facts."""
    judged: Counter[str] = Counter()
    for one in cases():
        for step in one.working.steps:
            for sentence in step.written.sentences:
                judge(sentence.key, dict(sentence.facts), one, judged)
        for said in one.working.check_words.sentences:
            judge(said.key, dict(said.facts), one, judged)

    assert sum(judged.values()) > 50_000
    assert len(judged) > 100


def judge(key: str, facts: Facts, one: Case, judged: Counter[str]) -> None:
    """Assert that a sentence is true of its working."""
    truth = TRUTHS.get(key)
    if truth is not None:
        assert truth(facts, one), (key, facts, one.working, one.bits)
        judged[key] += 1


@pytest.mark.parametrize(
    ("key", "facts"),
    [
        ("scale.right", {"power": 2, "places": 3}),
        ("whole.fits", {"needed": 9, "bits": 8}),
        ("cut.lost-0s", {"worth": 1, "lost": "01"}),
    ],
)
def test_a_false_sentence_is_found_out(key: str, facts: Facts) -> None:
    """The tests of truth can fail."""
    working = cp.work("decode", "0100 0001", format="4+4")

    with pytest.raises(AssertionError):
        judge(key, facts, Case(working, (Fraction(1),), ("0100 0001",)), Counter())
