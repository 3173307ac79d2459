"""The catalogue of words: what every sentence of a working says, by its key.

A field in braces is a fact; what it may ask for is in `said.py`. Keys begin with the line they stand on; titles of
steps begin with "title". Numbers and bits come from the facts, never from here.
"""

from __future__ import annotations

from typing import Final

from chalkpoint.working.wording.words_end import ENDING
from chalkpoint.working.wording.words_parts import Catalogue, Parts, led
from chalkpoint.working.wording.words_values import EQUAL, INVERT_ADD, NO_BITS, VALUES

__all__ = ["IN_PARTS", "WORDS"]

TITLES: Final = {
    "title.read": "Read",
    "title.ready": "Normalise the operands",
    "title.align": "Match the exponents",
    "title.spare": "Make a spare place",
    "title.negate": "Negate {operand:the}",
    "title.negate.mantissa": "Negate the mantissa",
    "title.negate.faulty": "Negate",
    "title.add": "Add",
    "title.repair": "Repair the overflow",
    "title.normalise": "Normalise",
    "title.cut": "Cut to {width} bits",
    "title.cut.round": "Round to {width} bits",
    "title.cut.faulty": "Bring it to its width",
    "title.range.write": "Write the exponent",
    "title.range.overflow": "Overflow",
    "title.range.underflow": "Underflow",
    "title.zero": "Zero",
    "title.exponents.multiply": "Add the exponents",
    "title.exponents.divide": "Subtract the exponents",
    "title.product": "Multiply the mantissas",
    "title.product.sizes": "Multiply the sizes",
    "title.quotient": "Divide the sizes",
    "title.sign": "Give it its sign",
    "title.by-zero": "Divide by zero",
    "title.take-away": "Take away",
    "title.multiply": "Multiply",
    "title.divide": "Divide",
    "title.cut.places": "Cut",
    "title.round.places": "Round",
    "title.fits": "Fit",
}

INTO_TRAY: Final = "What passes the last place falls into the tray."
PRODUCT_PLACES: Final = "{operand_places} places and {operand_places} places make {product_places}."

ADDING: Final[Catalogue] = {
    "belief": "{belief}",
    # Read
    "read.stored": "{operand:The}, {asked}, is stored as {kept}: it is {gone} off before the working starts.",
    "read.past": "{operand:The}, {asked}, is past the range of {format}: it has no pattern there.",
    "read.past-so": "So the answer is overflow.",
    "read.both": "Both are normalised: the first two bits differ.",
    "read.neither": "Neither is normalised: the first two bits are alike.",
    "read.loose": "{operand:The} is not normalised: the first two bits are alike.",
    "read.zero": "{operand:The} is zero: its mantissa is all 0s.",
    "read.exponents": "The exponents are {first_exponent} and {second_exponent}.",
    "read.exponent": "The exponent of {operand:the} is {exponent}.",
    "read.one-zero": "The mantissa is all 0s, so this is zero.",
    "read.one-normalised": "The first two bits differ, so it is normalised.",
    "read.one-loose": "The first two bits are alike, so it is not normalised.",
    "read.whole": "The first is {first}, the second {second}.",
    "ready": Parts(
        "Move the digits left until the first two differ, and take the number of places from the exponent",
        ". ",
        "",
        "0s come in on the right, so the value has not changed.",
    ),
    # Match the exponents
    "align.zero": (
        "{zero:The} is zero, so its exponent means nothing: it takes the other\u2019s and nothing moves."
    ),
    "align.equal": EQUAL,
    "align.move": Parts(
        "",
        "",
        "{high} \u2212 {low:bracketed} = {apart}",
        ", so move {moved:the}\u2019s digits right {apart:place}.",
    ),
    "align.copy": "Copy the sign bit into the new place.",
    "align.copys": "Copy the sign bit into the new places.",
    "align.copy-extra": "Its sign, {sign}, is in the extra sign place: everything moves right behind it.",
    "align.every-cut": "Every digit is kept: the cut comes at the end.",
    "align.every-rounded": "Every digit is kept: the rounding comes at the end.",
    "align.guard": "One guard bit is kept past the last place.",
    "align.guards": "{guard:guard bit} are kept past the last place.",
    "align.lost": INTO_TRAY,
    "align.lost-size": "What passes the last place is cut from the size, so the number moves toward zero.",
    "align.lost-0s": "Only 0s pass the last place, so nothing is lost.",
    "align.only-signs": "A shift as far as this leaves only copies of the sign bit, worth nothing.",
    "align.only-signs-minus": (
        "A shift as far as this leaves only copies of the sign bit, worth minus one unit in the last place."
    ),
    "align.nothing-left": "Nothing of its size is left: it is 0.",
    "spare": "Move both right one place more and raise the exponent by 1, so that the sum is sure to fit.",
    "spare.lost": INTO_TRAY,
    # Negate
    "negate.taken": ("Taking away is adding the opposite: invert every bit, then add one in the last place."),
    "negate.invert": INVERT_ADD,
    "negate.exponent": "The exponent is left alone.",
    "negate.zero": "Zero is its own opposite: the carry runs out on the left.",
    "negate.extra": "{mantissa} has no opposite in {width} bits, so one extra sign place is written.",
    # Add
    "add.carries": "Carries stand above their columns.",
    "add.none": "No column carries.",
    "add.sign-only": "Only the sign column carries.",
    "add.extra": "The extra sign place takes part too.",
    "add.agrees": "It agrees with the sign bit, so the sum fits the mantissa.",
    "add.extra-dropped": "The carry out of the extra sign place is dropped.",
    "add.overflow": (
        "The extra sign place differs from the sign bit, so the sum does not fit the mantissa: mantissa overflow."
    ),
    "add.dropped": "The carry out of the sign place is dropped.",
    "add.opposite": "A positive and a negative cannot overflow.",
    "add.negatives": "The sum of two negatives is negative here, so it fits.",
    # Below the line
    "repair": "Move everything right one place behind its true sign, {sign}, and raise the exponent by 1.",
    "repair.lost": "A 1 falls into the tray.",
    "repair.kept": "Nothing is lost.",
    "repair.point": Parts(
        "Move the point left {places:place}, so that one sign place is enough, and raise the exponent by {places}",
        ". ",
        "",
        "No digit is lost.",
    ),
    "normalise.one": Parts(
        "The first two bits are alike, so move the digits left 1 place and take 1 from the exponent",
        ". ",
        "",
        "A 0 comes in on the right.",
    ),
    "normalise.more": Parts(
        "The first {alike} bits are alike, so move the digits left {places:place} and take {places} from the exponent",
        ". ",
        "",
        "0s come in on the right.",
    ),
    "normalise.back": (
        "The exponent cannot go below {exponent}: an underflow. This course leaves the answer un-normalised: "
        "move the digits right {back:place} and add {back} to the exponent. No digit is cut yet."
    ),
    "cut.lost-0s": "Keep the first {width} bits: only 0s are cut, so nothing is lost.",
    "cut.lost": Parts("Keep the first {width} bits", ". ", "", "The rest fall into the tray."),
    "cut.size": Parts(
        "Keep {width} bits", ". ", "", "The number is negative: cut its size, so that it moves toward zero."
    ),
    "cut.nearest": "Keep {width} bits, rounded to the nearest; a tie goes to the pattern that ends in 0.",
    "cut.nearest-away": "Keep {width} bits, rounded to the nearest; a tie goes away from zero.",
    "cut.above": "This time that is the one above.",
    "cut.below": "This time that is the one below.",
    "range.past": "The exponent would be {exponent}, past the highest, {highest}.",
    "range.end-positive": "This format then writes its largest number.",
    "range.end-negative": "This format then writes its most negative number.",
    "range.over": Parts(
        "The exponent would be {exponent}, and the highest that {bits} bits hold is {highest}",
        ". ",
        "",
        NO_BITS,
    ),
    "range.under": Parts(
        "The exponent would be {exponent}, and the lowest that {bits} bits hold is {lowest}",
        ". ",
        "",
        "The answer is the word underflow; no bits are written.",
    ),
    "range.zero": "Every bit of the {row} is 0.",
    "range.below": "The exponent would be {exponent}, below the lowest, {lowest}: an underflow.",
    "range.to-zero": "This course writes zero.",
    "range.kept": (
        "The exponent cannot go below {lowest}: an underflow. "
        "This course moves the digits back to the right and leaves the answer un-normalised."
    ),
    "zero.lowest": "Zero has no normal form; it is written with the lowest exponent.",
    "zero.plain": "Zero has no normal form; it is written with exponent {zero_exponent}.",
    "zero.kept": "Zero has no normal form; it is written with exponent {zero_exponent}, which is kept for zero.",
}

MULTIPLYING: Final[Catalogue] = {
    "exponents.multiply-both": Parts("", "", "{first} + {second:bracketed} = {exponent}"),
    "exponents.multiply-zero": "A factor is 0, so the product is 0 whatever the exponents.",
    "exponents.divide-both": Parts("", "", "{first} \u2212 {second:bracketed} = {exponent}"),
    "exponents.divide-zero": "The dividend is 0, so the quotient is 0 whatever the exponents.",
    "product": Parts("", "", "{first:(fraction)} × {second:(fraction)} = {product:fraction}"),
    "product.places": PRODUCT_PLACES,
    "product.zero": "A factor is 0, so the product is 0.",
    "product.sizes": "Multiply the sizes, a row for each 1.",
    "product.rows": "There is a row for each 1 of the second.",
    "product.positive": "The signs are alike, so the product is positive.",
    "product.negative": "The signs differ, so the product is negated.",
    "product.overflow": "The product does not fit behind one sign place: mantissa overflow.",
    "quotient": (
        "Divide to a few places more than the mantissa has: "
        "{dividend:divided fraction} ÷ {divisor:divided fraction}."
    ),
    "quotient.how": (
        "Take the divisor away in the highest place where it goes, write a 1 there, and go on with what is left."
    ),
    "quotient.zero": "The dividend is 0, so the quotient is 0.",
    "quotient.goes-on": "The division leaves a remainder, so the digits go on.",
    "product.left-out": "That makes {rows} rows, too many to write here: only what they come to is written.",
    "quotient.left-out": "It goes {takes} times, too often to write each here: only the quotient is written.",
    "sign.alike": "The signs are alike, so the quotient is positive.",
    "sign.differ": "The signs differ, so the quotient is negative: negate it.",
    "sign.zero": "0 has no sign to be given.",
    "by-zero.both": (
        "Any number times 0 gives 0, so there is no one answer: this format answers with its largest number."
    ),
    "by-zero": (
        "Nothing times 0 gives the dividend: this format answers with the end of its range, "
        "of the dividend\u2019s sign."
    ),
}

WHOLE: Final[Catalogue] = {
    "whole.carry-overflow": "A carry leaves the first column, and there is no place for it: overflow.",
    "whole.carry-none": "No carry leaves the first column, so the sum fits.",
    "whole.extra-overflow": (
        "The extra sign place differs from the sign bit, so the sum does not fit: overflow."
    ),
    "whole.dropped": "A carry leaves the sign place and is dropped.",
    "whole.no-carry": "No carry leaves the sign place.",
    "whole.zero": "Adding 0 changes nothing, so the sum fits.",
    "whole.positives": "Two positives have given a positive, so the sum fits.",
    "whole.negatives": "Two negatives have given a negative, so the sum fits.",
    "whole.positives-overflow": (
        "Two positives have given a negative: overflow. It is the signs that tell, not the carry."
    ),
    "whole.negatives-overflow": (
        "Two negatives have given a positive: overflow. It is the signs that tell, not the carry."
    ),
    "whole.borrow": "Take away column by column; where a column is too small, borrow from its left.",
    "whole.below-0": "The number taken away is the larger, and no pattern here is below 0: overflow.",
    "whole.sizes": "Work with the sizes.",
    "whole.product": (
        "Write {operand:the} once for each 1 of {by:the}, moved to that 1\u2019s place, and add."
    ),
    "whole.product-0": "The product is 0.",
    "whole.alike": "The signs are alike: positive.",
    "whole.differ": "The signs differ: negative.",
    "whole.cut": "Keep {places:place} after the point; the rest falls into the tray.",
    "whole.cut-size": "Keep {places:place} after the point, cutting the size; the rest falls into the tray.",
    "whole.cut-0s": "Keep {places:place} after the point: only 0s are cut, so nothing is lost.",
    "whole.nearest": (
        "Keep {places:place} after the point, rounded to the nearest; a tie goes to the pattern that ends in 0."
    ),
    "whole.nearest-away": (
        "Keep {places:place} after the point, rounded to the nearest; a tie goes away from zero."
    ),
    "whole.fits": "The answer fits {bits} bits.",
    "whole.too-long": "The answer needs {needed} bits, and there are {bits}: overflow.",
    "whole.quotient-0": "The quotient is 0.",
    "whole.goes-no-time": "The divisor does not go into {dividend} in any place that is written, so the quotient is 0.",
    "whole.remainder": "The remainder is {left}.",
}

CODES: Final[Catalogue] = {
    "title.codes.around": "End-around carry",
    "title.codes.excess": "Excess",
    "codes.read": "The numbers are {first} and {second}.",
    "codes.negate-ones": "Invert every bit: in ones\u2019 complement that is the opposite.",
    "codes.negate-sign": "Change the sign bit, and no other; then add.",
    "codes.add": led("Add the codes", "{first} + {second} = {total}", ". Now the excess is in twice."),
    "codes.leaves": "A carry leaves the sign place: it is not dropped here.",
    "codes.stays": "No carry leaves the sign place, so none is brought round.",
    "codes.zero-too": "A row of 1s is zero too.",
    "codes.alike": led(
        "The signs are alike, so add the sizes and keep the sign", "{first} + {second} = {total}"
    ),
    "codes.too-long": "That needs more than {digits} digits: overflow.",
    "codes.word": NO_BITS,
    "codes.equal": "The signs differ and the sizes are equal, so the answer is 0.",
    "codes.differ": led(
        "The signs differ, so take the smaller size from the larger, and give it the sign of the larger",
        "{large} \u2212 {small} = {total}",
    ),
    "codes.around": "Bring the carry round: take it away in front, and add it in the last place.",
    "codes.positives": "Two positives have given a negative: overflow.",
    "codes.negatives": "Two negatives have given a positive: overflow.",
    "codes.take-away": led(
        "Take one code from the other",
        "{first} \u2212 {second} = {total}",
        ". The excess was in both, so it is gone.",
    ),
    "codes.excess-off": led("Take the excess off once", "{before} \u2212 {excess} = {after}"),
    "codes.excess-back": led("Put the excess back", "{before:bracketed} + {excess} = {after}"),
    "codes.hold": "{bits} bits hold codes from 0 to {highest}.",
    "codes.answer": "In {bits} bits that is the answer.",
}

_ALL: Final[Catalogue] = TITLES | ADDING | MULTIPLYING | WHOLE | CODES | VALUES | ENDING
#: Every sentence whole.
WORDS: Final = {key: words.whole if isinstance(words, Parts) else words for key, words in _ALL.items()}
#: Those of which a part is used alone.
IN_PARTS: Final = {key: words for key, words in _ALL.items() if isinstance(words, Parts)}
