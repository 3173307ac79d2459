"""A practice session as data and back (chalkpoint.practice/1)."""

from __future__ import annotations

from dataclasses import asdict

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.board import Kept, kept_to_dict
from chalkpoint.teaching.practising.session import Done, Practice, Said
from chalkpoint.working.course import course_from

__all__ = ["SCHEMA", "practice_from_dict", "practice_to_dict"]

SCHEMA = "chalkpoint.practice/1"


def practice_to_dict(practice: Practice) -> JsonObject:
    """Return *practice* as JSON keys."""
    return {
        "schema": SCHEMA,
        "course": practice.course.to_dict(),
        "operation": practice.operation,
        "seed": practice.seed,
        "to": practice.to,
        "where": list(practice.where),
        "level": practice.level,
        "streak": practice.streak,
        "question": practice.question,
        "counter": practice.counter,
        "board": [kept_to_dict(line) for line in practice.board],
        "draft": None if practice.draft is None else kept_to_dict(practice.draft),
        "depth": practice.depth,
        "tally": _done_to_dict(practice.tally),
        "shown": list(practice.shown),
        "said": None if practice.said is None else asdict(practice.said),
        "done": [_done_to_dict(one) for one in practice.done],
    }


def _done_to_dict(done: Done) -> JsonObject:
    return asdict(done) | {"hints": [list(pair) for pair in done.hints]}


def practice_from_dict(data: object) -> Practice:
    """Return the session that `practice_to_dict` wrote as *data*.

    >>> from chalkpoint.teaching.practising.session import begin
    >>> session = begin("add", seed=3)
    >>> practice_from_dict(practice_to_dict(session)) == session
    True

    Raises EntryError where *data* is no session of this kind.
    """
    kept: JsonObject = data if isinstance(data, dict) else {}
    schema = kept.get("schema")
    if schema != SCHEMA:
        raise EntryError(f"schema = {schema!r} is no practice session; give what was kept as {SCHEMA}")
    try:
        return _practice(kept)
    except (KeyError, TypeError, ValueError) as reason:
        raise EntryError(f"this session was not kept whole ({reason}); begin a new one") from reason


def _practice(data: JsonObject) -> Practice:
    kept = {key: value for key, value in data.items() if key != "schema"}
    return Practice(
        **{
            **kept,
            "course": course_from(data["course"]),
            "where": tuple(data["where"]),
            "board": tuple(Kept(**line) for line in data["board"]),
            "draft": None if data["draft"] is None else Kept(**data["draft"]),
            "tally": _done(data["tally"]),
            "shown": tuple(data["shown"]),
            "said": None if data["said"] is None else Said(**data["said"]),
            "done": tuple(_done(one) for one in data["done"]),
        }
    )


def _done(data: JsonObject) -> Done:
    return Done(**{**data, "hints": tuple((rule, depth) for rule, depth in data["hints"])})
