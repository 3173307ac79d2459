"""Bundles that are fetched when something in them is first imported, such as what makes a PDF."""

from __future__ import annotations

import gzip
import importlib
import sys
from collections.abc import Iterable, Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder
from io import BytesIO
from pathlib import Path
from types import ModuleType
from zipfile import ZipFile

from chalkpoint.numbers.errors import FileError
from chalkpoint.web.tab.bundles import LATER, WHAT

__all__ = ["bring_later"]

GZIP = b"\x1f\x8b"


class _Later(MetaPathFinder):
    """Finds what is in a bundle that is not here yet, by bringing it in."""

    def __init__(self, waiting: Iterable[str], site: str) -> None:
        self.waiting = {module: name for name in waiting for module in LATER[name]}
        self.site = site

    def find_spec(
        self, fullname: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """Return where a module is, once its bundle is here."""
        name = self.waiting.get(fullname)
        if name is None:
            return None
        _unpack(name, self.site)
        self.waiting = {module: other for module, other in self.waiting.items() if other != name}
        importlib.invalidate_caches()
        return PathFinder.find_spec(fullname, path, target)


def bring_later(names: Iterable[str], site: str) -> None:
    """Let the bundles in *names* be brought in, under the folder *site*, when they are wanted."""
    sys.meta_path.append(_Later(names, site))


def _unpack(name: str, site: str) -> None:
    worker, ffi = importlib.import_module("js"), importlib.import_module("pyodide.ffi")
    try:
        data = b"".join(piece.to_bytes() for piece in worker.piecesNow(name))
    except ffi.JsException as reason:
        raise FileError(
            f"{WHAT[name]} is fetched when it is first wanted, and {reason.message}; do this again when it does"
        ) from reason
    if data.startswith(GZIP):
        data = gzip.decompress(data)
    with ZipFile(BytesIO(data)) as bundle:
        bundle.extractall(Path(site))
