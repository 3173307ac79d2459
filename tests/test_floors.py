"""The house stands on its floors: every module of ours keeps the laws, and the laws catch who breaks them."""

from pathlib import Path

import pytest

import chalkpoint
from floors import FLOORS, offences

HOUSE = Path(chalkpoint.__file__).parent


def modules() -> list[tuple[str, Path]]:
    """List every module of the package with its file."""
    files = sorted(HOUSE.rglob("*.py"))
    return [(".".join(file.relative_to(HOUSE.parent).with_suffix("").parts), file) for file in files]


def test_every_module_keeps_the_laws() -> None:
    """No module imports upward, knows what another room owns, or makes a float where none may be."""
    broken = []
    for name, file in modules():
        package, is_package = name.removesuffix(".__init__"), name.endswith(".__init__")
        broken += offences(package, file.read_text(encoding="utf-8"), is_package=is_package)
    assert broken == []


def test_the_whole_package_is_read() -> None:
    """The list of modules holds the package itself, so the test above reads the right folder."""
    assert "chalkpoint.__init__" in dict(modules())


@pytest.mark.parametrize(
    ("module", "source", "offence"),
    [
        (
            "numbers.bits",
            "import chalkpoint.working",
            "imports chalkpoint.working, which is not below numbers",
        ),
        ("numbers.bits", "from chalkpoint import cli", "imports chalkpoint.cli, which is not below numbers"),
        (
            "working.rules",
            "from chalkpoint import work",
            "imports chalkpoint.work, which is not below working",
        ),
        ("working.rules", "from ..web import app", "imports chalkpoint.web.app, which is not below working"),
        (
            "marking.marks",
            "from .. import teaching",
            "imports chalkpoint.teaching, which is not below marking",
        ),
        ("web.app", "from chalkpoint.cli import main", "imports chalkpoint.cli.main, which is not below web"),
        ("finding.atlas", "import chalkpoint", "imports chalkpoint, which is not below finding"),
        ("teaching.live", "import starlette.routing", "imports starlette, which only web may know"),
        ("marking.report", "from pptx import Presentation", "imports pptx, which only publishing may know"),
        ("web.pages", "import sqlalchemy as sa", "imports sqlalchemy, which only records may know"),
        ("working.check", "import gmpy2", "imports gmpy2, which belongs to the tests"),
        ("publishing.voice", "import numpy as np", "imports numpy outside a function"),
        (
            "cli.scan",
            "from chalkpoint.scanning import stack",
            "imports chalkpoint.scanning.stack outside a function",
        ),
        ("web.pages", "import cv2", "imports cv2, which only scanning may know"),
        ("working.check", "half = 0.5", "writes the float 0.5"),
        ("working.check", "half = float(x)", "calls float()"),
        ("working.check", "halves = map(float, row)", "hands float to map()"),
        ("numbers.bits", "half = float.fromhex(x)", "uses a method of float"),
        ("numbers.bits", "places = math.log2(x)", "uses math.log2, which is not exact"),
        ("numbers.bits", "from math import ldexp", "uses math.ldexp, which is not exact"),
        ("numbers.arrays", "row.astype(np.float64)", "uses float64, an array of floats"),
    ],
)
def test_a_broken_law_is_named(module: str, source: str, offence: str) -> None:
    """Each law, broken by one line, is told with the module and the line."""
    assert offences(f"chalkpoint.{module}", source) == [f"chalkpoint.{module}:1 {offence}"]


@pytest.mark.parametrize(
    "source",
    [
        "def later():\n    from chalkpoint.web import app",
        "class Later:\n    def now(self):\n        import chalkpoint.web.app",
        "if TYPE_CHECKING:\n    from chalkpoint.web import app",
        "importlib.import_module('chalkpoint.web.app')",
    ],
)
def test_a_hidden_import_counts(source: str) -> None:
    """An import upward is found inside functions, for type checkers only, and made by name."""
    (offence,) = offences("chalkpoint.numbers.bits", source)
    assert "which is not below numbers" in offence


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("chalkpoint", "from chalkpoint.cli import main"),
        ("chalkpoint.__main__", "from chalkpoint.cli import main"),
        ("chalkpoint.cli", "from chalkpoint import numbers\nfrom chalkpoint.web import app\nimport cyclopts"),
        ("chalkpoint.working.check", "from chalkpoint.numbers import bits\nfrom . import rules\nimport math"),
        ("chalkpoint.working.check", "wrong = isinstance(x, float)\nwhole = math.floor(x)"),
        ("chalkpoint.working.check", "wrong = isinstance(x, (int, float))"),
        ("chalkpoint.numbers.arrays", "def later():\n    import numpy as np"),
        ("chalkpoint.numbers.arrays", "if TYPE_CHECKING:\n    import numpy as np"),
        ("chalkpoint.working.rules", "from chalkpoint.working import floating\nfloating.align"),
        ("chalkpoint.working.rules", "chalkpoint.working.floating.align"),
        ("chalkpoint.publishing.page", "half = 0.5\nimport typst"),
    ],
)
def test_what_the_laws_allow_passes(module: str, source: str) -> None:
    """Imports downward and within a room, lazy arrays, and refusing a float are no offence."""
    assert offences(module, source) == []


def test_a_package_resolves_its_own_relative_imports() -> None:
    """In a package's own file one dot means the package, in a module it means the package around it."""
    assert offences("chalkpoint.working", "from .rules import align", is_package=True) == []


def test_a_room_that_is_not_in_the_plan_is_named() -> None:
    """A new room needs a floor first."""
    assert offences("chalkpoint.helpers.misc", "") == ["chalkpoint.helpers.misc is in no room of the house"]


def test_the_plan_names_the_floors_in_order() -> None:
    """docs/architecture.md lists the rooms in the order that the laws use."""
    plan = (Path(__file__).parents[1] / "docs" / "architecture.md").read_text(encoding="utf-8")
    assert ", ".join(f"`{room}`" for room in FLOORS) in plan
