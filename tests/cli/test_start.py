"""What is loaded to work a question: nobody waits for what a question does not need."""

import json
import subprocess
import sys
from functools import cache

#: Of the standard library, what is slow to load and a worked question can do without.
SLOW = {"difflib", "json", "pathlib", "random", "statistics", "tomllib", "urllib.parse"}
MEDIA = {"board", "film", "html", "pptxdeck", "slides", "svg", "typst"}


@cache
def loaded_by(lines: str) -> frozenset[str]:
    """Return the modules that a fresh Python has loaded once *lines* have run."""
    code = f"import sys\n{lines}\nprint(' '.join(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    return frozenset(done.stdout.splitlines()[-1].split())


def packages(modules: frozenset[str]) -> set[str]:
    """Return the packages among *modules* that neither Python has nor its own start brings."""
    tops = {name.split(".")[0] for name in modules - loaded_by("")}
    return tops - sys.stdlib_module_names


def rooms(modules: frozenset[str]) -> set[str]:
    """Return the rooms among *modules*."""
    return {name.split(".")[1] for name in modules if name.startswith("chalkpoint.")}


def test_the_engine_loads_two_rooms_and_nothing_slow() -> None:
    """Working a question takes no beliefs, no rules of whole numbers, no file and no library."""
    loaded = loaded_by("import chalkpoint as cp\ncp.work('subtract', '6.5', '1.25')")

    assert packages(loaded) == {"chalkpoint"}
    assert rooms(loaded) == {"numbers", "working"}
    assert not loaded & SLOW
    assert not {name for name in loaded if "beliefs" in name or "whole" in name}


def test_the_engine_is_imported_without_a_catalogue_of_sentences() -> None:
    """Words wait until a working is asked for them: of the catalogue only what methods are called is loaded."""
    loaded = loaded_by("import chalkpoint.working.work")

    wording = {name.split(".")[-1] for name in loaded if name.startswith("chalkpoint.working.wording.")}
    assert wording == {"words_pupils"}


def test_the_command_loads_one_library_and_one_medium() -> None:
    """`chalkpoint work` takes the command-line library, what that stands on, and text."""
    words = json.dumps(["work", "subtract", "6.5", "1.25"])
    loaded = loaded_by(
        f"from chalkpoint.cli import main\ntry:\n    main({words})\nexcept SystemExit:\n    pass"
    )

    assert packages(loaded) == {"chalkpoint", "cyclopts", "attr", "attrs"}
    assert rooms(loaded) == {"cli", "numbers", "publishing", "working"}
    assert not loaded & {f"chalkpoint.publishing.{medium}" for medium in MEDIA}
