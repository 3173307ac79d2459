"""`chalkpoint mark`: one answer judged line by line, or a key read for the course it was made under."""

from __future__ import annotations

import json as json_text
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from chalkpoint.cli.commands import Flag
from chalkpoint.cli.output import print_text, write_file
from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.course import Course, read_course

__all__ = ["mark"]


def mark(  # noqa: C901 - four ways to mark, each a branch
    papers: Path | None = None,
    answers: Path | None = None,
    /,
    *,
    out: Path | None = None,
    overrides: Path | None = None,
    earlier: list[Path] | None = None,
    workers: int = 1,
    cluster: str | None = None,
    replace: Flag = False,
    pdf: Flag = False,
    enter: Flag = False,
    scan: Annotated[list[Path] | None, Parameter(consume_multiple=True)] = None,
    read: Path | None = None,
    in_order: Flag = False,
    every: Flag = False,
    question: str | None = None,
    line: Annotated[list[str], Parameter(allow_leading_hyphen=True)] | None = None,
    answer: Annotated[str, Parameter(allow_leading_hyphen=True, show_default=False)] = "",
    key: Path | None = None,
    format: str | None = None,
    course: Path | None = None,
    html: Path | None = None,
    seed: int = 1,
    json: Flag = False,
    plain: Flag = False,
) -> None:
    """Mark a class; or judge one answer, line by line from the pupil's own; or read a key for its course.

    Parameters
    ----------
    papers
        the papers.json of a set
    answers
        what the class wrote: a .csv, .xlsx or .json table, one line of working in each row, or one pupil
    out
        the folder to write marks and reports to
    overrides
        a .csv of your decisions, such as the decisions.csv of a marked class, filled in
    earlier
        the marks.json of an earlier paper, once for each: all join into history.json
    workers
        how many processes share the work
    cluster
        the address of a distributed cluster's scheduler, to mark a board's entry there
    replace
        put the marks in place of those in the folder
    pdf
        print the class's report and the pupils' pages too
    enter
        type answers in, by exception; they are saved as you go to the file of answers
    scan
        read handwritten papers: the scanner's PDF, photographs, or folders of them
    read
        the folder that keeps what was read of a stack and your readings; usually beside --out
    in_order
        of a stack: each pupil's sides lie together, in order
    every
        of a stack: look at every box in the end, and not only at those in doubt and those drawn by lot
    question
        the question on one line, such as "subtract 010111 0011, 010100 0001"
    line
        a line of working, such as align=000101; once for each line
    answer
        the answer: a pattern, a value, a word
    key
        a CSV file with the columns question and answer: list every course that reproduces it
    format
        mantissa bits + exponent bits, such as 8+4
    course
        a class's conventions, in a TOML file; of papers, the ways of writing an answer that it takes
    html
        write a page to this file
    seed
        which questions are tried for the one that decides between courses
    json
        print one JSON object
    plain
        print in plain ASCII
    """
    if scan:
        from chalkpoint.cli.scan import read_handwriting

        papers, answers = read_handwriting(scan, papers, read, out, in_order=in_order, every=every)
        if answers is None:
            return
    if papers is not None:
        if question is not None or key is not None:
            raise EntryError("mark takes papers, or --question, or --key; give one of them")
        if line or answer:
            raise EntryError(
                f"--line and --answer judge one answer to a question; give that with --question, such as --question "
                f'"subtract 6.5, 1.25" (got {str(papers)!r} in its place)'
            )
        from chalkpoint.cli.markclass import enter_class, mark_class

        if enter:
            enter_class(papers, answers)
        else:
            mark_class(
                papers,
                answers,
                out,
                overrides=overrides,
                course=course,
                earlier=earlier or [],
                workers=workers,
                cluster=cluster,
                replace=replace,
                pdf=pdf,
                json=json,
            )
            if scan and out is not None:
                from chalkpoint.cli.scan import write_ink

                write_ink(answers, out)
        return
    if (question is None) == (key is None):
        raise EntryError(
            "mark needs papers and answers, or --question, or --key; "
            "such as chalkpoint mark papers.json answers.csv --out marks"
        )
    if key is not None:
        if line or answer:
            raise EntryError("--key reads its answers from the file; leave out --line and --answer")
        _key(key, format=format, html=html, json=json, seed=seed)
    elif question is not None:
        _question(
            question,
            _lines(line or []),
            answer,
            course=(read_course(course) if course else Course()).with_(format=format),
            html=html,
            json=json,
            plain=plain,
        )


def _lines(given: list[str]) -> dict[str, str]:
    """Return the lines of working by name.

    >>> _lines(["align=000101"])
    {'align': '000101'}
    """
    lines = {}
    for text in given:
        name, equals, written = text.partition("=")
        if not equals or not name.strip():
            raise EntryError(
                f"{text!r} is not a line of working; write its name and what was written: align=000101"
            )
        lines[name.strip()] = written.strip()
    return lines


def _question(
    question: str,
    lines: dict[str, str],
    answer: str,
    *,
    course: Course,
    html: Path | None,
    json: bool,
    plain: bool,
) -> None:
    from chalkpoint.marking.judging import judge
    from chalkpoint.publishing.judged import judgement_json, judgement_page, judgement_text

    judgement = judge(question, lines, answer, course=course)
    if html:
        write_file(html, judgement_page(judgement))
    if json:
        print(json_text.dumps(judgement_json(judgement), ensure_ascii=False, indent=2))
    elif html:
        print(f"Written: {html}")
    else:
        text = judgement_text(judgement, plain=plain)
        print_text(text, plain=lambda: judgement_text(judgement, plain=True))


def _key(path: Path, *, format: str | None, html: Path | None, json: bool, seed: int) -> None:
    from chalkpoint.marking.key import read_key
    from chalkpoint.marking.keyfile import read_key_file
    from chalkpoint.publishing.keyed import key_json, key_page, key_text

    reading = read_key(read_key_file(path), format=format, seed=seed)
    if html:
        write_file(html, key_page(reading))
    if json:
        print(json_text.dumps(key_json(reading), ensure_ascii=False, indent=2))
    elif html:
        print(f"Written: {html}")
    else:
        text = key_text(reading)
        print_text(text, plain=lambda: text.encode("ascii", "replace").decode())
