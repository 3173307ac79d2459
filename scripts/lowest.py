#!/usr/bin/env python3
"""The oldest releases that pyproject.toml says will do: found, installed apart, and tested.

    scripts/lowest.py                          resolve them only, as pip would install them; nothing is installed
    scripts/lowest.py --install build/lowest   install them into an environment of their own there
    scripts/lowest.py --install build/lowest tests/records tests/web/test_signing.py
                                               ... and run these tests in it; `tests` runs all of them

It says which releases it took and what was run, and leaves with the first thing that fails.
"""

from __future__ import annotations

import argparse
import os
import re
import subprocess
import sys
import tempfile
import tomllib
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
EXTRAS = ("serve", "postgresql", "speech", "video", "test")
BOUND = re.compile(r"(?P<name>[\w.-]+)(?P<extra>\[[\w,]+\])?>=(?P<least>[\w.]+)$")


def lowest(extras: tuple[str, ...] = EXTRAS) -> list[str]:
    """Return every direct dependency, held to its lowest release."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [*project["dependencies"]]
    for extra in extras:
        wanted += project["optional-dependencies"][extra]
    found = {}
    for one in wanted:
        if one.startswith("chalkpoint["):
            found |= {line.partition("==")[0]: line for line in lowest(tuple(re.findall(r"[\w-]+", one)[1:]))}
            continue
        bound = BOUND.match(one)
        if bound is None:
            raise SystemExit(f"{one!r} has no lower bound alone; write {one.split('>')[0]}>=RELEASE")
        name = f"{bound['name']}{bound['extra'] or ''}"
        found[name] = f"{name}=={bound['least']}"
    return sorted(found.values())


def main() -> None:
    """Do what the words say."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--install", type=Path)
    parser.add_argument("tests", nargs="*")
    asked = parser.parse_args()
    lines = lowest()
    print(f"{len(lines)} direct dependencies at their lowest: {', '.join(lines)}", flush=True)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "lowest.txt")
        file.write_text("\n".join(lines) + "\n", encoding="utf-8")
        if asked.install is None:
            run(
                [
                    sys.executable,
                    "-m",
                    "pip",
                    "install",
                    "--dry-run",
                    "--ignore-installed",
                    "--quiet",
                    "-r",
                    str(file),
                ]
            )
            print("They can be installed together. Nothing was installed, and no test was run.")
            return
        venv.create(asked.install, with_pip=True)
        python = str(asked.install / ("Scripts/python.exe" if os.name == "nt" else "bin/python"))
        run([python, "-m", "pip", "install", "--quiet", "-r", str(file)])
        run([python, "-m", "pip", "install", "--quiet", "--no-deps", str(ROOT)])
        run([python, "-m", "pip", "check"])
    if asked.tests:
        run([python, "-m", "pytest", "-q", *asked.tests])
    print(f"Tests run: {' '.join(asked.tests) or 'none'}.")


def run(words: list[str]) -> None:
    """Run a command, and leave with its code where it fails."""
    done = subprocess.run(words, cwd=ROOT, check=False)
    if done.returncode:
        sys.exit(done.returncode)


if __name__ == "__main__":
    main()
