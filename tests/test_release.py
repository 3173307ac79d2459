"""A release can be built at any commit: the wheel holds everything, and does the whole job from an empty folder."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]


def test_the_wheel_does_the_whole_job() -> None:
    """As by hand, but beside the libraries that are installed already."""
    done = subprocess.run(
        [sys.executable, str(ROOT / "scripts" / "release"), "--beside"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("dist/chalkpoint-")
