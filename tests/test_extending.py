"""docs/extending.md: each example is written into a copy of the source, and tried there."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PIECE = re.compile(r"```python\n# (\S+?)(?:, behind: ([^\n]+))?\n(.*?)```", re.DOTALL)
SECTION = re.compile(r"^## (.+)$", re.MULTILINE)

BEFORE = """
from chalkpoint.marking.marks import mark_question
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.setter import set_papers
from heron import one_question


def set_one(operation, trait, method="align-then-negate"):
    course = f'[course]\\nmethod = "{method}"'
    text = f'title = "Gauge"\\n{course}\\n[[question]]\\noperation = "{operation}"\\nwhere = ["{trait}"]'
    made = set_papers(parse_blueprint(text), variants=2, seed=1)
    assert len(made.papers) == 2
"""

TRIED = {
    "A belief": """
import chalkpoint as cp
lines = {"align": "0.0010100", "negate": "1.1101010"}
said = cp.judge("subtract 6.5, 1.25", lines)
assert "copy-last-bit" in said.among, said.among
asked = one_question("subtract", "6.5", "1.25")
assert mark_question(asked, lines | {"answer": "0.1010010 0011"}).marks < asked.marks
assert cp.find("subtract", format="4+2", where=["exposes:copy-last-bit"]).count > 0
set_one("subtract", "exposes:copy-last-bit")
""",
    "A method that courses accept": """
import chalkpoint as cp
course = cp.Course(accepts=("two-guard-bits",))
own = cp.work("subtract", "01101000 0011", "01011011 0000", method="two-guard-bits")
align, cut = (next(step for step in own.steps if step.rule == rule) for rule in ("align", "cut"))
assert align.rows[1].bits == "0000101101", align.rows  # 0.1011011 moved 3, the third bit lost
assert "2 guard bits are kept past the last place." in align.detail, align.detail
assert cut.rows[-1].bits == "01011100" and cut.rows[-1].lost == "11", cut.rows
assert own.result.bits == "01011100 0011"
assert cp.judge("subtract 01101000 0011, 01011011 0000", {}, own.result.bits, course=course).right
asked = one_question("subtract", "01101000 0011", "01011011 0000", accepts=["two-guard-bits"])
marked = mark_question(asked, {"align": "0.000101101", "answer": own.result.bits})
assert marked.marks == asked.marks, [(mark.name, mark.given, mark.why) for mark in marked.points]
assert cp.find("subtract", course=cp.Course(format="4+2", method="two-guard-bits")).count > 0
set_one("subtract", "lost-ones >= 1", method="two-guard-bits")
""",
    "A trait": """
import chalkpoint as cp
found = cp.find("add", format="4+2", where=["first-column-carries"])
assert 0 < found.count < cp.find("add", format="4+2").count
set_one("add", "first-column-carries")
""",
    "A format": """
import chalkpoint as cp
assert cp.work("add", "1.5", "0.25", format="gauge8").result.value == cp.work("encode", "1.75").result.value
""",
    "A medium": """
import chalkpoint as cp
from chalkpoint.publishing.columns import columns
assert "Add" in columns(cp.work("add", "1.5", "0.25"))
""",
    "An operation": """
import chalkpoint as cp
working = cp.work("double", "0.1010000 0001")
assert working.result.bits == "01010000 0010"
assert [step.title for step in working.steps][1] == "Double"
assert cp.work("double", "0.1010000 0111").result.outcome == "overflow"
assert cp.judge("double 0.1010000 0001", {}, "0.1010000 0010").right
assert not cp.judge("double 0.1010000 0001", {}, "0.1010000 0011").right
assert cp.find("double", format="4+2").count > 0
set_one("double", "not operand-zero")
asked = one_question("double", "0.1010000 0001")
assert mark_question(asked, {"answer": "0.1010000 0010"}).marks == asked.marks
assert mark_question(asked, {"answer": "0.1010000 0011"}).marks == 0
""",
}


def pieces() -> dict[str, list[tuple[str, str, str]]]:
    """Return, by heading, each piece of code: its file, the line it stands behind, the code."""
    text = (ROOT / "docs" / "extending.md").read_text(encoding="utf-8")
    parts = SECTION.split(text)[1:]
    return {name: PIECE.findall(body) for name, body in zip(parts[::2], parts[1::2], strict=True)}


def test_every_kind_of_addition_has_its_example() -> None:
    """The page and this test name the same kinds, and each has a piece of code."""
    assert list(pieces()) == list(TRIED)
    assert all(pieces().values())


def test_an_operation_is_a_handful_of_files() -> None:
    """Those named in the page: what it takes, declaration, rules, words, traits and points."""
    assert len({file for file, _, _ in pieces()["An operation"]}) <= 6


@pytest.mark.parametrize("kind", list(TRIED))
def test_what_is_added_works(kind: str, tmp_path: Path) -> None:
    """In a copy of the source."""
    shutil.copytree(ROOT / "src", tmp_path / "src", ignore=shutil.ignore_patterns("__pycache__"))
    for file, line, code in pieces()[kind]:
        path = tmp_path / file
        if not line:
            path.write_text(code, encoding="utf-8")
            continue
        lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
        found = [number for number, text in enumerate(lines) if text.strip() == line.strip()]
        assert len(found) == 1, f"{file} has the line {line!r} {len(found)} times; mend docs/extending.md"
        at = found[0]
        path.write_text("".join([*lines[: at + 1], code, *lines[at + 1 :]]), encoding="utf-8")
    searched = os.pathsep.join(str(folder) for folder in (tmp_path / "src", ROOT / "tests"))
    done = subprocess.run(
        [sys.executable, "-c", BEFORE + TRIED[kind]],
        env=os.environ
        | {"PYTHONPATH": searched, "XDG_CACHE_HOME": str(tmp_path), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
