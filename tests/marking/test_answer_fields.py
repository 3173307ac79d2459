"""The two fields of an answer, each held against its own: a mantissa alone leaves the exponent's mark out."""

import pytest

from chalkpoint.marking.marks import mark_question
from heron import one_question


@pytest.mark.parametrize(
    ("answer", "mantissa", "exponent"),
    [
        ("0.1111100 0011", "right", "right"),
        ("0.1111100", "right", "absent"),
        ("0.1111000", "off", "absent"),
        ("0.1111100 0010", "right", "off"),
    ],
)
def test_each_field_of_a_sum_is_marked_by_itself(answer: str, mantissa: str, exponent: str) -> None:
    """6.5 + 1.25 = 7.75 = 0.1111100 x 2^3 in 8+4."""
    asked = one_question("add", "6.5", "1.25")
    found = {
        point.part: point.status for point in mark_question(asked, {"answer": answer}).points if point.part
    }
    assert (found["mantissa"], found["exponent"]) == (mantissa, exponent)
