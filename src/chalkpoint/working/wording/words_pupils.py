"""The catalogue's words for pupils outside a working: titles, what a paper asks, hints, and their own page.

What a working says is in `words.py`, each key with a truth of its own in the tests; these ask, point and praise, and
state no fact of the arithmetic but the numbers put into them.
"""

from __future__ import annotations

from typing import Final

__all__: list[str] = []

# === Titles and methods ===

STORING_WORDS: Final = {
    "cut": "the pattern is cut, toward minus infinity",
    "cut size": "the size is cut, then negated",
    "nearest": "rounded to the nearest, ties to the pattern that ends in 0",
    "nearest away": "rounded to the nearest, ties away from zero",
    "toward zero": "rounded toward zero",
    "up": "rounded up, toward plus infinity",
    "down": "rounded down, toward minus infinity",
}
#: The same for whole numbers and fixed point, where a pattern may be that of a size.
OF_SIZES: Final = {
    "cut": "the pattern is cut, toward zero",
    "nearest": "rounded to the nearest, ties to the size that ends in 0",
}


QUESTIONS: Final = {
    "explain": "Explain {0}",
    "stored": "{0} in {1}, stored as {2}",
    "sum": "{0} in {1}",
    "convert": "Convert {0} from {1} to {2}",
    "pattern": "{0} {1} in {2}",
    "range": "The range of {0}",
    "error": "What storing {1} in {0} costs",
    "encode": "{1} in {0}",
    "choose-format": "The smallest format from {1} to {2} in steps of {3} or less",
}

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

# === Hints: a question about the line, which never gives it ===

HINTS: Final = {
    "choose mantissa": "How many steps of that size are there to the far end, and where does the sign stand?",
    "choose exponent": "Which exponent does the far end need, and which ones does the field hold?",
    "ready": "Is the value the same before and after you moved the digits?",
    "align": "Which number moves, which way, by how many places, and what comes in on the left?",
    "spare": "Did both numbers move one place, and both exponents rise by one?",
    "negate": "Add your line to the one above it: do you reach zero?",
    "add": "Add again from the right, and say each carry aloud.",
    "repair": "Which sign did both numbers have, and what happens to the exponent when digits move right?",
    "normalise": "Do the first two bits differ, and has the exponent gone down by the places moved?",
    "cut": "How many digits does the mantissa have room for?",
    "range": "Which exponents can be written in this format?",
    "exponents": "What happens to powers of two when numbers are multiplied?",
    "product": "Multiply the mantissas as fractions first: how large is the product?",
    "zero": "Which pattern stands for zero here?",
    "exponent": "What is the leading bit of the exponent worth?",
    "mantissa": "What is the leading bit of the mantissa worth, and the next?",
    "scale": "Does a positive exponent make the number larger or smaller?",
    "size": "Read your digits back in decimal: is it the number you started from?",
    "sign": "Add your line to the positive one: do you reach zero?",
    "point": "How many places did the point move, and which way?",
    "fit": "Which digits are worth most?",
    "absolute": "What was asked for, and what is stored?",
    "relative": "The absolute error, compared with which value?",
    "unpack": "Which 1 stands before the point although nobody writes it?",
    "combine": "Are the signs alike?",
    "renormalise": "Where does the first 1 stand, and what does the exponent do when digits move?",
    "round": "What stands behind the last digit that fits: less than a half, a half, or more?",
    "digits": "Read your digits back in decimal: is it the size you started from?",
    "quotient": "Multiply back: do you reach the first number?",
    "around": "Where does the carry go that left the sign place?",
    "excess": "How often is the excess in your row?",
    "take_away": "Add your difference to the number taken away: do you reach the first?",
    "weigh": "What is the first place worth?",
    "answer": "Read your answer back in decimal: can it be right?",
}

# === A pupil’s own page ===

PLAIN: Final = {"answer": "the answer", "decimal": "the value in decimal"}
SKILL_WORDS: Final = {
    "read": "reading numbers",
    "write": "writing numbers",
    "normalise": "normalising",
    "align": "matching exponents",
    "negate": "negating",
    "add": "adding",
    "check": "checking in decimal",
    "range": "the range of the format",
    "error": "saying the error",
    "product": "multiplying",
    "quotient": "dividing",
    "exponents": "the exponents of a product or quotient",
}
#: The page that a pupil takes home. Of two keys that differ by "-several" the second is said of more than one.
PAGE: Final = {
    "paper": "Your paper",
    "look": "Look at question {}.",
    "look-several": "Look at questions {}.",
    "nothing": "Nothing is written here yet: start with \u201c{}\u201d, for a line alone can earn a mark.",
    "waits": "Your teacher still looks at this one.",
    "line": "the line {}",
    "write": "Write {} too, it is worth {}.",
    "write-several": "Write {} too, they are worth {}.",
    "once-more": "Look at the marks beside your lines once more.",
    "lines": "Your line {} is right",
    "lines-several": "Your lines {} are right",
    "parts": "The {} is right",
    "parts-several": "The {} are right",
    "step": "Look once more at \u201c{}\u201d.",
    "all": "The question is right.",
    "all-several": "Every question is right: all {}.",
    "full": "Question {} is right in every mark.",
    "full-several": "Questions {} are right in every mark.",
    "by-lines": "You wrote your lines in {}. They earned {} that the answers alone could not have had.",
    "best": "In question {} you earned {} of {}.",
    "handed-in": "You handed it in; from here every line you write can earn a mark.",
    "skills": "You lost no mark in {}.",
    "more": "Everything is right. Here is one that asks for more.",
    "more-waits": "Your teacher still looks at some of your answers. Here is one more to try.",
}
