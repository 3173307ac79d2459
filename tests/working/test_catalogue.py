"""What a pupil reads is in the catalogue, and nowhere beside it: no sentence is written where it is only used."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import chalkpoint

ROOT = Path(chalkpoint.__file__).parent
CATALOGUE = {"words.py", "words_end.py", "words_values.py", "words_pupils.py"}
WRITERS = [
    *(path for path in sorted((ROOT / "working/wording").glob("*.py")) if path.name not in CATALOGUE),
    *map(ROOT.joinpath, ("setting/instructions.py", "marking/feedback.py", "teaching/hints.py")),
]
LEAST = 3  # words: fewer are a label, a unit or a key
NAMES = {"not a number", "sign and magnitude", "name the method", "pattern and format"}  # of kinds, in code


def sentences(source: str) -> Iterator[str]:
    """Yield the strings of *source* that are sentences, or parts of one: docstrings and errors left out."""
    tree = ast.parse(source)
    left_out = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.Raise)
        or (isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant))
        for inner in ast.walk(node)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in left_out:
            words = [word for word in node.value.split() if word.strip("().,:;\u2212=+").isalpha()]
            if len(words) >= LEAST and node.value not in NAMES:
                yield node.value


@pytest.mark.parametrize("path", WRITERS, ids=lambda path: path.stem)
def test_no_sentence_stands_outside_the_catalogue(path: Path) -> None:
    """Writers of steps, the check, papers' tasks, hints and pupils' pages have keys and facts only."""
    assert list(sentences(path.read_text(encoding="utf-8"))) == []


def test_a_sentence_outside_would_be_found() -> None:
    """A part of one, too; an error, a docstring and a name of two words are none."""
    source = """
def f(x):
    '''What is said here.'''
    if not x:
        raise ValueError("nothing is said here")
    return f"The sum of {x} is too long", "whole number"
"""
    assert list(sentences(source)) == ["The sum of ", " is too long"]
