"""`chalkpoint find`: questions by what they do, counted, drawn, ranked, numbered or tabled."""

from __future__ import annotations

import json as json_text
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from time import monotonic

from chalkpoint.cli.commands import Flag
from chalkpoint.cli.output import WholeNumber, write_file
from chalkpoint.finding.find import Find
from chalkpoint.finding.find import find as find_questions
from chalkpoint.finding.found import Found
from chalkpoint.finding.registry import operation_named
from chalkpoint.finding.sentences import Understood, read_sentence
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError, FileError
from chalkpoint.numbers.exact import write_value
from chalkpoint.working.course import Course, read_course
from chalkpoint.working.working import Working

__all__ = ["find"]

SHOWN = 3  # simplest questions shown where nothing else is asked for
PATIENCE = 0.7  # seconds before progress is shown


def find(
    operation: str | None = None,
    /,
    *,
    say: str | None = None,
    format: str | None = None,
    to: str | None = None,
    where: list[str] | None = None,
    space: str = "normalised",
    count: Flag = False,
    draw: WholeNumber | None = None,
    seed: WholeNumber = 0,
    simplest: WholeNumber | None = None,
    number: WholeNumber | None = None,
    table: str | None = None,
    traits: Flag = False,
    blueprint: Path | None = None,
    course: Path | None = None,
    json: Flag = False,
) -> None:
    """Find questions by what they do: count, draw, rank, number or table them.

    Parameters
    ----------
    operation
        add, subtract, multiply, divide, decode, normalise, negate, encode, error or convert
    say
        what the question must do, in a sentence; what was understood is printed first
    format
        mantissa bits + exponent bits, such as 8+4
    to
        of a conversion, the format converted into
    where
        a condition, such as "lost-ones >= 2", "not carry-dropped" or "exposes:invert-only"; repeat it for more
    space
        normalised operands, or all patterns
    count
        print how many questions there are
    draw
        draw this many different questions, each as likely as any other
    seed
        the same seed draws the same questions
    simplest
        give this many of the simplest: fewest 1s, smallest exponents and shifts
    number
        give the question with this permanent number
    table
        count the values of one trait, or of two with a comma between them
    traits
        list every trait, and how many questions have it
    blueprint
        write a blueprint to this file for papers with questions like the first one printed, the conditions kept
    course
        a class's conventions, in a TOML file
    json
        print one JSON object
    """
    asked = [
        name
        for name, value in (
            ("--count", count or None),
            ("--draw", draw),
            ("--simplest", simplest),
            ("--number", number),
            ("--table", table),
            ("--traits", traits or None),
        )
        if value is not None
    ]
    if len(asked) > 1:
        raise EntryError(f"{' and '.join(asked)} cannot be asked for together; choose one")
    conventions = (read_course(course) if course else Course()).with_(format=format)
    if say is not None:
        read = read_sentence(say, operation_named(operation or "subtract"), conventions)
        operation = _one_operation(read, operation)
        conventions = conventions.with_(format=format or read.format or None)
        to = to or read.into or None
        where = [*read.where, *(where or ())]
        print("\n".join(understood(read, operation)), file=sys.stderr if json else sys.stdout)
    if operation is None:
        raise EntryError(
            "no operation is given; write one, such as subtract, or --say with a sentence that names one"
        )
    with progress() as watch:
        if traits:
            print_traits(operation, conventions, watch, as_json=json, into=to)
            return
        found = find_questions(
            operation, course=conventions, where=where or (), space=space, watch=watch, into=to
        )
        if draw is not None:
            questions = found.draw(draw, seed)
        elif number is not None:
            questions = [found[number]]
        else:
            wanted = SHOWN if simplest is None and not asked else simplest
            questions = [] if wanted is None else found.simplest(wanted)
        rows = tabled(found, table) if table else None
        answer = found.to_dict(questions)
        write_like(blueprint, questions, where or (), space)
    if json:
        print(json_text.dumps(answer | ({"table": rows} if rows else {}), ensure_ascii=False, indent=2))
        return
    print(said(found))
    if rows:
        print_rows(rows["traits"] + ["questions"], [[*row["values"], row["count"]] for row in rows["rows"]])
    if questions:
        print_questions(questions)


def write_like(path: Path | None, questions: Sequence[Found], where: Sequence[str], space: str) -> None:
    """Write the blueprint of papers like the first of *questions* to *path*, if given; no file is written over."""
    if path is None:
        return
    from chalkpoint.setting.alike import LIKE, blueprint_like

    if path.exists():
        raise FileError(f"{str(path)!r} is there already; give another name")
    if not questions:
        raise EntryError("no question was found to make papers of; give --draw, --simplest or --number")
    if space != "normalised":
        raise EntryError("papers ask of normalised operands; leave --space out")
    write_file(path, blueprint_like(questions[0].work().question, where, LIKE))
    print(
        f"Written: {path}; chalkpoint set {path} --variants {LIKE} --out papers sets {LIKE} like it.",
        file=sys.stderr,
    )


def _one_operation(read: Understood, given: str | None) -> str:
    """Return the operation of a sentence; raise EntryError where it names none or another than is given."""
    if given and read.operation and given != read.operation:
        raise EntryError(
            f"{given} is asked for and the sentence says {read.operation}; leave one of them out"
        )
    if not (given or read.operation):
        raise EntryError(
            "the sentence names no operation; write one before --say, such as: find subtract --say ..."
        )
    return read.operation or given or ""


def understood(read: Understood, operation: str) -> list[str]:
    r"""Return how a sentence was read: the conditions, their other readings, and the words not used.

    >>> print("\n".join(understood(read_sentence("an easy addition with a carry"), "add")))
    Understood as: add, carry-chain >= 1
    'carry' could also mean: carry-dropped
    Not used: 'easy'
    """
    named = f"{operation} to {read.into}" if read.into else operation
    lines = [f"Understood as: {', '.join([named, *read.where])}"]
    lines += [f"{other.words!r} could also mean: {', '.join(other.instead)}" for other in read.others]
    if read.unused:
        lines.append(f"Not used: {', '.join(map(repr, read.unused))}")
    return lines


def said(found: Find) -> str:
    """Return the count in words, and why it is nothing where it is.

    >>> print(said(find_questions("add", format="6+4", where=["equal-exponents", "lost-ones >= 1"])))
    None of the 262,144 normalised pairs in 6+4 meets this request.
    Proved by counting: equal-exponents and lost-ones >= 1 exclude each other.
    Nearest requests:
      without equal-exponents: 217,664
      without lost-ones >= 1: 16,384
    """
    into = f" to {found.into}" if found.into else ""
    space = f"{found.of:,} {found.space} in {found.course.format}{into}"
    if found.interval:
        low, high = found.interval
        return f"About {found.count:,} of {space} (an estimate; 95% interval {low:,} to {high:,})."
    if found.count:
        return f"{found.count:,} of {space}."
    lines = [f"None of the {space} meets this request."]
    excluding = found.contradiction or ()
    if len(excluding) == 1:
        lines.append(f"Proved by counting: no question here meets {excluding[0]}.")
    elif excluding:
        lines.append(f"Proved by counting: {' and '.join(excluding)} exclude each other.")
    if found.nearest:
        lines.append("Nearest requests:")
        lines += [f"  {near.change}: {near.count:,}" for near in found.nearest]
    return "\n".join(lines)


def tabled(found: Find, table: str) -> JsonObject:
    """Return the counts of a table as JSON keys."""
    made = found.table(*(name.strip() for name in table.split(",")))
    rows = [{"values": list(values), "count": str(count)} for values, count in made.counts.items()]
    return {"traits": list(made.traits), "rows": rows}


def print_questions(questions: Sequence[Found]) -> None:
    """Print questions in columns: number, operands, answer, and the question with its answer in decimal."""
    from chalkpoint.setting.answering import final_answer

    operands = len(questions[0].operands)
    named = ["operand"] if operands == 1 else ["first", "second"]
    if questions[0].operation == "convert":
        named = ["operand", "into"]
    heads = ["number", *named, "answer", "in decimal"]
    rows = []
    for found in questions:
        working = found.work()
        number = "-" if found.number is None else str(found.number)
        rows.append([number, *found.operands, final_answer(working), in_decimal(working)])
    if not any(row[-1] for row in rows):
        heads, rows = heads[:-1], [row[:-1] for row in rows]
    print_rows(heads, rows)


def in_decimal(working: Working) -> str:
    """Return the exact sum, difference, product or quotient in decimal, and what the working ends in if it misses.

    "" where the answer in bits is a value already, or is a word.

    >>> from chalkpoint.working.work import work
    >>> in_decimal(work("subtract", "8.875", "3.6875"))
    '8.875 \u2212 3.6875 = 5.1875, worked 5.25'
    >>> in_decimal(work("add", "1.5", "2.5")), in_decimal(work("decode", "01101000 0011"))
    ('1.5 + 2.5 = 4', '')
    """
    question, value, exact = working.question, working.result.value, working.check.exact
    if len(question.patterns) < 2 or value is None:
        return ""
    point = question.course.point
    asked = working.title.removesuffix(f" in {question.format}")
    missed = f", worked {write_value(value, point=point)}" if value != exact else ""
    return f"{asked} = {write_value(exact, point=point)}{missed}"


def print_rows(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print rows in columns as wide as they need."""
    widths = [max(map(len, column)) for column in zip(heads, *rows, strict=True)]
    for row in (heads, *rows):
        print("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())


def print_traits(
    operation: str,
    course: Course,
    watch: Callable[[int, int], None],
    *,
    as_json: bool,
    into: str | None = None,
) -> None:
    """Print the listing of traits."""
    from chalkpoint.finding.listing import listed_traits
    from chalkpoint.finding.registry import operation_named

    listed = list(listed_traits(operation_named(operation), course, watch, into))
    if as_json:
        entries = [
            {
                "trait": line.trait,
                "sentence": line.sentence,
                "values": line.values,
                "source": line.source,
                "counts": [
                    {"where": text, "count": str(request.count), "exact": request.exact}
                    for text, request in line.counts
                ],
            }
            for line in listed
        ]
        keys = {"schema": "chalkpoint.traits/1", "operation": operation, "format": course.format}
        print(json_text.dumps(keys | {"traits": entries}, ensure_ascii=False, indent=2))
        return
    for line in listed:
        print(f"{line.trait} ({line.values})")
        print(f"  {line.sentence}; {line.source}")
        for text, request in line.counts:
            about = "" if request.exact else "about "
            print(f"  {text}: {about}{request.count:,} of {request.of:,}")


@contextmanager
def progress() -> Iterator[Callable[[int, int], None]]:
    """Give what to call as work goes on: a bar on standard error, once it has lasted, on a terminal only."""
    if not sys.stderr.isatty():
        yield lambda done, of: None
        return
    from rich.console import Console
    from rich.progress import Progress

    began = monotonic()
    bar = Progress(console=Console(stderr=True), transient=True)
    task = bar.add_task("Making the atlas", total=None)

    def watch(done: int, of: int) -> None:
        if monotonic() - began > PATIENCE:
            bar.start()
            bar.update(task, completed=done, total=of)

    try:
        yield watch
    finally:
        bar.stop()
