"""The networks that the package brings: the ones that the thresholds were found for, small, and named by their hash."""

from __future__ import annotations

import hashlib
import json
from importlib.resources import files

from chalkpoint.scanning.reader import NAMES, the_reader

HERE = files("chalkpoint.scanning")
MOST = 1_000_000  # bytes


def test_the_thresholds_belong_to_the_weights() -> None:
    """Thresholds say the digest of the weights that they were found for."""
    kept = json.loads((HERE / "thresholds.json").read_text(encoding="utf-8"))
    weights = (HERE / "weights.npz").read_bytes()
    assert hashlib.sha256(weights).hexdigest() == kept["weights"]
    assert len(weights) < MOST


def test_each_reading_has_thresholds() -> None:
    """Each reading has its own two, neither so high that it lets anything pass."""
    reader = the_reader()
    assert reader.networks
    assert set(reader.thresholds) == set(NAMES)
    assert all(0 < one < 1 for pair in reader.thresholds.values() for one in pair)
