"""What each sentence of a step states, judged by its facts and the operands' bits: by key."""

from fractions import Fraction

from fact_road import columns
from sentence_case import (
    Case,
    Truth,
    added,
    away_from_zero,
    both,
    bring,
    cut_size,
    digits_written,
    fixed,
    half,
    is_power,
    kept_of_size,
    ones_added,
    placed,
    sign_of_second,
    sums_to,
    twos,
    unit,
)


def is_special(case: Case) -> bool:
    """Tell whether the answer, or an operand, has no value."""
    return case.working.check.special != "" or "infinity" in case.question.shown


def code(case: Case) -> str:
    """Return how the whole numbers of a question are written."""
    return case.question.fixed_format.field.kind


def to_nearest(case: Case) -> bool:
    """Tell whether the course rounds to the nearest, so that it matters how much is lost."""
    return case.question.course.rounding.startswith("nearest")


STEPS: dict[str, Truth] = {
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
    "weigh.plus": lambda f, c: (
        f["bits"][0] == "0"
        and sums_to(f["weights"], int(f["bits"], 2))
        and code(c) in {"sign and magnitude", "ones' complement"}
    ),
    "weigh.minus": lambda f, c: (
        f["bits"][0] == "1" and sums_to(f["weights"], int("0" + f["bits"][1:], 2)) and f["number"] < 0
    ),
    "weigh.minus-zero": lambda f, c: (
        int(f["bits"], 2) == 1 << (len(f["bits"]) - 1) and code(c) == "sign and magnitude"
    ),
    "weigh.ones": lambda f, c: int(f["turned"], 2) == f["size"] == -f["number"] > 0,
    "weigh.ones-zero": lambda f, c: "0" not in f["bits"] and code(c) == "ones' complement",
    "weigh.unsigned": lambda f, c: int(f["bits"], 2) == f["number"] and sums_to(f["weights"], f["number"]),
    "weigh.unsigned-alone": lambda f, c: sums_to(f["weights"], int(f["bits"], 2)),
    "weigh.signed": lambda f, c: (
        twos(f["bits"]) == f["number"]
        and sums_to(f["weights"], f["number"])
        and code(c) == "two's complement"
    ),
    "weigh.signed-alone": lambda f, c: (
        sums_to(f["weights"], twos(f["bits"])) and code(c) == "two's complement"
    ),
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
    "store.subnormal": lambda f, c: (
        bring(abs(c.operands[0])) - (f["which"] == "behind") < f["exponent"]
        and (f["which"] == "before") == c.question.size_format.point_first
    ),
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
    "zero.lowest": lambda f, c: str(c.working.result.bits).endswith(
        " 000" if "excess-0" in str(c.question.format) else ("1000", " 100")
    ),
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
    "exponents.stored-0": lambda f, c: any(
        pattern.exponent + f["excess"] == 0 for pattern in c.question.patterns
    ),
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
    "round.rest": lambda f, c: "1" in f["lost"] and not to_nearest(c),
    "round.tie": lambda f, c: half(f) == Fraction(1, 2) and to_nearest(c),
    "round.more": lambda f, c: half(f) > Fraction(1, 2) and to_nearest(c),
    "round.less": lambda f, c: 0 < half(f) < Fraction(1, 2) and to_nearest(c),
    "round.grows": lambda f, c: away_from_zero(c, half(f) >= Fraction(1, 2)),
    "round.stays": lambda f, c: not away_from_zero(c, half(f) > Fraction(1, 2)),
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
    "check.sum": lambda f, c: c.exact == 0 or is_special(c),
    "check.both-ways": lambda f, c: f["exact"] == c.operands[0] != 0,
    "check.stands-for": lambda f, c: f["exact"] == c.operands[0],
    "check.unchanged": lambda f, c: f["exact"] == c.operands[0],
    "check.missed": lambda f, c: c.working.result.value != c.exact,
    "verdict.exact": lambda f, c: (
        c.name in {"range", "choose-format"} or is_special(c) or c.working.result.value == c.exact
    ),
    "verdict.error": lambda f, c: f["error"] == abs(c.exact - c.worked) > 0,
    "why.relative-value": lambda f, c: f["error"] / f["exact"] == f["ratio"] and f["exact"] == abs(c.exact),
    "why.relative": lambda f, c: f["error"] / f["exact"] == f["ratio"],
    "why.none-nearer-than": lambda f, c: 0 < f["least"] < abs(c.exact - c.worked),
    "why.lost-one": lambda f, c: f["lost"].count("1") == 1,
    "why.lost-ones": lambda f, c: f["lost"].count("1") != 1,
    "why.tail": lambda f, c: f["lost"].endswith("\u2026"),
}
