"""`chalkpoint work`: a question worked, on the terminal, as a page, as a drawing or as JSON."""

from __future__ import annotations

import json as json_text
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from chalkpoint.cli.commands import Flag
from chalkpoint.cli.output import colour_wanted, print_text, show_progress, terminal_width, write_file
from chalkpoint.cli.refusals import refuse_options_among
from chalkpoint.numbers.errors import EntryError
from chalkpoint.publishing.parts import Scene
from chalkpoint.publishing.scene import scene
from chalkpoint.working.course import Course, read_course
from chalkpoint.working.work import work as work_out
from chalkpoint.working.working import Working

__all__ = ["work"]


def work(
    operation: str | None = None,
    /,
    *operands: Annotated[str, Parameter(allow_leading_hyphen=True)],
    format: str | None = None,
    method: str | None = None,
    course: Path | None = None,
    names: str | None = None,
    hexadecimal: Flag = False,
    formats: Flag = False,
    html: Path | None = None,
    svg: Path | None = None,
    pdf: Path | None = None,
    slides: Path | None = None,
    video: Path | None = None,
    json: Flag = False,
    plain: Flag = False,
) -> None:
    """Work a question, every step and every lost bit.

    Parameters
    ----------
    operation
        decode, encode, normalise, negate, add, subtract, multiply, divide, convert, range, error,
        sum, choose-format or explain
    operands
        patterns such as 010111 0011 or 0x5D3, or values such as -5.25, 79/128 or 1 3/8; 0b10.01 is
        read as binary, 0d10.01 as a decimal
    format
        mantissa bits + exponent bits, such as 8+4, or another of the list that --formats prints
    method
        how to add or subtract, such as one-guard-bit; refused where nothing is added
    course
        a class's conventions, in a TOML file
    names
        what the operands are called, such as gauge,datum
    hexadecimal
        show patterns in hexadecimal too
    formats
        list the formats that can be named, and work nothing
    html
        write a page to this file
    svg
        write a drawing to this file
    pdf
        write a printable, tagged PDF to this file
    slides
        write slides with speaker notes to this .pptx file
    video
        write a silent video with captions and chapters to this .mp4 file
    json
        print the working as one JSON object
    plain
        print in plain ASCII
    """
    refuse_options_among([*filter(None, [operation]), *operands], work)
    if formats:
        _list_formats(operation, as_json=json)
        return
    if operation is None:
        raise EntryError("operation needs a value; see chalkpoint work --help")
    working = work_out(
        operation,
        *operands,
        format=format,
        method=method,
        course=_conventions(course, hexadecimal=hexadecimal),
        names=_split_names(names),
    )
    drawn = scene(working)
    asked = {"html": html, "svg": svg, "pdf": pdf, "slides": slides, "video": video}
    paths = {medium: path for medium, path in asked.items() if path}
    # Every file is made before the first is written: a medium that refuses leaves nothing behind.
    made = {path: _in(medium, working, drawn) for medium, path in paths.items()}
    for path, content in made.items():
        write_file(path, content)
    if json:
        from chalkpoint.publishing.jsonform import as_json

        print(json_text.dumps(as_json(working), ensure_ascii=False, indent=2))
    elif made:
        for path in made:
            print(f"Written: {path}")
    else:
        from chalkpoint.publishing.text import text

        width = terminal_width()
        shown = text(drawn, plain=plain, colour=colour_wanted(), width=width)
        print_text(shown, plain=lambda: text(drawn, plain=True, width=width))


def _in(medium: str, working: Working, drawn: Scene) -> str | bytes:
    """Return the working in a medium: a page, a drawing, a printable page, slides or a video."""
    match medium:
        case "html":
            from chalkpoint.publishing.html import page

            return page(drawn)
        case "svg":
            from chalkpoint.publishing.svg import svg

            return svg(drawn)
        case "pdf":
            from chalkpoint.publishing.typst.document import pdf

            return pdf(drawn)
    from chalkpoint.publishing.slides import slides
    from chalkpoint.publishing.video import video
    from chalkpoint.teaching.lessonfile import lesson_of
    from chalkpoint.teaching.parts import storyboard

    told = storyboard(lesson_of(working))
    return slides(told) if medium == "slides" else video(told, progress=show_progress("picture"))


def _list_formats(operation: str | None, *, as_json: bool) -> None:
    """Print the formats that can be named."""
    from chalkpoint.numbers.listed import list_formats
    from chalkpoint.publishing.formats import formats_as_json, formats_text

    if operation is not None:
        raise EntryError(f"--formats lists the formats and works nothing; leave out {operation!r}")
    if as_json:
        print(json_text.dumps(formats_as_json(list_formats()), ensure_ascii=False, indent=2))
    else:
        print(formats_text(list_formats(), width=terminal_width()), end="")


def _conventions(course: Path | None, *, hexadecimal: bool) -> Course:
    """Return the class's conventions, with patterns in hexadecimal too where that is asked for."""
    read = read_course(course) if course else Course()
    return read.with_(hexadecimal="shown" if hexadecimal else None)


def _split_names(names: str | None) -> tuple[str, ...]:
    return tuple(name.strip() for name in names.split(",")) if names else ()
