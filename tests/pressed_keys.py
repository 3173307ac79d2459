"""How many keys taking an answer down costs, counted by what the page of entry is said to do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from chalkpoint.marking.answer import read_answer
from chalkpoint.marking.entering import Place
from chalkpoint.marking.manners import Answer
from chalkpoint.marking.patterns import Reading


def keys_pressed(place: Place, written: str, earlier: Sequence[str] = ()) -> int:
    """Return the least keys that take *written* down on the page of entry, where *earlier* unlike answers are known.

    Enter takes the expected answer, or what is left of it; 0 and 1 fill a box and a space leaves it as expected; E
    leads to the exponent; S takes the latest earlier answer that begins as typed; T begins any other text. A blank
    is a key.
    """
    question, line, expected = place.asked.question, place.line, place.expected
    answer = read_answer(question, written, line)
    if not any(sign.isalnum() for sign in written):
        return 1
    as_expected = read_answer(question, expected, line).spelling
    if answer.readable and not answer.manners and not answer.several and answer.spelling == as_expected:
        return 1
    return min(_ways(place, written, answer, earlier))


def _ways(place: Place, written: str, answer: Answer, earlier: Sequence[str]) -> Iterator[int]:
    """Yield the keys of each way to take down what is not as expected."""
    question, expected = place.asked.question, place.expected
    fields = [len(field) for field in expected.split()] if set(expected) <= set("01 ") else []
    yield len(written) + 1 + bool(fields)  # typed in full, with Enter
    mantissa = fields[0] if fields else 0
    if fields and not answer.manners and not answer.several and _fits(answer.spelling, fields):
        runs = [read_answer(question, text, place.line).spelling.replace(" ", "") for text in earlier]
        yield from _in_boxes(expected.replace(" ", ""), answer.spelling.replace(" ", ""), mantissa, runs)
        return
    if answer.manners == ("exponent in decimal",) and answer.spelling[:mantissa] == expected[:mantissa]:
        yield 2 + len((answer.reading or Reading("")).text.split()[-1])  # E, the number, Enter
    for at in range(1, len(written)):
        if next((text for text in earlier if text.startswith(written[:at])), "") == written:
            yield at + 1 + bool(fields)
            return


def _fits(spelling: str, fields: list[int]) -> bool:
    return [len(field) for field in spelling.split()] == fields and set(spelling) <= set("01 ")


def _in_boxes(expected: str, run: str, first_field: int, earlier: Sequence[str]) -> Iterator[int]:
    """Yield the keys of each way to fill boxes: to the last that differs, from the exponent on, or as one before."""
    apart = [at for at, (one, other) in enumerate(zip(run, expected, strict=True)) if one != other]
    start = (
        first_field - 1 if apart[0] >= first_field else 0
    )  # E is a key, and saves those of the first field
    yield apart[-1] + 1 - start + (apart[-1] < len(run) - 1)
    begun = run[: apart[0] + 1]
    if next((other for other in earlier if other.startswith(begun)), "") == run:
        yield apart[0] + 2 - start
