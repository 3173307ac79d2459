"""The format card: the things about a format that quarrels turn on, each with its name."""

from __future__ import annotations

from chalkpoint.numbers.bits import with_point
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.numbers.named import AnyFormat, is_school
from chalkpoint.numbers.signed import SignMagnitudeFormat
from chalkpoint.working.course import Course
from chalkpoint.working.wording.heading import format_said
from chalkpoint.working.wording.said import plural
from chalkpoint.working.wording.words_papers import (
    CARD,
    CARD_SENTENCES,
    ROUNDINGS,
    SIZE_ROUNDINGS,
    TRAYS,
)
from chalkpoint.working.wording.words_pupils import FORMATS

__all__ = ["card_sentences", "format_card", "format_in_words", "format_name", "named_fields"]

Card = tuple[tuple[str, str], ...]


def format_name(fmt: AnyFormat) -> str:
    """Return what a format is called, without an article.

    >>> from chalkpoint.numbers.named import format_called
    >>> [format_name(format_called(name)) for name in ("8+4", "8", "8 excess-127", "Q5.3", "binary16")]
    ['format 8+4', '8-bit two\u2019s complement', '8-bit excess-127', 'fixed-point format Q5.3', 'format binary16']
    """
    if fmt.family != WHOLE:
        return FORMATS["fields"].format(format=fmt)
    if fmt.places:
        return FORMATS["fixed"].format(format=fmt)
    return format_said(fmt)


def format_in_words(fmt: AnyFormat) -> str:
    """Return what a format is called in a sentence.

    >>> from chalkpoint.numbers.named import format_called
    >>> [format_in_words(format_called(name)) for name in ("8+4", "8", "Q5.3")]
    ['the format 8+4', '8-bit two\u2019s complement', 'the fixed-point format Q5.3']
    """
    name = format_name(fmt)
    return name if fmt.family == WHOLE and not fmt.places else FORMATS["the"].format(format=name)


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


def card_sentences(course: Course, *, drawn: bool = True) -> tuple[str, ...]:
    """Return what must be known of the course's format, in sentences, as a paper has them.

    drawn  whether boxes are drawn, with a wedge and a hatched tray; else they are the cells of a table

    >>> card_sentences(Course())[-2:]
    ('Zero is 0.0000000 1000.', 'Bits that fall off the right go in the hatched tray and are cut; an extra ...')
    """
    fmt = course.number_format
    if not is_school(fmt):
        return tuple(f"{name[0].upper()}{name[1:]}: {said}." for name, said in format_card(course))
    place = "drawn" if drawn else "table"
    keys = (
        "fields-first" if fmt.exponent_first else "fields",
        "point" if drawn else "point-table",
        "normal",
        "zero",
        "tray" if course.rounding == "cut" else "tray-rounded",
    )
    facts = {
        "mantissa": fmt.mantissa_bits,
        "exponent": fmt.exponent_bits,
        "zero": zero_of(course),
        "tray": TRAYS[place],
        "rounding": ROUNDINGS[course.rounding],
    }
    return tuple(CARD_SENTENCES[key].format(**facts) for key in keys)


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
        ("width", CARD["widths"].format(mantissa=fmt.mantissa_bits, exponent=fmt.exponent_bits)),
        ("point", CARD["point-sign"]),
        ("order", CARD["first-then"].format(first=order[0], second=order[1])),
        ("bias", CARD["no-bias"]),
        ("hidden one", CARD["all-of-mantissa"]),
        ("rounding", ROUNDINGS[course.rounding]),
        ("normal form", CARD["normal"]),
    )


def _fields(fmt: AnyFormat) -> Card:
    fields = named_fields(fmt)
    widths = ", ".join(f"{name} {plural(bits, 'bit')}" for name, bits in fields)
    return ("width", widths), ("order", CARD["then"].join(name for name, _ in fields))


def _bias(fmt: FloatFormat | SignMagnitudeFormat) -> tuple[str, str]:
    if fmt.exponent.kind == "excess":
        return "bias", CARD["bias"].format(excess=fmt.exponent.excess)
    return "bias", CARD["no-bias"]


def _machine(course: Course, fmt: FloatFormat) -> Card:
    return (
        *_fields(fmt),
        _bias(fmt),
        ("hidden bit", CARD["hidden-bit" if fmt.implied else "all-of-mantissa"]),
        ("point", CARD["point-sign" if fmt.point == 1 else "point-hidden"]),
        ("rounding", ROUNDINGS[course.rounding]),
    )


def _sized(course: Course, fmt: SignMagnitudeFormat) -> Card:
    hidden = ("hidden-subnormals" if fmt.subnormals else "hidden") if fmt.hidden else "all-of-size"
    side, digit = "before" if fmt.point_first else "after", "one" if fmt.hidden else "digit"
    return (
        *_fields(fmt),
        ("sign", CARD["sign"]),
        _bias(fmt),
        ("hidden one", CARD[hidden]),
        ("point", CARD[f"point-{side}-{digit}"]),
        ("rounding", ROUNDINGS[course.rounding]),
        ("special values", CARD[fmt.specials]),
    )


def _whole(course: Course, fmt: FixedFormat) -> Card:
    top = (1 << (fmt.bits - 1)) * fmt.unit_value
    sized = fmt.field.writes_size or course.rounding == "nearest"
    rounding = (SIZE_ROUNDINGS if sized else ROUNDINGS).get(course.rounding, ROUNDINGS[course.rounding])
    return (
        ("width", CARD["bits"].format(bits=fmt.bits)),
        ("code", CARD[fmt.field.kind].format(top=top, excess=fmt.field.excess)),
        ("point", CARD["point-fixed" if fmt.places else "point-none"].format(places=fmt.places)),
        ("rounding", rounding),
        ("overflow", CARD[f"overflow {course.overflow}"]),
    )
