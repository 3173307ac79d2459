"""The reader is blind: nothing that knows what is right is imported by it, or reaches it through the papers."""

from __future__ import annotations

import ast
import json
import shutil
from pathlib import Path

import chalkpoint
from chalkpoint.scanning.pictures import sources_in
from chalkpoint.scanning.printed import Printed
from chalkpoint.scanning.reading import read_stack
from stacks import Class

ROOM = Path(chalkpoint.__file__).parent / "scanning"
SEES = {"chalkpoint.numbers", "chalkpoint.scanning"}
#: Of the room itself, what the reader may know: how a network is run. Neither boxes' names nor other lines.
READER_SEES = {"chalkpoint.scanning.network"}


def imported(path: Path) -> set[str]:
    """Return what of ours a module imports, anywhere in it."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
        elif isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
    return {name for name in found if name.partition(".")[0] == "chalkpoint"}


def test_the_room_imports_nothing_that_knows_what_is_right() -> None:
    """No module of it imports working, setting, marking, or anything but numbers."""
    modules = sorted(ROOM.rglob("*.py"))
    assert len(modules) > 10
    for module in modules:
        rooms = {".".join(name.split(".")[:2]) for name in imported(module)}
        assert rooms <= SEES, module


def test_the_reader_sees_crops_and_networks_alone() -> None:
    """It does not know which box, line or question a crop is of, so no reading can lean on another line."""
    assert imported(ROOM / "reader.py") == READER_SEES
    assert imported(ROOM / "network.py") == set()


def test_papers_without_questions_and_schemes_read_the_same(heron: Class, tmp_path: Path) -> None:
    """What is right is taken out of papers.json, and another answer put in: every reading and doubt stays as it was."""
    table = json.loads((heron.folder / "set" / "papers.json").read_text(encoding="utf-8"))
    for paper in table["papers"]:
        paper["questions"] = [{"operation": "add", "operands": ["1", "1"], "answer": "01111111 0111"}]
    for path in (heron.folder / "set").glob("paper-*.pdf"):
        shutil.copy(path, tmp_path)
    (tmp_path / "papers.json").write_text(json.dumps(table), encoding="utf-8")
    sources = sources_in(heron.stack[:2])

    blind = read_stack(sources, Printed.beside(tmp_path / "papers.json"))
    assert blind.to_dict() == read_stack(sources, heron.printed).to_dict()
    assert len(blind.places) > 100
