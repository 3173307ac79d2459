"""How far the source says what things are, and shows it: counts that may only get better."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

SOURCE = Path(__file__).parents[1] / "src"
ANY = re.compile(r"\bAny\b")
CLASS_OF_A_FORMAT = re.compile(
    r"isinstance\([^()]*(?:\([^()]*\)[^()]*)*\b(?:FloatFormat|SignMagnitudeFormat|FixedFormat)\b"
)


def lines_with(pattern: re.Pattern[str]) -> list[str]:
    """Return the lines of the source that match, each with its file."""
    return [
        f"{path.relative_to(SOURCE)}: {line.strip()}"
        for path in sorted(SOURCE.rglob("*.py"))
        for line in path.read_text(encoding="utf-8").splitlines()
        if pattern.search(line)
    ]


def test_few_things_may_be_anything() -> None:
    """Lines that say Any, imports among them; what is left is the edge of a library, or a name for what varies."""
    assert 0 < len(found := lines_with(ANY)) <= 200, found


def test_nobody_looks_at_the_class_of_a_format() -> None:
    """A format says its own family."""
    assert len(found := lines_with(CLASS_OF_A_FORMAT)) <= 3, found


def test_the_type_checker_is_seldom_silenced() -> None:
    """Each time with its code; mypy itself refuses one that is not needed."""
    assert len(found := lines_with(re.compile(r"# type: ignore"))) <= 10, found


def public_names() -> Iterator[tuple[str, bool]]:
    """Yield each function and class that a module offers, and whether an example of it runs."""
    for path in sorted(SOURCE.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        if "__all__ = [" not in text:
            continue
        offered = set(re.findall(r'"(\w+)"', text.partition("__all__ = [")[2].partition("]")[0]))
        for one in ast.parse(text).body:
            if isinstance(one, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef) and one.name in offered:
                methods = one.body if isinstance(one, ast.ClassDef) else []
                shown = [one, *(each for each in methods if isinstance(each, ast.FunctionDef))]
                yield one.name, any(">>>" in (ast.get_docstring(each, clean=False) or "") for each in shown)


def test_public_names_are_shown_by_an_example_that_runs() -> None:
    """Of three in ten at least."""
    names = list(public_names())
    shown = [name for name, example in names if example]
    assert len(shown) >= 0.3 * len(names), f"{len(shown)} of {len(names)}"
