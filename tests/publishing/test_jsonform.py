"""A working as JSON: the promised keys, in their order, and exact values."""

import json
import re
from fractions import Fraction

from hypothesis import given, settings

import chalkpoint as cp
from chalkpoint.publishing.jsonform import as_json
from drawn import workings

PROMISED = {
    "": ["schema", "question", "method", "steps", "result", "check"],
    "question": ["operation", "format", "operands", "course"],
    "result": ["outcome", "bits", "value"],
    "check": [
        "exact",
        "nearest",
        "by_rule",
        "verdict",
        "error",
        "unavoidable_error",
        "relative_error",
        "error_ulps",
    ],
}


def read_exact(text: str) -> Fraction:
    """Return the value of p/q, or of a sum of terms n*2^k."""
    if "*" not in text:
        return Fraction(text)
    terms = re.findall(r"([+-]?\d+)\*2\^(-?\d+)", text)
    return sum((int(number) * Fraction(2) ** int(power) for number, power in terms), Fraction(0))


@given(workings())
@settings(max_examples=60)
def test_the_promised_keys_come_first_and_in_order(working: cp.Working) -> None:
    """Others may follow; these never move."""
    found = as_json(working)

    assert list(found) == PROMISED[""]
    for name in ("question", "result", "check"):
        assert list(found[name])[: len(PROMISED[name])] == PROMISED[name]
    for step in found["steps"]:
        assert list(step)[:3] == ["rule", "says", "rows"]
        for row in step["rows"]:
            assert list(row)[:4] == ["label", "bits", "exponent", "lost"]


@given(workings())
@settings(max_examples=60)
def test_it_is_json_and_reads_back_the_same(working: cp.Working) -> None:
    """Nothing in it is more than strings, whole numbers, lists and null."""
    found = as_json(working)

    assert json.loads(json.dumps(found)) == found
    assert "Infinity" not in json.dumps(found)


@given(workings(sizes=(16, 6)))
@settings(max_examples=60)
def test_values_are_exact(working: cp.Working) -> None:
    """A value reads back as the fraction it was, in powers of two where it is long."""
    found = as_json(working)

    assert read_exact(found["check"]["exact"]) == working.check.exact
    if working.result.value is not None:
        assert read_exact(found["result"]["value"]) == working.result.value
        assert read_exact(found["check"]["error"]) == working.check.exact - working.result.value


def test_the_example_of_the_design() -> None:
    """As it stands there, key by key."""
    found = as_json(cp.work("subtract", "010111 0011", "010100 0001", format="6+4"))

    assert found["schema"] == "chalkpoint.working/1"
    assert found["question"]["operands"] == ["010111 0011", "010100 0001"]
    assert found["question"]["format"] == "6+4"
    assert found["method"] == "align-then-negate"
    assert found["result"] == {"outcome": "in range", "bits": "010010 0011", "value": "9/2"}
    assert found["check"] == {
        "exact": "9/2",
        "nearest": ["010010 0011"],
        "by_rule": "010010 0011",
        "verdict": "exact",
        "error": "0",
        "unavoidable_error": "0",
        "relative_error": "0",
        "error_ulps": "0",
    }
    after = found["steps"][1]["rows"][1]
    assert (after["label"], after["bits"], after["exponent"], after["lost"]) == ("after", "000101", 3, "00")


def test_fields_of_their_own_are_further_keys() -> None:
    """A sign, the exponent as it is stored, a hidden bit, the names of guard, round and sticky places."""
    steps = as_json(cp.work("add", "6.5", "1.375", format="1+4+3"))["steps"]
    pattern, size = steps[0]["rows"][0], steps[1]["rows"][0]

    assert (pattern["sign"], pattern["stored"], pattern["exponent"]) == ("0", 9, 2)
    assert pattern["in_order"] == "sign exponent fraction"
    assert (size["bits"], size["unwritten"], size["beyond"]) == ("1101000", "1000000", "GRS")


def test_what_has_no_value_has_a_word() -> None:
    """An infinity's value is null, and the word says what it is."""
    (row,) = as_json(cp.work("decode", "1 1111 000", format="1+4+3"))["steps"][0]["rows"]

    assert (row["value"], row["word"]) == (None, "\u2212infinity")


def test_an_outcome_in_words_has_no_bits() -> None:
    """Overflow: null where there is no pattern."""
    found = as_json(cp.work("add", "01111111 0111", "01111111 0111"))

    assert found["result"] == {"outcome": "overflow", "bits": None, "value": None}
    assert (found["check"]["verdict"], found["check"]["error"]) == ("overflow", None)


def test_a_range_has_its_four_values() -> None:
    """Each with its bits."""
    values = as_json(cp.work("range", format="8+4"))["result"]["values"]

    assert values["most negative"] == {"bits": "10000000 0111", "value": "-128"}
    assert len(values) == 4
