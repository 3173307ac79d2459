"""The sentences a lesson adds to a working's own: prompts, questions to the class, and names of pauses."""

from __future__ import annotations

__all__: list[str] = []

QUESTION = "The question"
PREDICT = "Write the next row before you see it."
FILL = "This step is yours: which rule is it, and what does it write?"
WRITE = "writing"
THINK = "thinking"
WHICH_STEP = "Which step is wrong?"
TAKE_IN = "taking it in"

TRY = "Work this one on your own, every step."
COMPARE = "Compare your working with this."
FIND_MISTAKE = "Here is somebody's working. One step is wrong: find the first line you cannot agree with."
#: How the steps of somebody's working are told, alike whether right or wrong.
SOMEONE = {
    "read": "This is how it begins.",
    "operands": "Then both are normalised.",
    "align": "Then the exponents are matched.",
    "negate": "Then the second is negated.",
    "add": "Then the two are added.",
    "repair": "Then the sum is mended.",
    "normalise": "Then it is normalised.",
    "cut": "Then it is cut.",
}
SOMEONE_OTHERWISE = "Then comes this: {title}."
WRONG_ON_PURPOSE = "wrong on purpose"
MISTAKE_IS = "The mistake is in this step: {title}."
BELIEVED = "The thought behind it may be: {says}"
BUT_RULE = "But the rule is this. {rule}"
AGAIN = "The same question again."
RIGHT_ROW = "Here is that step done right."
SIDES = ("right", "often written instead")
CHOOSE = "Which of the four answers is right?"
NEXT = "Pause now: what comes next?"
NEXT_ROW = "Which of these four rows comes next?"
BESIDE = "Here is the right working, and below it what is most often written instead."
SAME = "{title}: the same in both."
PART = "{title}: here they part."
WHY_PART = "What was thought here?"
RIGHT_CHOICE = "The right answer is {letter}."
WRONG_CHOICE = "Whoever chose {letter} may think: {says}"

FORM = "In normal form"
FORM_HINT = "Does the sum fit, and do its first two bits differ?"
FORM_RULE = "A sum that fits and whose first two bits differ is in normal form: write it again."
ANSWER_HINT = "Mantissa first, then the exponent: is your mantissa normalised?"
ANSWER_RULE = (
    "The answer is the mantissa of the last line with its exponent, or the word where it is out of range."
)

#: What a distinct line of a live class is marked, by its kind; a misconception says its own thought instead.
MARKED = {
    "right": "right",
    "follow-through": "follows from the line on the board",
    "recovered": "right, though the line on the board would not give it",
    "right elsewhere": "right by another method or convention",
    "copied": "copied from the line before",
    "off": "unexplained",
    "unread": "cannot be read",
}
EXPLANATIONS = "{count} explanations"
UNEXPLAINED = "no rule known here gives it"

BEGINS = "It begins {text}."
RULE_IS = "The rule of this line is: {title}."

#: What a pupil who practises is told of a line.
RIGHT = "Right."
RIGHT_ELSEWHERE = "Right another way: {words}."
FOLLOWS = "This follows from your own line before. That line is the one to look at."
RECOVERED = "This line is right, although your line before would not give it."
NOT_YET = "Not yet. {hint}"
STANDS = "Your line stands. The next one is judged from it."
FILLED_IN = "The line is filled in: {written}. Why is it this?"

#: What a pupil keeps of a practice session; of two keys that differ by "-several" the second is said of more than one.
SUMMARY = {
    "title": "Practice: {operation} in {format}",
    "next": "Next: {level}.",
    "none": "No question done yet.",
    "examples": "1 question done, a worked example.",
    "examples-several": "{done} questions done, worked examples.",
    "done": "{done:question} done, {unaided} without any help.",
    "lines": "{lines:line} of your own, {first} right at the first try.",
    "hints": "Hints on {hints:line}, as deep as: {depths}.",
    "filled": "{filled:line} filled in.",
    "question": "{at}. {title}: {said}",
    "example": "a worked example",
    "own": "{lines:line} of your own",
    "right": "right",
    "again": "one to look at again",
    "unaided": "without any help",
    "wrong": "1 try that was not right",
    "wrong-several": "{wrong} tries that were not right",
    "hint": "hint on {rule}: {depth}",
    "filled-in": "{filled:line} filled in",
}
LEVELS = {
    "none": "every line is shown",
    "all": "every line is yours",
    "last": "the last line is yours",
    "last-several": "the last {level} lines are yours",
}

#: On the pupils' copy of a lesson.
WRITE_ON = "Fill the empty rails as the lesson goes on."
TO_FILL = "{title}: rows to fill"
