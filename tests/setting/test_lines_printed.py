"""What a scheme prints on a line, read back as a number by this file's own code, is the number it must be."""

from fractions import Fraction
from random import Random

import pytest

from chalkpoint.setting.schemes import Scheme, scheme_for
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

COURSE = Course(format="8+4")
MANTISSA, EXPONENT = 8, 4
TWO = Fraction(2)


def value_of(text: str) -> tuple[Fraction, bool, int]:
    """Return the value of digits in two's complement with their point, whether they go on, and the places."""
    goes_on = text.endswith("\u2026")
    whole, _, fraction = text.rstrip("\u2026").partition(".")
    digits = whole + fraction
    number = int(digits, 2) - ((1 << len(digits)) if digits[0] == "1" else 0)
    return number / TWO ** len(fraction), goes_on, len(fraction)


def is_written(text: str, exact: Fraction) -> bool:
    """Tell whether *text* writes *exact*: all of it, or its first digits where they go on."""
    written, goes_on, places = value_of(text)
    short = exact - written
    return 0 < short < 1 / TWO**places if goes_on else short == 0


def values_in_range(count: int) -> list[Fraction]:
    """Return values that 8+4 stores, of every size, as a teacher might type them: hundredths, halves, thirds."""
    rng = Random("encodes")
    found: list[Fraction] = []
    while len(found) < count:
        below = rng.choice((1, 2, 3, 7, 8, 10, 16, 64, 100, 1000))
        value = Fraction(rng.randrange(-99 * below, 99 * below), below)
        if Fraction(1, 128) <= abs(value) <= 99:
            found.append(value)
    return found


def line(scheme: Scheme, rule: str) -> str:
    """Return what the scheme prints on a line; "" where it has none."""
    return next((mark.says for mark in scheme.marks if mark.rule == rule), "")


def test_size_and_sign_of_four_hundred_encodes() -> None:
    """The size is the value without its sign, the next line the value itself, each with its point."""
    wrong = []
    for value in values_in_range(400):
        scheme = scheme_for(ask("encode", value, course=COURSE))
        size, sign = line(scheme, "size"), line(scheme, "sign")
        assert (sign != "") == (value < 0)
        if not is_written(size, abs(value)) or (sign and not is_written(sign, value)):
            wrong.append((value, size, sign))
        if value.denominator > 1:
            assert "." in size
    assert wrong == []


@pytest.mark.parametrize(
    ("asked", "rule", "expected"),
    [
        # 6.3 is 110.0100 1100 ...; its opposite in two's complement 1001.1011 0011 ...
        (("encode", "-6.3"), "size", "0110.01001100\u2026"),
        (("encode", "-6.3"), "sign", "1001.10110011\u2026"),
        # The mantissas -1.0 and 0.5 leave 2 in size, with a place before the sign: 01.0 (or 010.0), then -2.
        (("divide", "-4", "0.5"), "quotient", Fraction(2)),
        # -1.0 times -1.0 is 1, and needs a place in front of the sign place.
        (("multiply", "-4", "-2"), "product", Fraction(1)),
        (("multiply", "1.5", "-2.25"), "product", Fraction(-27, 64)),
        # 1.0000000 inverted is 0.1111111, and one more is 01.0000000: +1.0, not -1.0.
        (("subtract", "0.1000000 0000", "1.0000000 0000"), "negate", "01.0000000"),
        (("subtract", "0.1000000 0000", "1.0000000 0000"), "add", "01.1000000"),
        (("negate", "1.0000000 0000"), "negate", "01.0000000"),
    ],
)
def test_lines_with_places_of_their_own(asked: tuple[str, ...], rule: str, expected: str | Fraction) -> None:
    """Worked by hand."""
    written = line(scheme_for(ask(*asked, course=COURSE)), rule)

    if isinstance(expected, str):
        assert written == expected
    else:
        assert value_of(written)[0] == expected


def minus_one(rng: Random) -> str:
    """Return the pattern of -1.0 times some power of two."""
    return f"1.0000000 {rng.getrandbits(EXPONENT):04b}"


def normalised(rng: Random) -> str:
    """Return some normalised pattern."""
    first = rng.choice("01")
    rest = f"{rng.getrandbits(MANTISSA - 2):06b}"
    return f"{first}.{'10'[int(first)]}{rest} {rng.getrandbits(EXPONENT):04b}"


def exponent_of(bits: str) -> int:
    """Return the value of an exponent's bits."""
    return int(bits, 2) - (16 if bits[0] == "1" else 0)


@pytest.mark.parametrize("second_is", ["minus one", "any"])
def test_lines_of_subtraction_add_up(second_is: str) -> None:
    """From what is printed: aligned, the opposite of it, and the sum; at the larger exponent, cut where bits fall."""
    rng = Random(f"subtract {second_is}")
    seen = 0
    for _ in range(150):
        first = normalised(rng)
        second = minus_one(rng) if second_is == "minus one" else normalised(rng)
        (m1, e1), (m2, e2) = (
            (value_of(pattern.split()[0])[0], exponent_of(pattern.split()[1])) for pattern in (first, second)
        )
        scheme = scheme_for(ask("subtract", first, second, course=COURSE))
        unit = Fraction(1, 128)
        kept = [(m * TWO ** (e - max(e1, e2))) // unit * unit for m, e in ((m1, e1), (m2, e2))]
        align, negate, add = (line(scheme, rule) for rule in ("align", "negate", "add"))
        assert value_of(negate)[0] == -kept[1]
        assert value_of(add)[0] == kept[0] - kept[1]
        if e1 != e2:
            assert value_of(align)[0] == kept[e1 > e2]
        seen += len(negate.replace(".", "")) > MANTISSA
    assert seen > 20 if second_is == "minus one" else seen < 5


def test_lines_of_products_and_quotients() -> None:
    """The product of the mantissas as printed is exact; a quotient has their quotient's first digits."""
    rng = Random("products")
    for _ in range(150):
        exponent = rng.choice(("0001", "0010", "1111"))
        first, second = (
            f"{(minus_one if rng.random() < 0.3 else normalised)(rng).split()[0]} {exponent}"
            for _ in range(2)
        )
        m1, m2 = (value_of(pattern.split()[0])[0] for pattern in (first, second))
        product = line(scheme_for(ask("multiply", first, second, course=COURSE)), "product")
        assert value_of(product)[0] == m1 * m2
        quotient = line(scheme_for(ask("divide", first, second, course=COURSE)), "quotient")
        written, _, places = value_of(quotient)
        assert places >= MANTISSA
        assert 0 <= abs(m1 / m2) - written < 1 / TWO**places
