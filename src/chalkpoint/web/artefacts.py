"""Files made from what is kept: printed papers, slides, reports. They can always be made again, so they are not kept.

Each set of files has a folder of the user's cache, named by a digest of what it is made from.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from starlette.responses import FileResponse, Response

from chalkpoint.records.kept import NotKept

__all__ = ["Artefacts"]

MOST = 60  # folders; the ones longest unused go


class Artefacts:
    """Folders of made files under *root*."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def folder(self, *made_from: str) -> Path:
        """Return the folder of the files made from these texts, whether or not they are made."""
        digest = sha256("\0".join(made_from).encode()).hexdigest()[:24]
        return self.root / digest

    def make(self, folder: Path, write: Callable[[Path], None]) -> None:
        """Let *write* fill a fresh folder, and put it in place whole; nothing is done where it exists already."""
        if folder.is_dir():
            return
        self.root.mkdir(parents=True, exist_ok=True)
        fresh = Path(tempfile.mkdtemp(prefix=".making-", dir=self.root))
        try:
            write(fresh / "files")
            with suppress(OSError):  # another request made the same files first
                (fresh / "files").rename(folder)
        finally:
            shutil.rmtree(fresh, ignore_errors=True)
        self._trim()

    def send(self, folder: Path, name: str, *, download: bool = False) -> Response:
        """Return one of the files.

        Raises NotKept where there is none of that name.
        """
        path = (folder / name).resolve()
        if not path.is_relative_to(folder.resolve()) or not path.is_file():
            raise NotKept(f"there is no file {name!r} here")
        folder.touch()
        return FileResponse(path, filename=path.name if download else None)

    def forget(self, *made_from: str) -> None:
        """Delete the files made from these texts."""
        shutil.rmtree(self.folder(*made_from), ignore_errors=True)

    def _trim(self) -> None:
        folders = [path for path in self.root.iterdir() if path.is_dir() and not path.name.startswith(".")]
        for path in sorted(folders, key=lambda one: one.stat().st_mtime, reverse=True)[MOST:]:
            shutil.rmtree(path, ignore_errors=True)
