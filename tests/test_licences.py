"""The page of licences lists every dependency by extra, and says what the installed packages say of themselves."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import PackageNotFoundError, metadata
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PAGE = (ROOT / "docs" / "licences.md").read_text(encoding="utf-8")
#: What packages say of their licence in words, and the page in short.
SHORT = {
    "MIT License": "MIT",
    "BSD License": "BSD",
    "Apache Software License": "Apache-2.0",
}
#: Parts of the page about what is handed on with ours, and is no dependency.
HANDED_ON = {"Kept in this repository", "Handed on in the files of `chalkpoint tab`"}
FOLLOWING = {"av": "x264 and x265", "espeakng-loader": "GPL-3", "psycopg": "LGPL"}


def listed() -> dict[str, dict[str, list[str]]]:
    """Return the cells of the page, by extra and package."""
    found: dict[str, dict[str, list[str]]] = {}
    for part in PAGE.split("\n## ")[1:]:
        rows = [
            [cell.strip() for cell in line.strip("|").split("|")]
            for line in part.splitlines()
            if line[:1] == "|"
        ]
        found[part.splitlines()[0]] = {row[0]: row[1:] for row in rows[2:]}
    return found


def wanted() -> dict[str, list[str]]:
    """Return the packages of each extra."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    groups = {"always": project["dependencies"], **project["optional-dependencies"]}
    names = {
        extra: [re.split(r"[\[<>=~!; ]", one, maxsplit=1)[0] for one in given]
        for extra, given in groups.items()
    }
    return {
        extra: [name for name in given if name != "chalkpoint"]
        for extra, given in names.items()
        if any(name != "chalkpoint" for name in given)
    }


def test_every_dependency_is_listed_under_its_extra_and_nothing_else_is() -> None:
    """In the order of pyproject.toml."""
    found = {extra: list(rows) for extra, rows in listed().items() if extra not in HANDED_ON}
    assert found == wanted()


@pytest.mark.parametrize("extra", wanted())
def test_the_licence_is_the_one_the_installed_package_has(extra: str) -> None:
    """As its metadata says it; where that says nothing, the page does."""
    for name, (licence, _) in listed()[extra].items():
        assert licence, name
        try:
            own = metadata(name)
        except PackageNotFoundError:
            continue
        classified = [
            one.split(" :: ")[-1] for one in own.get_all("Classifier", []) if one.startswith("License ::")
        ]
        said = own.get_all("License-Expression") or [SHORT.get(one, one) for one in classified]
        assert all(one in licence for one in said), (name, said, licence)


def test_what_follows_from_a_stricter_licence_is_said() -> None:
    """Whatever is under the GPL or the LGPL has a word on what follows."""
    for rows in listed().values():
        for name, (licence, follows) in rows.items():
            if "GPL" in licence or "MPL" in licence or name in FOLLOWING:
                assert follows, name
            assert FOLLOWING.get(name, "") in licence + follows


def test_the_known_good_set_has_every_dependency_within_its_bounds() -> None:
    """Each package that is installed for the tests is in constraints.txt, at a release that pyproject.toml takes."""
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    known = {one.split("==")[0].lower().replace("_", "-") for one in lines if "==" in one}
    needed = {
        name.lower().replace("_", "-")
        for extra, names in wanted().items()
        if extra != "benchmarks"
        for name in names
    }
    assert needed <= known
