"""The document lists the proofs that run, with the widths they run at."""

import ast
import re
from pathlib import Path

LISTED = Path(__file__).parents[2] / "docs" / "proofs.md"
PROOFS = Path(__file__).with_name("test_claims.py")
WIDTHS = {"WIDTHS": "any", "SHIFTED": "to 16", "NORMALISED_WIDTHS": "normal"}


def test_every_proof_is_listed_with_its_widths() -> None:
    """Each row of the table names one test and the list of widths it is parametrised by."""
    rows = re.findall(r"^\| .* \| (.*) \| `(\w+)` \|$", LISTED.read_text(encoding="utf-8"), re.MULTILINE)
    tests = [
        node
        for node in ast.parse(PROOFS.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef)
    ]
    widths = {
        test.name: WIDTHS[re.findall(r"\w*(?:WIDTHS|SHIFTED)", ast.unparse(test.decorator_list[0]))[0]]
        for test in tests
        if test.name.startswith("test_") and test.decorator_list
    }

    assert {name: width for width, name in rows} == widths
