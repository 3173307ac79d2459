"""Words of reading, storing, changing and bounding single numbers, and of arithmetic on sizes, by key."""

from __future__ import annotations

from typing import Final

from chalkpoint.working.wording.words_parts import Catalogue, Parts, led

__all__ = ["VALUES"]

# === What several lines say alike ===

EQUAL: Final = "The exponents are equal, so nothing moves."
INVERT_ADD: Final = "Invert every bit, then add one in the last place."
NEGATIVE: Final = "The value is negative: invert every bit, then add one in the last place."
NEGATIVE_ENDLESS: Final = (
    "The value is negative: invert every bit. The digits never end, so no place is the last to add one in."
)
UNSIGNED_LESS_EXCESS: Final = led(
    "Read it as unsigned, {bits:bits} = {unsigned}, and take away the excess",
    "{code} \u2212 {excess} = {true}",
)
PAST_HIGHEST: Final = "The exponent {exponent} is past the highest, {highest}."
NO_BITS: Final = "The answer is the word overflow; no bits are written."
NEGATIVE_LEADS: Final = "Its leading bit is 1, so it is negative"
POSITIVE_LEADS: Final = "Its leading bit is 0"
IMPLIED_WEIGHS: Final = "The leading bit weighs \u22122, then 1, 1/2 and so on"
SIGN_WEIGHS: Final = "The leading bit weighs \u22121, then 1/2, 1/4 and so on"
EVERY_PLACE: Final = "Every place counts positive"
LEADING_WEIGHS: Final = "The leading bit weighs {top}"
ALONE: Final = ", so this is "
POINT_BEHIND_SIGN: Final = (
    "Move the point until it stands behind the sign bit and the first two digits differ"
)
POINT_BEHIND_NEXT: Final = (
    "Move the point until it stands behind the digit after the sign bit and the first two digits differ"
)
NO_PLACE: Final = "it is there already, so the exponent is {exponent}."
TO_THE_LEFT: Final = "{places:place} to the left, so the exponent is {exponent}."
TO_THE_RIGHT: Final = "{places:place} to the right, so the exponent is {exponent}."
POINT_BY_FIRST_1: Final = "Move the point until it stands {which:part} the first 1"
AT_THE_HIGHEST: Final = "the exponent is the highest, {exponent}."
AT_THE_LOWEST: Final = "the exponent is the lowest, {exponent}."
ABOUT_THE_SIZE: Final = "The rest is about the size."
WITH_STORED: Final = "With the stored exponents: "

# === By key ===

TITLES: Final[Catalogue] = {
    "title.exponent": "Read the exponent",
    "title.mantissa": "Read the mantissa",
    "title.scale": "Scale",
    "title.weigh": "Read the bits",
    "title.point": "Place the point",
    "title.size": "Write the size",
    "title.code": "Write the bits",
    "title.store.fit": "Fit {width} bits",
    "title.store.fit-faulty": "Fit the mantissa",
    "title.absolute": "Absolute error",
    "title.relative": "Relative error",
    "title.extreme": "{which}",
    "title.read.sign": "Read the sign",
    "title.read.size": "Read the size",
    "title.special": "Special value",
    "title.specials": "Special values",
    "title.write.sign": "Write the sign",
    "title.write.fields": "Write the fields",
    "title.unpack": "Unpack",
    "title.flip": "Change the sign",
    "title.combine": "Combine",
    "title.sign.of": "Sign",
    "title.renormalise": "Renormalise",
    "title.round": "Round",
    "title.fit.digits": "Fit {digits} digits",
    "title.round.digits": "Round to {digits} digits",
    "title.pack": "Pack",
}

READING: Final[Catalogue] = {
    "exponent.excess": UNSIGNED_LESS_EXCESS,
    "exponent.for-zero": "The exponent {bits:bits} is kept for zero: it means nothing else.",
    "exponent.negative.weights": led(NEGATIVE_LEADS, "{bits:bits} = {weights} = {exponent}"),
    "exponent.negative.equals": led(NEGATIVE_LEADS, "{bits:bits} = {exponent}"),
    "exponent.leading-0.weights": led(POSITIVE_LEADS, "{bits:bits} = {weights} = {exponent}"),
    "exponent.leading-0.equals": led(POSITIVE_LEADS, "{bits:bits} = {exponent}"),
    "exponent.weights": Parts("", "", "{bits:bits} = {weights} = {exponent}"),
    "exponent.equals": Parts("", "", "{bits:bits} = {exponent}"),
    "exponent.subnormal": led(
        "The stored exponent is 0, which hides no 1 and counts as 1", "1 \u2212 {excess} = {exponent}"
    ),
    "mantissa.implied": "The second bit is not written: it is the opposite of the sign bit, {implied}.",
    "mantissa.implied-weights": Parts(IMPLIED_WEIGHS, ALONE, "", "{weights}."),
    "mantissa.implied-weights-sum": led(IMPLIED_WEIGHS, "{weights} = {value:fraction}"),
    "mantissa.weights": Parts(SIGN_WEIGHS, ALONE, "", "{weights}."),
    "mantissa.weights-sum": led(SIGN_WEIGHS, "{weights} = {value:fraction}"),
    "faulty.exponent": "The exponent is then {exponent}.",
    "faulty.mantissa": "The mantissa is then {mantissa}.",
    "faulty.value": "The value is then {value}.",
    "faulty.size": "The size is then {size:bits}.",
    "scale": Parts("", "", "{mantissa:fraction} × 2^{power} = {value}"),
    "scale.right": ("The point moves {places:place} right, with 0s on the right where places are missing."),
    "scale.left": (
        "The point moves {places:place} left, with the sign bit on the left where places are missing."
    ),
    "scale.zero": "The mantissa is 0, so the value is 0 whatever the exponent.",
    "weigh.excess": UNSIGNED_LESS_EXCESS,
    "weigh.plus": Parts(
        "The first bit is the sign, plus; the rest is the size", ", ", "", "{weights}: {number}."
    ),
    "weigh.minus": Parts(
        "The first bit is the sign, minus; the rest is the size", ", ", "", "{weights}: {number}."
    ),
    "weigh.ones": Parts(
        "The first bit is 1, so it is negative: invert every bit",
        ", ",
        "{turned:bits} = {size}",
        ", and put a minus: {number}.",
    ),
    "weigh.minus-zero": "The sign bit is 1 and the size is 0: this is \u22120, a second zero.",
    "weigh.ones-zero": "Every bit is 1; inverted, every bit is 0: this is \u22120, a second zero.",
    "weigh.unsigned": led(EVERY_PLACE, "{weights} = {number}"),
    "weigh.unsigned-alone": Parts(EVERY_PLACE, ALONE, "", "{weights}."),
    "weigh.signed": led(LEADING_WEIGHS, "{weights} = {number}"),
    "weigh.signed-alone": Parts(LEADING_WEIGHS, ALONE, "", "{weights}."),
    "point.fixed": led("The point stands before the last {places:place}", "{number} ÷ {unit} = {value}"),
    "sign.plus": "The sign bit is 0: plus.",
    "sign.minus": "The sign bit is 1: minus.",
    "special.infinity": "The exponent is all 1s and the fraction all 0s: this is an infinity.",
    "special.nan": "The exponent is all 1s and the fraction is not 0: this is not a number.",
    "special.one-nan": "Every bit after the sign is 1: this is not a number.",
    "size.none": "Every digit is 0.",
    "size.all": led("All digits are written", "{size:bits} = {value:fraction}"),
    "size.hidden": led("Put the hidden 1 back in front of the fraction", "{size:bits} = {value:fraction}"),
    "size.subnormal": led(
        "No 1 is hidden here, so a 0 stands in front of the fraction", "{size:bits} = {value:fraction}"
    ),
    "scale.plus": Parts("", "", "{size:fraction} × 2^{power} = {value}"),
    "scale.minus": Parts("", "", "\u2212{size:fraction} × 2^{power} = {value}"),
    "scale.point-right": "The point moves {places:place} right.",
    "scale.point-left": "The point moves {places:place} left.",
    "scale.nothing": "The size is 0, so the value is 0 whatever the exponent.",
    "scale.minus-nothing": "The size is 0, so the value is \u22120 whatever the exponent.",
}

STORING: Final[Catalogue] = {
    "store.zero": "The value is 0, so the mantissa is all 0s.",
    "store.nothing-left": "Nothing of the value is left, so the mantissa is all 0s.",
    "size.whole": "Write {size} in binary.",
    "size.endless": "The digits never end.",
    "size.signed": "Write {size} in fixed-point binary, with a 0 in front for the sign.",
    "size.fixed": "Write {size} in fixed-point binary.",
    "size.endless-more": "The digits never end; a few more are written than will fit.",
    "store.negate": NEGATIVE,
    "store.negate-endless": NEGATIVE_ENDLESS,
    "store.negate-kept": (
        "The value is negative: invert every bit of what was kept, then add one in the last place."
    ),
    "store.half": (
        "The first two bits would be alike, so \u22121/2 is written \u22121.0 with an exponent one less."
    ),
    "store.point-none": led(POINT_BEHIND_SIGN, "", NO_PLACE),
    "store.point-left": led(POINT_BEHIND_SIGN, "", TO_THE_LEFT),
    "store.point-right": led(POINT_BEHIND_SIGN, "", TO_THE_RIGHT),
    "store.point-implied-none": led(POINT_BEHIND_NEXT, "", NO_PLACE),
    "store.point-implied-left": led(POINT_BEHIND_NEXT, "", TO_THE_LEFT),
    "store.point-implied-right": led(POINT_BEHIND_NEXT, "", TO_THE_RIGHT),
    "store.stopped-none": (
        "Leave the point where it is: the lowest exponent, {exponent}, allows no further move, an underflow. "
        "This course leaves the pattern un-normalised."
    ),
    "store.stopped-right": (
        "Move the point {places:place} to the right, as far as the lowest exponent, {exponent}, allows: an "
        "underflow. This course leaves the pattern un-normalised."
    ),
    "store.fill": "Fill {short:place} on the right with 0s: nothing is lost.",
    "store.full": "Every place is used: nothing is lost.",
    "store.cut": "Keep the first {width} bits; the rest fall into the tray, which takes the value down.",
    "store.cut-size": "Keep the first {width} bits of the size; the rest fall into the tray.",
    "store.exponent": led("Write {exponent} in {bits} bits of two\u2019s complement", "", "{code:bits}."),
    "store.exponent-excess": led(
        "Add the excess, {excess}, and write {stored} in {bits} bits", "", "{code:bits}."
    ),
    "store.implied": "The bit after the sign bit is implied, and is not written.",
    "store.past": PAST_HIGHEST,
    "store.end": "This format then writes the end of its range.",
    "store.below": "The exponent {exponent} is below the lowest, {lowest}.",
    "store.unnormalised": "This course leaves the pattern un-normalised.",
    "fit.cut": "Keep {places:place} after the point: the pattern is cut, toward minus infinity.",
    "fit.cut-of-size": "Keep {places:place} after the point: the pattern is cut, toward zero.",
    "fit.negative": NEGATIVE,
    "fit.negative-endless": NEGATIVE_ENDLESS,
    "fit.with-excess": led("The value is negative, so add the excess first", "{asked} + {excess} = {raised}"),
    "fit.cut-size": "Keep {places:place} after the point: the size is cut.",
    "fit.nearest": (
        "Keep {places:place} after the point: rounded to the nearest, ties to the size that ends in 0."
    ),
    "fit.nearest-away": "Keep {places:place} after the point: rounded to the nearest, ties away from zero.",
    "code.past": "{format} holds {low} to {high}: overflow.",
    "code.none": "No bits are written.",
    "code.end": "The end of the range is written.",
    "code.excess": Parts(
        "Add the excess", ", ", "{number} + {excess} = {code}", ", and write it in {bits} bits."
    ),
    "code.fill": "Fill {bits} bits with 0s on the left.",
    "code.fill-sign": "Fill {bits} bits with copies of the sign bit on the left.",
    "code.nothing": "What was kept is 0, which is written without its minus.",
    "code.full": "Its digits fill all {bits} bits.",
    "code.sign": "The value is negative, so the first bit is 1.",
    "code.ones": "The value is negative: invert every bit.",
    "code.twos": NEGATIVE,
    "absolute": led(
        "What was asked for less what is stored",
        "{exact} \u2212 {stored:bracketed} = {missed}",
        ". The absolute error is its size, {size}.",
    ),
    "relative": led(
        "The absolute error divided by the size of the true value",
        "{size:divided} ÷ {true:divided} = {ratio}, {ratio:percent}",
    ),
    "store.size-zero": "Zero has a pattern of its own, with no 1 in its size.",
    "store.positive": Parts("The value is positive, so the sign bit is 0", ". ", "", ABOUT_THE_SIZE),
    "store.negative": Parts("The value is negative, so the sign bit is 1", ". ", "", ABOUT_THE_SIZE),
    "store.size-none": led(POINT_BY_FIRST_1, "", NO_PLACE),
    "store.size-left": led(POINT_BY_FIRST_1, "", TO_THE_LEFT),
    "store.size-right": led(POINT_BY_FIRST_1, "", TO_THE_RIGHT),
    "store.subnormal": (
        "The exponent stops at the lowest, {exponent}, before the point stands {which:part} the first 1: "
        "the number is subnormal."
    ),
    "store.all-fit": "Every digit fits: nothing is lost.",
    "store.grows": "This time the size grows by one unit in the last place.",
    "store.stays": "This time the size stays as it is.",
    "store.carried": "The carry makes a further digit, so the exponent grows by 1.",
    "store.word": (
        "The exponent {exponent} and this size lie past the end, at {bound}. The answer is the word {word}."
    ),
    "store.past-largest": "The number is past the largest, so {written:part} is written.",
    "store.special": "{format} has a pattern of its own for {word}.",
    "store.no-special": "{format} has no pattern for {word}: the answer is the word.",
}

CHANGING: Final[Catalogue] = {
    "opposite.none": "{pattern:bits} has no opposite in {bits} bits: overflow.",
    "opposite.end": "{pattern:bits} has no opposite in {bits} bits: the end of the range is written.",
    "opposite.invert": INVERT_ADD,
    "opposite.sign": "Only the first bit changes.",
    "opposite.ones": "Invert every bit.",
    "opposite.zero": "Zero is its own opposite.",
    "opposite.excess": "Read it, change the sign, and write it in the same code.",
    "change.sign": "Only the sign bit changes; the size has no sign of its own.",
    "change.zero": "Zero has no normal form.",
    "change.normalised": "The first digit of the size is 1, so it is normalised.",
    "change.lowest": "The exponent is the lowest already, so nothing moves.",
    "change.normalise": (
        "Move the digits left {places:place}, until the first is 1, and take {places} from the exponent."
    ),
    "change.stops": (
        "Move the digits left {places:place}, as far as the lowest exponent allows, and take {places} from the "
        "exponent."
    ),
    "extreme.whole": Parts("", "", "{bits:bits} = {value}"),
    "extreme.value": Parts("", "", "{mantissa} × 2^{exponent} = {value}"),
    "extreme.largest positive": Parts("The sign bit is 0 and every other bit is 1", "; ", "", AT_THE_HIGHEST),
    "extreme.smallest positive": Parts(
        "Normalised, a positive mantissa starts {positive}, and only 0s follow", "; ", "", AT_THE_LOWEST
    ),
    "extreme.largest negative": Parts(
        "The negative nearest to zero: normalised, it starts {negative}, and every other bit is 1",
        "; ",
        "",
        AT_THE_LOWEST,
    ),
    "extreme.most negative": Parts(
        "The sign bit is 1 and every other bit is 0, which is {least}", "; ", "", AT_THE_HIGHEST
    ),
    "size.largest positive": (
        "The highest exponent that counts as a number, {exponent}, and every digit of the size 1."
    ),
    "size.largest positive-nan": (
        "The highest exponent that counts as a number, {exponent}, "
        "and the largest size that is not kept for what is not a number."
    ),
    "size.smallest normal": "The lowest exponent, {exponent}, and the smallest size whose first digit is 1.",
    "size.smallest positive": "The lowest exponent, {exponent}, and the smallest size that is not 0.",
    "size.largest negative": "The smallest positive number with its sign changed.",
    "size.most negative": ("The largest number with its sign changed: the range is the same on both sides."),
    "size.value": Parts("", "", "{size:bits} × 2^{exponent} = {value}"),
    "size.minus-value": Parts("", "", "\u2212{size:bits} × 2^{exponent} = {value}"),
}

SIZES: Final[Catalogue] = {
    "unpack.infinity": "{operand:The}: the exponent is all 1s and the fraction all 0s, so this is an infinity.",
    "unpack.not a number": "{operand:The}: this is not a number.",
    "unpack.zero": "{operand:The}: every bit after the sign is 0, so this is zero.",
    "unpack.subnormal": (
        "{operand:The}: the stored exponent is 0, so no 1 is hidden and the exponent counts as "
        "1 \u2212 {excess}: {size:bits} × 2^{exponent}."
    ),
    "unpack.hidden": Parts(
        "",
        "{operand:The}: ",
        "{code} \u2212 {excess} = {exponent}",
        ", and with its hidden 1 the size is {size:bits}.",
    ),
    "unpack.all": Parts(
        "", "{operand:The}: ", "{code} \u2212 {excess} = {exponent}", ", and the size is {size:bits}."
    ),
    "unpack.signed": "{operand:The}: the exponent is {exponent} and the size {size:bits}.",
    "special.no-answer": "{sum} has no answer: the result is not a number.",
    "special.operand": "An operand is not a number, so the answer is not a number either.",
    "special.no-infinity": "{sum} is not a number here: {format} has no infinity.",
    "special.by-zero": "{sum}: dividing by zero makes it {word}.",
    "special.to-infinity": "{sum}: an infinity makes it {word}.",
    "special.to-zero": "{sum}: a number over infinity is zero.",
    "flip": (
        "Taking away is adding the opposite: {operand:the}\u2019s sign bit becomes {sign}, nothing else changes."
    ),
    "ready.size": "Move the digits left until the first is 1, and take the number of places from the exponent.",
    "align.size-equal": EQUAL,
    "align.size-zero": "One operand is zero, so nothing moves.",
    "align.size-places": "Three more places are written: guard, round and sticky.",
    "align.size": Parts(
        "",
        "",
        "{high} \u2212 {low:bracketed} = {apart}",
        ", so move {moved:the}\u2019s size right {apart:place}, into guard, round and sticky places.",
    ),
    "align.sticky": "A 1 passes the last of them, so the sticky place is 1.",
    "combine.alike": "The signs are alike: add the sizes and keep the sign.",
    "combine.equal-plus": "The signs differ and the sizes are equal: the difference is +0.",
    "combine.equal-minus": "The signs differ and the sizes are equal: the difference is \u22120.",
    "combine.differ": (
        "The signs differ: take the smaller size, {smaller:the}\u2019s, from the larger, "
        "and keep the larger one\u2019s sign."
    ),
    "sign.are-alike": "The signs are alike, so the sign bit of the answer is 0.",
    "sign.are-different": "The signs are different, so the sign bit of the answer is 1.",
    "exponents.stored-multiply": Parts(
        "", WITH_STORED, "{first_code} + {second_code} \u2212 {excess} = {code}"
    ),
    "exponents.stored-divide": Parts(
        "", WITH_STORED, "{first_code} \u2212 {second_code} + {excess} = {code}"
    ),
    "exponents.stored-0": "A stored exponent of 0 counts as 1.",
    "product.of-sizes": Parts("", "", "{first:bits} × {second:bits} = {product:bits}"),
    "quotient.of-sizes": "Divide to a few places more than fit: {first:bits} ÷ {second:bits}.",
    "renormalise.right": "Move the digits right {places:place}, and add {places} to the exponent.",
    "renormalise.left": "Move the digits left {places:place}, and take {places} from the exponent.",
    "renormalise.lowest": "The exponent stops at the lowest, {lowest}.",
    "renormalise.sticky": "What passes the last place is kept in the sticky place.",
    "round.0s": "Past the last place there are only 0s, so nothing is lost.",
    "round.nearest": "Round to the nearest; a tie goes to the size that ends in 0.",
    "round.nearest-away": "Round to the nearest; a tie goes to the larger size.",
    "round.toward-zero": "Round toward zero: cut the size.",
    "round.up": "Round up, toward plus infinity: what is positive grows in size, what is negative is cut.",
    "round.down": "Round down, toward minus infinity: what is negative grows in size, what is positive is cut.",
    "round.rest": "Past the last place there is {lost:bits}.",
    "round.tie": "What is past the last place, {lost:bits}, is a tie.",
    "round.more": "What is past the last place, {lost:bits}, is more than half.",
    "round.less": "What is past the last place, {lost:bits}, is less than half.",
    "round.grows": "So the size grows by one unit in the last place.",
    "round.stays": "So the size stays as it is.",
    "round.carried": "The carry makes a further digit: move right once more and add 1 to the exponent.",
    "pack.special": "The pattern is that of {kind}.",
    "pack.too-small": "The size is below the smallest that is written here: the answer is zero.",
    "pack.nothing": "The size is 0: every bit after the sign is 0.",
    "pack.signed": "Write the exponent, {exponent}, as {code:bits}, beside the sign and the size.",
    "pack.subnormal": (
        "The first digit is 0, so this is subnormal: the stored exponent is 0, and no 1 is hidden."
    ),
    "pack.hidden": "Leave out the hidden 1.",
    "pack.excess": Parts(
        "Add the excess to the exponent",
        ", ",
        "{exponent} + {excess} = {stored}",
        ", and write it as {code:bits}.",
    ),
    "pack.past-exponent": PAST_HIGHEST,
    "pack.past-size": "This size is past the largest.",
    "pack.word": NO_BITS,
    "pack.under": (
        "The number is smaller than the smallest with all its digits, at the exponent {lowest}. "
        "The answer is the word underflow; no bits are written."
    ),
    "pack.written": "With this rounding {written:part} is written.",
}

VALUES: Final[Catalogue] = TITLES | READING | STORING | CHANGING | SIZES
