"""How long the marking pages take: a class of 30 with ten questions, a thousand scripts, and a line typed anew.

    python benchmarks/marking_pages.py

The app is asked in this process, so the figures are of the pages and not of a network; beside the time that passed
stands the processor's, which a busy machine does not change. Asked: pages of the class
within 60 ms (95 of 100), of a thousand scripts within 150 ms, from a line typed anew to new marks within 100 ms.
"""

from __future__ import annotations

import json
import random
import re
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from starlette.testclient import TestClient

from chalkpoint.marking.answers import Script
from chalkpoint.marking.ways import Way, held_method
from chalkpoint.records import kept, scripts, teachers
from chalkpoint.records.store import Store, open_store
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.web.settings import Settings
from chalkpoint.web.worker import lasting_app
from chalkpoint.working.procedures import answer_by

ASKED = [
    ("subtract", "8.875", "3.6875"), ("subtract", "5.5", "-2.25"), ("subtract", "3.5", "1.25"),
    ("subtract", "2.75", "2.5"), ("add", "2.75", "-1.5"), ("add", "3.25", "2.75"), ("add", "7", "-5"),
    ("add", "2.5", "0.75"), ("encode", "-5.25"), ("decode", "10110000 1110"),
]  # fmt: skip
BODY = {
    "schema": "chalkpoint.papers/1",
    "title": "Gauge readings",
    "papers": [{"questions": [{"operation": name, "operands": given} for name, *given in ASKED]}],
}
BELIEFS = ((), (), (), ("invert-only",), ("align-skip",), ("norm-mantissa-only",))
ORIGIN, TIMES = "http://127.0.0.1:8000", 40


def main() -> None:
    """Print the figures."""
    for pupils in (30, 1000):
        with tempfile.TemporaryDirectory() as folder:
            store = open_store(f"sqlite:///{Path(folder, 'store.db').as_posix()}")
            app = lasting_app(store, Settings(), cache=Path(folder, "made"))
            with TestClient(app, base_url=ORIGIN) as client:
                client.get("/work")
                papers = furnish(store, pupils)
                mark(client, papers)
                print(f"{pupils} scripts of {len(ASKED)} questions")
                for page in ("questions/1", "questions/5", "report", "enter", ""):
                    timed(page or "the papers", partial(client.get, f"{papers}/{page}".rstrip("/")))
                if pupils < 100:
                    answers = ("0.1010100 0011", "0.1010010 0011")
                    timed("typed anew to new marks", retype(client, papers, answers))
            store.close()


def furnish(store: Store, pupils: int) -> str:
    """Keep papers and what a class of *pupils* handed in, some of it in manners of its own; return their address."""
    papers, rng = papers_from(BODY), random.Random(7)
    handed_in = []
    for number in range(pupils):
        way, script = Way("", rng.choice(BELIEFS)), Script(f"H{number:04}", 1)
        for asked in papers.first.questions:
            method = held_method(way, asked.question.operation.name, asked.question.course)
            answer = answer_by(method, asked.question)
            if " " in answer and rng.random() < 0.1:
                answer = f"{answer.split()[0]} {rng.randrange(1, 5)}"
            script.written[asked.number] = {"answer": answer}
        handed_in.append(script)
    with store.write() as db:
        me = teachers.local_teacher(db).id
        one = kept.keep(db, me, "papers", "Gauge readings", json.dumps(BODY))
        scripts.put_scripts(db, me, one.id, handed_in)
    return f"/mark/papers/{one.id}"


def token(client: TestClient) -> str:
    """Return what forms carry."""
    found = re.search(r'name="token" value="([0-9a-f]{64})"', client.get("/work").text)
    assert found
    return found[1]


def mark(client: TestClient, papers: str) -> None:
    """Mark everything, and wait for it."""
    answer = client.post(f"{papers}/mark", data={"token": token(client)}, headers={"origin": ORIGIN})
    while '<progress id="bar"' in answer.text:
        time.sleep(0.05)
        answer = client.get(str(answer.url.path))


def retype(client: TestClient, papers: str, answers: tuple[str, str]) -> Callable[[], object]:
    """Return what types a line anew, now one answer and now the other, and looks at the table that follows."""
    kept_token, turn = token(client), iter(range(10_000))

    def once() -> object:
        written = answers[next(turn) % 2]
        data = {"token": kept_token, "student": "H0003", "line": "answer", "written": written}
        return client.post(f"{papers}/questions/1/retype", data=data, headers={"origin": ORIGIN})

    return once


def timed(name: str, asked: Callable[[], object]) -> None:
    """Print the median and the 95th of 100 of what is asked for."""
    asked()
    passed, worked = [], []
    for _ in range(TIMES):
        began, busy = time.perf_counter(), time.process_time()
        asked()
        passed.append(1000 * (time.perf_counter() - began))
        worked.append(1000 * (time.process_time() - busy))
    said = (
        f"median {sorted(one)[TIMES // 2]:6.1f}, p95 {sorted(one)[int(0.95 * TIMES)]:6.1f} ms"
        for one in (passed, worked)
    )
    print(f"  {name:24} {'; processor '.join(said)}")


if __name__ == "__main__":
    main()
