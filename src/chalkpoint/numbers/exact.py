"""Exact values: read from what people write, written back as people read.

Values are ``fractions.Fraction`` and nothing here rounds.
"""

from __future__ import annotations

import re
from fractions import Fraction
from math import floor

from chalkpoint.numbers.errors import EntryError

__all__ = [
    "is_dyadic",
    "parse_value",
    "powers_of_two",
    "write_decimal",
    "write_exact",
    "write_percent",
    "write_value",
]

MINUS = "\u2212"
LONGEST_DECIMAL = 26  # characters; longer values are written in powers of two
LONGEST_VALUE = 160  # characters; longer values are told by their size
FIGURES = 3  # of a value told by its size
SMALLEST_PERCENT = Fraction(1, 10**8)
CLUSTER = 68  # bits of one term: more than any mantissa here

VALUE = re.compile(
    r"""
    (?P<sign>[-+]?)\s*
    (?:
        (?P<whole>\d+)\s+(?P<num>\d+)\s*/\s*(?P<den>\d+)   # 1 3/8
      | (?P<top>\d+)\s*/\s*(?P<bottom>\d+)                 # 79/128
      | (?P<decimal>\d+(?:\.\d*)?|\.\d+)                   # 5.25, 5., .5
        (?:[eE](?P<tens>[-+]?\d{1,4}))?                   # 1.5e-45
    )
    """,
    re.VERBOSE | re.ASCII,
)

LONGEST_READ = 4_000  # characters: every sum of powers that we write is shorter
SHOWN = 20  # characters of a value that is too long
LONGEST_RATIO = 300  # bits
MOST_DIGITS = 13_000  # bits whose digits a program still reads as one number
TERM = r"[-+]?\d{1,4000}(?:/0*[1-9]\d{0,3999})?\*2\^-?\d{1,5}"
POWERS = re.compile(rf"(?:{TERM})+", re.ASCII)  # as write_exact writes it
QUOTIENT = re.compile(rf"\(((?:{TERM})+)\)/\(((?:{TERM})+)\)", re.ASCII)  # and where neither part is short


def parse_value(text: str, *, point: str = ".", name: str = "value") -> Fraction:
    """Return the exact value written in *text*: a decimal, a fraction or a mixed number; powers of two too.

    point  the decimal mark in use, "." or ","

    >>> parse_value("-5.25"), parse_value("1 3/8"), parse_value("\u2212 79/128")
    (Fraction(-21, 4), Fraction(11, 8), Fraction(-79, 128))
    >>> parse_value("1.5e-2"), parse_value("3*2^-4-1*2^0")
    (Fraction(3, 200), Fraction(-13, 16))

    Raises EntryError when *text* is no number.
    """
    plain = text.strip().replace(MINUS, "-")
    if len(plain) > LONGEST_READ:
        raise EntryError(
            f"the {name} {plain[:SHOWN]!r}... has {len(plain):,} characters; give {LONGEST_READ:,} at most"
        )
    if POWERS.fullmatch(plain):
        return _sum_of_powers(plain)
    quotient = QUOTIENT.fullmatch(plain)
    if quotient is not None and (divisor := _sum_of_powers(quotient[2])):
        return _sum_of_powers(quotient[1]) / divisor
    match = VALUE.fullmatch(plain.replace(",", ".") if point == "," else plain)
    example = "-5,25, -79/128 or 1 3/8" if point == "," else "-5.25, -79/128 or 1 3/8"
    if match is None:
        raise EntryError(f"{text!r} as {name} is not a number; write one such as {example}")
    if "0" in {(match["den"] or "1").lstrip("0") or "0", (match["bottom"] or "1").lstrip("0") or "0"}:
        raise EntryError(f"{text!r} as {name} divides by zero; write a number such as {example}")
    if match["decimal"]:
        size = Fraction(match["decimal"]) * Fraction(10) ** int(match["tens"] or 0)
    elif match["top"]:
        size = Fraction(int(match["top"]), int(match["bottom"]))
    else:
        size = int(match["whole"]) + Fraction(int(match["num"]), int(match["den"]))
    return -size if match["sign"] == "-" else size


def _sum_of_powers(text: str) -> Fraction:
    """Return the value of a sum of terms such as 3*2^-4."""
    terms = re.findall(r"([-+]?\d+(?:/\d+)?)\*2\^(-?\d+)", text)
    return sum((Fraction(number) * Fraction(2) ** int(power) for number, power in terms), Fraction(0))


def is_dyadic(x: Fraction) -> bool:
    """Tell whether *x* ends in binary: its denominator is a power of two.

    >>> is_dyadic(Fraction(3, 8)), is_dyadic(Fraction(1, 10))
    (True, False)
    """
    return x.denominator & (x.denominator - 1) == 0


def write_decimal(x: Fraction) -> str | None:
    """Return *x* as a finite decimal, or None when it has none (or one of over a thousand digits).

    >>> write_decimal(Fraction(-21, 4)), write_decimal(Fraction(1, 3))
    ('-5.25', None)
    """
    numerator, denominator = x.as_integer_ratio()
    twos = (denominator & -denominator).bit_length() - 1
    rest, fives = denominator >> twos, 0
    while rest % 5 == 0:
        rest, fives = rest // 5, fives + 1
    places = max(twos, fives)
    if rest != 1 or places > 1000 or numerator.bit_length() > 1000:
        return None
    text = str(abs(numerator) * 10**places // denominator).rjust(places + 1, "0")
    body = f"{text[:-places]}.{text[-places:]}" if places else text
    return f"-{body}" if numerator < 0 else body


def write_exact(x: Fraction) -> str:
    """Return *x* exactly, for a program to read back: an integer or p/q, powers of two where those run long.

    >>> write_exact(Fraction(9, 2)), write_exact(3 * Fraction(2)**-100), write_exact(Fraction(2)**300 - 1)
    ('9/2', '3*2^-100', '1*2^300-1*2^0')
    """
    if not is_dyadic(x):
        return _ratio_and_power(x)
    if max(abs(x.numerator).bit_length(), x.denominator.bit_length()) <= 80:
        return str(x)
    return _in_powers(x)


def _in_powers(x: Fraction) -> str:
    return "".join(f"{number:+d}*2^{power}" for number, power in powers_of_two(x)).removeprefix("+")


def write_value(x: Fraction, *, point: str = ".") -> str:
    """Return *x* for a person: a decimal, p/q where none ends, powers of two where it runs long.

    What is too long even so is a power of ten where it is one, and is otherwise told by its size.

    >>> write_value(Fraction(-21, 4)), write_value(Fraction(1, 3)), write_value(Fraction(3, 2**70))
    ('\u22125.25', '1/3', '3 × 2^\u221270')
    >>> write_value(Fraction(-10) ** 999 * 25), write_value(Fraction(10) ** 999 + 1)
    ('\u22122.5 × 10^1000', 'about 1 × 10^999')
    """
    text = _in_full(x, point)
    return text if len(text) <= LONGEST_VALUE else _in_tens(x, point)


def _in_tens(x: Fraction, point: str) -> str:
    """Return *x* as so much times a power of ten, "about" where its digits are more than a value's."""
    size = abs(x)
    power = (size.numerator.bit_length() - size.denominator.bit_length()) * 30103 // 100000
    while size >= Fraction(10) ** (power + 1):
        power += 1
    while size < Fraction(10) ** power:
        power -= 1
    digits = size / Fraction(10) ** power
    exact = write_decimal(digits)
    if short := exact is not None and len(exact) <= LONGEST_DECIMAL:
        written = str(exact)
    else:
        written = str(write_decimal(Fraction(round(digits * 10 ** (FIGURES - 1)), 10 ** (FIGURES - 1))))
    much = "" if short and written == "1" else f"{written.replace('.', point)} × "
    return f"{'' if short else 'about '}{MINUS if x < 0 else ''}{much}10^{str(power).replace('-', MINUS)}"


def _in_full(x: Fraction, point: str) -> str:
    decimal = write_decimal(x)
    if decimal is not None and len(decimal) <= LONGEST_DECIMAL:
        return decimal.replace("-", MINUS).replace(".", point)
    if not is_dyadic(x):
        return _ratio_and_power(x).replace("*", " × ").replace("-", MINUS)
    if max(abs(x.numerator).bit_length(), x.denominator.bit_length()) <= 24:
        return str(x).replace("-", MINUS)
    terms = [
        f"{'+' if number > 0 else '-'} {_term(abs(number), power)}" for number, power in powers_of_two(x)
    ]
    text = " ".join(terms)
    text = text.removeprefix("+ ") if text.startswith("+") else text.replace("- ", "-", 1)
    return text.replace("-", MINUS).replace(".", point)


def _ratio_and_power(x: Fraction) -> str:
    """Return *x*, which ends in no binary place, as p/q, its powers of two apart where it runs long.

    Where p or q has more digits than a number may be read with, both are sums of powers of two.

    >>> _ratio_and_power(Fraction(2, 3)), _ratio_and_power(Fraction(2**400, 3))
    ('2/3', '1/3*2^400')
    >>> _ratio_and_power(Fraction(3, 2**20000 + 1))
    '(3*2^0)/(1*2^20000+1*2^0)'
    """
    if max(abs(x.numerator).bit_length(), x.denominator.bit_length()) <= LONGEST_RATIO:
        return str(x)
    power = _twos(x.numerator) - _twos(x.denominator)
    odd = x / Fraction(2) ** power
    if max(abs(odd.numerator).bit_length(), odd.denominator.bit_length()) > MOST_DIGITS:
        return f"({_in_powers(Fraction(x.numerator))})/({_in_powers(Fraction(x.denominator))})"
    return f"{odd}*2^{power}"


def _twos(number: int) -> int:
    return (number & -number).bit_length() - 1


def _term(number: int, power: int) -> str:
    """Return number * 2**power as one term of a sum: in digits where those are few."""
    decimal = write_decimal(number * Fraction(2) ** power) if -12 <= power <= 0 else None
    if decimal is not None and len(decimal) <= LONGEST_DECIMAL:
        return decimal
    return f"2^{power}" if number == 1 else f"{number} × 2^{power}"


def powers_of_two(x: Fraction) -> list[tuple[int, int]]:
    """Return [(n, k), ...] with x = sum of n * 2**k, each n odd and short; *x* is dyadic and not zero.

    A value whose 1s lie in far-apart clusters gets one term for each cluster, so that a number of
    60,000 binary places is still written exactly in a line.

    >>> powers_of_two(Fraction(12)), powers_of_two(Fraction(2)**300 + 3)
    ([(3, 2)], [(1, 300), (3, 0)])
    """
    number, power = x.numerator, 1 - x.denominator.bit_length()
    terms: list[tuple[int, int]] = []
    while number:
        twos = (number & -number).bit_length() - 1
        number, power = number >> twos, power + twos
        low = number
        if number.bit_length() > CLUSTER:
            low = number & ((1 << CLUSTER) - 1)
            low -= (low >> (CLUSTER - 1)) << CLUSTER
        terms.append((low, power))
        number -= low
    return terms[::-1]


def write_percent(x: Fraction, *, point: str = ".") -> str:
    """Return *x* as a percentage of three significant digits, "about" where that is not all of it.

    >>> write_percent(Fraction(3, 368)), write_percent(Fraction(1, 4)), write_percent(Fraction(0))
    ('about 0.815%', '25%', '0%')
    >>> write_percent(Fraction(1, 32))
    'about 3.13%'
    """
    if x == 0:
        return "0%"
    if abs(x) < SMALLEST_PERCENT:
        return f"less than {write_value(100 * SMALLEST_PERCENT, point=point)}%"
    percent, places = 100 * abs(x), 0
    while percent * 10**places < 100 and percent * 10**places * 10 < 1000:
        places += 1
    rounded = Fraction(
        floor(percent * 10**places + Fraction(1, 2)), 10**places
    )  # a half goes up, as at school
    text = f"{write_value(rounded, point=point)}%"
    return text if rounded == percent else f"about {text}"
