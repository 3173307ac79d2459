"""Whole cases, one a question type: everything that is said of a script's marks.

`pytest --write-golden` writes them anew; read what changed before committing.
"""

import json
from pathlib import Path

import pytest

from chalkpoint.marking.marks import mark_question
from chalkpoint.marking.students import entry_of
from heron import one_question

CASES = Path(__file__).parent / "cases"
WRITTEN = {
    "decode": (("decode", "1.0110000 1110"), {"exponent": "-2", "mantissa": "5/8", "answer": "5/32"}),
    "encode": (("encode", "-5.25"), {"size": "0101.01", "sign": "1010.10", "answer": "1.0101000 0011"}),
    "normalise": (("normalise", "1.1110010 0010"), {"answer": "1.0010000 0101"}),
    "negate": (("negate", "0.0110100 0011"), {"negate": "1.1001011", "answer": "1.0010110 0010"}),
    "add": (
        ("add", "2.75", "-1.5"),
        {"align": "0.1010000", "add": "1.1111000", "answer": "1.0000000 1110", "decimal": "1.25"},
    ),
    "subtract": (
        ("subtract", "6.5", "1.25"),
        {
            "align": "0.0010100",
            "negate": "1.1101011",
            "add": "0.1010011",
            "exponent": "0011",
            "answer": "5.1875",
        },
    ),
    "multiply": (
        ("multiply", "-5", "1.375"),
        {"exponents": "3", "product": "11.10010010", "answer": "1.0010010 0010"},
    ),
    "divide": (
        ("divide", "2.5", "-1.5"),
        {"exponents": "3", "quotient": "0.1101010101", "sign": "1.0010101010", "answer": "1.0010101 0011"},
    ),
    "range": (("range",), {"largest positive": "1.1111111 1111", "most negative": "1.0000000 0111"}),
    "error": (("error", "4.6"), {"answer": "0.1001001 0011", "absolute": "0.0375", "relative": "3/365"}),
}


@pytest.mark.parametrize("name", WRITTEN)
def test_a_whole_case(name: str, request: pytest.FixtureRequest) -> None:
    """Marks, statuses and reasons are those of the file."""
    question, lines = WRITTEN[name]
    entry = entry_of(mark_question(one_question(*question), lines), lines)
    marked = {"question": list(question), "written": lines} | entry
    path = CASES / f"{name}.json"
    if request.config.getoption("--write-golden"):
        path.write_text(json.dumps(marked, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    assert json.loads(path.read_text(encoding="utf-8")) == marked
