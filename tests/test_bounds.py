"""Every dependency says the oldest release that will do; the known-good set fits (`scripts/lowest.py` tries them)."""

from __future__ import annotations

import runpy
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[1]


def test_the_known_good_set_has_no_release_older_than_the_lowest() -> None:
    """Each lowest release is one release, in constraints.txt there is one at least as new, and pip takes both."""
    lowest = [Requirement(line) for line in runpy.run_path(str(ROOT / "scripts" / "lowest.py"))["lowest"]()]
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    good = {
        canonicalize_name(one.name): one
        for one in map(Requirement, (line for line in lines if line[0] != "#"))
    }
    assert len(lowest) > 40
    for one in lowest:
        known = next(iter(good[canonicalize_name(one.name)].specifier)).version
        least = next(iter(one.specifier)).version
        assert Requirement(f"x>={least}").specifier.contains(known), (one.name, least, known)
