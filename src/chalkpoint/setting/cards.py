"""The format card: the things about a format that quarrels turn on, each with its name."""

from __future__ import annotations

from chalkpoint.numbers.bits import with_point
from chalkpoint.numbers.exact import MINUS
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.numbers.named import AnyFormat, is_school
from chalkpoint.numbers.signed import SignMagnitudeFormat
from chalkpoint.working.course import Course

__all__ = ["card_sentences", "format_card", "format_in_words", "named_fields"]

Card = tuple[tuple[str, str], ...]

ROUNDINGS = {
    "cut": "lost bits are cut, toward minus infinity",
    "cut size": "the size is cut, then negated",
    "nearest": "to the nearest, ties to a pattern that ends in 0",
    "nearest away": "to the nearest, ties away from zero",
    "toward zero": "toward zero: what does not fit is cut",
    "up": "toward plus infinity",
    "down": "toward minus infinity",
}
#: The same for whole numbers and fixed point, where the pattern that is cut may be that of a size.
OF_SIZES = {
    "cut": "lost bits are cut, toward zero",
    "nearest": "to the nearest, ties to a size that ends in 0",
}
OVERFLOWS = {"word": "the word overflow, and no bits", "largest": "the end of the range is written"}


def format_in_words(fmt: AnyFormat) -> str:
    """Return what a format is called in a sentence.

    >>> from chalkpoint.numbers.named import format_called
    >>> [format_in_words(format_called(name)) for name in ("8+4", "8", "Q5.3", "binary16")]
    ['the format 8+4', '8-bit two\u2019s complement', 'the fixed-point format Q5.3', 'the format binary16']
    """
    if fmt.family != WHOLE:
        return f"the format {fmt}"
    if fmt.places:
        return f"the fixed-point format {fmt}"
    code = fmt.field.kind if fmt.field.kind != "excess" else f"excess-{fmt.field.excess}"
    return f"{fmt.bits}-bit {code}".replace("'", "\u2019")


def named_fields(fmt: AnyFormat) -> tuple[tuple[str, int], ...]:
    """Return the fields of a pattern in the order they are written, each with its bits.

    >>> from chalkpoint.numbers.named import format_called
    >>> named_fields(format_called("binary16")), named_fields(format_called("C3x-16"))
    ((('sign', 1), ('exponent', 5), ('fraction', 10)), (('exponent', 4), ('mantissa', 12)))
    """
    if fmt.family == WHOLE:
        return (("fixed point" if fmt.places else "whole number", fmt.bits),)
    if fmt.family == SIZES:
        names: tuple[str, ...] = ("sign", "exponent", "fraction")
        if fmt.order != "sign exponent fraction":
            names = ("exponent", "mantissa") if fmt.order.startswith("exponent") else ("mantissa", "exponent")
    elif fmt.low_bits:
        names = ("mantissa", "exponent", "its low bits")
    else:
        names = ("exponent", "mantissa") if fmt.exponent_first else ("mantissa", "exponent")
    return tuple(zip(names, fmt.widths, strict=True))


def format_card(course: Course) -> Card:
    """Return what must be known of the course's format, each thing with its name.

    >>> dict(format_card(Course()))["bias"], dict(format_card(Course(format="binary16")))["bias"]
    ('none: the exponent is two\u2019s complement', 'stored is the exponent + 15')
    """
    fmt = course.number_format
    if is_school(fmt):
        return _school(course, fmt)
    if fmt.family == FLOATING:
        return _machine(course, fmt)
    return _sized(course, fmt) if fmt.family == SIZES else _whole(course, fmt)


def card_sentences(course: Course) -> tuple[str, ...]:
    """Return what must be known of the course's format, in sentences, as it stands on a paper.

    >>> card_sentences(Course())[-2:]
    ('Zero is 0.0000000 1000.', 'Bits that fall off the right go in the hatched tray and are cut; an extra ...')
    """
    fmt = course.number_format
    if not is_school(fmt):
        return tuple(f"{name[0].upper()}{name[1:]}: {said}." for name, said in format_card(course))
    mantissa, exponent = f"{fmt.mantissa_bits} bits for the mantissa", f"{fmt.exponent_bits} for the exponent"
    fields = f"{mantissa}, then {exponent}"
    if fmt.exponent_first:
        fields = f"{fmt.exponent_bits} bits for the exponent, then {fmt.mantissa_bits} for the mantissa"
    fallen = "are cut" if course.rounding == "cut" else f"count for rounding ({ROUNDINGS[course.rounding]})"
    return (
        f"{fields}, both in two\u2019s complement.",
        "The black wedge is the binary point.",
        "A number is normalised when its first two bits differ; "
        "\u22121, \u22122, \u22124 have the mantissa 1.000\u2026",
        f"Zero is {zero_of(course)}.",
        f"Bits that fall off the right go in the hatched tray and {fallen}; "
        "an extra sign place goes in the dashed box. Not every box is needed.",
    )


def zero_of(course: Course) -> str:
    """Return the pattern for zero as the course writes it."""
    fmt = course.float_format
    lowest = course.zero == "lowest exponent"
    exponent = fmt.exponent.write(fmt.lowest_exponent if lowest else 0)
    mantissa = with_point("0" * fmt.mantissa_bits, fmt.places)
    return f"{exponent} {mantissa}" if fmt.exponent_first else f"{mantissa} {exponent}"


def _school(course: Course, fmt: FloatFormat) -> Card:
    order = ("exponent", "mantissa") if fmt.exponent_first else ("mantissa", "exponent")
    return (
        ("width", f"mantissa {fmt.mantissa_bits} bits, exponent {fmt.exponent_bits} bits"),
        ("point", "binary point after the mantissa\u2019s sign bit"),
        ("order", f"{order[0]} first, then {order[1]}"),
        ("bias", "none: the exponent is two\u2019s complement"),
        ("hidden one", "none: every bit of the mantissa is written"),
        ("rounding", ROUNDINGS[course.rounding]),
        ("normal form", "first two bits differ; \u22121, \u22122, \u22124 have the mantissa 1.000\u2026"),
    )


def _fields(fmt: AnyFormat) -> Card:
    fields = named_fields(fmt)
    widths = ", ".join(f"{name} {bits} bit{'' if bits == 1 else 's'}" for name, bits in fields)
    return ("width", widths), ("order", ", then ".join(name for name, _ in fields))


def _bias(fmt: FloatFormat | SignMagnitudeFormat) -> tuple[str, str]:
    if fmt.exponent.kind == "excess":
        return "bias", f"stored is the exponent + {fmt.exponent.excess}"
    return "bias", "none: the exponent is two\u2019s complement"


def _machine(course: Course, fmt: FloatFormat) -> Card:
    hidden = "none: every bit of the mantissa is written"
    if fmt.implied:
        hidden = "the bit after the sign, its opposite, is not written"
    where = "after the mantissa\u2019s sign bit" if fmt.point == 1 else "after that bit"
    order = (("hidden bit", hidden), ("point", f"binary point {where}"))
    return (*_fields(fmt), _bias(fmt), *order, ("rounding", ROUNDINGS[course.rounding]))


def _sized(course: Course, fmt: SignMagnitudeFormat) -> Card:
    hidden = "none: every digit of the size is written"
    if fmt.hidden:
        hidden = "a 1 before the fraction"
        hidden += ", but a 0 where 0 is stored" if fmt.subnormals else ""
    specials = {
        "infinities": "exponent all 1s: infinity, or not a number",
        "one nan": "all 1s: not a number; no infinities",
        "none": "none: every pattern is a number",
    }[fmt.specials]
    digit = "the hidden one" if fmt.hidden else "the first digit"
    return (
        *_fields(fmt),
        ("sign", "0 plus, 1 minus"),
        _bias(fmt),
        ("hidden one", hidden),
        ("point", f"binary point {'before' if fmt.point_first else 'after'} {digit}"),
        ("rounding", ROUNDINGS[course.rounding]),
        ("special values", specials),
    )


def _whole(course: Course, fmt: FixedFormat) -> Card:
    top, kind = 1 << (fmt.bits - 1), fmt.field.kind
    code = {
        "two's complement": f"two\u2019s complement: the first bit weighs {MINUS}{write_power(top, fmt)}",
        "unsigned": "unsigned: every place counts positive",
        "sign and magnitude": "sign and magnitude: the first bit is the sign",
        "ones' complement": "ones\u2019 complement: a negative has every bit inverted",
    }.get(kind, f"excess-{fmt.field.excess}: that is added before a number is written")
    sized = fmt.field.writes_size or course.rounding == "nearest"
    rounding = (OF_SIZES if sized else ROUNDINGS).get(course.rounding, ROUNDINGS[course.rounding])
    point = f"binary point before the last {fmt.places}" if fmt.places else "none: whole numbers"
    return (
        ("width", f"{fmt.bits} bits"),
        ("code", code),
        ("point", point),
        ("rounding", rounding),
        ("overflow", OVERFLOWS[course.overflow]),
    )


def write_power(top: int, fmt: FixedFormat) -> str:
    """Return the size of the first bit's weight."""
    return str(top * fmt.unit_value)
