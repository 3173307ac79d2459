"""Writing TOML: the few shapes that courses, blueprints and lessons have. Reading it is the standard library's."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping

from chalkpoint.numbers.datafiles import JsonMapping

__all__ = ["write_toml"]


def write_toml(table: JsonMapping) -> str:
    """Return *table* as TOML: plain keys first, then its tables, then its lists of tables.

    >>> print(write_toml({"title": "Gauges", "course": {"format": "6+4"}, "question": [{"count": 2}]}))
    title = "Gauges"
    <BLANKLINE>
    [course]
    format = "6+4"
    <BLANKLINE>
    [[question]]
    count = 2
    """
    plain = {key: value for key, value in table.items() if not _is_table(value) and not _is_tables(value)}
    parts = ["\n".join(_lines(plain))]
    parts += [f"[{key}]\n" + "\n".join(_lines(value)) for key, value in table.items() if _is_table(value)]
    for key, value in table.items():
        if _is_tables(value):
            parts += [f"[[{key}]]\n" + "\n".join(_lines(entry)) for entry in value]
    return "\n\n".join(part for part in parts if part)


def _lines(table: JsonMapping) -> Iterator[str]:
    # JSON's texts, whole numbers, truths and lists are TOML's too, but for one control character.
    for key, value in table.items():
        written = json.dumps(list(value) if isinstance(value, tuple) else value, ensure_ascii=False)
        yield f"{key} = " + written.replace("\x7f", "\\u007f")


def _is_table(value: object) -> bool:
    return isinstance(value, Mapping)


def _is_tables(value: object) -> bool:
    return (
        isinstance(value, Iterable)
        and not isinstance(value, str)
        and bool(value)
        and all(map(_is_table, value))
    )
