"""What a pupil reads or hears is in the catalogue, once, and whole: nothing is written where it is only used."""

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import chalkpoint
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.wording.words import IN_PARTS, WORDS

ROOT = Path(chalkpoint.__file__).parent
CATALOGUE = sorted((ROOT / "working/wording").glob("words*.py"))
BELIEVED = sorted((ROOT / "working/beliefs").glob("*.py"))  # a belief's words are part of its declaration
ROOMS = ("working", "setting", "teaching", "publishing")
#: What no pupil sees: why something is refused, and what a teacher reads of a class, a key or a file.
FOR_TEACHERS = {
    *("working/conventions.py", "working/course.py", "working/operands.py", "working/question.py"),
    *("setting/blueprint.py", "setting/ownstory.py", "setting/paperfile.py", "setting/kinds.py"),
    *(
        "setting/practice.py",
        "setting/report.py",
        "setting/slots.py",
        "setting/validation.py",
        "setting/variants.py",
    ),
    *(
        "setting/asking.py",
        "setting/diagnose.py",
        "setting/drawn.py",
        "setting/fairness.py",
        "setting/families.py",
    ),
    *("setting/marks.py", "setting/measures.py"),
    *("teaching/lesson.py", "teaching/lessonfile.py", "teaching/lines.py", "teaching/script.py"),
    *(
        "teaching/live/asking.py",
        "teaching/live/letters.py",
        "teaching/live/room.py",
        "teaching/live/words.py",
    ),
    *("publishing/handout.py", "publishing/keyed.py", "publishing/workbooks.py"),
    *("working/operations/declared.py", "working/typed.py"),
    *("working/speech.py", "teaching/hearing.py"),  # signs and numbers as they are heard, in any sentence
    "publishing/voice.py",
}
LEAST = 3  # words: fewer are a label, a unit or a key
NAMES = {  # of kinds, in code; and patterns, styles and markup
    *("not a number", "sign and magnitude", "name the method", "pattern and format", "its low bits"),
    *("representation and truncation error", "sign exponent fraction", "a question to count lines by"),
    *("a question of each rung", ", and so on", "and so on"),
}
#: How a sentence would be cut up: a text is parted at, or rid of, punctuation or words.
CUTTERS = {"split", "rsplit", "partition", "rpartition", "replace", "removeprefix", "removesuffix"}


def strings(source: str) -> Iterator[str]:
    """Yield the texts of *source*: docstrings, types and errors left out."""
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
            yield node.value


def sentences(source: str) -> Iterator[str]:
    """Yield the strings of *source* that are sentences, or parts of one."""
    for text in strings(source):
        words = [word for word in text.split() if word.strip("().,:;\u2212=+").isalpha()]
        if (
            len(words) >= LEAST
            and text not in NAMES
            and not text.startswith(("<", "\n", '"'))
            and "(.+?)" not in text
        ):
            yield text


def writers() -> Iterator[Path]:
    """Yield the modules whose words would reach a pupil."""
    yield ROOT / "marking/feedback.py"
    for room in ROOMS:
        for path in sorted((ROOT / room).rglob("*.py")):
            outside = path in CATALOGUE or path in BELIEVED or "classes" in path.parts
            if not outside and path.relative_to(ROOT).as_posix() not in FOR_TEACHERS:
                yield path


def test_no_sentence_stands_outside_the_catalogue() -> None:
    """Writers of steps, the check, pictures, papers, schemes, lessons, hints and pupils' pages have keys and facts."""
    found = {
        path.relative_to(ROOT).as_posix(): list(sentences(path.read_text("utf-8"))) for path in writers()
    }
    assert {path: words for path, words in found.items() if words} == {}
    assert len(found) > 200


def test_no_sentence_stands_twice() -> None:
    """What two keys say alike is written once; no two beliefs say the same."""
    found = Counter(text for path in CATALOGUE for text in sentences(path.read_text("utf-8")))
    assert [text for text, times in found.items() if times > 1] == []
    said = Counter(belief.says for belief in BELIEFS.values())
    assert [text for text, times in said.items() if times > 1] == []


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


def test_a_part_used_alone_is_the_sentence_put_together() -> None:
    """Expected by hand: the rule for a hint, the sum for the board, and the whole made of them."""
    parts = IN_PARTS["codes.excess-off"]
    assert parts.rule == "Take the excess off once"
    assert parts.sum == "{before} \u2212 {excess} = {after}"
    assert WORDS["codes.excess-off"] == "Take the excess off once: {before} \u2212 {excess} = {after}."


def cuts(source: str) -> Iterator[str]:
    """Yield the calls of *source* that part a text at words or at punctuation within a sentence."""
    for node in ast.walk(ast.parse(source)):
        if not (
            isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in CUTTERS
        ):
            continue
        at = node.args[0] if node.args else None
        if isinstance(at, ast.Constant) and isinstance(at.value, str):
            text = at.value
            words = sum(letter.isalpha() for letter in text) > 1
            if (
                words
                or (text.strip() != text and text.strip() in {".", ",", ":", ";"})
                or text in {".;", "; "}
            ):
                yield ast.unparse(node)


#: Modules in which what is parted is no sentence, and what it is.
PARTED = {
    "working/wording/reading.py": "a key",
    "teaching/hints.py": "a line as a pupil writes it",
    "publishing/papers/booklet.py": "the name of a row",
    "publishing/papers/folder.py": "a file's name",
    "publishing/papers/questions.py": "an answer, for how long its blank is",
    "publishing/papers/schemes.py": "several answers",
    "publishing/plainpage.py": "a page's code",
}


def test_no_sentence_is_made_by_cutting_another_up() -> None:
    """Where a part is wanted, the catalogue has the sentence in parts."""
    found = {path.relative_to(ROOT).as_posix() for path in writers() if any(cuts(path.read_text("utf-8")))}
    assert found == set(PARTED)
    assert list(cuts('told.partition(": ")[0] + words.replace(", with its hidden one", "")')) != []
