"""`chalkpoint tab`: the whole tool as files that a browser runs, with nothing installed."""

from __future__ import annotations

from pathlib import Path

from chalkpoint.cli.commands import Flag
from chalkpoint.numbers.errors import missing_extra

__all__ = ["tab"]


def tab(
    out: Path,
    /,
    *,
    one_file: Flag = False,
    replace: Flag = False,
    cache: Path | None = None,
) -> None:
    """Write the whole tool as files that run in a browser: nothing is installed there, and nothing is sent anywhere.

    Parameters
    ----------
    out
        the folder to write, for any web server; or the file, with --one-file
    one_file
        write one HTML file that opens by a double click, from a disk, a stick or a share
    replace
        put the new files in the place of those that are there
    cache
        where what the registries of npm and PyPI gave is kept; in the user's cache by default
    """
    try:
        from chalkpoint.web.tab.writing import write_folder, write_one_file
    except ModuleNotFoundError as reason:
        raise missing_extra("a browser's tab", str(reason.name), "serve") from reason
    write = write_one_file if one_file else write_folder
    size = write(out, replace=replace, cache=cache)
    what = "open it by a double click" if one_file else "put the folder on any web server and open it there"
    print(f"Written: {out}, {size / 1e6:,.1f} MB; {what}.")
