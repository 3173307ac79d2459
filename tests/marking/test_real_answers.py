"""Answers that people wrote: every one is judged, no right one accused, and what is named goes with its cause."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

import chalkpoint as cp

ANSWERS = tomllib.loads((Path(__file__).parent / "real_answers.toml").read_text(encoding="utf-8"))
EVERY = [answer for part in ANSWERS.values() for answer in part]
#: Products of the rows as they stand, kept in full: nothing is said of what is longer than the format.
IN_FULL = {"1.100010", "1100100.0000100010011111001111011"}


@pytest.mark.parametrize("one", EVERY, ids=lambda one: f"{one['question']} = {one['answer']}")
def test_what_is_said_of_a_real_answer(one: dict[str, Any]) -> None:
    """It is judged; right where it is right; and a belief is named only if it is the cause."""
    said = cp.judge(one["question"], one.get("lines", {}), one["answer"], format=one["format"])
    if one["cause"] == "right":
        assert said.right
        return
    assert not said.right
    if one["cause"] and one["answer"] not in IN_FULL:
        assert set(one["cause"]) & set(said.among)
    else:
        assert not said.among


def test_there_are_enough() -> None:
    """At least forty, in two halves, each with its source."""
    assert len(EVERY) >= 40
    assert min(len(ANSWERS[part]) for part in ("first", "second")) >= 20
    assert all(one["source"] for one in EVERY)
