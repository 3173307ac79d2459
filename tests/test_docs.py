"""What the documents promise is there: files, commands, rooms and the reason for every library."""

import re
import tomllib
from pathlib import Path

import pytest

from chalkpoint.publishing.scene import scene
from chalkpoint.publishing.svg import svg
from chalkpoint.working.work import work
from floors import FLOORS

ROOT = Path(__file__).parents[1]
DOCUMENTS = [ROOT / "README.md", ROOT / "CHANGELOG.md", *sorted((ROOT / "docs").glob("*.md"))]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def read(*parts: str) -> str:
    """Read a text file of the project."""
    return ROOT.joinpath(*parts).read_text(encoding="utf-8")


def requirements() -> list[str]:
    """List every requirement of the package and its extras, except the package itself."""
    extras = [line for extra in PROJECT["optional-dependencies"].values() for line in extra]
    every = dict.fromkeys((*PROJECT["dependencies"], *extras))  # a library may be in two extras
    return [line for line in every if not line.startswith("chalkpoint[")]


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda document: document.name)
def test_every_link_leads_somewhere(document: Path) -> None:
    """A link in a document to a file of the project names a file that exists."""
    targets = re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", document.read_text(encoding="utf-8"))
    assert [target for target in targets if not (document.parent / target).exists()] == []


def test_the_readme_gives_the_two_commands() -> None:
    """The README names the scripts for starting and testing, and no script that does not exist."""
    named = set(re.findall(r"sh (scripts/\w+)", read("README.md")))
    assert named == {"scripts/start", "scripts/test"}
    assert [script for script in named if not (ROOT / script).is_file()] == []


def test_continuous_integration_runs_the_second_command() -> None:
    """CI calls exactly what the README tells a developer to call."""
    assert re.search(r"^exec sh scripts/test$", read(".ci", "run"), re.MULTILINE)


@pytest.mark.parametrize("room", FLOORS)
def test_every_room_stands_in_the_plan(room: str) -> None:
    """The plan of the house has one row for each room."""
    assert read("docs", "architecture.md").count(f"\n| `{room}` |") == 1


@pytest.mark.parametrize("room", FLOORS)
def test_a_room_that_stands_is_not_called_planned(room: str) -> None:
    """The plan calls no room planned that is already in the source tree."""
    (row,) = re.findall(rf"^\| `{room}` \|.*$", read("docs", "architecture.md"), re.MULTILINE)
    house = ROOT / "src" / "chalkpoint"
    stands = (house / room / "__init__.py").is_file() or (house / f"{room}.py").is_file()
    assert not (stands and "planned" in row)


@pytest.mark.parametrize("requirement", requirements())
def test_every_library_has_a_lower_bound_and_a_reason(requirement: str) -> None:
    """A library is required from a stated version on, and the plan says why it is here."""
    found = re.fullmatch(r"([\w-]+)(?:\[\w+\])?>=[\d.]+", requirement)
    assert found
    assert re.search(rf"^\| {found[1]}\b", read("docs", "architecture.md"), re.MULTILINE)


def test_no_term_is_explained_twice() -> None:
    """One word for one idea: each row of the glossary explains a term of its own."""
    terms = re.findall(r"^\| ([^|]+) \|", read("docs", "glossary.md"), re.MULTILINE)
    terms = [term for term in terms if term not in {"term", "word", "---"}]
    assert sorted(terms) == sorted(set(terms))


def test_the_picture_in_the_readme_is_the_tools_own() -> None:
    """It is drawn by the command of the tour, and made anew by scripts/pictures."""
    working = work("subtract", "8.875", "3.6875", format="8+4", names=("gauge", "datum"))
    assert read("docs", "pictures", "working.svg").strip() == svg(scene(working)).strip()
