"""A command line that cannot be taken, in one sentence of our own."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable

import cyclopts

from chalkpoint.cli.commands import COMMANDS
from chalkpoint.numbers.errors import EntryError, near_misses

__all__ = ["refuse_options_among", "sentence"]


def sentence(reason: cyclopts.CycloptsError, commands: Iterable[str]) -> str:
    """Return what is wrong with a command line, the word it stumbled on, and what would do."""
    match reason:
        case cyclopts.UnknownCommandError():
            word = (reason.unused_tokens or [""])[0]
            return f"{word!r} is not a command; {near_misses(word, commands)}"
        case cyclopts.UnknownOptionError():
            known = [name for argument in reason.argument_collection for name in argument.names]
            return _unknown_option(reason.token.keyword or reason.token.value, known)
        case cyclopts.MissingArgumentError() if reason.argument is not None:
            name = reason.argument.name.lower()
            return f"{name} needs a value; see chalkpoint {' '.join(reason.command_chain or ())} --help"
        case cyclopts.UnusedCliTokensError():
            chain = reason.command_chain or ()
            command = COMMANDS.get(chain[0]) if chain else None
            such_as = (
                f"such as {command.examples[0]}" if command else f"see chalkpoint {' '.join(chain)} --help"
            )
            return f"{(reason.unused_tokens or [''])[0]!r} is a word too many; {such_as}"
    return " ".join(str(reason).split())


def refuse_options_among(operands: Iterable[str], command: Callable[..., None]) -> None:
    """Raise EntryError for an operand that was meant as an option of *command*.

    Operands may begin with a minus, so a misspelt option arrives among them.
    """
    parameters = inspect.signature(command).parameters.values()
    known = [f"--{parameter.name}" for parameter in parameters if parameter.kind is parameter.KEYWORD_ONLY]
    for operand in operands:
        if (operand.startswith("-") and operand[1:2].isalpha()) or operand.startswith("--"):
            raise EntryError(_unknown_option(operand, known))


def _unknown_option(word: str, known: list[str]) -> str:
    return f"{word!r} is not an option; {near_misses(word, known)}"
