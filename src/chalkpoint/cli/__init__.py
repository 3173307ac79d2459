"""The command line, thin: each command reads its words, asks the rooms below, and prints.

Commands are imported when they are called, so that the shell has its answer at once.
"""

from __future__ import annotations

import atexit
import gc
import sys
from collections.abc import Sequence
from typing import NoReturn

import cyclopts

from chalkpoint.cli.commands import COMMANDS, KEEPING
from chalkpoint.cli.refusals import sentence
from chalkpoint.numbers.errors import DISK_FULL, ChalkpointError, is_disk_full

__all__ = ["app", "main"]

BAD_INPUT = 2

# A command is short: rings of what nobody uses any more need not be looked for often, nor once more at its end.
RINGS_AFTER = 100_000  # things made, of Python's own 700
gc.set_threshold(RINGS_AFTER)
atexit.register(gc.freeze)

app = cyclopts.App(
    name="chalkpoint",
    help="Binary floating-point arithmetic by hand, right to the last bit.",
    version_flags=["--version"],
    help_flags=["--help", "-h"],
    default_parameter=cyclopts.Parameter(negative=()),
)
for _name, _command in COMMANDS.items():
    app.command(_command.path, name=_name, help=_command.does, help_epilogue=_command.epilogue)
app.command("chalkpoint.cli.records:app", name="records", help=KEEPING)


def main(words: Sequence[str] | None = None) -> NoReturn:
    """Run the command in *words* (the shell's own by default) and leave with its exit code.

    Bad input leaves with 2 and one sentence on standard error.
    """
    try:
        app(words, exit_on_error=False, print_error=False, result_action="return_none")
    except cyclopts.CycloptsError as reason:
        refuse(sentence(reason, [name for name in app if not name.startswith("-")]))
    except ChalkpointError as reason:
        refuse(str(reason))
    except BrokenPipeError:  # the reader, `head` say, has seen enough
        sys.stderr.close()
    except Exception as reason:
        if not is_disk_full(reason):
            raise
        refuse(DISK_FULL)
    sys.exit(0)


def refuse(said: str) -> NoReturn:
    """Leave with one sentence on standard error."""
    print(f"chalkpoint: {said}", file=sys.stderr)
    sys.exit(BAD_INPUT)
