"""The catalogue's words for pupils outside a working: titles, what a paper asks, hints, and their own page.

What a working says is in `words.py`, each key with a truth of its own in the tests; these ask, point and praise, and
state no fact of the arithmetic but the numbers put into them.
"""

from __future__ import annotations

from typing import Final

__all__: list[str] = []

# === Titles and methods ===

SIZE_CUT: Final = "the size is cut, then negated"
STORING_WORDS: Final = {
    "cut": "the pattern is cut, toward minus infinity",
    "cut size": SIZE_CUT,
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

METHOD_WORDS: Final = {
    "align-then-negate": "align, then negate; lost bits are cut",
    "negate-then-align": "negate, then align; lost bits are cut",
    "one-guard-bit": "one guard bit is kept to the end, then cut",
    "exact-then-truncate": "both written out in full, one cut at the end",
    "exact-then-nearest": "both written out in full, rounded to the nearest at the end",
    "size-and-sign": "align, then negate; the size of what is lost is cut, toward zero",
    "spare-place-first": "both are moved right once more before adding, so that the sum always fits",
    "normalise": "normalise",
    "negate": "negate, then normalise",
    "multiply": "add the exponents, multiply the mantissas",
    "divide": "subtract the exponents, divide the sizes",
    "rules": "by the rules, step by step",
}
#: The same where nothing is negated.
ALIGNING: Final = "align; lost bits are cut"
ADDING_METHODS: Final = {
    "align-then-negate": ALIGNING,
    "negate-then-align": ALIGNING,
    "size-and-sign": "align; the size of what is lost is cut, toward zero",
}
READ_AS: Final = {
    "bits": "{entry} is read as bits; {other} would be the decimal.",
    "decimal": "{entry} is read as a decimal; {other} would be binary.",
}

#: What formats are called; of whole numbers, by their code.
FORMATS: Final = {
    "fields": "format {format}",
    "fixed": "fixed-point format {format}",
    "whole": "{bits}-bit {code}",
    "the": "the {format}",
}
CODES: Final = {
    "two's complement": "two\u2019s complement",
    "unsigned": "unsigned",
    "sign and magnitude": "sign and magnitude",
    "ones' complement": "ones\u2019 complement",
    "excess": "excess-{excess}",
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

# === Pictures, for those who hear them ===

RULER: Final = {
    "scale": "one step is {units} units in the last place",
    "told": "A ruler in steps of {step}. The exact answer is {exact}; the answer worked is {apart}, {worked}.",
    "told-scale": (
        "A ruler in steps of {step}: {scale}. The exact answer is {exact}; the answer worked is {apart}, {worked}."
    ),
    "one": "one step {side}",
    "less": "less than one step {side}",
    "steps": "{count} steps {side}",
    "between": "between {low} and {high} steps {side}",
}
TRAY: Final = {
    "label": "lost, step {step}",
    "since": "in the tray since step {step}: {bits}",
    "left": "left in tray",
    "left-step": "left, step {step}",
    "holds": "The tray still holds {bits}, {worth}.",
    "holds-from": "The tray holds from step {step} {bits}, {worth}.",
    "worth": "worth {worth}",
    "gained": "rounded up: {worth} gained",
}
NOT_WRITTEN: Final = "{label}: not written yet"
THREADS: Final = "each digit\u2019s way to its new place"

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
