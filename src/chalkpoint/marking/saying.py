"""What is said of a judgement: kindly, in plain words, and never more than the writing shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from chalkpoint.marking.judgement import Judgement
from chalkpoint.marking.walk import LineMark
from chalkpoint.working.beliefs.belief import Belief
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.wording.words_pupils import HINTS

__all__ = ["EVIDENCE", "STROKES", "Said", "first_hint", "say"]

STROKES: dict[str, tuple[str, str, str]] = {
    # status: the stroke, the stroke in plain ASCII, the word
    "right": ("\u2713", "+", "right"),
    "follow-through": ("\u21aa\u2713", ">+", "follows from the line before"),
    "recovered": ("\u2323", "u", "right again"),
    "misconception": ("\u2442", "Y", "another rule"),
    "copied": ("\u2016", "=", "copied"),
    "off": ("\u2717", "x", "unexplained"),
    "implied": ("\u25cc", "o", "implied"),
    "absent": ("\u2013", "-", "not written"),
}
EVIDENCE = {
    "R": "reported in tests and interviews, or seen more than once in public questions",
    "T": "known to teachers, never counted",
    "C": "a conjecture",
}


@dataclass(frozen=True)
class Said:
    """A judgement in words.

    verdict  one sentence
    lines    for each line: (status, line, written, sentence)
    beliefs  sentences on the rules that give what is written
    notes    further sentences
    hint     what to ask the pupil next, or ""
    """

    verdict: str
    lines: tuple[tuple[str, str, str, str], ...]
    beliefs: tuple[str, ...]
    notes: tuple[str, ...]
    hint: str


def say(judgement: Judgement) -> Said:
    """Return *judgement* in words.

    >>> from chalkpoint.marking.judging import judge
    >>> say(judge("subtract 6.5, 1.25", answer="0.1010100 0011")).verdict
    'The answer is right.'
    """
    lines = tuple((mark.status, mark.line, mark.written, _line(mark)) for mark in judgement.marks)
    return Said(_verdict(judgement), lines, tuple(_beliefs(judgement)), judgement.notes, next_hint(judgement))


def _verdict(judgement: Judgement) -> str:
    if not judgement.marks:
        return "Nothing is written, so nothing is judged."
    if judgement.verdict == "right elsewhere":
        where = " and also where ".join(_without_method(words) for words in judgement.elsewhere)
        return f"This is right where {where}. Your course does it another way{_expected(judgement)}."
    return _verdict_right(judgement) if judgement.right else _verdict_wrong(judgement)


def _verdict_right(judgement: Judgement) -> str:
    first = judgement.first_wrong
    if first is not None:
        return f"The answer is right; the line \u201c{first.line}\u201d does not lead there."
    if judgement.elsewhere:
        return f"The answer is right, worked by {judgement.elsewhere[0]}."
    return "The answer is right." if judgement.line("answer") else "Every line written is right."


def _verdict_wrong(judgement: Judgement) -> str:
    first = judgement.first_wrong
    if first is None:
        return f"The answer is not the one asked for{_expected(judgement)}."
    if first.line == "answer" and not any(mark.written for mark in judgement.marks if mark is not first):
        return f"The rules give another answer: {first.expects}."
    if judgement.verdict == "follow-through":
        return f"The answer follows from the working; the line to look at is \u201c{first.line}\u201d."
    return f"The line to look at is \u201c{first.line}\u201d."


def _without_method(words: str) -> str:
    return f"one works by {words}" if words.startswith("the method ") else words


def _expected(judgement: Judgement) -> str:
    answer = judgement.line("answer")
    home = answer.expects if answer else ""
    return f": {home}" if home and answer and answer.written != home else ""


def _line(mark: LineMark) -> str:
    """Return the sentence beside one line: its value before and after where it went wrong."""
    if mark.status in {"misconception", "copied", "off"}:
        had = f"From {mark.had} " if mark.had else ""
        return f"{had}the rule gives {mark.own}; written is {mark.written}."
    if mark.status == "follow-through":
        return f"It follows from your own line before; the right working has {mark.expects}."
    if mark.status == "recovered":
        return "It is right, although the line before would not give it."
    if mark.status in {"implied", "absent"}:
        return f"The right working has {mark.expects}." if mark.expects else ""
    return f"{mark.note.capitalize()}." if mark.note else ""


def _beliefs(judgement: Judgement) -> list[str]:
    names = [BELIEFS[name] for name in judgement.among]
    if not names:
        return _together(judgement)
    if judgement.verdict == "right elsewhere":
        head = "Another rule would give the same, so the working is worth a look:"
    elif judgement.first_wrong and not judgement.explained:
        head = "With one digit more it is what is known here. One answer is not enough to be sure of it:"
    elif judgement.explained and judgement.explained[0] is not judgement.first_wrong:
        line = judgement.explained[0].line
        head = f"The line \u201c{line}\u201d is what a rule known here gives from the line before it:"
    elif len(names) == 1:
        head = "One rule known here gives exactly this. One answer is not enough to be sure of it:"
    else:
        head = f"{len(names)} rules known here give exactly this, and nothing written tells them apart:"
    said = [_named(belief) for belief in names]
    for mark in judgement.explained[1:]:
        said += [f"On the line \u201c{mark.line}\u201d: {_named(BELIEFS[name])}" for name in mark.among]
    return [head, *said, "Whether any of them is at work is for the teacher to say."]


def _named(belief: Belief) -> str:
    return f"\u201c{belief.says}\u201d ({belief.id}; {EVIDENCE[belief.evidence]})"


def _together(judgement: Judgement) -> list[str]:
    """Return what is said where two beliefs at once give what is written."""
    if not judgement.together:
        return []
    head = "No rule known here gives this alone. Two held at once would, which is less sure:"
    said = [
        " and ".join(f"\u201c{BELIEFS[name].says}\u201d ({name})" for name in pair)
        for pair in judgement.together
    ]
    return [head, *said, "Whether they are at work is for the teacher to say."]


def next_hint(judgement: Judgement) -> str:
    """Return the first hint for where the working goes wrong; a neutral one unless the rules found are alike."""
    first = judgement.first_wrong
    return "" if first is None else first_hint(first.line, first.among)


def first_hint(line: str, among: Sequence[str] = ()) -> str:
    """Return the first hint for *line*: that of the beliefs *among* which it went wrong if they are alike.

    >>> first_hint("negate"), first_hint("negate", ["invert-only"])
    ('Add your line to the one above it: do you reach zero?', 'Add your answer to the original: is it zero?')
    """
    names = [BELIEFS[name] for name in among]
    if names and _alike(names):
        return max(names, key=lambda belief: belief.weight).nudge
    return HINTS.get(line, HINTS["answer"])


def _alike(names: list[Belief]) -> bool:
    first = names[0]
    return all(other.id in first.alike for other in names[1:])
