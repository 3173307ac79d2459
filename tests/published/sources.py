"""The published figures in data/, one file a source, as cases for tests."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from _pytest.mark import ParameterSet

DATA = Path(__file__).with_name("data")
STATUSES = ("VERIFIED", "FROM MEMORY", "DERIVED")

Entry = dict[str, Any]


def source(name: str) -> dict[str, Any]:
    """Return a source's file: its meta table and its tables of figures."""
    return tomllib.loads((DATA / f"{name}.toml").read_text(encoding="utf-8"))


def entries(name: str, table: str) -> list[Entry]:
    """Return one table of a source."""
    found: list[Entry] = source(name)[table]
    return found


def cases(figures: Iterable[Entry], *labels: str) -> list[ParameterSet]:
    """Return figures as test cases, each called by its labels and its status."""
    return [
        pytest.param(
            figure, id=f"{' '.join(str(figure[label]) for label in labels)} ({figure['status'].lower()})"
        )
        for figure in figures
    ]
