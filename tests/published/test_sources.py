"""Every published figure says where it comes from and how far it was seen."""

from __future__ import annotations

import pytest

from published.sources import DATA, STATUSES, source

NAMES = sorted(path.stem for path in DATA.glob("*.toml"))


@pytest.mark.parametrize("name", NAMES)
def test_every_figure_has_a_source_and_a_status(name: str) -> None:
    """The file names its source, and each figure says verified, from memory or derived."""
    tables = source(name)
    meta = tables.pop("meta")
    figures = [figure for table in tables.values() for figure in table]

    assert meta["source"]
    assert figures
    assert [figure for figure in figures if figure.get("status") not in STATUSES] == []


@pytest.mark.parametrize("name", NAMES)
def test_every_source_has_its_file_of_checks(name: str) -> None:
    """Beside data/name.toml stands test_name.py."""
    assert DATA.with_name(f"test_{name}.py").is_file()
