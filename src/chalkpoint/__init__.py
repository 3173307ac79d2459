"""Binary floating-point arithmetic by hand: worked, found, set, marked and taught.

>>> import chalkpoint as cp
>>> w = cp.work("subtract", "010111 0011", "010100 0001", format="6+4")
>>> w.result.bits
'010010 0011'
"""

from typing import TYPE_CHECKING, Any

from chalkpoint.numbers.errors import ChalkpointError, EntryError, FileError
from chalkpoint.working.notebook import draw_with

if TYPE_CHECKING:
    from chalkpoint.finding.find import Find, find
    from chalkpoint.finding.found import Found
    from chalkpoint.marking.asking import diagnose
    from chalkpoint.marking.classes import mark
    from chalkpoint.marking.diagnosis import Diagnosis
    from chalkpoint.marking.judgement import Judgement
    from chalkpoint.marking.judging import judge
    from chalkpoint.marking.key import Item, KeyReading, read_key
    from chalkpoint.publishing.papers.folder import set_papers
    from chalkpoint.setting.papers import Papers
    from chalkpoint.working.course import Course, read_course
    from chalkpoint.working.question import Question, ask
    from chalkpoint.working.steps import Step
    from chalkpoint.working.work import work, work_question
    from chalkpoint.working.working import Result, Working

__all__ = [
    "ChalkpointError",
    "Course",
    "Diagnosis",
    "EntryError",
    "FileError",
    "Find",
    "Found",
    "Item",
    "Judgement",
    "KeyReading",
    "Papers",
    "Question",
    "Result",
    "Step",
    "Working",
    "ask",
    "diagnose",
    "find",
    "judge",
    "mark",
    "read_course",
    "read_key",
    "set_papers",
    "work",
    "work_question",
]

# Found by name when first asked for, so that nobody waits for what is not used.
LATER = {
    "Course": "chalkpoint.working.course",
    "Question": "chalkpoint.working.question",
    "Result": "chalkpoint.working.working",
    "Step": "chalkpoint.working.steps",
    "Working": "chalkpoint.working.working",
    "ask": "chalkpoint.working.question",
    "read_course": "chalkpoint.working.course",
    "work": "chalkpoint.working.work",
    "work_question": "chalkpoint.working.work",
    "Diagnosis": "chalkpoint.marking.diagnosis",
    "Find": "chalkpoint.finding.find",
    "Found": "chalkpoint.finding.found",
    "Item": "chalkpoint.marking.key",
    "Judgement": "chalkpoint.marking.judgement",
    "KeyReading": "chalkpoint.marking.key",
    "Papers": "chalkpoint.setting.papers",
    "diagnose": "chalkpoint.marking.asking",
    "find": "chalkpoint.finding.find",
    "judge": "chalkpoint.marking.judging",
    "read_key": "chalkpoint.marking.key",
    "mark": "chalkpoint.marking.classes",
    "set_papers": "chalkpoint.publishing.papers.folder",
}


def __getattr__(name: str) -> Any:
    if name not in LATER:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(LATER[name]), name)


def _picture(working: "Working") -> str:
    """Return *working* drawn for a notebook."""
    from chalkpoint.publishing.html import fragment
    from chalkpoint.publishing.scene import scene

    return fragment(scene(working))


draw_with(_picture)
