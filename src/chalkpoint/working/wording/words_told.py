"""What a teacher says: the catalogue of spoken sentences, keyed by what they tell.

Numbers are written in figures, which captions show and the voice reads digit by digit after the point; single bits of a
column are said as words. A sentence is short enough for one breath, and one that can be left out tells nothing
that the others need.
"""

from __future__ import annotations

from collections.abc import Mapping

from chalkpoint.working.speech import say_count
from chalkpoint.working.wording.said import listed
from chalkpoint.working.wording.words import WORDS

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
    "range": "What are the largest and the smallest numbers of {format}?",
    "sum": "{title}, added in this order.",
    "convert": "What becomes of {first} in {target}?",
    "choose-format": "How small can a format be for all from {first} to {second}, in steps of {third} or less?",
}
ASKED_OTHERWISE = "{title}."
ESTIMATED = {
    "add": "Before any bits: about {first} plus {second}, so expect about {about}.",
    "subtract": "Before any bits: about {first} take away {second}, so expect about {about}.",
    "multiply": "Before any bits: about {first} times {second}, so expect about {about}.",
    "divide": "Before any bits: about {first} divided by {second}, so expect about {about}.",
}
EXPECTED_EASY = "In decimal that is {exact}. Now in bits."
EXPECTED_SAME = "It stands for {value}, and that must not change."
EXPECTED_OPPOSITE = "It stands for {value}, so expect {opposite}."
EXPECTED_SIGN = "Before any sums: the first bit is {bit}, so expect {sign} number."
EXPECTED_BETWEEN = "Before any bits: {size} lies between {low} and {high}, so expect exponent {exponent}."
EXPECTED_LOSS = "Before any bits: places end at {unit} here, so expect to lose less than that."
EXPECTED_REACH = "Before any bits: the highest exponent is {exponent}, so expect a little under 2^{power}."
EXPECTED_SUM = "Before any bits: expect about {about}."
EXPECTED_WIDTH = "Before any bits: it had {before} digits of mantissa, and now there is room for {after}."

#: What the board has meanwhile.
ON_BOARD = {"loss": "expect to lose less than {unit}", "reach": "expect a little under 2^{power}"}

# === Reading a pattern ===

HERE_IS_PATTERN = "Here is the pattern. Begin with its exponent."
EXPONENT_ONES = "Its ones are worth {worths}: together, {exponent}."
EXPONENT_ONE = "Its only one is worth {worths}, so the exponent is {exponent}."
MANTISSA_PLACES = "Now the mantissa. The sign place is worth \u22121; then come 1/2, 1/4, and so on."
ONE_WORTH = "A one worth {worth}."
ONE_MORE = "And {worth}."
TOGETHER = "Together, {value:fraction}."
REST_TOGETHER = "And so on, every one in its place. Together, {value:fraction}."
HERE_ARE_PLACES = "Here is the pattern. Every place has its worth."
TOP_PLACE = "The first place is worth {top}."
POINT_RIGHT = "The exponent is {exponent}, so the point goes {apart:places} to the right."
POINT_LEFT = "The exponent is {exponent}, so the point goes {apart:places} to the left."
POINT_STAYS = "The exponent is 0, so the point stays where it is."
VALUE_IS = "Read it off: {value}."

# === Writing a number ===

SIZE_FIRST = "First write the size, {size}, in binary."
WHOLE_PART = "The whole part, {whole}, is {worths}: a one in each of those places."
WHOLE_ONE = "The whole part, {whole}, needs one place only."
REST_BY_DOUBLING = "For the rest, {rest}, keep doubling. Each whole that turns up is a one."
ALL_BY_DOUBLING = "Keep doubling {rest}. Each whole that turns up is a one."
DOUBLED = "{twice}: {bit:digit}."
DOUBLED_ONE = "Exactly 1: one, and nothing is left."
AND_SO_ON = "And so on, place by place."
NEVER_END = "The digits never end, so a few more are written than will fit."
ALL_WRITTEN = "That is all of it."
POINT_BELONGS = "The point belongs behind the sign bit, where the first two bits differ."
PLACED_LEFT = "It goes {apart:places} left, so the exponent is {exponent}."
PLACED_RIGHT = "It goes {apart:places} right, so the exponent is {exponent}."
PLACED_STAYS = "It is there already, so the exponent is 0."
MUST_FIT = "Now it has to fit into {width} bits."
EXPONENT_LAST = "Last, the exponent goes into its own {bits} bits."
ABSOLUTE = "Now the cost. Take what is stored from what was asked for."
TAKE_STORED = "{exact} take away {stored} leaves {missed}."
ERROR_IS = "Its size is the absolute error."
NO_ERROR = "Nothing is left: there is no error."
RELATIVE = "A small error matters more to a small number. So divide it by the number itself."
DIVIDED = "{size} divided by {true} is {ratio}."
PERCENT = "That is {ratio:percent}: the relative error."

# === The ends of the range, and sums in a row ===

FIRST_TERMS = "First, {total} and {term}."
NEXT_TERM = "The total is {total}. Next comes {term}."
NEW_TOTAL = "What will the new total be?"

# === Reading operands ===

HERE_THEY_ARE = "Here they are in bits."
HERE_IT_IS = "Here it is in bits."
EXPONENTS_ARE = "{first:The} has exponent {first_exponent}; {second:the} has exponent {second_exponent}."
EXPONENTS_ALIKE = "Both have exponent {first_exponent}."
STORED = "{operand:The}, {asked}, cannot be kept exactly: it is stored as {kept}."

# === Unpacking ===

HERE_ARE_FIELDS = "Here they are in bits: a sign, an exponent and a fraction each."
EXCESS_OFF = (
    "An exponent is kept with {excess} added. So {operand:the} has {code} take away {excess}: {exponent}."
)
EXCESS_OFF_TOO = "And {operand:the} has {code} take away {excess}: {exponent}."
HIDDEN_ONES = "In front of each point belongs the hidden one. Now we have both sizes."

# === Matching the exponents ===

MUST_MATCH = "The columns are not worth the same yet. Before we add, the exponents must match."
SMALLER_RISES = "The smaller one gives way: {low} has to become {high}."
SO_MOVE = "That is up by {apart:count}, so every digit moves {apart:places} right."
SO_MOVE_SIZE = "Up by {apart:count}, so its digits move {apart:places} right, into three spare places."
WHICH_REACH = "Which bits reach the spare places?"
SPARE_PLACES = "The three spare places are called guard, round and sticky."
STICKY_ONE = "A one went past them all, so the sticky place is one."
WHICH_FALL = "Which bits will fall off the end?"
WHAT_FILLS = "What will fill the gap on the left?"
SIGN_FILLS = "The sign bit, a {sign:digit}, is copied into the gap."
INTO_TRAY = "{named} fell into the tray, worth {worth}."
MANY_INTO_TRAY = "{many:Count} bits fell into the tray, worth {worth}."
ONLY_NOUGHTS = "Only noughts fell off the end, so nothing is lost."
HAS_BECOME = "So {before} has become {after}."
STILL = "The value has not changed: it is still {after}."
ALREADY_MATCH = "The exponents are equal already, so nothing has to move."
ZERO_TAKES = "One of them is zero. Its exponent means nothing, so it takes the other's, and nothing moves."
ONLY_SIGN_LEFT = "It moved so far that only copies of the sign bit are left."

# === Negating ===

ADD_OPPOSITE = "Taking away is adding the opposite, so turn {operand:the} into its opposite."
OPPOSITE = "For the opposite, do two things."
INVERT = "First, invert every bit: noughts become ones, ones become noughts."
ADD_ONE = "Then add one, in the last place."
ADD_ONE_CARRY = "Then add one, in the last place. One and one: nought, carry one."
CARRY_RUNS = "The carry runs on through {run:places}, and stops at the first nought."
CARRY_RUNS_OUT = "The carry runs all the way, and out on the left."
MAKES = "That makes {value}."
EXTRA_PLACE = "Minus one has no opposite here: plus one does not fit. So we write one extra sign place."

# === Adding ===

NOW_ADD = "Now add the two, from the right."
NOW_TAKE = "Now take the second from the first, from the right."
COLUMN = "{terms}: {digit}{carry}."
CARRY_ONE = ", carry one"
AND_SAME = "The same again."
NEXT_ALIKE = "The same in the next {more:count} columns."
ON_AND_ON = "And so on, all the way to the left."
DROP_CARRY = "A carry comes out of the sign place."
MIXED_FIT = "A positive and a negative cannot overflow, so we drop it."
NEGATIVES_FIT = "Two negatives gave a negative, so it fits, and we drop the carry."
OVERFLOWS = "The sign has come out wrong: the sum is too big for the mantissa. That is an overflow, and we can mend it."
SUM_IS = "The sum is {value}."
SIGNS_ALIKE = "The signs are alike: add the sizes, from the right, and keep the sign."
SIGNS_DIFFER = "The signs differ: take the smaller size from the larger, and keep the larger one's sign."
COLUMN_TAKEN = "{first} take away {second}: {digit}{borrow}."
COLUMN_BORROWED = "{first} take away {second} and the one borrowed: {digit}{borrow}."
BORROW_ONE = ", borrowing one"
DIFFERENCE_IS = "The difference is {value}."

# === Mending, normalising, cutting ===

MEND = "Move everything one place right, behind the true sign, and put 1 on the exponent."
ALIKE = "Look at the first two bits. They are alike, so it is not normalised."
HOW_FAR = "How many places, and which way?"
MOVE_LEFT = (
    "{places:Places} left, until they differ. And {places:count} off the exponent: {high} becomes {exponent}."
)
TWO_IN_FRONT = "There are two digits in front of the point now, and there may be only one."
NOUGHT_IN_FRONT = "A nought stands in front of the point, where the first one belongs."
SIZE_RIGHT = "{moves:Places} right, and {moves:count} more on the exponent: {high} becomes {low}."
SIZE_LEFT = "{moves:Places} left, and {moves:count} off the exponent: {high} becomes {low}."
WHICH_WAY = "Up or down?"
AS_EXPECTED = "{value}: close to the {about} we expected."
LEFT_VALUE = "The number is the same: {value}."
NOT_READY = "Not normalised yet: the first two bits are alike. Move left until they differ."
CUT_LOSS = "Only {width} bits fit. The rest falls into the tray, worth {worth}."
CUT_CLEAN = "Only {width} bits fit, and all that is cut is noughts. Nothing is lost."
ROUNDED_UP = "Only {width} bits fit. We round up, which adds {worth}."

# === Multiplying and dividing ===

ADD_EXPONENTS = "To multiply, add the exponents: {first} and {second} make {exponent}."
TAKE_EXPONENTS = "To divide, take one exponent from the other: {first} take away {second} is {exponent}."
MULTIPLY = "Then multiply the mantissas."
MULTIPLY_SIZES = "Then multiply the sizes. The sign comes at the end."
A_ROW_EACH = "Every one in the lower number gives a row. Noughts give none."
FIRST_ROW = "From the right: the one in place {place} writes the upper number, moved {place:places}."
NEXT_ROW = "The one in place {place}: moved {place:places}."
FIRST_ROW_WHOLE = "From the right: the one worth {worth} writes the upper number, times {worth}."
NEXT_ROW_WHOLE = "The one worth {worth}: times {worth}."
OTHER_ROWS = "And so on, a row for every one."
ADD_ROWS = "Now add the rows."
LONG_PRODUCT = WORDS["product.places"]
NEGATE_PRODUCT = "The signs differ, so negate it."
WITH_EXPONENT = "With its exponent, {exponent}, that is {value}."
DIVIDE = "Then divide the sizes, and go on a few places past the mantissa."
GOES_FIRST = "It goes first in place {place}: write a one there, take it away, and see what is left."
DIVIDE_WHOLE = "Divide the sizes, place by place."
GOES_FIRST_WHOLE = (
    "It goes first where a one is worth {worth}: write it, take that much away, and see what is left."
)
GOES_LATER_WHOLE = "Then not before a one is worth {worth}, so noughts up to there."
REMAINDER = "{left} is left over: the remainder."
GOES_NEXT = "It goes in the next place, too."
GOES_LATER = "Then not before place {place}, so noughts up to there."
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
ROUNDING_COST = "That is what rounding has cost."
NOT_NEAREST = "Another pattern would have been nearer, but this rule leaves out what does not fit."
NEAREST_ANYWAY = "No pattern comes any nearer, so this is the best the format can do."

READ_BACK = "Now check it as a sum: {mantissa:fraction} times 2^{power} is {value}."
SAME_AGAIN = "That is the same number."
HAS_BEEN_READ = "So this pattern stands for {value}."
STORED_BACK = "Read the pattern back: it is {exact} exactly. Nothing was lost."
ASKED_FOR = "What was asked for is {exact}."
ENDS_READ_BACK = "Each pattern, read back, gives the value beside it."

IN_SHORT: Mapping[str, str] = {
    "decode": "Read the exponent, read the mantissa, move the point.",
    "encode": "Write the size, place the point, fit the bits, write the exponent.",
    "error": "Store it, take it from what was asked for, and hold that against the number.",
    "normalise": "Left until the first two bits differ, and as much off the exponent.",
    "negate": "Invert every bit, then add one.",
    "range": "The highest exponent gives the far ends, the lowest what lies next to zero.",
    "sum": "Each total goes into the next sum, with all that it has lost.",
    "convert": "Read it in one format, write it in the other.",
    "choose-format": "The exponent gives the range, the mantissa the precision.",
}
#: The same where there is no exponent to read or write.
IN_SHORT_WHOLE = {
    "decode": "Every one counts what its place is worth.",
    "encode": "Write the size, fill the places, and give it its sign.",
    "range": "With as many places as these, that is all there is.",
}

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
    "unpack": "unpack",
    "combine": "combine",
    "renormalise": "normalise",
    "round": "round",
    "pack": "pack",
}

BITS = {"0": "nought", "1": "one"}
MOST_NAMED = 4  # lost bits that are named one by one


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


def named(bits: str) -> str:
    """Return bits by name, such as "One and nought".

    >>> named("10")
    'One and nought'
    """
    return capital(listed([BITS.get(bit, bit) for bit in bits]))
