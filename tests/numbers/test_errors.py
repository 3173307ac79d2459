"""The command that a missing extra names: it is one that pip takes, here as elsewhere."""

import re
import tomllib
from pathlib import Path

import pytest

from chalkpoint.numbers.errors import missing_extra

ROOT = Path(__file__).parents[2]
EXTRAS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"][
    "optional-dependencies"
]
CALLS = re.compile(r'missing_extra\(\s*[^,]+, (?:"([^"]+)"|str\(reason\.name\)), "([^"]+)"', re.ASCII)


def test_every_refusal_names_an_extra_that_brings_the_package() -> None:
    """No refusal sends anybody for what does not help."""
    calls = [
        found
        for file in sorted((ROOT / "src").rglob("*.py"))
        for found in CALLS.findall(file.read_text("utf-8"))
    ]

    assert len(calls) >= 14
    for package, extra in calls:
        assert any(line.startswith(package) for line in EXTRAS[extra]), (package, extra)


def test_in_a_checkout_the_command_names_its_folder() -> None:
    """Where no index has to know the name."""
    said = str(missing_extra("A PDF", "typst", "print"))

    assert said == f'A PDF takes typst, which is not installed; run: python -m pip install "{ROOT}[print]"'


def test_elsewhere_it_names_the_package(monkeypatch: pytest.MonkeyPatch) -> None:
    """What was installed from an index or a wheel."""
    monkeypatch.setattr(Path, "is_file", lambda _: False)

    assert str(missing_extra("A PDF", "typst", "print")).endswith('pip install "chalkpoint[print]"')
