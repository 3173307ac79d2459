"""Word problems of the teacher's own: told with their unit, and refused where words and numbers do not go together."""

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.setter import set_papers

START = 'title = "L"\n[course]\nformat = "8+4"\n[[question]]\noperation = "subtract"\n'
WARMER = (
    START
    + """story = "The mast reads {first} at noon and {second} at midnight. How much warmer was it at noon?"
unit = "°C"
step = "0.25"
between = "-10 to 40"
"""
)


def test_a_story_is_told_with_numbers_that_fit_it() -> None:
    """Noon is warmer, every number is a quarter of a degree, and each stands in the words with its unit."""
    for paper in set_papers(parse_blueprint(WARMER + 'answer = "0.25 to 40"\n'), variants=3, seed=1):
        (item,) = paper.questions
        noon, midnight = item.question.values
        assert noon > midnight
        assert all(-10 <= value <= 40 and value % 1 in {0, 0.25, 0.5, 0.75} for value in (noon, midnight))
        assert item.words.startswith("The mast reads ")
        assert item.words.count("\u00a0°C") == 2


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (WARMER, "how much warmer, and the answer may be negative"),
        (WARMER + 'answer = "-3 to 40"', "the answer may be negative"),
        (WARMER + 'answer = "40 to 0"', "write the least and the most"),
        (WARMER.replace("{second}", "6") + 'answer = "0 to 40"', "names each number once"),
        (START + 'unit = "mm"', "it belongs to a story"),
        (
            START + 'story = "A rain gauge reads {first}, then {second}."\nunit = "mm"\nstep = "0.25"\n'
            'operands = ["12.03125", "4"]',
            "12.03125 mm does not fit the story: it is no multiple of 0.25 mm",
        ),
        (
            WARMER + 'answer = "0 to 40"\noperands = ["1.5", "2.5"]',
            "\u22121 °C does not fit the story, whose numbers run from 0 to 40",
        ),
    ],
)
def test_a_story_that_does_not_fit_is_refused(text: str, says: str) -> None:
    """Sign, size and step are looked at before anything is set; the sentence says what is wrong."""
    with pytest.raises(EntryError, match=says.replace("+", r"\+")):
        parse_blueprint(text)
