"""The four extreme values of a format, each judged by itself."""

from __future__ import annotations

from collections.abc import Mapping

from chalkpoint.marking.entries import Entry, parse_entry, same_digits
from chalkpoint.marking.judgement import Judgement
from chalkpoint.marking.slips import slip_between
from chalkpoint.marking.walk import LineMark
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.extremes import RANGING
from chalkpoint.working.question import Question

__all__ = ["judge_extremes"]


def judge_extremes(question: Question, lines: Mapping[str, str], answer: str) -> Judgement:
    """Return what can be said of the extremes in *lines*, by name; *answer* is the largest positive."""
    names = [line.name for line in RANGING.lines]
    written = {key.replace("-", " ").replace("_", " "): text for key, text in lines.items()}
    if answer.strip():
        written.setdefault(names[0], answer)
    for key in written:
        if key not in names:
            raise EntryError(f"{key!r} is not an extreme; {near_misses(key, names)}")
    right = RANGING.finish({}, question.format)
    marks = tuple(_mark(question, name, written.get(name, ""), right[name]) for name in names)
    judged = [mark for mark in marks if mark.written]
    fine = bool(judged) and all(mark.status == "right" for mark in judged)
    among = tuple(belief for mark in judged for belief in mark.among)
    verdict = "right" if fine else "wrong"
    return Judgement(question, "", right=fine, verdict=verdict, marks=marks, among=among)


def _mark(question: Question, name: str, text: str, right: Pattern) -> LineMark:
    fmt = question.format
    expects = fmt.write(right, point=True)
    if not text.strip():
        return LineMark(name, "", "absent", expects=expects)
    entry = parse_entry(text, fmt, point=question.course.point)
    if _is(entry, right, question):
        return LineMark(name, text, "right", expects=expects, own=expects)
    among = []
    for belief in beliefs_for("range"):
        method = belief.method_for("range", RANGING)
        if method is None or method.rules[name] is RANGING.rules[name]:
            continue
        pattern = method.rules[name]({}, fmt)[name]
        if _is(entry, pattern, question):
            among.append(belief.id)
    slip = "" if among else slip_between(entry.bare + entry.exponent, fmt.write(right).replace(" ", ""))
    status = "misconception" if among else "off"
    return LineMark(name, text, status, expects=expects, own=expects, among=tuple(among), slip=slip)


def _is(entry: Entry, pattern: Pattern, question: Question) -> bool:
    fmt = question.format
    mantissa, exponent = fmt.mantissa.write(pattern.mantissa), fmt.exponent.write(pattern.exponent)
    if entry.digits and same_digits(entry.digits, mantissa) and entry.exponent == exponent:
        return True
    return entry.value is not None and not entry.exponent and entry.value == fmt.value(pattern)
