"""Data as typst writes it: read back by the compiler itself."""

import json

import pytest
import typst

from chalkpoint.publishing.typst.literals import Length, literal


@pytest.mark.parametrize(
    "data",
    [
        "",
        'a "quoted" \\ word\n and a second line',
        "#not a call",
        *(0, -3, 2.5, True, None),
        *([], [1], {}, {"a b": [1, {"c": "d"}]}),
    ],
)
def test_the_compiler_reads_back_what_was_written(data: object) -> None:
    """Text, numbers, lists and tables, nothing taken for code."""
    source = f"#metadata({literal(data)}) <it>"

    assert json.loads(typst.query(source.encode(), "<it>", field="value", one=True)) == data


def test_a_length_has_its_unit() -> None:
    """Millimetres."""
    assert literal(Length(2.5)) == "2.5mm"


def test_other_data_is_refused() -> None:
    """There is no form for a set."""
    with pytest.raises(TypeError, match="set has no form"):
        literal({1})
