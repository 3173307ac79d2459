"""What is brought from the registries while the files of a tab are built: by name, by release, and checked by digest.

Each file is kept in the user's cache, so a second build asks nobody.
"""

from __future__ import annotations

import importlib.util
import shutil
import subprocess
import sys
import tarfile
from base64 import b64encode
from collections.abc import Sequence
from hashlib import sha256, sha512
from itertools import groupby
from operator import attrgetter
from pathlib import Path

from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.web.tab.bundles import BROWSER, PYTHON, WHEELS, Wheel

__all__ = ["bring_python", "bring_wheels", "node"]

PLATFORMS = ("any", BROWSER)


def bring_python(cache: Path) -> Path:
    """Return the folder of CPython for the browser.

    Raises EntryError where npm is missing, ChalkpointError where the registry gives something else.
    """
    name, release, digest = PYTHON
    folder = cache / f"{name}-{release}"
    if folder.is_dir():
        return folder
    fresh = cache / f".{name}-{release}"
    shutil.rmtree(fresh, ignore_errors=True)
    fresh.mkdir(parents=True)
    _run([_tool("npm"), "pack", f"{name}@{release}", "--silent"], fresh, f"{name} {release} from npm")
    packed = next(fresh.glob("*.tgz"))
    found = f"sha512-{b64encode(sha512(packed.read_bytes()).digest()).decode()}"
    if found != digest:
        raise ChalkpointError(
            f"npm gave another {name} {release} than was tested (its digest is {found}); nothing was built"
        )
    with tarfile.open(packed) as archive:
        archive.extractall(fresh, filter="data")
    stub = (
        fresh / "package" / "node_modules" / "ws"
    )  # its loader asks for it under node, and never uses it here
    stub.mkdir(parents=True)
    (stub / "package.json").write_text('{"name": "ws", "version": "0.0.0", "main": "index.js"}\n')
    (stub / "index.js").write_text("")
    (fresh / "package").rename(folder)
    shutil.rmtree(fresh)
    return folder


def bring_wheels(cache: Path) -> dict[str, Path]:
    """Return each wheel by the name of its library.

    Raises EntryError where pip is missing, ChalkpointError where the registry does not give one.
    """
    folder = cache / "wheels"
    folder.mkdir(parents=True, exist_ok=True)
    found = _by_digest(folder)
    missing = [wheel for wheel in WHEELS if wheel.digest not in found]
    if missing and importlib.util.find_spec("pip") is None:
        raise EntryError(
            f"chalkpoint tab brings its libraries by pip, which {sys.executable} has not; run: python -m ensurepip"
        )
    for machine, wheels in groupby(sorted(missing, key=attrgetter("machine")), key=attrgetter("machine")):
        _download(folder, machine, list(wheels))
    found = _by_digest(folder)
    return {wheel.name: found[wheel.digest] for wheel in WHEELS}


def _by_digest(folder: Path) -> dict[str, Path]:
    return {sha256(path.read_bytes()).hexdigest(): path for path in folder.glob("*.whl")}


def _download(folder: Path, machine: str, wheels: Sequence[Wheel]) -> None:
    wanted = folder / f"{machine}.txt"
    wanted.write_text(
        "".join(f"{wheel.name}=={wheel.release} --hash=sha256:{wheel.digest}\n" for wheel in wheels)
    )
    words = [sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check", "download", "--no-deps"]
    words += [
        "--require-hashes",
        "--only-binary",
        ":all:",
        "--implementation",
        "cp",
        "--python-version",
        "3.14",
    ]
    words += ["--abi", "cp314", "--abi", "abi3", "--abi", "none"]
    for platform in dict.fromkeys((machine, *PLATFORMS)):
        words += ["--platform", platform]
    _run([*words, "--dest", str(folder), "--requirement", str(wanted)], folder, "libraries from PyPI")
    wanted.unlink()


def node(script: Path, *words: str) -> None:
    """Run one of our scripts under node, which npm needs anyway."""
    _run([_tool("node"), str(script), *words], script.parent, "bytecode")


def _tool(name: str) -> str:
    found = shutil.which(name)
    if found is None:
        raise EntryError(
            f"chalkpoint tab brings Python for the browser by npm, and {name} is not on the PATH; install Node.js 18 "
            "or later, which has both npm and node"
        )
    return found


def _run(words: Sequence[str], folder: Path, what: str) -> None:
    ended = subprocess.run(  # noqa: S603 - our own words
        words, cwd=folder, capture_output=True, encoding="utf-8", errors="replace", check=False
    )
    if ended.returncode:
        said = [line for line in ended.stderr.strip().splitlines() if line.strip()]
        raise ChalkpointError(f"{what}: {said[-1] if said else f'ended with {ended.returncode}'}")
