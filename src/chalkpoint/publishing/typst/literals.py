"""Plain Python data written as typst's own literals, so that a typst source needs no other file."""

from __future__ import annotations

__all__ = ["Length", "literal"]


class Length(float):
    """A length in millimetres.

    >>> literal(Length(8))
    '8mm'
    """


def literal(data: object) -> str:
    """Return *data* (None, bool, numbers, text, lists, tuples, dictionaries) as typst writes it.

    >>> print(literal({"bits": "01", "at": (1, 2.5), "only": [None], "none": {}}))
    ("bits": "01", "at": (1, 2.5,), "only": (none,), "none": (:))

    Raises TypeError for anything else.
    """
    match data:
        case None | bool():
            return {None: "none", True: "true", False: "false"}[data]
        case Length():
            return f"{_number(data)}mm"
        case int() | float():
            return _number(data)
        case str():
            return _quoted(data)
        case dict():
            return f"({', '.join(f'{_quoted(key)}: {literal(value)}' for key, value in data.items()) or ':'})"
        case list() | tuple():
            return f"({' '.join(f'{literal(entry)},' for entry in data)})"
    raise TypeError(f"{type(data).__name__} has no form in typst")


def _number(x: float) -> str:
    return str(x) if isinstance(x, int) else f"{x:.4f}".rstrip("0").rstrip(".")


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'
