"""A session kept and read back goes on as if it had never been put away."""

import json
from typing import Any

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.practising import (
    Practice,
    begin,
    fill_in,
    hint,
    keep,
    next_one,
    practice_from_dict,
    practice_to_dict,
    write,
)
from chalkpoint.working.course import Course

FRESH = begin("subtract", course=Course(name="12 Heron"), seed=7, level=3, where=["lost-ones >= 1"])
DRAFT = write(FRESH, "11111111")
STATES = [FRESH, DRAFT, hint(DRAFT), keep(DRAFT), fill_in(FRESH), next_one(begin("decode", seed=2))]


@pytest.mark.parametrize("session", STATES)
def test_a_session_comes_back_as_it_was(session: Practice) -> None:
    """Through JSON, and the next act does the same."""
    back = practice_from_dict(json.loads(json.dumps(practice_to_dict(session))))

    assert back == session
    assert hint(back) == hint(session)


@pytest.mark.parametrize(
    "data",
    [
        None,
        [],
        {"schema": "chalkpoint.practice/9"},
        {"schema": "chalkpoint.practice/1"},
        practice_to_dict(FRESH) | {"board": [{"rule": "align"}]},
        practice_to_dict(FRESH) | {"course": {"format": "8+"}},
        practice_to_dict(FRESH) | {"extra": 1},
    ],
)
def test_what_is_no_session_is_refused(data: Any) -> None:
    """In one sentence, not with a traceback."""
    with pytest.raises(EntryError):
        practice_from_dict(data)
