"""What a teacher says: the catalogue of spoken sentences, keyed by what they tell.

Numbers stand in figures, which captions show and the voice reads digit by digit after the point; single bits of a
column are said as words. A sentence is short enough for one breath, and one that can be left out tells nothing
that the others need.
"""

from __future__ import annotations

from collections.abc import Mapping

from chalkpoint.working.speech import say_count

__all__: list[str] = []

# === The question ===

ASKED = {
    "add": "{first} plus {second}.",
    "subtract": "{first} take away {second}.",
    "multiply": "{first} times {second}.",
    "divide": "{first} divided by {second}.",
    "normalise": "Normalise {first}.",
    "negate": "Change the sign of {first}.",
    "decode": "What number is {first}?",
    "encode": "Write {first} in {format}.",
    "error": "What does it cost to store {first} in {format}?",
}
ASKED_OTHERWISE = "{title}."
ESTIMATED = {
    "add": "Before any bits: about {first} plus {second}, so expect about {about}.",
    "subtract": "Before any bits: about {first} take away {second}, so expect about {about}.",
    "multiply": "Before any bits: about {first} times {second}, so expect about {about}.",
    "divide": "Before any bits: about {first} divided by {second}, so expect about {about}.",
}
FORMAT = "In {format}: {mantissa} bits of mantissa, {exponent} of exponent."

# === Reading ===

HERE_THEY_ARE = "Here they are in bits."
HERE_IT_IS = "Here it is in bits."
EXPONENTS_ARE = "The first has exponent {first}; the second has exponent {second}."
BOTH_NORMALISED = "Both are normalised: their first two bits differ."
STORED = "{name}, {given}, cannot be kept exactly: it is stored as {stored}."

# === Matching the exponents ===

MUST_MATCH = "The columns are not worth the same yet. Before we add, the exponents must match."
SMALLER_RISES = "The smaller one gives way: {low} has to become {high}."
SO_MOVE = "Up by {places}. So every digit moves {places_words} right."
WHICH_FALL = "Which bits will fall off the end?"
WHAT_FILLS = "What will fill the gap on the left?"
SIGN_FILLS = "The sign bit, a {sign}, is copied into the gap."
INTO_TRAY = "{lost} fell into the tray, worth {worth}."
ONLY_NOUGHTS = "Only noughts fell off the end, so nothing is lost."
HAS_BECOME = "So {before} has become {after}."
STILL = "The value has not changed: it is still {after}."
ALREADY_MATCH = "The exponents are equal already, so nothing has to move."
ZERO_TAKES = "One of them is zero. Its exponent means nothing, so it takes the other's, and nothing moves."
ONLY_SIGN_LEFT = "It moved so far that only copies of the sign bit are left."

# === Negating ===

ADD_OPPOSITE = "Taking away is adding the opposite, so turn the second into its opposite."
OPPOSITE = "For the opposite, do two things."
INVERT = "First, invert every bit: noughts become ones, ones become noughts."
ADD_ONE = "Then add one, in the last place."
ADD_ONE_CARRY = "Then add one, in the last place. One and one: nought, carry one."
CARRY_RUNS = "The carry runs on through {places_words}, and stops at the first nought."
CARRY_RUNS_OUT = "The carry runs all the way, and out on the left."
MAKES = "That makes {value}."
EXTRA_PLACE = "Minus one has no opposite here: plus one does not fit. So we write one extra sign place."

# === Adding ===

NOW_ADD = "Now add the two, from the right."
COLUMN = "{terms}: {digit}{carry}."
CARRY_ONE = ", carry one"
AND_SAME = "The same again."
NEXT_ALIKE = "The same in the next {count} columns."
ON_AND_ON = "And so on, all the way to the left."
DROP_CARRY = "A carry comes out of the sign place."
MIXED_FIT = "A positive and a negative cannot overflow, so we drop it."
NEGATIVES_FIT = "Two negatives gave a negative, so it fits, and we drop the carry."
OVERFLOWS = "The sign has come out wrong: the sum is too big for the mantissa. That is an overflow, and we can mend it."
SUM_IS = "The sum is {value}."

# === Mending, normalising, cutting ===

MEND = "Move everything one place right, behind the true sign, and put 1 on the exponent."
ALIKE = "Look at the first two bits. They are alike, so it is not normalised."
HOW_FAR = "How many places, and which way?"
MOVE_LEFT = (
    "{places_words_capital} left, until they differ. And {places} off the exponent: {high} becomes {low}."
)
AS_EXPECTED = "{value}: close to the {about} we expected."
LEFT_VALUE = "The number is the same: {value}."
NOT_READY = "Not normalised yet: the first two bits are alike. Move left until they differ."
CUT_LOSS = "Only {bits} bits fit. The rest falls into the tray, worth {worth}."
CUT_CLEAN = "Only {bits} bits fit, and all that is cut is noughts. Nothing is lost."
ROUNDED_UP = "Only {bits} bits fit. We round up, which adds {worth}."
IN_RANGE = "The exponent fits, so this is the answer."

# === Multiplying and dividing ===

ADD_EXPONENTS = "To multiply, add the exponents: {first} and {second} make {sum}."
TAKE_EXPONENTS = "To divide, take one exponent from the other: {first} take away {second} is {sum}."
MULTIPLY = "Then multiply the mantissas, every place of them."
LONG_PRODUCT = "{places} places and {places} places make {both}."
DIVIDE = "Then divide the sizes, and go on a few places past the mantissa."
LONG_QUOTIENT = "There is still a remainder, so the digits would go on."
NEGATIVE_SIGN = "The signs differ, so the answer is negative: negate it."

# === Checking ===

NOW_CHECK = "Now check, in decimal."
EXACT_IS = "The exact answer is {exact}."
WE_AGREE = "And that is what we have: right to the last bit."
WE_DIFFER = "We have {value}: {over_or_under} by {gap}."
WHERE_GONE = "Where has it gone?"
IN_TRAY = "Look in the tray: {worth}."
CLOSES = "It closes the gap exactly. The bits we lost are the error."
CLOSES_ALL = "Together they close the gap exactly. The bits we lost are the error."
NEAREST_ANYWAY = "No pattern comes any nearer, so this is the best the format can do."

# === Summing up ===

AND_TRAY = " And watch the tray."
VERBS: Mapping[str, str] = {
    "operands": "normalise both",
    "align": "match",
    "spare": "make room",
    "negate": "negate",
    "add": "add",
    "repair": "mend the overflow",
    "normalise": "normalise",
    "exponents": "see to the exponents",
    "product": "multiply",
    "quotient": "divide",
    "sign": "give it its sign",
    "cut": "cut",
}

BITS = {"0": "nought", "1": "one"}


def count(number: int) -> str:
    """Return a count in words as far as twelve."""
    return say_count(number, none="no")


def places(number: int) -> str:
    """Return "one place", "two places".

    >>> places(1), places(13)
    ('one place', '13 places')
    """
    return f"{count(number)} place{'' if number == 1 else 's'}"


def capital(sentence: str) -> str:
    """Return *sentence* with a capital letter in front."""
    return sentence[:1].upper() + sentence[1:]


def listed(words: list[str]) -> str:
    """Return words in a row: "one", "one and nought", "one, nought and one".

    >>> listed(["one", "nought", "one"])
    'one, nought and one'
    """
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1]))) if words else ""
