"""The lesson that tests of teaching and of its media share: the Brackwater gauges, for class 12 Heron."""

from functools import cache
from pathlib import Path

from chalkpoint.teaching.lesson import Lesson
from chalkpoint.teaching.lessonfile import lesson_of, read_lesson
from chalkpoint.teaching.parts import storyboard
from chalkpoint.teaching.storyboard import Storyboard
from chalkpoint.working.work import work

__all__ = ["BRACKWATER", "brackwater", "one_working", "told"]

BRACKWATER = Path(__file__).parent / "teaching" / "brackwater.toml"


@cache
def brackwater() -> Lesson:
    """Return the lesson."""
    return read_lesson(BRACKWATER)


@cache
def told() -> Storyboard:
    """Return its storyboard."""
    return storyboard(brackwater())


@cache
def one_working() -> Storyboard:
    """Return the storyboard of a single lossy subtraction."""
    return storyboard(lesson_of(work("subtract", "8.875", "3.6875")))
