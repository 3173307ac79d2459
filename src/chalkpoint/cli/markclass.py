"""`chalkpoint mark PAPERS ANSWERS`: a class marked and reported; and answers typed in by exception."""

from __future__ import annotations

import json as json_text
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

from chalkpoint.cli.output import write_file
from chalkpoint.marking.answerfiles import Row, read_answers
from chalkpoint.marking.answers import Script, scripts, whole_scripts
from chalkpoint.marking.classes import SCHEMA, mark_scripts
from chalkpoint.marking.groups import remembered
from chalkpoint.marking.histories import histories, read_marks
from chalkpoint.marking.overrides import Rulings, read_decisions
from chalkpoint.marking.summary import Summary
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.paperfile import read_papers
from chalkpoint.setting.papers import Papers, with_habits
from chalkpoint.working.course import MANNERS, Course, read_course
from chalkpoint.working.wording.said import plural

__all__ = ["enter_class", "mark_class"]

AT_ONCE = 4_000_000  # bytes of a table that is read whole: some 10,000 pupils
MOST_SAID = 10  # troubles printed; the report has all


def mark_class(
    papers_file: Path,
    answers_file: Path | None,
    out: Path | None,
    *,
    overrides: Path | None,
    course: Path | None,
    earlier: list[Path],
    workers: int,
    cluster: str | None,
    replace: bool,
    pdf: bool,
    json: bool,
) -> None:
    """Mark a class and write its reports, or print the marks as JSON."""
    if answers_file is None:
        raise EntryError(
            "mark needs the answers too; such as chalkpoint mark papers.json answers.csv --out marks"
        )
    if out is None and not json:
        raise EntryError("mark needs a folder to write to; give --out FOLDER, or --json to print the marks")
    papers = read_papers(papers_file)
    if course is not None:
        papers = with_habits(papers, read_course(course))
    decisions, rulings = read_decisions(overrides) if overrides else ({}, {})
    before = [read_marks(path) for path in earlier]
    handed_in = _scripts_from(answers_file, papers)
    entries: Iterable[JsonObject]
    if cluster is not None:
        from chalkpoint.marking.cluster import mark_on_cluster

        entries = mark_on_cluster(papers, handed_in, cluster, decisions=decisions, rulings=rulings)
    else:
        entries = mark_scripts(papers, handed_in, decisions=decisions, rulings=rulings, workers=workers)
    if out is None:
        print_json(papers, entries)
        return
    from chalkpoint.publishing.classes.folder import write_class

    summary = write_class(
        papers, entries, out, decisions=decisions, rulings=rulings, replace=replace, pdf=pdf
    )
    if before:
        joined = histories([*before, read_marks(out / "marks.json")])
        content = [history.to_dict() for history in joined.values()]
        write_file(out / "history.json", json_text.dumps(content, ensure_ascii=False, indent=1))
    if json:
        print((out / "marks.json").read_text(encoding="utf-8"), end="")
        return
    _say(summary, out)
    _say_of_rulings(papers.course, rulings, summary)
    print(f"Written: {out}; begin with class.html.")


def _say(summary: Summary, out: Path) -> None:
    """Say what came of the class, and what waits."""
    print(f"{summary.marked} of {summary.pupils} papers marked, out of {summary.papers.first.marks}.")
    for count in summary.most_common():
        evidence = f"shown on {count.shows} of {count.could} answers"
        print(f"{', '.join(count.among)}: {plural(count.pupils, 'pupil')}, {evidence}.")
    if summary.waiting_count:
        print(
            f"{plural(summary.waiting_count, 'decision')} for you, on {plural(summary.waiting_answers, 'answer')}: "
            f"fill in {out / 'decisions.csv'} and mark again with --overrides."
        )
    for student, trouble in summary.troubles[:MOST_SAID]:
        print(f"{student}, {trouble}", file=sys.stderr)


def _say_of_rulings(course: Course, rulings: Rulings, summary: Summary) -> None:
    """Say how a ruling on a manner of writing is kept for every paper, and which ruling found nothing to rule on."""
    kept = course
    for name, ruling in rulings.items():
        if name not in summary.ruled:
            print(f"The ruling on {name!r} found no answer that waits for it.", file=sys.stderr)
        if set(name.split(" and ")) <= set(MANNERS):
            kept = remembered(kept, name, taken=ruling.accepted)
    lines = [
        f"{key} = {json_text.dumps(getattr(kept, key))}"
        for key in ("takes", "refuses")
        if getattr(kept, key) != getattr(course, key)
    ]
    if lines:
        print("To rule so on every paper, write into the course:", *lines, sep="\n")


def _scripts_from(path: Path, papers: Papers) -> Iterable[Script]:
    """Return the scripts in a file of answers: of a class's all at once, of a board's one at a time."""
    large = path.is_file() and path.stat().st_size > AT_ONCE
    return (scripts if large else whole_scripts)(rows_from(path), papers)


def rows_from(path: Path) -> Iterator[Row]:
    """Return the rows of answers in a file of any kind that is read."""
    if path.suffix.lower() == ".xlsx":
        from chalkpoint.publishing.workbooks import rows_of

        return rows_of(path)
    return read_answers(path)


def print_json(papers: Papers, entries: Iterable[JsonObject]) -> None:
    """Print the marks as one object, a pupil at a time; nothing is printed where the first cannot be marked."""
    lines = (json_text.dumps(entry, ensure_ascii=False) for entry in entries)
    line = next(lines, "")
    print(f'{{"schema": "{SCHEMA}", "title": {json_text.dumps(papers.title)}, "students": [')
    for following in lines:
        print(f"{line},")
        line = following
    print(f"{line}\n]}}")


def enter_class(papers_file: Path, answers_file: Path | None) -> None:
    """Take a class's answers from the keyboard, by exception, and save them as they come."""
    from chalkpoint.marking.entering import Entering

    papers = read_papers(papers_file)
    path = answers_file or papers_file.with_name("answers.csv")
    entering = Entering(papers, path)
    print(
        f"Answers are saved in {path}. Enter alone takes the expected answer; - is a blank; an empty name ends."
    )
    count = entering.run(_ask)
    print(
        f"{plural(count.scripts, 'script')}, {count.keystrokes_a_script():.1f} keystrokes a script. Saved: {path}"
    )


def _ask(prompt: str) -> str | None:
    """Return what is typed; None where the keyboard is at its end."""
    try:
        return input(prompt)
    except EOFError:
        return None
