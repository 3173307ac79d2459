"""What the files of a tab are made of: which releases, by their digests, and what goes into which bundle."""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["BROWSER", "BUNDLES", "LATER", "PYTHON", "WHAT", "WHEELS", "Wheel"]


class Wheel(NamedTuple):
    """A release of a library, as the registry of Python packages has it.

    digest   of its file, SHA-256
    machine  the platform that its file is for; only its Python modules are used, but for the browser's own

    >>> [wheel.name for wheel in WHEELS if wheel.machine == BROWSER]
    ['typst']
    """

    name: str
    release: str
    digest: str
    machine: str = "any"


BROWSER = "pyemscripten_2026_0_wasm32"

#: CPython for the browser, as npm has it: name, release and the registry's digest.
PYTHON = (
    "pyodide",
    "314.0.7",
    "sha512-0YvXxEhfEdpLfb/XkM2BFAeMROq0iMUX2bzzH9pOttyMcWkwq+HbE5uyuGD82LN7y2q+SNvi/6V5JEsOlD2R1A==",
)

WHEELS = (
    Wheel("alembic", "1.20.1", "9970712cfb81ea26c8658d378aaa5b8f6ff9146e5bb111d70497c164016cf598"),
    Wheel("anyio", "4.16.0", "c66ae634e0b8228396b801741beb3294326d4b6102f7bba4041c0dfb58c29026"),
    Wheel("et-xmlfile", "2.0.0", "7a91720bc756843502c3b7504c77b8fe44217c85c537d85037f0f536151b2caa"),
    Wheel("jinja2", "3.1.6", "85ece4451f492d0c13c5dd7c13a64681a86afae63a5f347908daf103ce6d2f67"),
    Wheel("mako", "1.4.3", "723296007c870bfd6b3f0c3230dba7198096e5269297ebf5e4eff9e7ffa39d4f"),
    Wheel(
        "markupsafe",
        "3.0.4",
        "a8e9f292fcda89b324f2f5c91d13f1424a153e40fc2756f38ee23b15835ff300",
        "manylinux_2_17_x86_64",
    ),
    Wheel("openpyxl", "3.1.5", "5282c12b107bffeef825f4617dc029afaf41d0ea60823bbb665ef3079dc79de2"),
    Wheel("python-multipart", "0.0.34", "ebacd224bd686eee2f9aa1066a657affe07435a185834e05e5235e2e59173e91"),
    Wheel("segno", "1.6.6", "28c7d081ed0cf935e0411293a465efd4d500704072cdb039778a2ab8736190c7"),
    Wheel("sqlalchemy", "2.1.9", "449fed5c2caa3b278cc57499d09db001fb3f28dc7f18affc48142aee4dcc0cdf"),
    Wheel("starlette", "1.10.0", "478c0ab3b4ced6e82719849c118fa406f0278a3499c1a898cd15cd31bdc38ce4"),
    Wheel("typing-extensions", "4.16.0", "481caa481374e813c1b176ada14e97f1f67a4539ce9cfeb3f350d78d6370c2e8"),
    Wheel("xlsxwriter", "3.3.1", "8e2c89e59d733fe59e112317218c64fbbc276d90a8c144ebd6f7fa15e7ab184a"),
    Wheel("typst", "0.15.2", "39f9320f7a07623e90b0a53cc5e913649cf381d2ff7e9293a5bc327831811a36", BROWSER),
)

#: Which wheels go into which bundle. Ours is the bundle "engine", Python's own library "stdlib".
BUNDLES = {
    "site": (
        "anyio",
        "jinja2",
        "markupsafe",
        "python-multipart",
        "sqlalchemy",
        "starlette",
        "typing-extensions",
    ),
    "update": ("alembic", "mako"),
    "sheets": ("et-xmlfile", "openpyxl", "xlsxwriter"),
    "print": ("segno",),
    "typst": ("typst",),
}

#: The bundles that are fetched when one of these modules is first imported.
LATER = {
    "update": ("alembic", "mako"),
    "sheets": ("openpyxl", "et_xmlfile", "xlsxwriter"),
    "print": ("segno",),
    "typst": ("typst",),
}

#: What is said of each while it is fetched.
WHAT = {
    "update": "what an update needs",
    "sheets": "what makes sheets",
    "print": "what makes PDF files",
    "typst": "what makes PDF files",
}
