"""A word problem of the teacher's own: its words, its unit, and a check that they fit the numbers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from chalkpoint.finding.gauges import Gauge
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import parse_value, write_value
from chalkpoint.setting.contexts import Context
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.work import work_question

__all__ = ["STORY_KEYS", "own_context", "why_it_does_not_fit"]

STORY_KEYS = ("story", "unit", "step", "between", "answer")
#: Words that only a difference of one sign answers: nobody asks how much warmer it was when it was colder.
ONE_WAY = re.compile(
    r"\bhow (?:much|many|far)\b.*\b(warmer|colder|higher|lower|more|less|fewer|longer|shorter|deeper|heavier|lighter|"
    r"faster|slower|above|below)\b",
    re.IGNORECASE | re.DOTALL,
)
PLACES = 9  # digits after the decimal point, where no step says how many there are
FAR = Fraction(10**9)


def own_context(operation: str, entry: Mapping[str, object]) -> Context | None:
    """Return the context that a question's story, unit, step, between and answer describe; None without a story.

    Raises EntryError, with the key first, for words that do not name each number once, and for one that asks how much
    warmer where the answer may be negative.
    """
    words = str(entry.get("story", ""))
    if not words:
        extra = next((key for key in STORY_KEYS if key in entry), "")
        if extra:
            raise EntryError(f'{extra}: it belongs to a story; write story = "..." too, or leave it out')
        return None
    count = OPERATIONS[operation].operands
    names = ("first", "second")[:count] if count > 1 else ("value",)
    held = re.findall(r"\{(\w*)\}", words)
    if sorted(held) != sorted(names) and not (count == 1 and held == ["pattern"]):
        wanted = " and ".join(f"{{{name}}}" for name in names)
        raise EntryError(f"story: it names each number once, as {wanted}; it has {held or 'none'}")
    between = _bounds("between", entry, (-FAR, FAR))
    answer = _bounds("answer", entry, (-FAR, FAR))
    asks = ONE_WAY.search(words)
    if asks and answer[0] < 0:
        raise EntryError(
            f"story: it asks how much {asks[1].lower()}, and the answer may be negative; write "
            'answer = "0 to 40" for one that is not'
        )
    step = _amount("step", entry)
    gauge = Gauge(
        "story of your own",
        (operation,),
        str(entry.get("unit", "")),
        PLACES,
        (between,) * max(count, 1),
        answer,
        exact=step is not None,
        step=step,
    )
    return Context(gauge, ("first", "second")[:count] if count > 1 else (), "the answer", (words,))


def why_it_does_not_fit(question: Question, context: Context) -> str:
    """Return why a question's numbers do not suit its story, "" where they do."""
    gauge, unit = context.gauge, f" {context.gauge.unit}".rstrip()
    asked = [
        value if given is None else given
        for value, given in zip(question.values, question.given, strict=False)
    ]
    bounds = (*gauge.operands[: len(asked)], gauge.answer or (-FAR, FAR))
    for value, (low, high) in zip((*asked, work_question(question).check.exact), bounds, strict=True):
        shown = f"{write_value(value)}{unit} does not fit the story"
        if not low <= value <= high:
            return f"{shown}, whose numbers run from {write_value(low)} to {write_value(high)}"
        if gauge.step is not None and value % gauge.step:
            return f"{shown}: it is no multiple of {write_value(gauge.step)}{unit}"
    return ""


def _bounds(
    key: str, entry: Mapping[str, object], usual: tuple[Fraction, Fraction]
) -> tuple[Fraction, Fraction]:
    if key not in entry:
        return usual
    low, to, high = str(entry[key]).partition(" to ")
    try:
        bounds = parse_value(low), parse_value(high)
    except EntryError:
        to = ""
    if not to or bounds[0] > bounds[1]:
        raise EntryError(
            f'{key}: {entry[key]!r} is not taken; write the least and the most, such as {key} = "0 to 40"'
        )
    return bounds


def _amount(key: str, entry: Mapping[str, object]) -> Fraction | None:
    if key not in entry:
        return None
    try:
        amount = parse_value(str(entry[key]))
    except EntryError:
        amount = Fraction(0)
    if amount <= 0:
        raise EntryError(
            f'{key}: {entry[key]!r} is not taken; write a number above 0, such as {key} = "0.25"'
        )
    return amount
