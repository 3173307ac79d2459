"""What a key says of its course, as text, as JSON and as a page."""

from __future__ import annotations

from html import escape

from chalkpoint.marking.key import Item, KeyReading
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing.plainpage import document

__all__ = ["key_json", "key_page", "key_text"]

TITLE = "What the key was made under"
WORDS = {
    "format": "format",
    "order": "the exponent is written",
    "exponent": "exponent",
    "point": "point of the mantissa",
    "hidden": "hidden one",
    "method": "method",
    "operands": "operands that are not normalised",
    "rounding": "rounding",
    "minus": "\u22122^j begins with",
    "zero": "zero is written with",
    "underflow": "an underflow is",
}
MOST_SHOWN = 20


def verdict(reading: KeyReading) -> str:
    """Return in a sentence how many courses reproduce the key."""
    count = len(reading.courses)
    whole = "the whole key" if not (reading.unexplained or reading.apart) else "the rest of the key"
    if count == 0:
        return "No course known here reproduces any of the key."
    if count == 1:
        return f"One course reproduces {whole}."
    return f"{count} courses reproduce {whole}."


def shared(reading: KeyReading) -> dict[str, str]:
    """Return the choices on which all courses left agree."""
    first = reading.courses[0] if reading.courses else {}
    return {name: value for name, value in first.items() if all(c[name] == value for c in reading.courses)}


def differing(reading: KeyReading) -> list[dict[str, str]]:
    """Return, for each course, the choices on which it differs from another."""
    same = shared(reading)
    return [{name: value for name, value in course.items() if name not in same} for course in reading.courses]


def _item(item: Item) -> str:
    return f"{item.question} \u2192 {item.answer}"


def _trouble(reading: KeyReading) -> list[tuple[str, list[str]]]:
    found = []
    if reading.unexplained:
        found.append(
            (
                "No course explains these; printed keys do slip, so they are worth working again:",
                list(map(_item, reading.unexplained)),
            )
        )
    if reading.apart:
        found.append(
            ("These do not go with the others under any one course:", list(map(_item, reading.apart)))
        )
    return found


def _described(choices: dict[str, str]) -> str:
    return "; ".join(f"{WORDS[name]}: {value}" for name, value in choices.items())


def key_text(reading: KeyReading) -> str:
    """Return *reading* for a terminal."""
    out = [TITLE, "", verdict(reading)]
    if same := shared(reading):
        out += ["", *(f"  {WORDS[name]}: {value}" for name, value in same.items())]
    apart = differing(reading)
    if len(apart) > 1:
        out += ["", "They differ in this:"]
        out += [f"  {number}. {_described(choices)}" for number, choices in enumerate(apart[:MOST_SHOWN], 1)]
        if len(apart) > MOST_SHOWN:
            out.append(f"  and {len(apart) - MOST_SHOWN} more; --json lists them all")
    if reading.open:
        out += ["", f"Nothing in the key depends on: {', '.join(WORDS[name] for name in reading.open)}."]
    for head, items in _trouble(reading):
        out += ["", head, *(f"  {item}" for item in items)]
    out += _deciding(reading)
    return "\n".join(out)


def _deciding(reading: KeyReading) -> list[str]:
    if not reading.deciding:
        undecided = (
            "No one question tried here tells them apart whatever is still open; add an item to the key."
        )
        return ["", undecided] if len(reading.courses) > 1 else []
    out = ["", f"To decide, ask: {reading.deciding}"]
    for answer, courses in reading.answers.items():
        numbers = ", ".join(str(number + 1) for number in courses[:MOST_SHOWN])
        more = " and more" if len(courses) > MOST_SHOWN else ""
        out.append(f"  {answer.removeprefix('=')}: course{'s' if len(courses) > 1 else ''} {numbers}{more}")
    return out


def key_json(reading: KeyReading) -> JsonObject:
    """Return *reading* as the keys of ``chalkpoint.key/1``."""
    return {
        "schema": "chalkpoint.key/1",
        "count": str(len(reading.courses)),
        "courses": reading.courses,
        "open": list(reading.open),
        "unexplained": [{"question": item.question, "answer": item.answer} for item in reading.unexplained],
        "apart": [{"question": item.question, "answer": item.answer} for item in reading.apart],
        "deciding": {
            "question": reading.deciding,
            "answers": [
                {"answer": answer.removeprefix("="), "courses": courses}
                for answer, courses in reading.answers.items()
            ],
        }
        if reading.deciding
        else None,
    }


def key_page(reading: KeyReading) -> str:
    """Return *reading* as an HTML page, complete in itself."""
    body = [f"<p class=verdict>{escape(verdict(reading))}</p>"]
    if same := shared(reading):
        items = "".join(f"<li>{escape(WORDS[name])}: {escape(value)}</li>" for name, value in same.items())
        body.append(f"<ul>{items}</ul>")
    apart = differing(reading)
    if len(apart) > 1:
        names = list(apart[0])
        heads = "".join(f'<th scope="col">{escape(WORDS[name])}</th>' for name in names)
        rows = "".join(
            f'<tr><th scope="row">{number}</th>{"".join(f"<td>{escape(choices[name])}</td>" for name in names)}</tr>'
            for number, choices in enumerate(apart, 1)
        )
        body.append(
            f'<div class=wide><table><caption>The courses left</caption><thead><tr><th scope="col">Course</th>{heads}'
            f"</tr></thead><tbody>{rows}</tbody></table></div>"
        )
    if reading.open:
        names_open = ", ".join(WORDS[name] for name in reading.open)
        body.append(f"<p>Nothing in the key depends on: {escape(names_open)}.</p>")
    for head, lines in _trouble(reading):
        items = "".join(f'<li class="bits">{escape(line)}</li>' for line in lines)
        body.append(f"<p>{escape(head)}</p><ul>{items}</ul>")
    if reading.deciding:
        _, ask, *answers = _deciding(reading)
        items = "".join(f"<li>{escape(answer.strip())}</li>" for answer in answers)
        body.append(f"<h2>The question that decides</h2><p>{escape(ask)}</p><ul>{items}</ul>")
    elif said := _deciding(reading):
        body.append(f"<p>{escape(said[1])}</p>")
    return document(TITLE, "\n".join(body))
