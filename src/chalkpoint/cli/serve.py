"""`chalkpoint serve`: the five places in a browser."""

from __future__ import annotations

import sys
from getpass import getpass
from typing import Annotated

from cyclopts import Parameter

from chalkpoint.cli.commands import Flag
from chalkpoint.numbers.errors import EntryError, missing_extra

__all__ = ["serve"]

MOST_PROCESSES = 64


def serve(
    *,
    port: int = 8000,
    lan: Flag = False,
    name: Annotated[tuple[str, ...], Parameter(show_default=False)] = (),
    database: str | None = None,
    processes: int = 1,
    log: Flag = False,
    example: Flag = False,
) -> None:
    """Serve the five places to the browser of this machine.

    Parameters
    ----------
    port
        where to listen
    lan
        let other machines of the network in; the teacher signs in with a password, which is asked for the
        first time
    name
        what a proxy with TLS before this server is called by browsers, such as chalkpoint.school.example; may be
        given several times; the teacher signs in with a password
    database
        where everything is kept, as a URL; a file in your data folder by default
    processes
        how many serve together, 1 to 64; more than one needs a PostgreSQL
    log
        log requests to standard error, a line of JSON each, with nothing that tells who asked
    example
        show a whole term of an invented class, from a database of its own that is gone when this ends
    """
    if not 1 <= port <= 65_535:
        raise EntryError(f"--port {port} is not taken; give a number from 1 to 65535")
    if not 1 <= processes <= MOST_PROCESSES:
        raise EntryError(f"--processes {processes} is not taken; give a number from 1 to {MOST_PROCESSES}")
    if example and (database is not None or processes > 1):
        raise EntryError(
            "--example has a database of its own for one process; leave out --database and --processes"
        )
    try:
        from chalkpoint.web import serving
    except ModuleNotFoundError as reason:
        raise missing_extra("serving", str(reason.name), "serve") from reason
    serving.serve(
        port=port,
        lan=lan,
        names=tuple(one.lower() for one in name),
        database=database,
        processes=processes,
        log=log,
        example=example,
        ask_password=_ask_password,
        say=_say,
    )


def _ask_password() -> str:
    """Return a new password, asked for twice."""
    if not sys.stdin.isatty():
        raise EntryError(
            "--lan and --name need a password for the teacher; set one with chalkpoint records teacher teacher, "
            "or start this once where it can be typed"
        )
    first = getpass("A password for the teacher, 10 characters or more: ")
    if getpass("The same again: ") != first:
        raise EntryError("the two passwords differ; start again")
    return first


def _say(line: str) -> None:
    print(line, flush=True)
