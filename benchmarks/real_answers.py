"""Answers that people wrote, put to the judging: what is said of each, against its cause.

python benchmarks/real_answers.py [first|second|third]
"""

from __future__ import annotations

import sys
import tomllib
from collections import Counter
from pathlib import Path

import chalkpoint as cp
from chalkpoint.numbers.errors import EntryError

FILE = Path(__file__).parents[1] / "tests" / "marking" / "real_answers.toml"


def said_of(one: dict) -> tuple[str, str]:
    """Return what the judging says of an answer, and how that stands to its cause."""
    try:
        said = cp.judge(one["question"], one.get("lines", {}), one["answer"], format=one["format"])
    except EntryError as reason:
        return f"refused: {reason}", "refused"
    slip = said.first_wrong.slip if said.first_wrong else ""
    words = ", ".join(said.among) or "; ".join(" and ".join(pair) for pair in said.together) or slip or "-"
    words = f"{said.verdict}: {words}" if not said.right else "right"
    if one["cause"] == "right":
        return words, "right" if said.right or said.verdict == "right elsewhere" else "accused"
    if said.right:
        return words, "taken for right"
    if not said.among:
        return words, "nothing named"
    return words, "named" if set(one["cause"]) & set(said.among) else "named against its cause"


def main() -> None:
    """Print the table of each half asked for."""
    halves = sys.argv[1:] or ["first", "second", "third"]
    answers = tomllib.loads(FILE.read_text(encoding="utf-8"))
    for half in halves:
        counts: Counter[str] = Counter()
        print(f"\n| question | format | written | cause | said | | source |\n{'| --- ' * 7}|")
        for one in answers[half]:
            words, found = said_of(one)
            counts[found] += 1
            cause = one["cause"] if isinstance(one["cause"], str) else ", ".join(one["cause"])
            cells = (one["question"], one["format"], one["answer"], cause or "-", words, found, one["source"])
            print("| " + " | ".join(cells) + " |")
        print(f"\n{len(answers[half])} answers: " + ", ".join(f"{n} {name}" for name, n in counts.items()))


if __name__ == "__main__":
    main()
