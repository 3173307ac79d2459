"""The catalogue's words on paper: what is asked, lines to write on, the format card, and notes beside boxes.

In a line, {} is a gap to write in, {long} a longer one, and {unit} one with room for a unit behind it.
"""

from __future__ import annotations

from typing import Final, TypeAlias

from chalkpoint.working.wording.words_pupils import SIZE_CUT

__all__: list[str] = []

Lines: TypeAlias = tuple[tuple[str, str], ...]
"""Ruled lines: the mark each is for, and its words with gaps."""

# === What a paper asks ===

TASKS: Final = {
    "decode": "Give the value of {pattern} as a decimal or a fraction.",
    "encode": "Write {value} in {format}.",
    "normalise": "Write {pattern} in normal form.",
    "negate": "Write the pattern of the opposite of {pattern}.",
    "add": "Add {first} and {second}, in {format}.",
    "subtract": "Subtract {second} from {first}, in {format}.",
    "multiply": "Multiply {first} by {second}, in {format}.",
    "divide": "Divide {first} by {second}, in {format}.",
    "range": "Write the patterns of the four extreme values of {format}, normalised.",
    "convert": "Convert {pattern}, which is in {format}, to {target}.",
    "sum": "Add the {count} numbers below in the order given, in {format}. Write each total before you add the next.",
    "choose-format": "Values run from {first} to {second}, and neighbours may lie no more than {third} apart. "
    "Choose the format of fewest bits that serves: mantissa and exponent, both in two’s complement.",
    "explain": "Explain in words what happens when {deed}, and why.",
    "error": "Store {value} in {format}. Give the pattern, the absolute error and the relative error.",
}
DEEDS: Final = {
    "add": "{first} and {second} are added in {format}",
    "subtract": "{second} is subtracted from {first} in {format}",
    "multiply": "{first} is multiplied by {second} in {format}",
    "divide": "{first} is divided by {second} in {format}",
    "encode": "{first} is stored in {format}",
    "sum": "{numbers} are added in this order in {format}",
}
WHOLE_NUMBERS: Final = "Give the value of {pattern}, which is in {format}, as a decimal number."
EXTREMES: Final = "Write the pattern of each extreme value of {format}."
VALUES: Final = (
    "Give each extreme value of {format}, as a decimal, a fraction or with a power of two. Write no patterns."
)
IN_ROWS: Final = {
    "add": "Add the two numbers below, in {format}.",
    "subtract": "Subtract the second number below from the first, in {format}.",
    "multiply": "Multiply the two numbers below, in {format}.",
    "divide": "Divide the first number below by the second, in {format}.",
}
AFTER_A_STORY: Final = {
    "encode": "Write it in {format}.",
    "error": "Give the pattern stored in {format}, the absolute error and the relative error.",
}
FADED: Final = "The first lines are filled in. Write the lines that are missing."
MISTAKE: Final = (
    "This working has one line that is wrong. "
    "Name the line, write it as it should be, and give the right answer."
)
METHOD_NOTE: Final = "Method: {words}."
SHOW_LINES: Final = "Show each line: the answer alone does not earn full marks."
REWARDED: Final = "Say {things} to the digits or to the answer, each with its reason: a mark for each."
ONE_THING, THINGS = "1 thing that happens", "{marks} things that happen"

# === Lines to write on ===

VALUE: Final = ("answer", "The value is {unit}.")
SIZE: Final = ("size", "The size in binary: {long}")
MOVED: Final = ("align", "The row moved: {long}")
PRODUCT: Final = ("product", "The product of the sizes: {long}")
QUOTIENT: Final = ("quotient", "The quotient of the sizes: {long}")
MISTAKE_LINES: Final[Lines] = (("line", "The line that is wrong: {}"),)
DECIMAL: Final[Lines] = (
    ("decimal", "In decimal, your answer is {unit} and\u00a0the\u00a0exact\u00a0answer\u00a0is\u00a0{unit}."),
)
ERRORS: Final[Lines] = (
    ("absolute", "The absolute error is {unit}."),
    ("relative", "The relative error is {}."),
)
#: For mantissa and exponent.
LINES: Final[dict[str, Lines]] = {
    "decode": (
        ("exponent", "The exponent is {}."),
        ("mantissa", "The mantissa is {}."),
        VALUE,
    ),
    "encode": (SIZE, ("sign", "With its sign: {long}")),
    "add": DECIMAL,
    "subtract": DECIMAL,
    "multiply": (("exponents", "The exponents together make {}."), ("product", "The product: {long}")),
    "divide": (("exponents", "The exponents leave {}."), ("quotient", "The quotient: {long}")),
    "error": ERRORS,
}
#: Where bits are cut into fields in another way, rows that are moved and added have no boxes.
CUT_OTHERWISE: Final[dict[str, Lines]] = {
    "add": (MOVED, ("add", "The sum: {long}"), *DECIMAL),
    "subtract": (
        MOVED,
        ("negate", "The second negated: {long}"),
        ("add", "The sum: {long}"),
        *DECIMAL,
    ),
    "negate": (("negate", "Every bit inverted, one added: {long}"),),
}
ROUNDED: Final = ("round", "Normalised and rounded: {long} exponent {}")
SIGN: Final = ("sign", "The sign bit is {}.")
ADDED: Final[Lines] = (
    ("unpack", "Unpacked: {long} and {long}"),
    ("align", "The size moved, with guard, round and sticky: {long}"),
    ("combine", "Sum or difference of the sizes: {long}"),
    ROUNDED,
)
SIZE_LINES: Final[dict[str, Lines]] = {
    "decode": (
        ("exponent", "The true exponent is {}."),
        ("size", "The size, any hidden one included, is {}."),
        VALUE,
    ),
    "encode": (
        SIGN,
        ("digits", SIZE[1]),
        ("point", "The exponent, before it is stored, is {}."),
    ),
    "add": ADDED,
    "subtract": ADDED,
    "multiply": (
        SIGN,
        ("exponents", "The true exponents together make {}."),
        PRODUCT,
        ROUNDED,
    ),
    "divide": (
        SIGN,
        ("exponents", "The true exponents leave {}."),
        QUOTIENT,
        ROUNDED,
    ),
    "error": ERRORS,
}
#: Where every digit of the size is written.
WITHOUT_HIDDEN: Final[dict[str, Lines]] = {
    "decode": (SIZE_LINES["decode"][0], ("size", "The size is {}."), SIZE_LINES["decode"][2]),
}
WHOLE_LINES: Final[dict[str, Lines]] = {
    "decode": (("weigh", "The place values of the 1s: {long}"), VALUE),
    "encode": (SIZE,),
    "add": DECIMAL,
    "subtract": DECIMAL,
    "multiply": (PRODUCT,),
    "divide": (QUOTIENT,),
    "error": ERRORS,
}
COMPOSITE_LINES: Final[dict[str, Lines]] = {
    "convert": (
        ("value", VALUE[1]),
        ("size", "Its size in binary: {long}"),
        ("exponent", "Places the point is moved: {}"),
    ),
    "sum": DECIMAL,
    "choose-format": (
        ("mantissa", "Mantissa bits: {}  because {long}"),
        ("exponent", "Exponent bits: {}  because {long}"),
        ("answer", "The smallest format that serves is {}."),
    ),
}
EXTREME_LINE: Final = "The {name} value is {{long}}"

# === How numbers are written: the format card ===

HEADING: Final = "How numbers are written here: {format}"
ROUNDINGS: Final = {
    "cut": "lost bits are cut, toward minus infinity",
    "cut size": SIZE_CUT,
    "nearest": "to the nearest, ties to a pattern that ends in 0",
    "nearest away": "to the nearest, ties away from zero",
    "toward zero": "toward zero: what does not fit is cut",
    "up": "toward plus infinity",
    "down": "toward minus infinity",
}
#: The same for whole numbers and fixed point, where the pattern that is cut may be that of a size.
SIZE_ROUNDINGS: Final = {
    "cut": "lost bits are cut, toward zero",
    "nearest": "to the nearest, ties to a size that ends in 0",
}
CARD: Final = {
    "widths": "mantissa {mantissa} bits, exponent {exponent} bits",
    "first-then": "{first} first, then {second}",
    "then": ", then ",
    "bias": "stored is the exponent + {excess}",
    "no-bias": "none: the exponent is two\u2019s complement",
    "hidden": "a 1 before the fraction",
    "hidden-subnormals": "a 1 before the fraction, but a 0 where 0 is stored",
    "hidden-bit": "the bit after the sign, its opposite, is not written",
    "all-of-mantissa": "none: every bit of the mantissa is written",
    "all-of-size": "none: every digit of the size is written",
    "point-sign": "binary point after the mantissa\u2019s sign bit",
    "point-hidden": "binary point after that bit",
    "point-before-one": "binary point before the hidden one",
    "point-after-one": "binary point after the hidden one",
    "point-before-digit": "binary point before the first digit",
    "point-after-digit": "binary point after the first digit",
    "point-fixed": "binary point before the last {places}",
    "point-none": "none: whole numbers",
    "normal": "first two bits differ; \u22121, \u22122, \u22124 have the mantissa 1.000\u2026",
    "sign": "0 plus, 1 minus",
    "infinities": "exponent all 1s: infinity, or not a number",
    "one nan": "all 1s: not a number; no infinities",
    "none": "none: every pattern is a number",
    "bits": "{bits} bits",
    "overflow word": "the word overflow, and no bits",
    "overflow largest": "the end of the range is written",
    # A code of whole numbers, and what it makes of the first bit
    "two's complement": "two\u2019s complement: the first bit weighs \u2212{top}",
    "unsigned": "unsigned: every place counts positive",
    "sign and magnitude": "sign and magnitude: the first bit is the sign",
    "ones' complement": "ones\u2019 complement: a negative has every bit inverted",
    "excess": "excess-{excess}: that is added before a number is written",
}
#: The card of mantissa and exponent, told on a paper in sentences; the boxes drawn beside it have a wedge and a tray.
CARD_SENTENCES: Final = {
    "fields": "{mantissa} bits for the mantissa, then {exponent} for the exponent, both in two\u2019s complement.",
    "fields-first": (
        "{exponent} bits for the exponent, then {mantissa} for the mantissa, both in two\u2019s complement."
    ),
    "point": "The black wedge is the binary point.",
    "point-table": "The thick line is the binary point.",
    "normal": (
        "A number is normalised when its first two bits differ; "
        "\u22121, \u22122, \u22124 have the mantissa 1.000\u2026"
    ),
    "zero": "Zero is {zero}.",
    "tray": (
        "Bits that fall off the right go in {tray} and are cut; "
        "an extra sign place goes in the dashed box. Not every box is needed."
    ),
    "tray-rounded": (
        "Bits that fall off the right go in {tray} and count for rounding ({rounding}); "
        "an extra sign place goes in the dashed box. Not every box is needed."
    ),
}
TRAYS: Final = {"drawn": "the hatched tray", "table": "the tray"}

# === Beside the boxes ===

BOXES: Final = {
    "spare": "Use this line for",
    "how": "Dark pen or soft pencil; a 0 without a stroke. Never write over a bit: use the spare line.",
    "number": "Your number: a cross in each row",
    "spare line": "spare line",
    "moved": "term {number}: the row moved",
    "total": "term {number}: the total",
    "answer-normalised": "answer, normalised",
    "answer-or-overflow": "answer, or overflow",
    "ready": "normalised operand",
    "invert": "inverted",
    "carries": "carries, optional",
    "carries-short": "carries",
    "empty": "{label}: empty boxes, {counts}.",
    "for-field": "{bits} for the {name}",
    "for-tray": "{bits} for bits that fall",
    "for-sign": "one in front for an extra sign place",
    "rail": "A rail of boxes: {said}.",
    "marks": "Marks on this side",
    "side": "Variant {variant}, side {side} of {last}.",
    "weights": "The place values are on side 1.",
    "begin": "Write one bit in each box. Show every line.",
    "begin-marked": "Write one bit in each box. Show every line: each is marked from the line you wrote above it.",
}
