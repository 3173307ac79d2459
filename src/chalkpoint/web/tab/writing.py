"""The files of a tab, written: a folder for any web server, or one file; whole or not at all."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from chalkpoint.numbers.errors import FileError
from chalkpoint.web.tab.building import build_parts
from chalkpoint.web.tab.page import beside, inside

__all__ = ["write_folder", "write_one_file"]

OURS = ("index.html", "offline.js", "parts")  # what a folder of ours has


def write_folder(out: Path, *, replace: bool = False, cache: Path | None = None) -> int:
    """Write the page and its parts to the folder *out*; return how many bytes they are.

    Raises FileError where something else is in the way.
    """
    _check_free(out, replace=replace, ours=all((out / name).exists() for name in OURS))
    made = beside(build_parts(cache or _own_cache()))
    fresh = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=_parent(out)))
    try:
        for name, data in made.items():
            path = fresh / name
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(data)
        fresh.chmod(0o755)  # a web server of another account reads it
        if out.exists():
            shutil.rmtree(out)
        fresh.rename(out)
    except OSError as reason:
        shutil.rmtree(fresh, ignore_errors=True)
        raise _not_written(out, reason) from reason
    return sum(map(len, made.values()))


def write_one_file(out: Path, *, replace: bool = False, cache: Path | None = None) -> int:
    """Write the page with everything in it to the file *out*; return how many bytes it is.

    Raises FileError where something else is in the way.
    """
    _check_free(out, replace=replace, ours=out.is_file())
    data = inside(build_parts(cache or _own_cache()))
    fresh = _parent(out) / f".{out.name}-making"
    try:
        fresh.write_bytes(data)
        fresh.replace(out)
    except OSError as reason:
        fresh.unlink(missing_ok=True)
        raise _not_written(out, reason) from reason
    return len(data)


def _check_free(out: Path, *, replace: bool, ours: bool) -> None:
    _parent(out)
    if out.exists() and not (replace and ours):
        more = "give --replace, or another name" if ours else "give another name"
        raise FileError(f"{str(out)!r} is there already; {more}")


def _parent(out: Path) -> Path:
    parent = out.resolve().parent
    if not parent.is_dir():
        raise FileError(f"there is no folder {str(parent)!r} to write to; make it first")
    return parent


def _not_written(out: Path, reason: OSError) -> FileError:
    return FileError(f"{str(out)!r} cannot be written ({reason.strerror}); give a place you may write to")


def _own_cache() -> Path:
    from platformdirs import user_cache_path

    return user_cache_path("chalkpoint") / "tab"
