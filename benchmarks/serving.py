"""How long teachers wait: from starting to the first page, and for each page with a year's work kept.

    python benchmarks/serving.py

Fifty sets of papers, a thousand scripts and their marks are kept first: spread over all sets, then all of one set.
Each page is asked for fifty times on one connection; figures are the whole answer's, in milliseconds.
"""

from __future__ import annotations

import json
import os
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import httpx2

from chalkpoint.marking.answers import Script
from chalkpoint.records import kept, marks, scripts, teachers
from chalkpoint.records.store import open_store
from chalkpoint.web.markers import Markers

PAPERS, SCRIPTS, TIMES = 50, 1000, 50
BODY = json.dumps(
    {
        "schema": "chalkpoint.papers/1",
        "title": "Gauge readings",
        "papers": [
            {
                "variant": 1,
                "questions": [
                    {"operation": "subtract", "operands": ["8.875", "3.6875"]},
                    {"operation": "add", "operands": ["1.5", "2.5"]},
                    {"operation": "decode", "operands": ["01000111 0100"]},
                ],
            }
        ],
    }
)
ANSWERS = ("0.1010100 0011", "0.1010010 0011", "0.1010011 0011", "01100100 0100")


def main() -> None:
    """Print the figures."""
    for sets in (PAPERS, 1):
        with tempfile.TemporaryDirectory() as folder:
            url = f"sqlite:///{Path(folder, 'store.db').as_posix()}"
            papers = furnish(url, sets)
            if sets == PAPERS:
                starts = [start_and_stop(url, folder) for _ in range(5)]
                print(f"start to first page: {min(starts):.2f} to {max(starts):.2f} s over 5 (asked 1.5)")
            print(f"{SCRIPTS} scripts over {sets} of {PAPERS} sets of papers")
            _, serving, address = start(url, folder)
            try:
                for page in pages(papers) if sets == PAPERS else marking(papers):
                    print_page(address, page)
            finally:
                serving.terminate()
                serving.wait()


def furnish(url: str, sets: int) -> str:
    """Keep what a year leaves, the scripts spread over so many sets of papers; return the id of papers with scripts."""
    store, markers = open_store(url), Markers()
    with store.write() as db:
        me = teachers.local_teacher(db).id
        made = [kept.keep(db, me, "papers", f"Gauge readings {n}", BODY).id for n in range(PAPERS)]
    for number, papers in enumerate(made[:sets]):
        few = [
            Script(f"H{n:02}", 1, {1: {"answer": ANSWERS[(n + number) % 4]}, 2: {"answer": "01000000 0011"}})
            for n in range(SCRIPTS // sets)
        ]
        with store.write() as db:
            scripts.put_scripts(db, me, papers, few)
            marks.keep_marks(db, me, papers, markers.mark(BODY, few, {}, lambda done, of: None))
    store.close()
    return made[0]


def start(url: str, folder: str) -> tuple[float, subprocess.Popen[bytes], str]:
    """Start a server; return how long until its first page, the server and its address."""
    with socket.create_server(("127.0.0.1", 0)) as found:
        port = found.getsockname()[1]
    words = [sys.executable, "-m", "chalkpoint", "serve", "--port", str(port), "--database", url]
    surroundings = {
        **os.environ,
        "XDG_CACHE_HOME": folder,
        "PYTHONPATH": os.pathsep.join(sys.path),
        "CHALKPOINT_START": "gauge",
    }
    surroundings.pop("PYTHONDONTWRITEBYTECODE", None)
    began = time.perf_counter()
    serving = subprocess.Popen(words, stdout=subprocess.DEVNULL, env=surroundings)
    address = f"http://127.0.0.1:{port}"
    while True:
        try:
            httpx2.get(f"{address}/start?token=gauge", follow_redirects=True).raise_for_status()
            break
        except httpx2.TransportError:
            time.sleep(0.005)
    took = time.perf_counter() - began
    return took, serving, address


def start_and_stop(url: str, folder: str) -> float:
    """Return how long a server takes to its first page, and stop it."""
    took, serving, _ = start(url, folder)
    serving.terminate()
    serving.wait()
    return took


def pages(papers: str) -> list[str]:
    """Return the pages that are asked for."""
    return [
        "/work",
        "/work?operation=subtract&operands=8.875,3.6875",
        "/find",
        "/find?operation=subtract&where=align-shift+%3D+2&where=lost-ones+%3D+1",
        "/set",
        "/set/new",
        f"/set/papers/{papers}",
        *marking(papers),
        "/teach",
        "/teach/counter?belief=invert-only",
        "/kept",
        "/courses",
        "/room",
    ]


def marking(papers: str) -> list[str]:
    """Return the pages on what was handed in of a set of papers."""
    scripts = f"/mark/papers/{papers}"
    pages = ("", "/scripts/H01", "/report", "/second", "/enter")
    return ["/mark", *(scripts + page for page in pages)]


def print_page(address: str, page: str) -> None:
    """Print the median, the 95th percentile and the most of a page, and its size."""
    with httpx2.Client(base_url=address) as client:
        client.get("/start?token=gauge")
        client.get(page).raise_for_status()
        times = []
        for _ in range(TIMES):
            began = time.perf_counter()
            size = len(client.get(page).content)
            times.append((time.perf_counter() - began) * 1000)
    times.sort()
    p95 = times[int(len(times) * 0.95)]
    shown = (page if len(page) < 60 else f"{page[:57]}...").ljust(60)
    print(
        f"{shown} median {statistics.median(times):5.1f}  p95 {p95:5.1f}  most {times[-1]:5.1f} ms, {size // 1000} kB"
    )


if __name__ == "__main__":
    main()
