"""Binary floating-point arithmetic by hand: worked, found, set, marked and taught.

>>> import chalkpoint as cp
>>> w = cp.work("subtract", "010111 0011", "010100 0001", format="6+4")
>>> w.result.bits
'010010 0011'
"""

from chalkpoint.numbers.errors import ChalkpointError, EntryError, FileError
from chalkpoint.working.course import Course, read_course
from chalkpoint.working.question import Question, ask
from chalkpoint.working.steps import Step
from chalkpoint.working.work import work, work_question
from chalkpoint.working.working import Result, Working


def _picture(working: Working) -> str:
    """Return *working* drawn for a notebook."""
    from chalkpoint.publishing.html import fragment
    from chalkpoint.publishing.scene import scene

    return fragment(scene(working))


Working.picture = _picture

__all__ = [
    "ChalkpointError",
    "Course",
    "EntryError",
    "FileError",
    "Question",
    "Result",
    "Step",
    "Working",
    "ask",
    "read_course",
    "work",
    "work_question",
]
