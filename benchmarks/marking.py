"""How fast classes are marked: one class by the whole command, and many scripts of final answers.

Run: python benchmarks/marking.py [SCRIPTS]
Papers, pupils and slips are those of simulated_classes.py.
"""

import csv
import json
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import simulated_classes as simulated

from chalkpoint.marking.answerfiles import Row, read_answers
from chalkpoint.marking.answers import scripts
from chalkpoint.marking.classes import mark_scripts
from chalkpoint.marking.judging import sheet_for
from chalkpoint.marking.ways import Way, held_method
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.papers import Papers
from chalkpoint.setting.schemes import scheme_for
from chalkpoint.working.question import Question

VARIANTS, PUPILS, QUESTIONS = 30, 30, 10
WRITTEN = ("align", "negate", "add")


def papers_object(variants: int) -> dict[str, object]:
    """Return papers of random questions with their schemes, as a set writes them."""
    rng = random.Random(7)
    return {
        "schema": "chalkpoint.papers/1",
        "title": "12 Heron, tide station paper",
        "course": {"name": "12 Heron"},
        "papers": [
            {"variant": number, "questions": [asked(simulated.draw(rng)) for _ in range(QUESTIONS)]}
            for number in range(1, variants + 1)
        ],
    }


def asked(question: Question) -> dict[str, object]:
    """Return one question with its scheme."""
    scheme = scheme_for(question)
    return {
        "operation": question.operation.name,
        "operands": question.operands,
        "scheme": [mark.to_dict() for mark in scheme.marks],
        "answer_alone": scheme.alone,
    }


def way_of(rng: random.Random) -> Way:
    """Draw how a pupil works: half are right, the others hold a belief."""
    singles = [way for way in simulated.diagnoser().ways if len(way.beliefs) == 1]
    return Way() if rng.random() < 0.5 else rng.choice(singles)


def final_answers(papers: Papers, count: int) -> Iterator[Row]:
    """Yield a wide table of final answers, a pupil at a time."""
    rng = random.Random(11)
    yield ["student", "variant", *(str(number) for number in range(1, QUESTIONS + 1))]
    for number in range(count):
        variant = 1 + number % len(papers.variants)
        questions = [one.question for one in papers.variants[variant].questions]
        pupil = simulated.Pupil("drawn", (way_of(rng),) * QUESTIONS)
        yield [f"pupil {number}", variant, *simulated.answers(rng, pupil, questions, simulated_slip())]


def simulated_slip() -> float:
    """Return the target's slip rate."""
    return float(simulated.POPULATION["target"]["slip_rate"])


def lines(papers: Papers, count: int) -> Iterator[Row]:
    """Yield a long table with three lines of working and the answer of every question."""
    rng = random.Random(13)
    yield ["student", "variant", "question", "line", "written"]
    for number in range(count):
        variant, way = 1 + number % len(papers.variants), way_of(rng)
        for one in papers.variants[variant].questions:
            sheet = sheet_for(one.question)
            method = held_method(way, one.question.operation.name, one.question.course)
            for written in method.trail(sheet.start, one.question.format):
                if written.line.name in WRITTEN:
                    text = sheet.says(written.line.name, written.before, written.after).split("; ")[-1]
                    yield [f"pupil {number}", variant, one.number, written.line.name, text]
            yield [f"pupil {number}", variant, one.number, "answer", simulated.answer(one.question, way)]


def whole_command() -> float:
    """Return the seconds the command takes for a class with lines of working, reports included."""
    table = papers_object(VARIANTS)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "papers.json").write_text(json.dumps(table), encoding="utf-8")
        with (folder / "answers.csv").open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(lines(papers_from(table), PUPILS))
        words = [
            "mark",
            str(folder / "papers.json"),
            str(folder / "answers.csv"),
            "--out",
            str(folder / "marks"),
        ]
        start = time.perf_counter()
        subprocess.run([sys.executable, "-m", "chalkpoint", *words], check=True, capture_output=True)
        return time.perf_counter() - start


def many(count: int, workers: int) -> tuple[float, int, int]:
    """Return scripts of final answers a second, and the most memory that this process and any other took, in megabytes.

    The scripts are read from a file, as the command reads them, so that none is held longer than it is marked.
    """
    papers = papers_from(papers_object(VARIANTS))
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "answers.csv"
        with path.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(final_answers(papers, count))
        start = time.perf_counter()
        marked = sum(1 for _ in mark_scripts(papers, scripts(read_answers(path), papers), workers=workers))
        took = time.perf_counter() - start
    assert marked == count
    most = [
        resource.getrusage(who).ru_maxrss // 1024 for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    ]
    return count / took, most[0], most[1]


def main() -> None:
    """Print every figure."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    print(f"a class of {PUPILS}, {QUESTIONS} questions with lines, whole command   {whole_command():6.2f} s")
    for scripts_marked in (count // 4, count):
        rate, own, others = many(scripts_marked, 2)
        print(
            f"{scripts_marked:>7} scripts of final answers, 2 processes      {rate:8.0f} a second, "
            f"{own} MB here, {others} MB the largest other"
        )


if __name__ == "__main__":
    main()
