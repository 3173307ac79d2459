"""The commands: what each does, what runs it, and two examples, which its help shows and a test runs."""

from __future__ import annotations

from typing import Annotated, NamedTuple

from cyclopts import Parameter

__all__ = ["COMMANDS", "KEEPING", "Command", "Flag", "epilogue"]

#: An option that is given or not; its help need not say that it is off by default.
Flag = Annotated[bool, Parameter(show_default=False)]

#: What `chalkpoint records` does, which has commands of its own.
KEEPING = "Keep what is kept: export, import, back up, one pupil, purge, migrate, add a teacher."


class Command(NamedTuple):
    """A command of the shell.

    path      what runs it, imported when it is called
    does      one sentence
    examples  as they are typed, in this order
    """

    path: str
    does: str
    examples: tuple[str, str]

    @property
    def epilogue(self) -> str:
        """The examples as the end of a help."""
        return epilogue(*self.examples)


def epilogue(*examples: str) -> str:
    """Return *examples* as the end of a help."""
    return "\n\n".join(["Examples:", *examples])


COMMANDS: dict[str, Command] = {
    "work": Command(
        "chalkpoint.cli.work:work",
        "Work a question, every step and every lost bit.",
        (
            "chalkpoint work subtract 8.875 3.6875 --names gauge,datum",
            "chalkpoint work add 0b0.111 -1.5 --format 8+4 --html working.html",
        ),
    ),
    "find": Command(
        "chalkpoint.cli.find:find",
        "Find questions by what they do: count, draw, rank, number or table them.",
        (
            'chalkpoint find subtract --format 5+3 --where "lost-ones >= 1" --simplest 3',
            "chalkpoint find add --format 5+3 --where carry-dropped --draw 5 --seed 7",
        ),
    ),
    "set": Command(
        "chalkpoint.cli.set:set_papers",
        "Set papers from a blueprint: variants of equal demand, mark schemes, a key and sheets.",
        (
            "chalkpoint set --new blueprint.toml",
            "chalkpoint set blueprint.toml --variants 2 --seed 7 --out papers",
        ),
    ),
    "mark": Command(
        "chalkpoint.cli.mark:mark",
        "Mark a class; or judge one answer, line by line from the pupil's own; or read a key for its course.",
        (
            'chalkpoint mark --question "subtract 6.5, 1.25" --answer "0.1010011 0011"',
            "chalkpoint mark papers/papers.json answers.csv --out marks",
        ),
    ),
    "teach": Command(
        "chalkpoint.cli.teach:teach",
        "Make a lesson: for the board, as slides, on paper, as captions, script and video.",
        (
            "chalkpoint teach lesson.toml --out lesson --board --script",
            "chalkpoint teach lesson.toml --out words --captions --linear",
        ),
    ),
    "serve": Command(
        "chalkpoint.cli.serve:serve",
        "Serve the five places to the browser of this machine.",
        ("chalkpoint serve", "chalkpoint serve --lan --port 8123"),
    ),
    "tab": Command(
        "chalkpoint.cli.tab:tab",
        "Write the whole tool as files that run in a browser, where nothing may be installed.",
        ("chalkpoint tab chalkpoint-in-a-tab", "chalkpoint tab chalkpoint.html --one-file"),
    ),
}
