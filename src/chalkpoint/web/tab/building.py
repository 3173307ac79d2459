"""The files of a tab, built: Python, its libraries and this package, each a bundle of bytecode, stored gzipped.

The same releases always give the same bytes: files in order, no dates, no paths.
"""

from __future__ import annotations

import gzip
import io
import json
import shutil
import tempfile
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from hashlib import sha256
from importlib.metadata import version
from importlib.resources import as_file, files
from pathlib import Path, PurePosixPath

from chalkpoint.finding.cache import WRITTEN, rules_digest
from chalkpoint.web.tab.bundles import BUNDLES, PYTHON
from chalkpoint.web.tab.registry import bring_python, bring_wheels, node

__all__ = ["build_parts"]

NEVER_USED = (
    "chalkpoint/cli",
    "chalkpoint/scanning",
    "chalkpoint/publishing/film/coding",
    "chalkpoint/web/serving",
    "chalkpoint/web/worker",
    "chalkpoint/web/connections",
    "chalkpoint/web/tab/building",
    "chalkpoint/web/tab/page",
    "chalkpoint/web/tab/registry",
    "chalkpoint/web/tab/writing",
    "chalkpoint/marking/cluster",
    "sqlalchemy/dialects/mssql",
    "sqlalchemy/dialects/mysql",
    "sqlalchemy/dialects/oracle",
    "sqlalchemy/testing",
    "sqlalchemy/ext/associationproxy",
    "sqlalchemy/ext/asyncio",
    "sqlalchemy/ext/automap",
    "sqlalchemy/ext/baked",
    "sqlalchemy/ext/declarative",
    "sqlalchemy/ext/horizontal_shard",
    "sqlalchemy/ext/hybrid",
    "sqlalchemy/ext/indexable",
    "sqlalchemy/ext/instrumentation",
    "sqlalchemy/ext/mutable",
    "sqlalchemy/ext/mypy",
    "sqlalchemy/ext/orderinglist",
    "sqlalchemy/ext/serializer",
    "alembic/testing",
    "alembic/templates",
    "mako/testing",
    "anyio/_backends/_trio",
    "anyio/pytest_plugin",
    "starlette/testclient",
)
#: Parts of Python's own library that nothing here imports.
NEVER_IMPORTED = (
    "_pyio",
    "asyncio/proactor_events",
    "asyncio/windows_events",
    "asyncio/windows_utils",
    "bdb",
    "ctypes",
    "curses",
    "dbm",
    "multiprocessing",
    "optparse",
    "plistlib",
    "pstats",
    "trace",
    "_pyrepl",
    "doctest",
    "ensurepip",
    "ftplib",
    "http/server",
    "idlelib",
    "imaplib",
    "lib2to3",
    "mailbox",
    "pdb",
    "pickletools",
    "poplib",
    "profile",
    "pydoc",
    "pydoc_data",
    "smtplib",
    "sqlite3/__main__",
    "telnetlib",
    "tkinter",
    "turtle",
    "turtledemo",
    "unittest",
    "venv",
    "wsgiref",
    "xmlrpc",
)
LEFT_OUT = frozenset({".c", ".pxd", ".pyi", ".pyx", ".typed", ".so"})
AS_IT_IS = "typst"  # a wheel of machine code, which is compressed already


def build_parts(cache: Path) -> dict[str, bytes]:
    """Return every part by its name, gzipped: Python ("loader", "glue", "wasm", "lock", "stdlib") and the bundles.

    What does not depend on this package is made once, and kept in *cache*.
    """
    python, wheels = bring_python(cache), bring_wheels(cache)
    made = cache / f"parts-{_recipe()}"
    if not made.is_dir():
        fresh = cache / f".{made.name}"
        shutil.rmtree(fresh, ignore_errors=True)
        fresh.mkdir()
        for name, data in _lasting(python, wheels).items():
            (fresh / name).write_bytes(gzip.compress(data, 9, mtime=0))
        shutil.copy(wheels[AS_IT_IS], fresh / AS_IT_IS)
        fresh.rename(made)
    with tempfile.TemporaryDirectory() as folder:
        _copy_package(Path(folder) / "chalkpoint")
        _compile(python, [Path(folder)])
        engine = gzip.compress(_zipped(Path(folder)), 9, mtime=0)
    return {"engine": engine} | {path.name: path.read_bytes() for path in sorted(made.iterdir())}


def _recipe() -> str:
    """Return a digest of all that decides the lasting parts."""
    own = files("chalkpoint.web.tab")
    texts = [(own / name).read_bytes() for name in ("bundles.py", "building.py", "page/compile.mjs")]
    return sha256(b"".join(texts)).hexdigest()[:16]


def _lasting(python: Path, wheels: Mapping[str, Path]) -> dict[str, bytes]:
    """Return the parts that only another release changes."""
    with tempfile.TemporaryDirectory() as made:
        folders = {name: Path(made) / name for name in ("stdlib", *BUNDLES) if name != AS_IT_IS}
        _unpack(python / "python_stdlib.zip", folders["stdlib"])
        for name in folders.keys() & BUNDLES.keys():
            for wheel in BUNDLES[name]:
                _unpack(wheels[wheel], folders[name])
        _compile(python, list(folders.values()))
        bundles = {name: _zipped(folder) for name, folder in folders.items()}
    return bundles | {
        "licences": _licences(wheels),
        "loader": (python / "pyodide.mjs").read_bytes().partition(b"//# sourceMappingURL")[0],
        "glue": (python / "pyodide.asm.mjs").read_bytes(),
        "wasm": (python / "pyodide.asm.wasm").read_bytes(),
        "lock": _lock(python / "pyodide-lock.json"),
    }


def _compile(python: Path, folders: Sequence[Path]) -> None:
    with as_file(files("chalkpoint.web.tab") / "page" / "compile.mjs") as script:
        node(script, str(python / "pyodide.mjs"), *map(str, folders))


def _licences(wheels: Mapping[str, Path]) -> bytes:
    """Return the licences of all that is handed on, one after the other."""
    name, release, _ = PYTHON
    texts = [f"{name} {release}, with CPython: MPL-2.0 and Python's own licence; unchanged, as npm has it\n"]
    for wheel, path in wheels.items():
        with zipfile.ZipFile(path) as opened:
            texts += [
                f"=== {wheel}: {held}\n\n{opened.read(held).decode(errors='replace')}\n"
                for held in sorted(opened.namelist())
                if ".dist-info/" in held and "licen" in held.lower() and not held.endswith("/")
            ]
    return "\n".join(texts).encode()


def _lock(path: Path) -> bytes:
    """Return what the loader wants to know of its own release, without the list of packages it could fetch."""
    return json.dumps({"info": json.loads(path.read_text())["info"], "packages": {}}).encode()


def _copy_package(into: Path) -> None:
    with as_file(files("chalkpoint")) as package:
        shutil.copytree(package, into, ignore=shutil.ignore_patterns("__pycache__"))
    _trim(into.parent)
    (into / WRITTEN).write_text(rules_digest())
    release = version("chalkpoint")  # marks are kept with the release that gave them
    about = into.with_name(f"chalkpoint-{release}.dist-info")
    about.mkdir()
    (about / "METADATA").write_text(f"Metadata-Version: 2.4\nName: chalkpoint\nVersion: {release}\n")


def _unpack(archive: Path, into: Path) -> None:
    into.mkdir(parents=True, exist_ok=True)
    with zipfile.ZipFile(archive) as opened:
        opened.extractall(into)
    _trim(into)


def _trim(folder: Path) -> None:
    """Take away what never runs here."""
    for path in sorted(folder.rglob("*")):
        if path.is_file() and not _is_used(PurePosixPath(path.relative_to(folder).as_posix())):
            path.unlink()


def _is_used(path: PurePosixPath) -> bool:
    """Tell whether a file of a bundle is ever read.

    >>> [_is_used(PurePosixPath(path)) for path in ("jinja2/ext.py", "typst/__init__.pyi", "pydoc.py")]
    [True, False, False]
    """
    if path.suffix in LEFT_OUT or path.parts[0].endswith(".dist-info"):
        return False
    stem = path.with_suffix("").as_posix()
    return not any(stem == name or stem.startswith(f"{name}/") for name in (*NEVER_USED, *NEVER_IMPORTED))


def _zipped(folder: Path) -> bytes:
    """Return a folder as one archive that is not compressed: it is, as a whole, afterwards."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_STORED) as archive:
        for name, data in _in_order(folder):
            archive.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), data)
    return held.getvalue()


def _in_order(folder: Path) -> Iterator[tuple[str, bytes]]:
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            yield path.relative_to(folder).as_posix(), path.read_bytes()
