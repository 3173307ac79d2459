"""What the rarer sentences of steps state: storing at the ends of a range, sizes, special values, codes. By key."""

from fractions import Fraction
from typing import Any

from chalkpoint.numbers.families import WHOLE
from fact_road import columns
from sentence_case import (
    Case,
    Facts,
    Truth,
    bring,
    fixed,
    implied_value,
    is_power,
    number,
    ones_added,
    own_value,
    shortest,
    twos,
)

__all__ = ["VALUES"]


def mantissa(bits: str) -> str:
    """Return the longer field of a pattern of mantissa and exponent."""
    return max(bits.split(), key=len)


def past_range(x: Fraction, case: Case) -> bool:
    """Tell whether *x* needs a higher exponent, or more bits, than there are."""
    fmt = case.question.format
    if fmt.family == WHOLE:
        half, units = 1 << (fmt.bits - 1), x * (1 << fmt.places)
        least, most = {
            "two's complement": (-half, half - 1),
            "unsigned": (0, 2 * half - 1),
            "excess": (-fmt.field.excess, 2 * half - 1 - fmt.field.excess),
        }.get(fmt.field.kind, (1 - half, half - 1))
        return not least <= units <= most
    return bring(x) > case.question.float_format.highest_exponent


def scale_of(power: int) -> Fraction:
    """Return 2^power."""
    return Fraction(1 << power) if power >= 0 else Fraction(1, 1 << -power)


def exponent_bits(bits: str) -> str:
    """Return the shorter field of a pattern of mantissa and exponent."""
    return min(bits.split(), key=len)


def loose_places(bits: str) -> int:
    """Return how far the digits of a mantissa have to move to the left."""
    digits = mantissa(bits)
    return len(digits) - len(digits.lstrip(digits[0])) - 1 if "1" in digits else 0


def answer(case: Case) -> str:
    """Return the bits of the answer."""
    return case.working.result.bits or ""


def is_word(case: Case) -> bool:
    """Tell whether no bits are written."""
    return case.working.result.bits is None


def end(case: Case) -> Fraction:
    """Return the end of the range on the side of the exact answer, of a format with a two's complement mantissa."""
    fmt = case.question.float_format
    top = scale_of(fmt.highest_exponent)
    negative = case.operands[0] < 0 if case.name == "divide" else case.exact < 0
    return -top if negative else top * (1 - Fraction(1, 1 << fmt.mantissa_bits - 1))


def at_point(f: Facts, case: Case) -> bool:
    """Tell whether the point is placed behind the digit after the sign bit."""
    return bool(f["exponent"] == bring(case.operands[0]) - 1 and f["places"] == abs(f["exponent"]))


def stopped(f: Facts, case: Case) -> bool:
    """Tell whether the exponent stopped at the lowest."""
    lowest = case.question.float_format.lowest_exponent
    return bool(f["exponent"] == lowest > bring(case.operands[0]) and f["places"] == abs(lowest))


def value_at(f: Facts, case: Case) -> Fraction:
    """Return the value of the operand that a sentence is about."""
    value: Fraction = case.operands[f["operand"] == "second"]
    return value


def special(case: Case, which: int = 0) -> str:
    """Return what a pattern of sign, exponent and fraction is, beside a number."""
    bits = case.bits[which].split()
    if "0" in bits[1]:
        return ""
    if str(case.question.format) == "E4M3":
        return "not a number" if "0" not in bits[2] else ""
    return "infinity" if "1" not in bits[2] else "not a number"


def size_moved(f: Facts, case: Case, *, ends_normal: bool) -> bool:
    """Tell whether a size of sign and magnitude was moved as far as is said."""
    before, after = case.bits[0].split()[0][1:], answer(case).split()[0][1:]
    zeros = len(before) - len(before.lstrip("0"))
    moved = int(f["places"])
    return after == before[moved:] + "0" * moved and moved <= zeros and (after[0] == "1") is ends_normal


def goes_on(case: Case) -> bool:
    """Tell whether a quotient has digits past the mantissa: it never ends, or is longer than that."""
    digits = getattr(case.question.format, "digits", 0) or mantissa_places(case)
    return not is_power(case.exact.denominator) or shortest(case.exact) > digits


def mantissa_places(case: Case) -> int:
    """Return how many places the mantissa has."""
    return case.question.float_format.mantissa_bits - 1


def is_scale(x: Fraction) -> bool:
    """Tell whether *x* is a power of two, up or down."""
    return is_power(x.numerator) and is_power(x.denominator)


def end_unit(case: Case) -> Fraction:
    """Return what a 1 in the last place of the answer's mantissa is worth."""
    bits = answer(case)
    return Fraction(2) ** (twos(exponent_bits(bits)) + 1 - len(mantissa(bits)))


def largest(case: Case) -> Fraction:
    """Return the largest number of a format of sign, exponent and size: every digit of it 1."""
    fmt: Any = case.working.check.format
    last = 2 if str(fmt) == "E4M3" else 1
    return Fraction((2 << fmt.places) - last, 1 << fmt.places) * scale_of(fmt.highest_exponent)


def whole_ends(case: Case) -> set[Fraction]:
    """Return the four extremes of a short format of whole or fixed-point numbers, by looking through them all."""
    fmt = case.question.format
    values = sorted(own_value(format(code, f"0{fmt.bits}b"), str(fmt)) for code in range(1 << fmt.bits))
    beside_zero = {min(x for x in values if x > 0), max((x for x in values if x < 0), default=Fraction(0))}
    return {values[0], values[-1]} | beside_zero


def end_named(case: Case, name: str) -> Fraction:
    """Return the value of an extreme."""
    return case.working.result.values[name][1]


def full_mantissa(case: Case, name: str) -> tuple[str, int]:
    """Return the mantissa of an extreme with the bit that is implied in some formats, and its exponent."""
    bits = case.working.result.values[name][0]
    digits = mantissa(bits)
    if case.question.float_format.implied:
        digits = digits[0] + ("0" if digits[0] == "1" else "1") + digits[1:]
    return digits, twos(exponent_bits(bits))


def extreme(case: Case, name: str) -> tuple[str, str, int]:
    """Return the first digit of an extreme's mantissa, the digit that all others are, and its exponent."""
    digits, exponent = full_mantissa(case, name)
    return digits[0], "".join(set(digits[1:])), exponent


def starts(case: Case, name: str, start: str, *, rest: str, exponent: int) -> bool:
    """Tell whether an extreme's mantissa starts so, and every other digit is *rest*."""
    digits, found = full_mantissa(case, name)
    first = start.replace(".", "")
    return digits == first + rest * (len(digits) - len(first)) and found == exponent


def size_end(case: Case, name: str, f: Facts) -> bool:
    """Tell whether an extreme is the size at the exponent that are named."""
    return bool(fixed(f["size"]) * Fraction(2) ** f["exponent"] == end_named(case, name) == f["value"])


def answered(case: Case) -> Case:
    """Return the case of the answer's own bits."""
    return Case(case.working, (), (answer(case),))


def lost_one(f: Facts) -> bool:
    """Tell whether more than 0s fell off."""
    return bool(f["lost"].strip("0"))


def rounded(f: Facts, case: Case) -> bool:
    """Tell whether something was lost, and what is left with it makes the exact answer."""
    return bool("1" in f["lost"] and f["worth"] != 0 and case.exact - f["worth"] == case.worked)


VALUES: dict[str, Truth] = {
    # What a belief wrote
    "belief": lambda f, c: c.working.faulty and f["belief"] != "",
    "faulty.exponent": lambda f, c: c.working.faulty and c.working.steps[0].after.exponent == f["exponent"],
    "faulty.mantissa": lambda f, c: c.working.faulty,
    "faulty.value": lambda f, c: c.working.faulty and f["value"] != c.operands[0],
    "faulty.size": lambda f, c: c.working.faulty and fixed(f["size"]) >= 0,
    # Adding, multiplying and dividing
    "read.stored": lambda f, c: (
        f["kept"] == value_at(f, c) != f["asked"] and f["gone"] == abs(f["asked"] - f["kept"])
    ),
    "read.past": lambda f, c: f["asked"] == value_at(f, c) and past_range(f["asked"], c),
    "read.past-so": lambda f, c: is_word(c) and c.working.outcome == "overflow",
    "why.past-range": lambda f, c: any(past_range(x, c) for x in c.operands),
    "read.whole": lambda f, c: [number(f["first"]), number(f["second"])] == list(c.operands),
    "codes.read": lambda f, c: [number(f["first"]), number(f["second"])] == list(c.operands),
    "ready": lambda f, c: [f["first_places"], f["second_places"]] == [loose_places(bits) for bits in c.bits],
    "align.zero": lambda f, c: value_at({"operand": f["zero"]}, c) == 0,
    "align.guards": lambda f, c: f["guard"] > 1,
    "negate.invert": lambda f, c: set(f["inverted"]) <= {"0", "1"} and c.name in {"negate", "subtract"},
    "repair.point": lambda f, c: f["places"] > 0 and c.name in {"multiply", "divide"} and c.exact != 0,
    "normalise.back": lambda f, c: f["back"] > 0 and f["exponent"] == c.question.float_format.lowest_exponent,
    "cut.nearest-away": lambda f, c: 2 * abs(f["worth"]) <= end_unit(c) and f["worth"] != 0,
    "range.past": lambda f, c: f["exponent"] > f["highest"],
    "range.end-positive": lambda f, c: c.worked == end(c) < c.exact,
    "range.end-negative": lambda f, c: c.worked == end(c) > c.exact,
    "range.below": lambda f, c: f["exponent"] < f["lowest"],
    "range.to-zero": lambda f, c: c.worked == 0 != c.exact,
    "range.kept": lambda f, c: f["exponent"] < f["lowest"] and loose_places(answer(c)) > 0,
    "zero.plain": lambda f, c: c.worked == 0 and twos(exponent_bits(answer(c))) == f["zero_exponent"],
    "product.places": lambda f, c: f["product_places"] == 2 * f["operand_places"] == 2 * mantissa_places(c),
    "product.left-out": lambda f, c: f["rows"] == abs(c.operands[1].numerator).bit_count() > 12,
    "quotient.left-out": lambda f, c: f["takes"] > 28,
    "quotient.goes-on": lambda f, c: goes_on(c),
    "quotient.of-sizes": lambda f, c: (
        is_scale(fixed(f["first"]) / fixed(f["second"]) / abs(c.exact)) if c.exact else fixed(f["first"]) == 0
    ),
    "by-zero": lambda f, c: c.operands[1] == 0 and c.worked == end(c),
    # Whole numbers and their codes
    "whole.product": lambda f, c: (f["operand"], f["by"]) == ("first", "second") and 0 not in c.operands,
    "whole.cut-size": rounded,
    "whole.nearest-away": rounded,
    "codes.negate-ones": lambda f, c: c.name == "subtract" and "ones" in str(c.question.format),
    "codes.negate-sign": lambda f, c: c.name == "subtract" and "sign-and" in str(c.question.format),
    "codes.word": lambda f, c: is_word(c),
    "codes.around": lambda f, c: columns(*ones_added(c))[2],
    "code.none": lambda f, c: is_word(c) and not f["low"] <= c.operands[0] <= f["high"],
    "code.end": lambda f, c: c.worked == (f["high"] if c.operands[0] > 0 else f["low"]),
    "extreme.whole": lambda f, c: (
        own_value(f["bits"].replace(".", ""), str(c.question.format)) == f["value"]
        and f["value"] in whole_ends(c)
    ),
    # Storing
    "store.point-implied-none": at_point,
    "store.point-implied-left": at_point,
    "store.point-implied-right": at_point,
    "store.stopped-none": lambda f, c: stopped(f, c) and f["exponent"] == 0,
    "store.stopped-right": lambda f, c: stopped(f, c) and f["exponent"] < 0,
    "store.exponent-excess": lambda f, c: f["exponent"] + f["excess"] == f["stored"] == int(f["code"], 2),
    "store.implied": lambda f, c: implied_value(*answer(c).split()) == c.worked,
    "store.past": lambda f, c: f["exponent"] == bring(c.operands[0]) > f["highest"],
    "store.end": lambda f, c: c.worked == end(c),
    "store.below": lambda f, c: f["exponent"] < f["lowest"],
    "store.unnormalised": lambda f, c: loose_places(answer(c)) > 0,
    "store.carried": lambda f, c: f["grew"] and (c.working.result.value is None or is_scale(abs(c.worked))),
    "store.word": lambda f, c: (
        is_word(c) and f["word"] == ("overflow" if f["exponent"] >= f["bound"] > 0 else "underflow")
    ),
    "store.past-largest": lambda f, c: abs(c.operands[0]) > abs(largest(c)),
    "store.special": lambda f, c: special(answered(c)) == f["word"] == special(c),
    "store.no-special": lambda f, c: is_word(c) and f["word"] == special(c),
    # Changing, and the ends of a range
    "change.sign": lambda f, c: c.bits[0][1:] == answer(c)[1:] and c.bits[0][0] != answer(c)[0],
    "change.zero": lambda f, c: c.worked == 0,
    "change.normalised": lambda f, c: answer(c) == c.bits[0] and c.bits[0][1] == "1",
    "change.lowest": lambda f, c: answer(c) == c.bits[0] and c.bits[0][1] == "0",
    "change.normalise": lambda f, c: size_moved(f, c, ends_normal=True),
    "change.stops": lambda f, c: size_moved(f, c, ends_normal=False),
    "extreme.largest positive": lambda f, c: extreme(c, "largest positive") == ("0", "1", f["exponent"]),
    "extreme.smallest positive": lambda f, c: starts(
        c, "smallest positive", f["positive"], rest="0", exponent=f["exponent"]
    ),
    "extreme.largest negative": lambda f, c: starts(
        c, "largest negative", f["negative"], rest="1", exponent=f["exponent"]
    ),
    "extreme.most negative": lambda f, c: extreme(c, "most negative") == ("1", "0", f["exponent"]),
    "size.largest positive": lambda f, c: "0" not in f["size"] and size_end(c, "largest positive", f),
    "size.largest positive-nan": lambda f, c: (
        f["size"].rstrip("0").count("0") == 0
        and f["size"].endswith("0")
        and size_end(c, "largest positive", f)
    ),
    "size.smallest normal": lambda f, c: fixed(f["size"]) == 1 and size_end(c, "smallest normal", f),
    "size.smallest positive": lambda f, c: f["size"].count("1") == 1 and size_end(c, "smallest positive", f),
    "size.largest negative": lambda f, c: (
        end_named(c, "largest negative") == -end_named(c, "smallest positive")
    ),
    "size.most negative": lambda f, c: end_named(c, "most negative") == -end_named(c, "largest positive"),
    # Sizes
    "special.infinity": lambda f, c: special(c) == "infinity",
    "special.nan": lambda f, c: special(c) == "not a number",
    "special.one-nan": lambda f, c: special(c) == "not a number",
    "size.all": lambda f, c: fixed(f["size"]) == f["value"],
    "unpack.infinity": lambda f, c: special(c, f["operand"] == "second") == "infinity",
    "unpack.not a number": lambda f, c: special(c, f["operand"] == "second") == "not a number",
    "unpack.all": lambda f, c: (
        f["code"] - f["excess"] == f["exponent"]
        and fixed(f["size"]) * Fraction(2) ** f["exponent"] == abs(value_at(f, c))
    ),
    "unpack.signed": lambda f, c: fixed(f["size"]) * Fraction(2) ** f["exponent"] == abs(value_at(f, c)),
    "special.no-answer": lambda f, c: (
        c.working.check.special == "not a number" not in {special(c, 0), special(c, 1)}
    ),
    "special.operand": lambda f, c: "not a number" in {special(c, 0), special(c, 1)},
    "special.no-infinity": lambda f, c: c.question.size_format.infinity is None and c.operands[1] == 0,
    "special.by-zero": lambda f, c: c.name == "divide" and c.operands[1] == 0 != c.operands[0],
    "special.to-infinity": lambda f, c: (
        "infinity" in {special(c, 0), special(c, 1)} and special(answered(c)) == "infinity"
    ),
    "by-zero.both": lambda f, c: set(c.operands) == {0} and c.worked == end(c),
    "product.rows": lambda f, c: 0 not in c.operands,
    "opposite.end": lambda f, c: c.exact != c.worked == max(whole_ends(c)),
    "store.nothing-left": lambda f, c: c.worked == 0 != c.operands[0],
    "special.to-zero": lambda f, c: c.name == "divide" and special(c, 1) == "infinity" and c.worked == 0,
    "ready.size": lambda f, c: max(f["first_places"], f["second_places"]) > 0,
    "align.size-places": lambda f, c: f["moved"] == "",
    "renormalise.right": lambda f, c: f["places"] > 0,
    "renormalise.left": lambda f, c: f["places"] > 0,
    "renormalise.sticky": lambda f, c: c.working.result.value != c.exact,
    "round.nearest": lambda f, c: c.question.course.rounding == "nearest" and lost_one(f),
    "round.nearest-away": lambda f, c: c.question.course.rounding == "nearest away" and lost_one(f),
    "round.toward-zero": lambda f, c: abs(c.worked) < abs(c.exact) and lost_one(f),
    "round.up": lambda f, c: c.worked > c.exact and lost_one(f),
    "round.down": lambda f, c: is_word(c) or c.working.result.value is None or c.worked < c.exact,
    "pack.special": lambda f, c: special(answered(c)) == f["kind"] or (f["kind"] == "zero" and c.worked == 0),
    "pack.too-small": lambda f, c: c.worked == 0 != c.exact,
    "pack.signed": lambda f, c: twos(f["code"]) == f["exponent"],
    "pack.hidden": lambda f, c: abs(c.worked) >= Fraction(2) ** c.question.size_format.lowest_exponent,
    "pack.past-size": lambda f, c: f["exponent"] == f["highest"],
    "pack.word": lambda f, c: is_word(c) and f["exponent"] >= f["highest"],
    "pack.under": lambda f, c: is_word(c) and abs(c.exact) < Fraction(2) ** f["lowest"],
    "pack.written": lambda f, c: abs(c.exact) > abs(largest(c)),
}
