"""Several papers join into one history a pupil."""

import json
from pathlib import Path
from typing import Any

import pytest

from chalkpoint.marking.histories import histories, read_marks
from chalkpoint.numbers.errors import EntryError


def paper(title: str, **pupils: tuple[str, ...] | None) -> dict[str, Any]:
    """Return marks of a paper: by pupil, the beliefs named, or None for an absent one."""
    students = [
        {
            "student": name,
            "marks": 3,
            "of": 6,
            "absent": held is None,
            "beliefs": [{"misconception": one, "among": [one], "named": True} for one in held or ()],
        }
        for name, held in pupils.items()
    ]
    return {"schema": "chalkpoint.marks/1", "title": title, "students": students}


MARKED = [
    paper("one", Odo=("invert-only", "norm-skipped"), Wren=("sub-adds",), Nerys=()),
    paper("two", Odo=("invert-only", "carry-kept"), Wren=(), Nerys=None),
]


def test_beliefs_stay_come_and_go() -> None:
    """A belief of both sittings stands, one of the last alone is new, one of the first alone is gone."""
    found = histories(MARKED)
    assert found["Odo"].standing() == {"carry-kept": "new", "invert-only": "standing", "norm-skipped": "gone"}
    assert found["Wren"].standing() == {"sub-adds": "gone"}


def test_an_absent_pupil_has_no_sitting() -> None:
    """Nothing is concluded from a paper that was not sat."""
    assert [sitting.paper for sitting in histories(MARKED)["Nerys"].sittings] == ["one"]


def test_what_is_no_marks_file_is_refused(tmp_path: Path) -> None:
    """Another kind of object is refused in one sentence."""
    (tmp_path / "x.json").write_text(json.dumps({"schema": "other"}), encoding="utf-8")
    with pytest.raises(EntryError, match="not marks; the object needs"):
        read_marks(tmp_path / "x.json")
