"""The page around the app: one HTML file, whose parts are inside it or in a folder beside it."""

from __future__ import annotations

import asyncio
import gzip
import json
import re
import tempfile
from base64 import b64encode
from collections.abc import Mapping
from hashlib import sha256
from html import escape
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from urllib.parse import urlencode

from chalkpoint.web.tab.bundles import LATER, WHAT
from chalkpoint.web.tab.inside import start

__all__ = ["FIRST", "PIECE", "beside", "inside"]

PIECE = 4_000_000  # bytes of a file of the folder; a longer part is in several
TOKEN = re.compile(r'name="token" value="([^"]+)"')
STYLES = re.compile(r'<link rel="stylesheet" href="(/static/[^"]+)">')
#: The page shown while Python starts: a drawn working.
ADDRESS = ("/work", urlencode({"operation": "subtract", "operands": "8.875, 3.6875", "format": "8+4"}))
FIRST = "?".join(ADDRESS)
#: Nothing from outside, ever. What loads machine code into Python makes functions from text; the app's pages may not
#: (`tab.js` gives each a narrower policy).
POLICY = (
    "default-src 'none'; script-src 'unsafe-inline' 'unsafe-eval' blob:; worker-src 'self' blob:; "
    "style-src 'unsafe-inline'; img-src data: blob:; media-src blob:; connect-src 'self' blob:; "
    "form-action 'none'; base-uri 'none'"
)


def inside(parts: Mapping[str, bytes]) -> bytes:
    """Return the one file: the page with every part in it, as text."""
    scripts = [
        f'<script type="text/plain" id="part-{name}">{b64encode(data).decode()}</script>'
        for name, data in parts.items()
    ]
    return _page({name: {"inside": True} for name in _running(parts)}, "\n".join(scripts))


def beside(parts: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the files of a folder by their names: the page, its parts, and what opens them without a server."""
    made: dict[str, bytes] = {}
    listed = {}
    for name, data in _running(parts).items():
        pieces = [data[at : at + PIECE] for at in range(0, len(data), PIECE)]
        digest = sha256(data).hexdigest()[:12]
        names = [f"parts/{name}-{digest}-{at}.gz" for at in range(1, len(pieces) + 1)]
        made |= dict(zip(names, pieces, strict=True))
        listed[name] = {"pieces": names}
    offline = (_own() / "offline.js").read_text(encoding="utf-8").replace("{{ parts }}", json.dumps([*made]))
    own = {"index.html": _page(listed, ""), "offline.js": offline.encode()}
    return own | {"licences.txt": gzip.decompress(parts["licences"]), **made}


def _running(parts: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the parts that Python is made of: all but the licences, which are for reading."""
    return {name: data for name, data in parts.items() if name != "licences"}


def _own() -> Traversable:
    return files("chalkpoint.web.tab") / "page"


def _page(listed: Mapping[str, Mapping[str, object]], scripts: str) -> bytes:
    first, token = asyncio.run(_first())
    told = {
        "first": FIRST,
        "token": token,
        "parts": {
            name: {**about, "later": name in LATER, "what": WHAT.get(name)} for name, about in listed.items()
        },
    }
    own = _own()
    words = {
        "policy": POLICY,
        "styles": (own / "tab.css").read_text(encoding="utf-8"),
        "first": escape(first),
        "parts": "\n".join(
            (
                f'<script type="application/json" id="parts">{json.dumps(told)}</script>',
                f'<script type="text/plain" id="worker">{(own / "worker.js").read_text(encoding="utf-8")}</script>',
                scripts,
            )
        ),
        "script": "".join(
            (
                '"use strict";\n',
                *((own / name).read_text(encoding="utf-8") for name in ("keeping.js", "tab.js")),
            )
        ),
    }
    page = (own / "tab.html").read_text(encoding="utf-8")
    return re.sub(r"\{\{ (\w+) \}\}", lambda match: words[match[1]], page).encode()


async def _first() -> tuple[str, str]:
    """Return the first page with its styles in it, and the token that its forms carry; both the same every time."""
    with tempfile.TemporaryDirectory() as folder:
        async with await start(str(Path(folder) / "kept")) as tab:
            page = (await tab.ask("GET", *ADDRESS))[2].decode()
            for link in STYLES.finditer(page):
                path, _, query = link[1].partition("?")
                sheet = (await tab.ask("GET", path, query))[2].decode()
                page = page.replace(link[0], f"<style>{sheet}</style>")
    token = TOKEN.search(page)
    assert token  # noqa: S101 - a teacher's page has forms
    page = re.sub(r' nonce="[^"]+"', "", page).replace(token[1], "0" * 64)
    return page, "0" * 64
