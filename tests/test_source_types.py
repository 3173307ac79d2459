"""How far the source says what things are: counts that may fall, and never rise."""

import re
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
