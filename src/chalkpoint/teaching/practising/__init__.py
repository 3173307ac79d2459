"""Practice, in class or alone: fresh questions at the right fading level, each own line answered.

All of it is pure: a `Practice` is plain data, each act returns the session after it with what is said to it.

begin, write, hint, keep, fill_in, next_one     what a pupil does
question_in, to_write_next                      the question and the line at hand
summary                                         what a pupil keeps, in plain text
PRACTISED, top_level, level_words               what can be practised, and its fading levels
"""

from chalkpoint.teaching.practising.levels import PRACTISED, level_words, top_level
from chalkpoint.teaching.practising.session import (
    Done,
    Practice,
    Said,
    begin,
    fill_in,
    hint,
    keep,
    next_one,
    question_in,
    to_write_next,
    write,
)
from chalkpoint.teaching.practising.summary import summary

__all__ = [
    "PRACTISED",
    "Done",
    "Practice",
    "Said",
    "begin",
    "fill_in",
    "hint",
    "keep",
    "level_words",
    "next_one",
    "question_in",
    "summary",
    "to_write_next",
    "top_level",
    "write",
]
