"""Beliefs about reading a floating-point pattern: its fields, exponent, mantissa, and the scaling."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.carriers import Number, where
from chalkpoint.numbers.formats import FloatFormat, scaled
from chalkpoint.working.beliefs import size_reading as in_reading
from chalkpoint.working.beliefs.belief import AnyRule, Belief, Place, acts
from chalkpoint.working.beliefs.integer_rules import read_sign_magnitude, read_unsigned
from chalkpoint.working.beliefs.scaling_sizes import exponents_read
from chalkpoint.working.reading import ReadPage, read_mantissa, scale

__all__ = ["DECODING_BELIEFS"]


# === Rules ===


def split_without_zeros(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Drop the word's leading zeros, then cut the fields from the left."""
    fields = [(page.mantissa_code, fmt.mantissa_bits), (page.exponent_code, fmt.exponent_bits)]
    word = "".join(to_bits(code, bits) for code, bits in (reversed(fields) if fmt.exponent_first else fields))
    left = word.lstrip("0")
    at = fmt.exponent_bits if fmt.exponent_first else fmt.mantissa_bits
    first, second = int(left[:at] or "0", 2), int(left[at:] or "0", 2)
    mantissa, exponent = (second, first) if fmt.exponent_first else (first, second)
    return page._replace(mantissa_code=mantissa, exponent_code=exponent)


def exponent_read(read: Callable[[Number, int], Number]) -> AnyRule:
    """Return the rule that reads the exponent as *read* reads any field."""

    def exponent(page: ReadPage, fmt: FloatFormat) -> ReadPage:
        return page._replace(exponent=read(page.exponent_code, fmt.exponent_bits))

    exponent.__name__ = f"exponent_{read.__name__}"
    return exponent


def mantissa_read(read: Callable[[Number, int], Number]) -> AnyRule:
    """Return the rule that reads the mantissa as *read* reads any field."""

    def mantissa(page: ReadPage, fmt: FloatFormat) -> ReadPage:
        return page._replace(mantissa=read(page.mantissa_code, fmt.mantissa_bits))

    mantissa.__name__ = f"mantissa_{read.__name__}"
    return mantissa


def drop_sign(code: Number, bits: int) -> Number:
    """Ignore the leading bit."""
    return code & ((1 << (bits - 1)) - 1)


def minus_one_as_zero(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Read 1.000... as zero."""
    read = read_mantissa(page, fmt)
    lowest = -(1 << fmt.places)
    return read._replace(mantissa=where(read.mantissa == lowest, 0, read.mantissa))


def hidden_one(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Take the leading bit for a sign and put a 1 before the digits."""
    size = (1 << fmt.places) + drop_sign(page.mantissa_code, fmt.mantissa_bits)
    negative = page.mantissa_code >> fmt.places == 1
    return page._replace(mantissa=where(negative, -size, size))


def point_after_second(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Put the point after the second bit."""
    return page._replace(mantissa=read_mantissa(page, fmt).mantissa << 1)


def point_before_first(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Put the point before the first bit, all weights positive."""
    return page._replace(mantissa=Fraction(page.mantissa_code, 2))


def mantissa_as_integer(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Take the mantissa for a whole number."""
    return page._replace(mantissa=read_mantissa(page, fmt).mantissa << fmt.places)


def mantissa_in_standard_form(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Write the mantissa as a decimal whole number with a point after its first digit."""
    number = read_mantissa(page, fmt).mantissa
    digits = len(str(abs(number)))
    return page._replace(mantissa=Fraction(number << fmt.places, 10 ** (digits - 1)))


def _scaled_by(page: ReadPage, fmt: FloatFormat, factor: Fraction) -> ReadPage:
    return page._replace(value=page.mantissa * scaled(1, -fmt.places) * factor)


def scale_by_ten(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Multiply by ten to the power of the exponent."""
    return _scaled_by(page, fmt, Fraction(10) ** page.exponent)


def scale_by_twice(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Multiply by two times the exponent."""
    return _scaled_by(page, fmt, Fraction(2 * page.exponent))


def scale_backwards(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Move the point the other way."""
    return _scaled_by(page, fmt, scaled(1, -page.exponent))


def scale_one_short(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Move the point one place less than the exponent says."""
    return _scaled_by(page, fmt, scaled(1, page.exponent - 1))


def scale_filling_zeros(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """For a negative exponent move the point left and fill with 0s."""
    if page.exponent >= 0 or page.mantissa >= 0:
        return scale(page, fmt)
    return page._replace(value=page.mantissa_code * scaled(1, page.exponent - fmt.places))


# === Beliefs ===


def _reading(line: str, rule: AnyRule, said: str) -> tuple[Place, ...]:
    return acts(("decode",), line, rule, said)


def _exponents(read: Callable[[Number, int], Number], said: str) -> tuple[Place, ...]:
    """Return the places of a way to read exponents: read alone, and in a product or quotient."""
    alone = Place(("decode",), {"exponent": exponent_read(read)}, {"exponent": said}, signed=True)
    return (alone, *exponents_read(read, said))


EXPONENT_BELIEFS = (
    Belief(
        id="leading-zeros-dropped",
        says="Zeros in front of the word mean nothing, so I leave them out and split the rest.",
        step="split fields",
        nudge="How many digits has each of your fields?",
        rule="Every digit of the word has its place; leading zeros count.",
        show="0110 1000 0011: the first eight are the mantissa, 0 included.",
        evidence="R",
        weight=1,
        cause="leading zeros are harmless in a number, not in a field",
        places=acts(
            ("decode",),
            "fields",
            split_without_zeros,
            "Leave out the word\u2019s leading 0s and split what is left.",
            line="exponent",
        ),
    ),
    Belief(
        id="exp-unsigned",
        says="The exponent is an ordinary binary number.",
        step="read exponent",
        nudge="Should this number be tiny or huge?",
        rule="The exponent is two\u2019s complement too.",
        show="1110 = \u22128 + 4 + 2 = \u22122.",
        evidence="T",
        weight=3,
        cause="sign of the exponent overlooked",
        places=(
            *_exponents(read_unsigned, "Add up the exponent\u2019s weights, all positive."),
            *in_reading.UNSIGNED_EXPONENT,
        ),
    ),
    Belief(
        id="exp-sign-mag",
        says="The exponent\u2019s first bit is its sign and the rest its size.",
        step="read exponent",
        nudge="What is 1111 in your system?",
        rule="The leftmost exponent weight is \u22128 in 4 bits.",
        show="\u22128 + 6 = \u22122.",
        evidence="T",
        weight=2,
        cause="systems mixed",
        places=_exponents(read_sign_magnitude, "A 1 leads the exponent, so put a minus before the rest."),
    ),
)

MANTISSA_BELIEFS = (
    Belief(
        id="mantissa-whole",
        says="The mantissa is the number its bits make.",
        step="read mantissa",
        nudge="Where is the binary point in this format?",
        rule="The weights are \u22121, 1/2, 1/4 and so on.",
        show="0.11 = 3/4.",
        evidence="T",
        weight=2,
        cause="place of the point not used",
        places=_reading("mantissa", mantissa_as_integer, "Read the mantissa as a whole number."),
    ),
    Belief(
        id="mantissa-unsigned",
        says="All weights of the mantissa are positive.",
        step="read mantissa",
        nudge="What is the sign of this number?",
        rule="The leading bit weighs \u22121.",
        show="\u22121 + 3/8 = \u22125/8, times 4.",
        evidence="T",
        weight=2,
        cause="sign weight forgotten",
        places=_reading(
            "mantissa", mantissa_read(read_unsigned), "Add up the mantissa\u2019s weights, all positive."
        ),
    ),
    Belief(
        id="mantissa-sign-mag",
        says="A 1 in front of the mantissa means minus, and the rest is its size.",
        step="read mantissa",
        nudge="Does 1.1111111 look near \u22121 or near 0?",
        rule="The leading bit weighs \u22121; the rest is added.",
        show="\u22121 + 0.375.",
        evidence="T",
        weight=3,
        cause="IEEE or sign and magnitude mixed in",
        places=_reading(
            "mantissa",
            mantissa_read(read_sign_magnitude),
            "A 1 leads the mantissa, so put a minus before the rest.",
        ),
    ),
    Belief(
        id="mantissa-sign-dropped",
        says="The sign bit is not part of the number, so I leave it out.",
        step="read mantissa",
        nudge="What did the first bit tell you?",
        rule="Use all bits; the first weighs \u22121.",
        show="\u22121 + 0.375.",
        evidence="T",
        weight=2,
        cause="\u201cthe sign bit is not data\u201d",
        places=_reading("mantissa", mantissa_read(drop_sign), "Read the mantissa without its first bit."),
    ),
    Belief(
        id="minus-one-as-zero",
        says="A mantissa of 1 and then 0s is zero.",
        step="read mantissa",
        nudge="What does the leading bit weigh?",
        rule="1.0000000 is exactly \u22121.",
        show="\u22121 × 4 = \u22124.",
        evidence="C",
        weight=2,
        cause="the minus zero of sign and magnitude",
        places=_reading("mantissa", minus_one_as_zero, "A sign bit and then 0s: read as zero."),
    ),
    Belief(
        id="phantom-hidden-one",
        says="There is a hidden 1 in front of the mantissa.",
        step="read mantissa",
        nudge="Does this format hide a bit?",
        rule="All mantissa bits are stored here.",
        show="0.75 × 8.",
        evidence="T",
        weight=2,
        cause="two formats mixed",
        places=_reading(
            "mantissa", hidden_one, "Put a hidden 1 before the digits; the first bit is the sign."
        ),
    ),
    Belief(
        id="point-after-second-bit",
        says="The point stands after the second bit.",
        step="read mantissa",
        nudge="Where does the question put the point?",
        rule="The point follows the sign bit.",
        show="0.11, not 01.1.",
        evidence="C",
        weight=2,
        cause="habit from scientific form",
        places=_reading("mantissa", point_after_second, "Put the point after the second bit."),
    ),
    Belief(
        id="point-before-first-bit",
        says="The point stands in front of the whole mantissa.",
        step="read mantissa",
        nudge="Where does the question put the point?",
        rule="The point follows the sign bit, which weighs \u22121.",
        show="0.1101000, not .01101000.",
        evidence="R",
        weight=1,
        cause="a mantissa taken for \u201ceverything after the point\u201d",
        places=_reading("mantissa", point_before_first, "Put the point in front of the mantissa."),
    ),
)

SCALING_BELIEFS = (
    Belief(
        id="exp-base-ten",
        says="I multiply by ten to the power of the exponent.",
        step="scale",
        nudge="Which base do the digits use?",
        rule="Moving the point one binary place multiplies by 2.",
        show="0.75 × 8.",
        evidence="T",
        weight=2,
        cause="standard form in base ten",
        places=(
            *_reading("scale", scale_by_ten, "Multiply by ten to the power of the exponent."),
            *in_reading.READ_IN_TENS,
        ),
    ),
    Belief(
        id="exp-doubles",
        says="I multiply by two times the exponent.",
        step="scale",
        nudge="What is 2 to the power 0?",
        rule="2^3 = 2 × 2 × 2.",
        show="0.75 × 8 = 6.",
        evidence="C",
        weight=2,
        cause="2^E read as 2 times E",
        places=_reading("scale", scale_by_twice, "Multiply by 2 times the exponent."),
    ),
    Belief(
        id="point-moves-backwards",
        says="A positive exponent moves the point to the left.",
        step="scale",
        nudge="Positive exponent: bigger or smaller?",
        rule="Positive E: point right; negative E: point left.",
        show="0.110 becomes 0110.",
        evidence="T",
        weight=3,
        cause="rule of direction mixed up",
        places=(
            *_reading(
                "scale", scale_backwards, "Move the point left for a positive exponent, right for a negative."
            ),
            *in_reading.POINT_BACKWARDS,
        ),
    ),
    Belief(
        id="zero-fill-when-small",
        says="When the point moves left I put 0s in the gap.",
        step="scale",
        nudge="Did the sign survive?",
        rule="Fill with copies of the sign bit.",
        show="1.011 × 2^\u22122 becomes 1.11011.",
        evidence="T",
        weight=3,
        cause="padding as for unsigned numbers",
        places=_reading("scale", scale_filling_zeros, "Move the point left and fill the gap with 0s."),
    ),
    Belief(
        id="scale-one-short",
        says="The sign bit counts as the first place the point moves.",
        step="scale",
        nudge="How many places does an exponent of 1 move the point?",
        rule="Move the point as many places as the exponent says.",
        show="0.1101 × 2^3: 01.101, 011.01, 0110.1.",
        evidence="R",
        weight=1,
        cause="a place miscounted; often only a slip",
        places=_reading("scale", scale_one_short, "Move the point one place less than the exponent."),
    ),
    Belief(
        id="decimal-standard-form",
        says="I write the mantissa as a decimal number, put a point after its first digit and use ten as the base.",
        step="read mantissa",
        nudge="In which base are the digits and the point?",
        rule="Digits, point and exponent all belong to base two.",
        show="0.1100000 is 3/4; times 2^3.",
        evidence="R",
        weight=1,
        cause="decimal standard form taken over whole",
        places=(
            Place(
                ("decode",),
                {"mantissa": mantissa_in_standard_form, "scale": scale_by_ten},
                {
                    "mantissa": "Write the mantissa as a decimal number, a point after its first digit.",
                    "scale": "Multiply by ten to the power of the exponent.",
                },
            ),
        ),
    ),
)

DECODING_BELIEFS = (*EXPONENT_BELIEFS, *MANTISSA_BELIEFS, *SCALING_BELIEFS)
